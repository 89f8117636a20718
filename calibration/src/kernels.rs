//! Kernels of all clubs of a collection at all bandwidths, made once and shared by every fit and fold.

use crate::date_spread::DateSpread;
use agewright_model::Axis;

/// Bandwidths tried, in steps of the axis.
pub(crate) const BANDWIDTHS: [f64; 7] = [0.5, 1.0, 1.5, 2.5, 4.0, 6.5, 15.0];

/// Everything about the dates of a collection that the fits need.
#[derive(Debug, Clone)]
pub(crate) struct Kernels {
    pub axis: Axis,
    /// Middle of each club's date in years.
    pub middle: Vec<f64>,
    /// (row, share) of each club's date.
    pub row_shares: Vec<Vec<(usize, f64)>>,
    /// `at[bandwidth][club][row]`.
    pub at: Vec<Vec<Vec<f64>>>,
}

impl Kernels {
    pub fn new(axis: Axis, dates: &[DateSpread]) -> Self {
        let at = BANDWIDTHS
            .iter()
            .map(|steps| steps * f64::from(axis.step()))
            .map(|bandwidth| dates.iter().map(|date| date.kernel(axis, bandwidth)).collect())
            .collect();
        Self {
            axis,
            middle: dates.iter().map(|date| date.middle(axis)).collect(),
            row_shares: dates.iter().map(|date| date.row_shares(axis)).collect(),
            at,
        }
    }

    /// Puts another date in the place of a club's; its middle stays, for the straight lines go by the date as given.
    pub fn replace(&mut self, club: usize, date: &DateSpread) {
        self.row_shares[club] = date.row_shares(self.axis);
        for (h, steps) in BANDWIDTHS.iter().enumerate() {
            self.at[h][club] = date.kernel(self.axis, steps * f64::from(self.axis.step()));
        }
    }

    /// Bandwidth in years.
    pub fn years(&self, bandwidth_ix: usize) -> f64 {
        BANDWIDTHS[bandwidth_ix] * f64::from(self.axis.step())
    }
}
