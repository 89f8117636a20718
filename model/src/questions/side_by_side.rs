//! Clubs laid side by side: clue by clue, pair by pair, and which is the oldest.

use crate::answer::posterior::Posterior;
use crate::evidence::asked::Asked;
use crate::numbers::axis::Axis;
use crate::questions::overview::is_known;
use crate::questions::which_is_older::{OlderThan, chances_of_oldest};
use crate::reading::known_date::KnownDate;

/// Several clubs compared; years of different clubs are taken as independent.
#[derive(Debug, Clone)]
pub struct SideBySide {
    /// Posterior of each club; of one of known date its known years, all alike.
    pub posteriors: Vec<Posterior>,
    /// The date given with each club, if there is one.
    pub given: Vec<Option<KnownDate>>,
    /// P(each is the oldest); sums to 1.
    pub oldest: Vec<f64>,
    /// Every pair, by places among the clubs, the first before the second.
    pub pairs: Vec<(usize, usize, OlderThan)>,
    /// Every clue that one of them was read for, in the order of the catalogue.
    pub clues: Vec<ClueSideBySide>,
}

/// One clue on several clubs.
#[derive(Debug, Clone, PartialEq)]
pub struct ClueSideBySide {
    /// The clue's id.
    pub clue: String,
    /// Reading of each club, where there is one that counts.
    pub readings: Vec<Option<String>>,
    /// P(each is the oldest) by this clue alone and the prior, among the clubs read for it; `None` where fewer than two
    /// are, or where the clue describes the club and is no evidence of date by itself.
    pub oldest_by_it: Option<Vec<Option<f64>>>,
}

/// Compares clubs, each as asked about; all by one calibration. A club whose given date is known (published or better)
/// is of its known years, whatever its clues say; clue by clue it is compared by its clues.
///
/// # Panics
/// When calibrations of different years are asked.
/// ```
/// use agewright_model::questions::side_by_side::side_by_side;
/// use agewright_model::{Asked, Part};
///
/// let calibration = agewright_files::built_in().unwrap().calibration;
/// let club = |id: &str, hosel: &str| calibration.catalogue().club(id, &[("hosel_to_crease", hosel)]).unwrap();
/// let clubs = [club("long", "5.5"), club("short", "3.4")];
/// let asked = |club| Asked::new(&calibration, club, Part::Head, None, &[]).unwrap();
/// let compared = side_by_side(&clubs.each_ref().map(asked), &[None, None]);
/// assert!(compared.oldest[0] > compared.oldest[1]);
/// assert!((compared.oldest.iter().sum::<f64>() - 1.0).abs() < 1e-12);
/// let (first, second, older) = compared.pairs[0];
/// assert!((first, second) == (0, 1) && older.older > older.younger);
/// ```
#[must_use]
pub fn side_by_side(clubs: &[Asked<'_>], given: &[Option<KnownDate>]) -> SideBySide {
    let given: Vec<Option<KnownDate>> = (0..clubs.len()).map(|club| given.get(club).copied().flatten()).collect();
    let Some(first) = clubs.first() else {
        return SideBySide { given, posteriors: Vec::new(), oldest: Vec::new(), pairs: Vec::new(), clues: Vec::new() };
    };
    let date = |asked: &Asked<'_>, keep: &dyn Fn(usize) -> bool| Posterior::of(asked.evidence(), asked.prior(), keep);
    let known = |(asked, given): (&Asked<'_>, &Option<KnownDate>)| match given.filter(is_known) {
        Some(known) => years_alike(asked.axis(), known.from(), known.to()),
        None => date(asked, &|_| true),
    };
    let posteriors: Vec<Posterior> = clubs.iter().zip(&given).map(known).collect();
    let mut pairs = Vec::new();
    for a in 0..clubs.len() {
        pairs.extend((a + 1..clubs.len()).map(|b| (a, b, OlderThan::of(&posteriors[a], &posteriors[b]))));
    }
    let place = |asked: &Asked<'_>, clue: &str| asked.evidence().clues.iter().position(|used| used.id == clue);
    let catalogue = first.calibration().catalogue().clues();
    let read = catalogue.iter().filter(|clue| clubs.iter().any(|asked| place(asked, &clue.id).is_some()));
    let clues = read.map(|clue| {
        let places: Vec<Option<usize>> = clubs.iter().map(|asked| place(asked, &clue.id)).collect();
        // Adjusters stay: they say what this reading means on such a club. Signs of a later part correct no reading,
        // though they too are no evidence by themselves.
        let alone = |(asked, place): (&Asked<'_>, &Option<usize>)| {
            let corrects = |other: usize| {
                let used = &asked.evidence().clues[other];
                used.adjusts && asked.calibration().sign(&used.id).is_none()
            };
            place.map(|i| date(asked, &|other| other == i || corrects(other)))
        };
        let alone: Vec<Option<Posterior>> = clubs.iter().zip(&places).map(alone).collect();
        let known: Vec<&Posterior> = alone.iter().flatten().collect();
        let oldest_by_it = (known.len() > 1 && !clue.adjusts).then(|| {
            let mut chances = chances_of_oldest(&known).into_iter();
            alone.iter().map(|posterior| posterior.as_ref().and_then(|_| chances.next())).collect()
        });
        let reading =
            |(asked, place): (&Asked<'_>, &Option<usize>)| place.map(|i| asked.evidence().clues[i].reading.clone());
        let readings = clubs.iter().zip(&places).map(reading).collect();
        ClueSideBySide { clue: clue.id.clone(), readings, oldest_by_it }
    });
    let clues = clues.collect();
    let oldest = chances_of_oldest(&posteriors.iter().collect::<Vec<_>>());
    SideBySide { given, oldest, pairs, clues, posteriors }
}

/// All years of a span alike, and no other.
fn years_alike(axis: Axis, from: i32, to: i32) -> Posterior {
    let ln: Vec<f64> =
        axis.years().map(|year| if (from..=to).contains(&year) { 0.0 } else { f64::NEG_INFINITY }).collect();
    Posterior::new(axis, &[&ln])
}
