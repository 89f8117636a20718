//! What the true year of a club may be, where its date is an interval.

use agewright_model::Posterior;

/// Chances of the years of a date, which sum to 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Truth {
    from: i32,
    chances: Vec<f64>,
}

impl Truth {
    /// The years from..=to as an answer has them, restricted to the date: p(y)/P(from..to).
    ///
    /// A club of 1850-80 is as a rule not made in each of these years alike: its clues say more than its date does.
    /// Where the answers are right, the mean over many clubs of a score weighed so is that of their true years (the
    /// tower property), however wide their dates; with all years alike it would blame the answers for the width of
    /// the dates. Years that the answer holds for impossible are all alike.
    ///
    /// ```
    /// use agewright_calibration::audit::truth::Truth;
    /// use agewright_model::{Axis, Posterior};
    ///
    /// let axis = Axis::new(1800, 1820, 10).unwrap();
    /// // Each year twice as likely as the one before.
    /// let ln: Vec<f64> = (0..20).map(|n| f64::from(n) * 2_f64.ln()).collect();
    /// let truth = Truth::within(&Posterior::new(axis, &[&ln]), 1805, 1806);
    /// assert!((truth.mean(f64::from) - (1805.0 + 2.0 / 3.0)).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn within(answer: &Posterior, from: i32, to: i32) -> Self {
        let whole = answer.probability_between(from, to);
        let of = |year: i32| {
            if whole > 0.0 { answer.probability_between(year, year) / whole } else { 1.0 / f64::from(to - from + 1) }
        };
        Self { from, chances: (from..=to).map(of).collect() }
    }

    /// Mean of a score over the years.
    pub fn mean(&self, mut score: impl FnMut(i32) -> f64) -> f64 {
        (self.from..).zip(&self.chances).map(|(year, chance)| chance * score(year)).sum()
    }

    /// The year at a place of the chances, `uniform` from 0 to 1.
    #[must_use]
    pub fn year_at(&self, uniform: f64) -> i32 {
        let mut rest = uniform;
        for (year, chance) in (self.from..).zip(&self.chances) {
            rest -= chance;
            if rest < 0.0 {
                return year;
            }
        }
        // Rounding may leave a rest at the end.
        let last = self.chances.iter().rposition(|chance| *chance > 0.0).unwrap_or(0);
        (self.from..).nth(last).unwrap_or(self.from)
    }
}
