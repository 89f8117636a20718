//! Whether an answer lies where no dated club stands behind it.

use crate::answer::dating::Dating;
use crate::answer::posterior::Posterior;
use crate::evidence::asked::Asked;
use crate::tables::prior::Prior;

/// An answer that the calibration's dated clubs do not bear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BeyondTheCollection {
    /// First and last year of the dated clubs.
    pub dated: (i32, i32),
    /// Chance that the answer gives to years without dated clubs: before or after theirs, or among them where fewer
    /// than three clubs' weight stands behind every clue that was read.
    pub chance: f64,
    /// Middle year if every year were alike before, where that is a year without dated clubs.
    pub flat_median: Option<i32>,
}

/// More of an answer than this lies without dated clubs.
const MOST_BEYOND: f64 = 0.1;
/// Rows with less than so many clubs' weight have hardly any.
const FEW_CLUBS: f64 = 3.0;

/// Whether more than a tenth of an answer, or its middle year under the flat prior, lies in years without dated clubs;
/// nothing for a calibration that has none at all.
#[must_use]
pub fn beyond_the_collection(asked: &Asked<'_>, dating: &Dating) -> Option<BeyondTheCollection> {
    let calibration = asked.calibration();
    let [from, to] = calibration.origin().dated?;
    let axis = asked.axis();
    let clubs = clubs_by_year(asked);
    let is_beyond = |ix: usize| !(from..=to).contains(&axis.year_at(ix)) || clubs[ix] < FEW_CLUBS;
    let by_year = dating.posterior.by_year().iter().enumerate();
    let chance: f64 = by_year.filter(|(ix, _)| is_beyond(*ix)).map(|(_, p)| p).sum();
    let flat = asked.prior_from(&Prior::flat(axis));
    let median = Posterior::of(asked.evidence(), &flat, |_| true).median();
    let flat_median = axis.year_ix(median).filter(|&ix| is_beyond(ix)).map(|_| median);
    let found = BeyondTheCollection { dated: (from, to), chance: chance.min(1.0), flat_median };
    (chance > MOST_BEYOND || flat_median.is_some()).then_some(found)
}

/// Weight in clubs behind the best of the clues that were read, by year; no limit where none was that has a table.
fn clubs_by_year(asked: &Asked<'_>) -> Vec<f64> {
    let (axis, tables) = (asked.axis(), asked.calibration().tables());
    let rows = |clue: &str| -> Option<Vec<f64>> {
        if let Some(table) = tables.level_table(clue) {
            return Some(table.rows.iter().map(|row| row.clubs).collect());
        }
        Some(tables.measured_table(asked.part(), clue)?.rows.iter().map(|row| row.clubs).collect())
    };
    let read: Vec<Vec<f64>> = asked.evidence().clue_ids().into_iter().filter_map(rows).collect();
    if read.is_empty() {
        return vec![f64::INFINITY; axis.n_years()];
    }
    let most = |row: usize| read.iter().map(|clubs| clubs[row]).fold(0.0, f64::max);
    axis.rows_to_years(&(0..axis.n_rows()).map(most).collect::<Vec<f64>>())
}
