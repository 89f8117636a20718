//! Fits the shelf of each part on some of the clubs.

use crate::dated::dated_club::DatedClub;
use crate::shelf::allowance::Allowance;
use crate::shelf::pairs::Pairs;
use crate::shelf::refinement::{Refined, refined};
use crate::shelf::search::{Chosen, best_of_grid};
use crate::shelf::side_by_side::{SideBySide, shelf_club};
use crate::shelf::width::{least_width, widths};
use crate::shelf::worth::starting_worths;
use crate::tables::all_tables::Tables;
use crate::tables::fit_data::FitData;
use crate::tables::method::FitMethod;
use agewright_model::tables::prior_scale::PriorScale;
use agewright_model::tables::shelf::{PartShelf, Shelf, ShelfClue};
use agewright_model::{Catalogue, Cell, Clue, Part, Prior};

/// Share of the dated clubs whose nearest other lies within the reach of a shelf.
const WITHIN_REACH: f64 = 0.99;

/// The shelf that goes with tables that were fitted on the clubs for which `members` holds, where the method keeps one.
pub(crate) fn shelf_of(data: &FitData<'_>, members: &[bool], tables: &Tables) -> Option<Shelf> {
    let prior = tables.set.prior(Prior::AS_COLLECTED).ok().filter(|_| data.method.keeps_shelf())?;
    fit_shelf(data, members, prior)
}

/// The shelf of the clubs for which `members` holds, on the scale of a prior as collected, every exponent 1; `None`
/// where no part can be laid out.
fn fit_shelf(data: &FitData<'_>, members: &[bool], prior: &Prior) -> Option<Shelf> {
    let scale = PriorScale::of(prior);
    let parts: Vec<PartShelf> =
        Part::ALL.into_iter().filter_map(|part| Some(part_fit(data, members, part, &scale)?.shelf)).collect();
    let is_on = |clue: &Clue| parts.iter().any(|part| part.part == clue.part && part.clue(&clue.id).is_some());
    let kept: Vec<bool> = data.catalogue.clues().iter().map(is_on).collect();
    // No more of a club than what it is laid beside others by.
    let stripped = |club: usize| {
        let mut own = shelf_club(data, club);
        own.club.cells.resize(kept.len(), Cell::NotExamined);
        for (cell, kept) in own.club.cells.iter_mut().zip(&kept) {
            if !kept || cell.reading().is_none() {
                *cell = Cell::NotExamined;
            }
        }
        own
    };
    let clubs = (0..data.n_clubs()).filter(|&club| members[club]).map(stripped).collect();
    (!parts.is_empty()).then_some(Shelf { anonymous: false, clubs, parts })
}

/// The shelf of one part, and how it was come by.
#[derive(Debug, Clone)]
pub struct PartFit {
    /// The shelf.
    pub shelf: PartShelf,
    /// Starting worth of each row.
    pub worths: Vec<f64>,
    /// Penalty of the allowance's regression.
    pub penalty: f64,
    /// Least width that was tried.
    pub least_width: f64,
    /// The grid's best: score, relevance, allowance, width.
    pub grid: [f64; 4],
    /// Score after the refinement.
    pub score: f64,
}

/// Fits the shelf of one part on dated clubs, on the scale of a prior; `None` where no clue of the part tells any of
/// them apart.
#[must_use]
pub fn fit_part(catalogue: &Catalogue, clubs: &[DatedClub], part: Part, prior: &Prior) -> Option<PartFit> {
    let method = FitMethod::default();
    let counted = clubs.iter().filter(|club| club.worth() > 0.0).collect();
    let data = FitData::new(catalogue, counted, None, &method);
    part_fit(&data, &vec![true; data.n_clubs()], part, &PriorScale::of(prior))
}

fn part_fit(data: &FitData<'_>, members: &[bool], part: Part, scale: &PriorScale) -> Option<PartFit> {
    let clubs = SideBySide::new(data, members, part, scale)?;
    if clubs.sets.iter().all(|set| *set == clubs.sets[0]) {
        return None;
    }
    let allowance = Allowance::fit(&clubs);
    let pairs = Pairs::new(&clubs, &allowance);
    let worths = starting_worths(&pairs);
    let least = least_width(&clubs.dates);
    let chosen = best_of_grid(&pairs, &worths, &widths(least));
    let fitted = refined(&pairs, clubs.n_read(), &worths, chosen, least);
    let Chosen { score, relevance, allowance: grid_allowance, width } = chosen;
    Some(PartFit {
        shelf: part_shelf(&clubs, part, &allowance.slopes, &fitted, reach(&pairs, &fitted.relevances)),
        worths,
        penalty: allowance.penalty,
        least_width: least,
        grid: [score, relevance, grid_allowance, width],
        score: fitted.score,
    })
}

fn part_shelf(clubs: &SideBySide<'_>, part: Part, slopes: &[f64], fitted: &Refined, reach: f64) -> PartShelf {
    let (mut row, mut feature) = (0, 0);
    let mut clues = Vec::new();
    for (_, clue, scale) in &clubs.clues {
        let (next_row, next_feature) = (row + scale.n_rows(), feature + scale.n_features());
        clues.push(ShelfClue {
            clue: clue.id.clone(),
            relevance: fitted.relevances[row..next_row].to_vec(),
            slopes: slopes[feature..next_feature].to_vec(),
            scale: scale.clone(),
        });
        (row, feature) = (next_row, next_feature);
    }
    PartShelf { part, clues, allowance: fitted.allowance, width: fitted.width, weight: 1.0, reach }
}

/// Of the mean distances, by relevance, from each club to the nearest other, the one that 99 in 100 do not pass.
/// Whether readings are the same, a row before that of how far they are apart, is left out.
#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "clubs are few"
)]
fn reach(pairs: &Pairs, relevances: &[f64]) -> f64 {
    let is_how_far = |row: usize| pairs.clue_of_row.get(row + 1) != Some(&pairs.clue_of_row[row]);
    let how_far = |row: usize| if is_how_far(row) { relevances[row] } else { 0.0 };
    let relevances: Vec<f64> = (0..pairs.n_rows()).map(how_far).collect();
    let nearest = |i: usize| {
        // A club without a reading is at no distance from any.
        let read = |row: &usize| pairs.distances(*row, i).iter().any(|distance| *distance > 0.0);
        let total: f64 = (0..pairs.n_rows()).filter(read).map(|row| relevances[row]).sum();
        let summed = pairs.summed(i, &relevances);
        let others = (0..pairs.n_clubs).filter(|&j| pairs.may_vote(i, j)).map(|j| summed[j]);
        let nearest = others.fold(f64::INFINITY, f64::min);
        if total > 0.0 { nearest / total } else { 0.0 }
    };
    let mut all: Vec<f64> = (0..pairs.n_clubs).map(nearest).collect();
    all.sort_by(f64::total_cmp);
    all[((all.len() - 1) as f64 * WITHIN_REACH).floor() as usize]
}
