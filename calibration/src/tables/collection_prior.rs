//! The prior as collected: how the dated clubs themselves lie over the years.

use crate::dated::date_spread::DateSpread;
use agewright_model::tables::prior::{PriorError, PriorRow, Spread};
use agewright_model::{Axis, Prior};

/// Widths of the kernel tried, in steps.
const WIDTHS: [f64; 6] = [0.35, 0.5, 0.7, 1.0, 1.5, 2.0];
/// Clubs that every row has before the first is counted.
const EVERY_ROW: f64 = 0.3;

/// Each dated club spread by a normal kernel over the rows, plus 0.3 a row; the width with the best leave-one-out log
/// probability of the clubs' own dates.
///
/// # Errors
/// [`PriorError`] cannot occur for dates on the axis; it is passed on rather than hidden.
pub(crate) fn as_collected(axis: Axis, dates: &[&DateSpread], worth: &[f64]) -> Result<Prior, PriorError> {
    let mut best: Option<(f64, Vec<f64>)> = None;
    for steps in WIDTHS {
        let spread: Vec<Vec<f64>> = dates.iter().map(|date| spread_over_rows(axis, date, steps)).collect();
        let mut mass: Vec<f64> = (0..axis.n_rows()).map(|row| EVERY_ROW * row_share(axis, row)).collect();
        for (one, worth) in spread.iter().zip(worth) {
            add(&mut mass, one, *worth);
        }
        let score = dates.iter().zip(&spread).zip(worth).map(|((date, own), worth)| {
            let mut others = mass.clone();
            add(&mut others, own, -worth);
            worth * ln_probability(axis, date, &others)
        });
        let score: f64 = score.sum();
        if best.as_ref().is_none_or(|(top, _)| score > *top) {
            best = Some((score, mass));
        }
    }
    let mass = best.map_or_else(|| vec![1.0; axis.n_rows()], |(_, mass)| mass);
    let rows = mass
        .into_iter()
        .enumerate()
        .map(|(row, mass)| {
            let (from, to) = axis.row_years(row);
            PriorRow { from, to, mass }
        })
        .collect();
    Prior::from_rows(axis, Prior::AS_COLLECTED, Spread::Linear, rows)
}

fn add(mass: &mut [f64], one: &[f64], times: f64) {
    for (sum, value) in mass.iter_mut().zip(one) {
        *sum += times * value;
    }
}

/// Share of a full row's years that a row has: 1 but for a last row that the axis cuts short.
fn row_share(axis: Axis, row: usize) -> f64 {
    let (from, to) = axis.row_years(row);
    f64::from(to - from + 1) / f64::from(axis.step())
}

/// One club over the rows, summing to 1.
fn spread_over_rows(axis: Axis, date: &DateSpread, steps: f64) -> Vec<f64> {
    let kernel = date.kernel(axis, steps * f64::from(axis.step()));
    let kernel: Vec<f64> = kernel.iter().enumerate().map(|(row, k)| k * row_share(axis, row)).collect();
    let total: f64 = kernel.iter().sum();
    if total > 0.0 {
        return kernel.iter().map(|k| k / total).collect();
    }
    let mut nearest = vec![0.0; axis.n_rows()];
    for (row, share) in date.row_shares(axis) {
        nearest[row] += share;
    }
    nearest
}

/// ln of the mean probability a year, over the years that the club may have been made in.
fn ln_probability(axis: Axis, date: &DateSpread, mass: &[f64]) -> f64 {
    let density: Vec<f64> = mass
        .iter()
        .enumerate()
        .map(|(row, mass)| {
            let (from, to) = axis.row_years(row);
            mass / f64::from(to - from + 1)
        })
        .collect();
    let by_year = axis.rows_to_years(&density);
    let total: f64 = by_year.iter().sum();
    let own: f64 = date.share.iter().zip(&by_year[date.first_ix..]).map(|(share, p)| share * p).sum();
    (own / total).ln()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_club_is_spread_over_the_rows_and_every_row_has_a_little() {
        let axis = Axis::new(1800, 1900, 10).unwrap();
        let date = DateSpread { first_ix: 35, share: vec![1.0] };
        for steps in WIDTHS {
            assert!((spread_over_rows(axis, &date, steps).iter().sum::<f64>() - 1.0).abs() < 1e-12);
        }
        let prior = as_collected(axis, &[&date, &date, &date], &[1.0; 3]).unwrap();
        let p: Vec<f64> = prior.ln_by_year().iter().map(|ln| ln.exp()).collect();
        let top = (0..100).max_by(|a, b| p[*a].total_cmp(&p[*b])).unwrap();
        assert!((30..40).contains(&top), "{top}");
        assert!(p.iter().all(|p| *p > 0.0) && (p.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }

    /// By the probability of the clubs' own dates, each left out: alike dates choose a narrow kernel, even ones a wide.
    #[test]
    fn the_width_follows_how_the_dates_lie() {
        let axis = Axis::new(1800, 1900, 10).unwrap();
        let at = |first_ix: usize| DateSpread { first_ix, share: vec![1.0] };
        let mass = |dates: &[DateSpread]| {
            let prior = as_collected(axis, &dates.iter().collect::<Vec<_>>(), &vec![1.0; dates.len()]).unwrap();
            prior.ln_by_year()[50..60].iter().map(|ln| ln.exp()).sum::<f64>()
        };
        let alike: Vec<DateSpread> = (0..20).map(|n| at(52 + n % 6)).collect();
        let even: Vec<DateSpread> = (0..20).map(|n| at(n * 5)).collect();
        assert!(mass(&alike) > 0.5, "{}", mass(&alike));
        assert!((mass(&even) - 0.1).abs() < 0.02, "{}", mass(&even));
        // A single club, left out, leaves the even rows alone: the width that puts its date highest is not the
        // narrowest.
        assert!(mass(&[at(55)]) < 0.5, "{}", mass(&[at(55)]));
    }
}
