//! Which of several clubs is older, and how sure that is.

use crate::answer::posterior::Posterior;

/// How two years compare, each known by a posterior; the three sum to 1.
///
/// ```
/// use agewright_model::questions::which_is_older::OlderThan;
/// use agewright_model::{Axis, Posterior};
///
/// let axis = Axis::new(1850, 1900, 10).unwrap();
/// let made_in = |year: i32| {
///     let ln: Vec<f64> = axis.years().map(|y| if y == year { 0.0 } else { f64::NEG_INFINITY }).collect();
///     Posterior::new(axis, &[&ln])
/// };
/// assert_eq!(OlderThan::of(&made_in(1860), &made_in(1870)).older, 1.0);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OlderThan {
    /// P(the first was made in an earlier year).
    pub older: f64,
    /// P(both were made in one year).
    pub same: f64,
    /// P(the first was made in a later year).
    pub younger: f64,
}

impl OlderThan {
    /// Compares two posteriors over one axis, taken as independent:
    /// P(A < B) = sum over y of P(A = y) P(B > y). Of two that are both of after the axis either may be the older.
    ///
    /// # Panics
    /// When the axes differ.
    #[must_use]
    pub fn of(a: &Posterior, b: &Posterior) -> Self {
        assert_eq!(a.axis(), b.axis(), "posteriors over one axis");
        let (mut older, mut same, mut younger, mut b_before) = (0.0, 0.0, 0.0, 0.0);
        let mut a_before = 0.0;
        for (p, q) in a.by_year().iter().zip(b.by_year()) {
            younger += p * b_before;
            older += q * a_before;
            same += p * q;
            a_before += p;
            b_before += q;
        }
        let (p, q) = (a.after(), b.after());
        older += q * a_before + 0.5 * p * q;
        younger += p * b_before + 0.5 * p * q;
        let total = older + same + younger;
        Self { older: older / total, same: same / total, younger: younger / total }
    }
}

/// P(each is the oldest), posteriors taken as independent; those that share the earliest year share its probability
/// evenly. The list sums to 1.
///
/// P(i oldest) = sum over y of P(i = y) x E[1/(1 + K)], K the number of others made in y while none was made before.
///
/// # Panics
/// When the axes differ.
#[must_use]
pub fn chances_of_oldest(posteriors: &[&Posterior]) -> Vec<f64> {
    let Some(first) = posteriors.first() else { return Vec::new() };
    assert!(posteriors.iter().all(|p| p.axis() == first.axis()), "posteriors over one axis");
    // The years after the axis are one more, in which all are alike.
    let years: Vec<Vec<f64>> = posteriors.iter().map(|p| p.by_year_and_after()).collect();
    // later[i][y] = P(club i was made after y).
    let later: Vec<Vec<f64>> = years.iter().map(|by_year| after(by_year)).collect();
    let oldest: Vec<f64> = (0..posteriors.len())
        .map(|i| {
            let own = years[i].iter().enumerate().filter(|(_, p)| **p > 0.0);
            own.map(|(year, p)| p * share_of_earliest(&years, &later, i, year)).sum()
        })
        .collect();
    let total: f64 = oldest.iter().sum();
    oldest.iter().map(|chance| chance / total).collect()
}

/// E[1/(1 + K)] of club `i` made in the year at a place, K the number of others made in it while none was made before.
#[expect(clippy::cast_precision_loss, reason = "clubs are few")]
fn share_of_earliest(years: &[Vec<f64>], later: &[Vec<f64>], i: usize, year: usize) -> f64 {
    // ties[k] = P(k of the others in this year and the rest of them later).
    let mut ties = vec![1.0];
    for (other, by_year) in years.iter().enumerate().filter(|(other, _)| *other != i) {
        let (now, then) = (by_year[year], later[other][year]);
        ties.push(0.0);
        for k in (0..ties.len()).rev() {
            ties[k] = ties[k] * then + if k > 0 { ties[k - 1] * now } else { 0.0 };
        }
    }
    ties.iter().enumerate().map(|(k, t)| t / (1.0 + k as f64)).sum()
}

/// Sum of what stands behind each place.
fn after(probability: &[f64]) -> Vec<f64> {
    let mut sum = 0.0;
    let mut after: Vec<f64> = probability
        .iter()
        .rev()
        .map(|p| {
            let behind = sum;
            sum += p;
            behind
        })
        .collect();
    after.reverse();
    after
}
