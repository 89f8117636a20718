//! Whether a change of the fit raises the score by more than chance.

use crate::dated::sets::Sets;

/// Whether clubs' own clues narrow their intervals, and by what score that was decided.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Narrowing {
    /// All clubs are dated to the year.
    #[default]
    NoIntervals,
    /// It raised the sum of out-of-fold log scores by more than twice that gain's standard error, and was kept.
    Kept(Gain),
    /// It did not, and was not kept.
    NotKept(Gain),
}

/// Change of a sum of scores over clubs.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Gain {
    /// The change, in nats.
    pub nats: f64,
    /// Its standard error, from the spread of the changes between sets of clubs.
    pub standard_error: f64,
}

impl Gain {
    /// From the scores of each club before and after: sum of d over the sets, and sqrt(n/(n - 1) sum (d - mean d)^2), d
    /// a set's change.
    #[expect(clippy::cast_precision_loss, reason = "clubs are few")]
    pub(crate) fn of(before: &[f64], after: &[f64], sets: &Sets) -> Self {
        let change = |clubs: &Vec<usize>| clubs.iter().map(|&club| after[club] - before[club]).sum::<f64>();
        let changes: Vec<f64> = sets.all().iter().map(change).collect();
        let (n, nats) = (changes.len() as f64, changes.iter().sum::<f64>());
        let square: f64 = changes.iter().map(|d| (d - nats / n.max(1.0)).powi(2)).sum();
        Self { nats, standard_error: (square * n / (n - 1.0).max(1.0)).sqrt() }
    }

    /// Whether it is more than chance.
    pub(crate) fn is_clear(self) -> bool {
        self.nats > 2.0 * self.standard_error
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dated::sets::sets_of;

    /// Four clubs that each gain 1, 2, 0 and 1: 4 in all, with n/(n - 1) sum (d - 1)^2 = 4/3 x 2 as its variance; in
    /// two sets they gain 3 and 1, with 2/1 x 2.
    #[test]
    fn a_gain_is_weighed_against_its_own_noise() {
        let (before, after) = ([-3.0, -4.0, -2.0, -5.0], [-2.0, -2.0, -2.0, -4.0]);
        let gain = Gain::of(&before, &after, &Sets::single(4));
        assert!((gain.nats - 4.0).abs() < 1e-12 && (gain.standard_error - (8.0_f64 / 3.0).sqrt()).abs() < 1e-12);
        assert!(gain.is_clear());
        let of_sets = Gain::of(&before, &after, &sets_of(&[0, 0, 1, 1]));
        assert!((of_sets.nats - 4.0).abs() < 1e-12 && (of_sets.standard_error - 2.0).abs() < 1e-12);
        assert!(!of_sets.is_clear(), "a gain of twice its error is none");
        assert!(!Gain::of(&after, &before, &Sets::single(4)).is_clear());
    }
}
