//! Where a club's date lies on the axis: a probability for each year that it may have been made in.

use crate::dated::dated_club::DatedClub;
use agewright_model::Axis;

/// Probabilities over a run of years; they sum to 1.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DateSpread {
    pub first_ix: usize,
    pub share: Vec<f64>,
}

impl DateSpread {
    /// Even over the years from `made_from` to `made_to`.
    pub fn even(axis: Axis, club: &DatedClub) -> Self {
        let first_ix = axis.year_ix(club.made_from()).unwrap_or(0);
        let last_ix = axis.year_ix(club.made_to()).unwrap_or(first_ix);
        let n = last_ix - first_ix + 1;
        #[expect(clippy::cast_precision_loss, reason = "years are few")]
        let share = vec![1.0 / n as f64; n];
        Self { first_ix, share }
    }

    /// Mean place in years, each year standing at y + 1/2.
    pub fn middle(&self, axis: Axis) -> f64 {
        let places = (self.first_ix..).map(|ix| f64::from(axis.year_at(ix)) + 0.5);
        places.zip(&self.share).map(|(place, share)| place * share).sum()
    }

    /// Share of each row in the date, by the blend of each year: (row, share), only rows that have some.
    pub fn row_shares(&self, axis: Axis) -> Vec<(usize, f64)> {
        let mut shares = vec![0.0; axis.n_rows()];
        for (offset, share) in self.share.iter().enumerate() {
            let blend = axis.blend(axis.year_at(self.first_ix + offset));
            shares[blend.low] += share * (1.0 - blend.high_share);
            shares[blend.high] += share * blend.high_share;
        }
        shares.into_iter().enumerate().filter(|(_, share)| *share > 0.0).collect()
    }

    /// Kernel of the club at each row centre c: mean over its years of exp(-((c - (y + 1/2))/h)^2 / 2).
    pub fn kernel(&self, axis: Axis, bandwidth: f64) -> Vec<f64> {
        (0..axis.n_rows())
            .map(|row| {
                let centre = axis.row_centre(row);
                let at = |offset: usize| {
                    let distance = (centre - f64::from(axis.year_at(self.first_ix + offset)) - 0.5) / bandwidth;
                    (-0.5 * distance * distance).exp()
                };
                self.share.iter().enumerate().map(|(offset, share)| share * at(offset)).sum()
            })
            .collect()
    }
}
