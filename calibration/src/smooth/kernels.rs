//! Kernels of all clubs of a collection at all bandwidths, made once and shared by every fit and fold.

use crate::dated::date_spread::DateSpread;
use crate::dated::sets::Sets;
use agewright_model::Axis;

/// Everything about the dates of a collection that the fits need.
#[derive(Debug, Clone)]
pub(crate) struct Kernels {
    pub axis: Axis,
    /// Bandwidths averaged over, in years.
    pub bandwidths: Vec<f64>,
    /// Middle of each club's date in years.
    pub middle: Vec<f64>,
    /// (row, share) of each club's date as given: what its reading is scored at.
    pub row_shares: Vec<Vec<(usize, f64)>>,
    /// The same as narrowed by the club's own clues, where they did.
    pub narrowed_shares: Vec<Option<Vec<(usize, f64)>>>,
    /// `at[bandwidth][club][row]`.
    pub at: Vec<Vec<Vec<f64>>>,
    /// Clubs that are left out together.
    pub sets: Sets,
}

impl Kernels {
    pub fn new(axis: Axis, dates: &[DateSpread], steps: &[f64]) -> Self {
        let bandwidths: Vec<f64> = steps.iter().map(|steps| steps * f64::from(axis.step())).collect();
        let at = bandwidths.iter().map(|&h| dates.iter().map(|date| date.kernel(axis, h)).collect()).collect();
        Self {
            axis,
            bandwidths,
            middle: dates.iter().map(|date| date.middle(axis)).collect(),
            row_shares: dates.iter().map(|date| date.row_shares(axis)).collect(),
            narrowed_shares: vec![None; dates.len()],
            at,
            sets: Sets::single(dates.len()),
        }
    }

    /// The same, with clubs that are left out together.
    pub fn with_sets(mut self, sets: Sets) -> Self {
        self.sets = sets;
        self
    }

    /// Lets a club's kernels follow a narrowed date. Scores and straight lines still go by the date as given: a reading
    /// that has chosen its own date must not be scored at it.
    pub fn replace(&mut self, club: usize, date: &DateSpread) {
        self.narrowed_shares[club] = Some(date.row_shares(self.axis));
        for (at, &bandwidth) in self.at.iter_mut().zip(&self.bandwidths) {
            at[club] = date.kernel(self.axis, bandwidth);
        }
    }

    pub fn n_bandwidths(&self) -> usize {
        self.bandwidths.len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A narrowed date moves the club's weight among the rows, but the club is still scored at its date as given.
    #[test]
    fn a_narrowed_date_changes_kernels_and_no_score() {
        let axis = Axis::new(1800, 1900, 10).unwrap();
        let given = DateSpread { first_ix: 20, share: vec![1.0 / 30.0; 30] };
        let narrow = DateSpread { first_ix: 20, share: vec![1.0] };
        let mut kernels = Kernels::new(axis, &[given.clone(), given.clone()], &[1.0, 2.0]);
        kernels.replace(1, &narrow);
        assert_eq!(kernels.row_shares[1], given.row_shares(axis));
        assert_eq!(kernels.middle[1].to_bits(), given.middle(axis).to_bits());
        assert_eq!(kernels.narrowed_shares, [None, Some(narrow.row_shares(axis))]);
        for (h, bandwidth) in [10.0, 20.0].into_iter().enumerate() {
            assert_eq!(kernels.at[h], [given.kernel(axis, bandwidth), narrow.kernel(axis, bandwidth)]);
        }
    }
}
