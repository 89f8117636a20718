//! The dated clubs of one part, in their places on the shelf.

use crate::tables::fit_data::FitData;
use crate::tables::omissions::enough_read;
use agewright_model::tables::prior_scale::PriorScale;
use agewright_model::tables::shelf::ShelfClub;
use agewright_model::tables::shelf_scale::{MOST_LEVELS, Placed, ShelfScale};
use agewright_model::{Clue, Part, Reading, Seen, TableForm};
use std::cmp::Ordering;
use std::collections::BTreeSet;

/// Least standard deviation of a measure.
const LEAST_SPREAD: f64 = 1e-9;
/// A measure repeats where this share of its readings is shared with another club.
const REPEATING: f64 = 0.2;
/// Folds that the allowance is fitted without.
pub(crate) const FOLDS: usize = 10;

/// Dated clubs laid side by side by the clues of a part; clubs in an order that is given by date and readings alone.
pub(crate) struct SideBySide<'a> {
    /// The clues, in the order of their ids, each with its place in the catalogue.
    pub clues: Vec<(usize, &'a Clue, ShelfScale)>,
    /// Places of the clubs among those of the data.
    pub clubs: Vec<usize>,
    pub worths: Vec<f64>,
    /// `[clue][club]`.
    pub placed: Vec<Vec<Option<Placed>>>,
    /// For each club the places in z of the years of its date, all alike.
    pub places: Vec<Vec<f64>>,
    /// The date of each club.
    pub dates: Vec<MiddleDate>,
    /// Set of each club.
    pub sets: Vec<usize>,
    /// Fold of each club: sets are dealt out in the order of the clubs.
    pub folds: Vec<usize>,
}

/// A date by its middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct MiddleDate {
    /// The middle, as a whole year.
    pub year: i32,
    /// Its place in z.
    pub z: f64,
    /// Years of the date.
    pub n_years: i32,
}

/// A dated club as it stands on a shelf: no more than its readings.
pub(crate) fn shelf_club(data: &FitData<'_>, club: usize) -> ShelfClub {
    let dated = data.clubs[club];
    ShelfClub {
        club: agewright_model::Club {
            id: dated.club.id.clone(),
            cells: dated.club.cells.clone(),
            ..Default::default()
        },
        from: dated.made_from(),
        to: dated.made_to(),
        worth: data.worths[club],
    }
}

impl<'a> SideBySide<'a> {
    /// Lays out the clubs for which `members` holds; `None` where no clue of the part tells any of them apart.
    pub fn new(data: &FitData<'a>, members: &[bool], part: Part, scale: &PriorScale) -> Option<Self> {
        let axis = data.catalogue.axis();
        let mut clues: Vec<(usize, &Clue)> =
            data.catalogue.clues().iter().enumerate().filter(|(_, clue)| clue.part == part).collect();
        clues.sort_by(|a, b| a.1.id.cmp(&b.1.id));
        let mut clubs: Vec<usize> = (0..data.n_clubs()).filter(|&club| members[club]).collect();
        clubs.sort_by(|&a, &b| by_content(data, &clues, a, b));
        let on = |clue: usize, club: usize| data.clubs[club].club.cells.get(clue).and_then(|cell| cell.reading());
        let scaled = |(ix, clue): (usize, &'a Clue)| {
            let read: Vec<usize> = clubs.iter().copied().filter(|&club| on(ix, club).is_some()).collect();
            enough_read(&read, &data.sets).ok()?;
            let readings: Vec<&Reading> = read.iter().filter_map(|&club| on(ix, club)).collect();
            Some((ix, clue, scale_of(clue, &readings)?))
        };
        let clues: Vec<(usize, &Clue, ShelfScale)> = clues.into_iter().filter_map(scaled).collect();
        if clues.is_empty() {
            return None;
        }
        let column = |(ix, clue, scale): &(usize, &Clue, ShelfScale)| {
            clubs.iter().map(|&club| on(*ix, club).and_then(|reading| scale.placed(clue, reading))).collect()
        };
        let places = |&club: &usize| {
            let years = shelf_club(data, club).years();
            years.into_iter().filter_map(|year| Some(scale.middle(axis.year_ix(year)?))).collect()
        };
        let date = |&club: &usize| {
            let (from, to) = (data.clubs[club].made_from(), data.clubs[club].made_to());
            let year = i32::midpoint(from, to);
            MiddleDate { year, z: axis.year_ix(year).map_or(0.0, |ix| scale.middle(ix)), n_years: to - from + 1 }
        };
        let sets: Vec<usize> = clubs.iter().map(|&club| data.sets.set_of(club)).collect();
        Some(Self {
            placed: clues.iter().map(column).collect(),
            places: clubs.iter().map(places).collect(),
            dates: clubs.iter().map(date).collect(),
            worths: clubs.iter().map(|&club| data.worths[club]).collect(),
            folds: dealt(&sets),
            sets,
            clues,
            clubs,
        })
    }

    pub fn n_clubs(&self) -> usize {
        self.clubs.len()
    }

    /// Clubs with a reading of the part.
    pub fn n_read(&self) -> usize {
        (0..self.n_clubs()).filter(|&club| self.placed.iter().any(|column| column[club].is_some())).count()
    }

