//! The prior as collected: how the dated clubs themselves lie over the years.

use crate::dated::date_spread::DateSpread;
use agewright_model::tables::prior::{PriorError, PriorRow, Spread};
use agewright_model::{Axis, Prior};

/// Widths of the kernel tried, in steps.
const WIDTHS: [f64; 6] = [0.35, 0.5, 0.7, 1.0, 1.5, 2.0];
/// Clubs that every row has before the first is counted.
const EVERY_ROW: f64 = 0.3;

/// Each dated club spread by a normal kernel over the rows, plus 0.3 a row, and `flat_share` of the whole spread over
/// all years alike, without which a prior of few years admits no others; the width with the best log probability of
/// the clubs' own dates, each club's whole set left out; `sets` holds the set of each.
///
/// # Errors
/// [`PriorError`] cannot occur for dates on the axis; it is passed on rather than hidden.
pub(crate) fn as_collected(
    axis: Axis,
    dates: &[&DateSpread],
    worth_of: &[f64],
    sets: &[usize],
    flat_share: f64,
) -> Result<Prior, PriorError> {
    let mut best: Option<(f64, Vec<f64>)> = None;
    for steps in WIDTHS {
        let spread: Vec<Vec<f64>> = dates.iter().map(|date| spread_over_rows(axis, date, steps)).collect();
        let mut mass: Vec<f64> = (0..axis.n_rows()).map(|row| EVERY_ROW * row_share(axis, row)).collect();
        for (one, worth) in spread.iter().zip(worth_of) {
            add(&mut mass, one, *worth);
        }
        let share = |mut mass: Vec<f64>| {
            mix_in_flat(axis, &mut mass, flat_share);
            mass
        };
        let score = dates.iter().zip(sets).zip(worth_of).map(|((date, set), worth)| {
            let mut others = mass.clone();
            for (mate, _) in sets.iter().enumerate().filter(|(_, other)| *other == set) {
                add(&mut others, &spread[mate], -worth_of[mate]);
            }
            worth * ln_probability(axis, date, &share(others))
        });
        let score: f64 = score.sum();
        if best.as_ref().is_none_or(|(top, _)| score > *top) {
            best = Some((score, share(mass)));
        }
    }
    let mass = best.map_or_else(|| vec![1.0; axis.n_rows()], |(_, mass)| mass);
    Prior::from_rows(axis, Prior::AS_COLLECTED, Spread::Linear, prior_rows(axis, mass))
}

/// (1 - f) m_r + f M s_r: f the flat share, M the sum of the masses m, s_r the row's share of all years.
fn mix_in_flat(axis: Axis, mass: &mut [f64], flat_share: f64) {
    let total: f64 = mass.iter().sum();
    for (row, mass) in mass.iter_mut().enumerate() {
        let (from, to) = axis.row_years(row);
        let years = f64::from(to - from + 1) / f64::from(axis.to() - axis.from());
        *mass = (1.0 - flat_share) * *mass + flat_share * total * years;
    }
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
        let prior = as_collected(axis, &[&date, &date, &date], &[1.0; 3], &[0, 1, 2], 0.25).unwrap();
        let p: Vec<f64> = prior.ln_by_year().iter().map(|ln| ln.exp()).collect();
        let top = (0..100).max_by(|a, b| p[*a].total_cmp(&p[*b])).unwrap();
        assert!((30..40).contains(&top), "{top}");
        assert!(p.iter().all(|p| *p > 0.0) && (p.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }

    /// By brute force: for each width the probability of every club's date by the other sets alone, counted afresh.
    #[test]
    fn the_width_is_the_best_with_each_set_left_out() {
        let axis = Axis::new(1800, 1900, 10).unwrap();
        let at = |first_ix: usize| DateSpread { first_ix, share: vec![1.0] };
        let rows = |dates: &[&DateSpread], steps: f64| {
            let mut mass: Vec<f64> = vec![EVERY_ROW; axis.n_rows()];
            dates.iter().for_each(|date| add(&mut mass, &spread_over_rows(axis, date, steps), 1.0));
            // Ten rows of ten years each: a quarter of the whole, a tenth of it to each.
            let whole: f64 = mass.iter().sum();
            mass.iter().map(|m| 0.75 * m + 0.25 * whole / 10.0).collect::<Vec<f64>>()
        };
        let mut chosen = std::collections::BTreeSet::new();
        for (apart, n) in [(1, 20), (4, 6), (5, 20), (12, 8), (23, 4), (31, 3)] {
            let dates: Vec<DateSpread> = (0..n).map(|k| at((3 + k * apart) % 100)).collect();
            let all: Vec<&DateSpread> = dates.iter().collect();
            // Every third case: clubs in sets of two.
            let sets: Vec<usize> = (0..all.len()).map(|club| if apart % 3 == 1 { club / 2 } else { club }).collect();
            let score = |steps: f64| -> f64 {
                let is_other = |out: usize, club: usize| sets[club] != sets[out];
                let others = |out: usize| -> Vec<&DateSpread> {
                    (0..all.len()).filter(|&club| is_other(out, club)).map(|club| all[club]).collect()
                };
                (0..all.len()).map(|out| ln_probability(axis, all[out], &rows(&others(out), steps))).sum()
            };
            let best = WIDTHS.into_iter().reduce(|a, b| if score(b) > score(a) { b } else { a }).unwrap();
            let mass = rows(&all, best);
            let prior = as_collected(axis, &all, &vec![1.0; all.len()], &sets, 0.25).unwrap();
            let want = Prior::from_rows(axis, Prior::AS_COLLECTED, Spread::Linear, prior_rows(axis, mass)).unwrap();
            for (got, want) in prior.ln_by_year().iter().zip(want.ln_by_year()) {
                assert!((got - want).abs() < 1e-9, "{apart} {n}: not of width {best}");
            }
            chosen.insert(best.to_bits());
        }
        assert!(chosen.len() > 2, "the dates choose between widths");
    }
}
