//! Evidence of a part made after the axis ends, which copies one of some year of the axis.

use crate::evidence::weighed::{BySet, Weighed};
use crate::numbers::ln_sums::{ln_sum, scaled_from_ln};
use crate::numbers::shared_lag::SharedLag;

/// Readings as a later part would show them: in what the rules name it looks as they say; in all else it is like
/// whatever it copies, so that this says nothing of whether it is a copy.
#[derive(Debug, Clone)]
pub(crate) struct Copied {
    /// Tempered ln likelihood of what the rules name.
    ln_named: f64,
    /// Tempered ln likelihood of all else by the year that is copied: of fashion, of making.
    sides: [Vec<f64>; 2],
}

impl Copied {
    /// Of nothing read yet, on an axis of so many years.
    pub fn new(n_years: usize) -> Self {
        Self { ln_named: 0.0, sides: [vec![0.0; n_years], vec![0.0; n_years]] }
    }

    /// With the clues of a piece that are kept.
    pub fn add<E: BySet>(&mut self, piece: &Weighed<E>, keep: impl Fn(usize) -> bool) {
        match piece.evidence.after() {
            Some(after) if piece.set_of(&keep) != 0 => self.ln_named += piece.weight * after.ln,
            Some(_) => {}
            None => piece.add_to_side(&mut self.sides, keep),
        }
    }

    /// ln likelihood where years of fashion are copied with these chances: ln L(named) + ln(sum over years of chance
    /// times L(all else)).
    pub fn ln_of_years(&self, chances: &[f64]) -> f64 {
        let [fashion, making] = &self.sides;
        let ln: Vec<f64> =
            fashion.iter().zip(making).zip(chances).map(|((f, m), chance)| f + m + chance.ln()).collect();
        self.ln_named + ln_sum(&ln)
    }

    /// Probability of each year that is copied, where they are copied with these chances.
    pub fn years(&self, chances: &[f64]) -> Vec<f64> {
        let [fashion, making] = &self.sides;
        let ln = fashion.iter().zip(making).zip(chances).map(|((f, m), chance)| f + m + chance.ln());
        let mut years = scaled_from_ln(&ln.collect::<Vec<f64>>());
        let total: f64 = years.iter().sum();
        years.iter_mut().for_each(|year| *year /= total);
        years
    }

    /// ln likelihood where years are copied as often as a prior has them, each with some lead or lag.
    pub fn ln_by(&self, ln_prior: &[f64], lag: &SharedLag) -> f64 {
        let [fashion, making] = &self.sides;
        // What says nothing says nothing of any year.
        let says = lag.has_lag() && fashion.iter().any(|v| *v != 0.0);
        let by_making = if says { lag.blurred_ln(fashion) } else { fashion.clone() };
        let ln: Vec<f64> = by_making.iter().zip(making).zip(ln_prior).map(|((f, m), p)| f + m + p).collect();
        self.ln_named + ln_sum(&ln)
    }
}
