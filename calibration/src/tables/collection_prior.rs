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
    Prior::from_rows(axis, Prior::AS_COLLECTED, Spread::Linear, prior_rows(axis, mass))
}

fn prior_rows(axis: Axis, mass: Vec<f64>) -> Vec<PriorRow> {
    let row = |(row, mass)| {
        let (from, to) = axis.row_years(row);
        PriorRow { from, to, mass }
    };
    mass.into_iter().enumerate().map(row).collect()
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

    /// By brute force: for each width the probability of every club's date by the others alone, counted afresh.
    #[test]
    fn the_width_is_the_best_with_each_club_left_out() {
        let axis = Axis::new(1800, 1900, 10).unwrap();
        let at = |first_ix: usize| DateSpread { first_ix, share: vec![1.0] };
        let rows = |dates: &[&DateSpread], steps: f64| {
            let mut mass: Vec<f64> = vec![EVERY_ROW; axis.n_rows()];
            dates.iter().for_each(|date| add(&mut mass, &spread_over_rows(axis, date, steps), 1.0));
            mass
        };
        let mut chosen = std::collections::BTreeSet::new();
        for (apart, n) in [(1, 20), (4, 6), (5, 20), (12, 8), (23, 4), (31, 3)] {
            let dates: Vec<DateSpread> = (0..n).map(|k| at((3 + k * apart) % 100)).collect();
            let all: Vec<&DateSpread> = dates.iter().collect();
            let score = |steps: f64| -> f64 {
                let others = |out: usize| [&all[..out], &all[out + 1..]].concat();
                (0..all.len()).map(|out| ln_probability(axis, all[out], &rows(&others(out), steps))).sum()
            };
            let best = WIDTHS.into_iter().reduce(|a, b| if score(b) > score(a) { b } else { a }).unwrap();
            let mass = rows(&all, best);
            let prior = as_collected(axis, &all, &vec![1.0; all.len()]).unwrap();
            let want = Prior::from_rows(axis, Prior::AS_COLLECTED, Spread::Linear, prior_rows(axis, mass)).unwrap();
            for (got, want) in prior.ln_by_year().iter().zip(want.ln_by_year()) {
                assert!((got - want).abs() < 1e-9, "{apart} {n}: not of width {best}");
            }
            chosen.insert(best.to_bits());
        }
        assert!(chosen.len() > 2, "the dates choose between widths");
    }
}
