//! Evidence on each dated club from tables fitted without its fold.

use crate::dated::folds::{folds_by_date, sampled_by_date};
use crate::fit::date_narrowing::fit_narrowed;
use crate::shelf::shelf_fit::shelf_of;
use crate::smooth::kernels::Kernels;
use crate::tables::all_tables::TableFitError;
use crate::tables::fit_data::FitData;
use agewright_model::tables::shelf::Shelf;
use agewright_model::{Asked, Calibration, Catalogue, Part, TableSet};
use rayon::prelude::*;

/// What the clues of one club say, by tables that never saw it.
#[derive(Debug, Clone)]
pub(crate) struct ClubEvidence {
    pub worth: f64,
    /// Places of the first and last year of its date among the points that are weighed.
    pub truth: (usize, usize),
    pub ln_prior: Vec<f64>,
    /// ln likelihood at those points of each group, or `None` where nothing was read or no table could be fitted.
    pub groups: Vec<Option<Vec<f64>>>,
}

impl ClubEvidence {
    fn worth_nothing(n_years: usize, n_groups: usize) -> Self {
        let n_points = (0..n_years).skip(stride(n_years) / 2).step_by(stride(n_years)).count();
        Self { worth: 0.0, truth: (0, 0), ln_prior: vec![0.0; n_points], groups: vec![None; n_groups] }
    }
}

/// Points of the axis that exponents are weighed at, at the most.
const MOST_POINTS: usize = 400;

/// What has an exponent of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Group {
    /// A level clue, by its id.
    Clue(String),
    /// The measured clues of the part.
    Measures,
    /// The dated clubs.
    Shelf,
}

/// Weighed groups of a part.
pub(crate) type Groups = Vec<Group>;

/// The groups of a part: its level clues in the order of the tables, then its block, then its shelf.
pub(crate) fn groups_of(catalogue: &Catalogue, tables: &TableSet, shelf: Option<&Shelf>, part: Part) -> Groups {
    let is_own = |id: &str| catalogue.clue(id).is_some_and(|clue| clue.part == part);
    let levels = tables.own_tables().map(|table| table.clue).filter(|id| is_own(id));
    let mut groups: Groups = levels.map(|id| Group::Clue(id.to_owned())).collect();
    if tables.block(part).is_some() {
        groups.push(Group::Measures);
    }
    if shelf.is_some_and(|shelf| shelf.part(part).is_some()) {
        groups.push(Group::Shelf);
    }
    groups
}

/// Clubs of a fold, each with its evidence by part.
type Held = Vec<(usize, Vec<ClubEvidence>)>;

/// Shelves fitted without each fold.
pub(crate) type FoldShelves = Vec<Option<Shelf>>;

/// Evidence on every club for each part, fold by fold, in the order of the clubs: `[part][club]`. Beside shelves, of
/// more clubs than the method weighs, it is taken on a sample of them, and the others are worth nothing. Shelves are
/// fitted on dates as they were given, whatever is narrowed: those of an earlier call are taken where they are handed
/// over.
///
/// # Errors
/// As [`fit_narrowed`].
pub(crate) fn out_of_fold(
    data: &FitData<'_>,
    kernels: &Kernels,
    parts: &[(Part, Groups)],
    prior: &str,
    n_folds: usize,
    rounds: usize,
    shelves: Option<&FoldShelves>,
) -> Result<(Vec<Vec<ClubEvidence>>, FoldShelves), TableFitError> {
    let ids: Vec<&str> = data.clubs.iter().map(|club| club.club.id.as_str()).collect();
    let fold = folds_by_date(&kernels.middle, &ids, &data.sets, n_folds);
    let last = fold.iter().copied().max().unwrap_or(0);
    let most = if data.method.keeps_shelf() { data.method.most_weighed } else { usize::MAX };
    let is_weighed = sampled_by_date(&kernels.middle, &ids, most);
    let of_fold = |out: usize| {
        let members: Vec<bool> = fold.iter().map(|f| *f != out).collect();
        let mut tables = fit_narrowed(data, kernels, &members, rounds)?;
        tables.shelf = match shelves {
            Some(shelves) => shelves[out].clone(),
            None => shelf_of(data, &members, &tables),
        };
        let calibration = tables.calibration(data)?;
        let held = (0..data.n_clubs()).filter(|&club| fold[club] == out);
        let of_club = |club: usize| {
            let of_part = |(part, groups): &(Part, Groups)| {
                if is_weighed[club] {
                    club_evidence(data, &calibration, club, *part, groups, prior)
                } else {
                    ClubEvidence::worth_nothing(data.catalogue.axis().n_years(), groups.len())
                }
            };
            (club, parts.iter().map(of_part).collect())
        };
        Ok((held.map(of_club).collect::<Held>(), tables.shelf))
    };
    let by_fold: Vec<_> = (0..=last).into_par_iter().map(of_fold).collect::<Result<_, TableFitError>>()?;
    let (held, shelves): (Vec<Held>, FoldShelves) = by_fold.into_iter().unzip();
    let mut all: Vec<(usize, Vec<ClubEvidence>)> = held.into_iter().flatten().collect();
    all.sort_by_key(|(club, _)| *club);
    let mut by_part: Vec<Vec<ClubEvidence>> = vec![Vec::with_capacity(all.len()); parts.len()];
    for (_, evidence) in all {
        for (part, one) in by_part.iter_mut().zip(evidence) {
            part.push(one);
        }
    }
    Ok((by_part, shelves))
}