    /// Mean place in z of each club.
    #[expect(clippy::cast_precision_loss, reason = "five places at the most")]
    pub fn z(&self) -> Vec<f64> {
        self.places.iter().map(|places| places.iter().sum::<f64>() / places.len() as f64).collect()
    }

    /// The clue of each row of distances, and the row within the clue.
    pub fn rows(&self) -> Vec<(usize, usize)> {
        let of_clue = |(clue, (_, _, scale)): (usize, &(usize, &Clue, ShelfScale))| {
            (0..scale.n_rows()).map(move |row| (clue, row)).collect::<Vec<_>>()
        };
        self.clues.iter().enumerate().flat_map(of_clue).collect()
    }

    /// Distance of a row from club i, which is laid beside the others, to club j; 0 where i has no reading.
    pub fn distance(&self, (clue, row): (usize, usize), i: usize, j: usize) -> f64 {
        let own = self.placed[clue][i].as_ref();
        own.map_or(0.0, |own| self.clues[clue].2.distance(row, own, self.placed[clue][j].as_ref()))
    }
}

/// Clubs by year, then by their readings: levels first, then measures, clues by their ids.
fn by_content(data: &FitData<'_>, clues: &[(usize, &Clue)], a: usize, b: usize) -> Ordering {
    let dates = |club: usize| (data.clubs[club].made_from(), data.clubs[club].made_to());
    let reading = |ix: usize, club: usize| data.clubs[club].club.cells.get(ix).and_then(|cell| cell.reading());
    let levels = |ix: usize, club: usize| match reading(ix, club) {
        Some(Reading { seen: Seen::Levels(levels), doubtful, .. }) => Some((levels.clone(), *doubtful)),
        _ => None,
    };
    let measure = |ix: usize, club: usize| match reading(ix, club) {
        Some(Reading { seen: Seen::Measure { value, .. }, .. }) => *value,
        _ => f64::NEG_INFINITY,
    };
    let of_form = |form: TableForm| clues.iter().filter(move |(_, clue)| clue.kind.table_form() == form);
    let by_levels = || of_form(TableForm::Shares).map(|(ix, _)| levels(*ix, a).cmp(&levels(*ix, b)));
    let by_measures = || of_form(TableForm::Measures).map(|(ix, _)| measure(*ix, a).total_cmp(&measure(*ix, b)));
    let first = |mut orders: Box<dyn Iterator<Item = Ordering> + '_>| orders.find(|order| order.is_ne());
    let by_dates = dates(a).cmp(&dates(b));
    if by_dates.is_ne() {
        return by_dates;
    }
    let found = first(Box::new(by_levels())).or_else(|| first(Box::new(by_measures())));
    // Clubs that are alike in all of this may stand either way round; their ids only make that one way.
    found.unwrap_or_else(|| data.clubs[a].club.id.cmp(&data.clubs[b].club.id))
}

/// Sets dealt out over the folds in the order of their first clubs.
fn dealt(sets: &[usize]) -> Vec<usize> {
    let mut seen = Vec::new();
    let mut known = std::collections::BTreeMap::new();
    for set in sets {
        let next = known.len();
        seen.push(*known.entry(*set).or_insert(next) % FOLDS);
    }
    seen
}

/// How a clue's readings are compared; `None` for a clue that tells no clubs apart.
#[expect(clippy::cast_precision_loss, reason = "clubs are few")]
fn scale_of(clue: &Clue, readings: &[&Reading]) -> Option<ShelfScale> {
    match clue.kind.table_form() {
        TableForm::Measures => {
            let mut places: Vec<f64> = readings.iter().filter_map(|reading| place_of(clue, reading)).collect();
            let n = places.len() as f64;
            let centre = places.iter().sum::<f64>() / n;
            let spread = (places.iter().map(|place| (place - centre).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
            places.sort_by(f64::total_cmp);
            let runs = places.chunk_by(|a, b| a.to_bits() == b.to_bits());
            let shared: usize = runs.map(<[f64]>::len).filter(|n| *n > 1).sum();
            let repeats = shared as f64 >= REPEATING * n;
            (spread > LEAST_SPREAD).then_some(ShelfScale::Measured { centre, spread, repeats })
        }
        TableForm::Shares if clue.levels.len() <= MOST_LEVELS => {
            let mut counts = vec![0.0; clue.levels.len()];
            let mut seen: BTreeSet<usize> = BTreeSet::new();
            for levels in readings.iter().filter_map(|reading| levels_of(reading)) {
                levels.iter().for_each(|&level| counts[level] += 1.0 / levels.len() as f64);
                seen.extend(levels.iter().copied());
            }
            let total: f64 = counts.iter().sum();
            let shares = counts.iter().map(|count| count / total).collect();
            (seen.len() > 1).then_some(ShelfScale::Levels { shares })
        }
        _ => None,
    }
}

fn place_of(clue: &Clue, reading: &Reading) -> Option<f64> {
    if let Seen::Measure { value, .. } = reading.seen { clue.scale.place(value) } else { None }
}

fn levels_of(reading: &Reading) -> Option<&[usize]> {
    if let Seen::Levels(levels) = &reading.seen { Some(levels) } else { None }
}
