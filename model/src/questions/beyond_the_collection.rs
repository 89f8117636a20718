//! Whether an answer lies where no dated club stands behind it.

use crate::answer::dating::Dating;
use crate::answer::posterior::Posterior;
use crate::answer::short_answer::ShortAnswer;
use crate::evidence::asked::Asked;
use crate::tables::prior::Prior;

/// An answer that the calibration's dated clubs do not bear.
#[derive(Debug, Clone, PartialEq)]
pub struct BeyondTheCollection {
    /// First and last year of the dated clubs.
    pub dated: (i32, i32),
    /// Chance that the answer gives to years without dated clubs: before or after theirs, or among them where there are
    /// fewer than three in the row of the year and those beside it.
    pub chance: f64,
    /// The answer if every year were alike before, where its middle year is such a year and the answer is under another
    /// prior.
    pub flat: Option<ShortAnswer>,
}

/// More of an answer than this lies without dated clubs.
const MOST_BEYOND: f64 = 0.1;
/// So many clubs about a year are hardly any.
const FEW_CLUBS: f64 = 3.0;

/// Whether an answer lies in years without dated clubs: more than a tenth of it, and more than its prior had there, so
/// that its clues led to them; or its middle year under the flat prior. Nothing for a calibration without dated clubs.
#[must_use]
pub fn beyond_the_collection(asked: &Asked<'_>, dating: &Dating) -> Option<BeyondTheCollection> {
    let origin = asked.calibration().origin();
    let [from, to] = origin.dated?;
    let axis = asked.axis();
    let is_beyond = |ix: usize| {
        let year = axis.year_at(ix);
        !(from..=to).contains(&year) || clubs_about(&origin.clubs_by_row, axis.row_ix(year)) < FEW_CLUBS
    };
    let share = |by_year: &[f64]| by_year.iter().enumerate().filter(|(ix, _)| is_beyond(*ix)).map(|(_, p)| p).sum();
    // No dated club is of after the axis.
    let or_after = |on_axis: f64, after: f64| after + (1.0 - after) * on_axis;
    let chance: f64 = or_after(share(dating.posterior.on_axis()), dating.posterior.after());
    let before: f64 = share(Posterior::new(axis, &[asked.prior().ln_by_year()]).by_year());
    let before = or_after(before, asked.prior().after());
    let flat = Prior::flat(axis);
    let under_flat = asked.by_prior(&flat);
    let flat = ShortAnswer::of(&Posterior::of(under_flat.evidence(), under_flat.prior(), |_| true));
    let is_other = dating.prior != Prior::FLAT;
    let flat = Some(flat).filter(|flat| is_other && axis.year_ix(flat.median).is_some_and(is_beyond));
    let led_there = chance > MOST_BEYOND && chance > before;
    let found = BeyondTheCollection { dated: (from, to), chance: chance.min(1.0), flat };
    (led_there || found.flat.is_some()).then_some(found)
}

/// Dated clubs in a row and those beside it; no limit where a calibration does not tell.
fn clubs_about(by_row: &[f64], row: usize) -> f64 {
    if by_row.is_empty() {
        return f64::INFINITY;
    }
    by_row.iter().enumerate().filter(|(other, _)| other.abs_diff(row) <= 1).map(|(_, clubs)| clubs).sum()
}
