//! The posterior: a probability for every year of the axis.

use crate::answer::band::{Band, CREDIBLE_LEVELS};
use crate::evidence::evidence::Evidence;
use crate::numbers::axis::Axis;
use crate::numbers::ln_sums::{ln_product, normalised_from_ln};
use crate::tables::prior::Prior;

/// Probability that the club was made in each year of the axis; sums to 1.
///
/// ```
/// use agewright_model::{Axis, Posterior, Prior};
///
/// let axis = Axis::new(1850, 1900, 10).unwrap();
/// // A clue that is twice as likely in every year from 1880 as before it.
/// let ln_likelihood: Vec<f64> = axis.years().map(|y| if y < 1880 { 0.0 } else { 2_f64.ln() }).collect();
/// let posterior = Posterior::new(axis, &[Prior::flat(axis).ln_by_year(), &ln_likelihood]);
/// assert!((posterior.probability_between(1880, 1899) - 4.0 / 7.0).abs() < 1e-12);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Posterior {
    axis: Axis,
    probability: Vec<f64>,
}

impl Posterior {
    /// Sums ln terms by year (prior, tempered likelihoods) and normalises once; terms without a single finite sum say
    /// nothing, and every year is alike.
    ///
    /// # Panics
    /// When a term has not one value for each year.
    #[must_use]
    pub fn new(axis: Axis, ln_terms: &[&[f64]]) -> Self {
        let nothing = vec![0.0; axis.n_years()];
        let total = ln_product(&[&[nothing.as_slice()], ln_terms].concat());
        Self { axis, probability: normalised_from_ln(&total) }
    }

    /// Prior plus evidence: by the clues for which `keep` says yes (by place among those that count).
    ///
    /// # Panics
    /// When prior and evidence are over different years.
    #[must_use]
    pub fn of(evidence: &Evidence, prior: &Prior, keep: impl Fn(usize) -> bool) -> Self {
        Self::new(evidence.axis, &[prior.ln_by_year(), &evidence.ln_likelihood(keep)])
    }

    /// The axis.
    #[must_use]
    pub fn axis(&self) -> Axis {
        self.axis
    }

    /// Probability of each year, in order.
    #[must_use]
    pub fn by_year(&self) -> &[f64] {
        &self.probability
    }

    /// Probability of each row: (first year, last year, probability), years inclusive.
    #[must_use]
    pub fn by_row(&self) -> Vec<(i32, i32, f64)> {
        (0..self.axis.n_rows())
            .map(|row| self.axis.row_years(row))
            .map(|(from, to)| (from, to, self.probability_between(from, to)))
            .collect()
    }

    /// Mean year: the sum of year times probability.
    #[must_use]
    pub fn mean(&self) -> f64 {
        let places = self.axis.years().map(|year| f64::from(year - self.axis.from()));
        f64::from(self.axis.from()) + places.zip(&self.probability).map(|(place, p)| place * p).sum::<f64>()
    }

    /// First year by which at least `share` of the probability is reached.
    #[must_use]
    pub fn quantile(&self, share: f64) -> i32 {
        let mut sum = 0.0;
        for (year, p) in self.axis.years().zip(&self.probability) {
            sum += p;
            // A sum that falls short by rounding alone has arrived.
            if sum >= share - 1e-12 {
                return year;
            }
        }
        self.axis.last()
    }

    /// Middle year: the first by which half of the probability is reached.
    #[must_use]
    pub fn median(&self) -> i32 {
        self.quantile(0.5)
    }

    /// Probability of a year in from..=to (years beyond the axis count nothing).
    #[must_use]
    pub fn probability_between(&self, from: i32, to: i32) -> f64 {
        let years = self.axis.years().zip(&self.probability);
        years.filter(|(year, _)| (from..=to).contains(year)).fold(0.0, |sum, (_, p)| sum + p)
    }

    /// Probability of a year before this one.
    #[must_use]
    pub fn probability_before(&self, year: i32) -> f64 {
        // All of it, without what adding up may lose.
        if year > self.axis.last() {
            return 1.0;
        }
        self.probability_between(i32::MIN, year.saturating_sub(1))
    }

    /// Entropy in bits: minus the sum of p log2 p.
    #[must_use]
    pub fn entropy_bits(&self) -> f64 {
        -self.probability.iter().filter(|p| **p > 0.0).map(|p| p * p.log2()).sum::<f64>()
    }

    /// The 50, 80 and 95 % bands.
    #[must_use]
    pub fn bands(&self) -> Vec<Band> {
        CREDIBLE_LEVELS.iter().map(|&level| self.band(level)).collect()
    }

    /// The band of a level between 0 and 1; of 0 and below, the likeliest year alone.
    #[must_use]
    pub fn band(&self, level: f64) -> Band {
        Band::shortest(self.axis, &self.probability, level)
    }
}
