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

#[cfg(test)]
mod tests {
    use super::*;
    use agewright_model::{Club, KnownDate};

    fn spread(from: i32, to: i32) -> (Axis, DateSpread) {
        let axis = Axis::new(1800, 1900, 10).unwrap();
        let date = KnownDate::new(axis, from, to, Default::default()).unwrap();
        (axis, DateSpread::even(axis, &DatedClub::new(Club::default(), date)))
    }

    #[test]
    fn one_year_stands_at_its_middle_and_is_shared_by_the_rows_about_it() {
        let (axis, date) = spread(1837, 1837);
        assert!((date.middle(axis) - 1837.5).abs() < 1e-12);
        // Rows are centred on 1835 and 1845: 1837.5 lies a quarter of the way.
        let shares = date.row_shares(axis);
        assert_eq!(shares.iter().map(|(row, _)| *row).collect::<Vec<_>>(), [3, 4]);
        assert!((shares[0].1 - 0.75).abs() < 1e-12 && (shares[1].1 - 0.25).abs() < 1e-12);
        let kernel = date.kernel(axis, 10.0);
        assert!((kernel[3] - (-0.5_f64 * 0.0625).exp()).abs() < 1e-15, "a quarter of a bandwidth off");
    }

    #[test]
    fn several_years_are_even_and_their_kernel_is_the_mean() {
        let (axis, date) = spread(1840, 1843);
        assert!(date.share.iter().all(|share| (share - 0.25).abs() < 1e-15));
        assert!((date.middle(axis) - 1842.0).abs() < 1e-12);
        let ones: Vec<Vec<f64>> = (1840..=1843).map(|year| spread(year, year).1.kernel(axis, 7.0)).collect();
        for (row, kernel) in date.kernel(axis, 7.0).iter().enumerate() {
            let mean = ones.iter().map(|one| one[row]).sum::<f64>() / 4.0;
            assert!((kernel - mean).abs() < 1e-15);
        }
        assert!((date.row_shares(axis).iter().map(|(_, share)| share).sum::<f64>() - 1.0).abs() < 1e-12);
    }
}