/// Years from one point to the next at which exponents are weighed: every year up to 400, fewer on long axes, where
/// neighbouring years say nearly the same.
pub(crate) fn stride(n_years: usize) -> usize {
    n_years.div_ceil(MOST_POINTS)
}

fn club_evidence(
    data: &FitData<'_>,
    calibration: &Calibration,
    club: usize,
    part: Part,
    groups: &Groups,
    prior: &str,
) -> ClubEvidence {
    let stride = stride(data.catalogue.axis().n_years());
    let thin = |by_year: &[f64]| by_year.iter().skip(stride / 2).step_by(stride).copied().collect::<Vec<f64>>();
    let mut found: Vec<Option<Vec<f64>>> = vec![None; groups.len()];
    let mut ln_prior = vec![0.0; data.catalogue.axis().n_years()];
    if let Ok(asked) = Asked::new(calibration, &data.clubs[club].club, part, Some(prior), &[]) {
        let of_tables = asked.evidence().ln_by_group();
        let of_tables =
            of_tables.into_iter().map(|(id, ln)| (id.map_or(Group::Measures, |id| Group::Clue(id.into())), ln));
        for (group, ln) in of_tables.chain(asked.evidence().ln_of_shelf().map(|ln| (Group::Shelf, ln))) {
            if let Some(place) = groups.iter().position(|own| *own == group) {
                found[place] = Some(thin(&ln));
            }
        }
    }
    if let Ok(prior) = calibration.prior(Some(prior)) {
        ln_prior.copy_from_slice(prior.ln_by_year());
    }
    let date = &data.dates[club];
    let ln_prior = thin(&ln_prior);
    let last = ln_prior.len() - 1;
    ClubEvidence {
        worth: data.worths[club],
        truth: ((date.first_ix / stride).min(last), ((date.first_ix + date.share.len() - 1) / stride).min(last)),
        ln_prior,
        groups: found,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dated::dated_club::DatedClub;
    use crate::tables::method::FitMethod;
    use agewright_model::{Axis, Clue, ClueKind, KnownDate, Level, Prior};

    const FOLDS: usize = 4;

    fn evidence_where(changed: Option<usize>) -> Vec<ClubEvidence> {
        let axis = Axis::new(1800, 1900, 10).unwrap();
        let levels = ["coarse", "fine"].map(Level::plain).to_vec();
        let nicking = Clue { levels, misread: 0.05, ..Clue::new("nicking", ClueKind::Levels, Part::Head) };
        let catalogue = Catalogue::new("small", axis, vec![nicking]).unwrap();
        let club = |n: usize| {
            let is_fine = n.is_multiple_of(3) != (changed == Some(n));
            let teeth = if is_fine { "fine" } else { "coarse" };
            let year = 1804 + 4 * i32::try_from(n).unwrap();
            let read = catalogue.club(&format!("no. {n:02}"), &[("nicking", teeth)]).unwrap();
            DatedClub::new(read, KnownDate::new(axis, year, year, Default::default()).unwrap())
        };
        let clubs: Vec<DatedClub> = (0..24).map(club).collect();
        let method = FitMethod::default();
        let data = FitData::new(&catalogue, clubs.iter().collect(), None, &method);
        let kernels = Kernels::new(axis, &data.dates, &method.bandwidths);
        let parts = [(Part::Head, vec![Group::Clue("nicking".to_owned())])];
        out_of_fold(&data, &kernels, &parts, Prior::FLAT, FOLDS, 0, None).unwrap().0.remove(0)
    }

    /// A club's evidence hangs on the clubs of every fold but its own: what another one of its fold was read as does
    /// not count, what one of any other fold was does.
    #[test]
    fn evidence_on_a_club_is_of_tables_that_never_saw_its_fold() {
        let (before, after) = (evidence_where(None), evidence_where(Some(9)));
        for (n, (a, b)) in before.iter().zip(&after).enumerate().filter(|(n, _)| *n != 9) {
            assert_eq!(a.groups == b.groups, n % FOLDS == 9 % FOLDS, "club {n}");
        }
    }
}
