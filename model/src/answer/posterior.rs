//! The posterior: a probability for every year of the axis.

use crate::answer::band::{Band, CREDIBLE_LEVELS, Interval};
use crate::evidence::evidence::Evidence;
use crate::numbers::axis::Axis;
use crate::numbers::ln_sums::{ln_product, ln_sum, normalised_from_ln};
use crate::tables::prior::Prior;

/// Probability that the club was made in each year of the axis, or after all of them; together they sum to 1.
///
/// Most answers are of the axis alone. Where the calibration says that a part may be later, the years after the axis
/// are one cell more, which no reading tells apart.
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
    /// Given that the year is one of the axis; sums to 1.
    on_axis: Vec<f64>,
    /// By year; sums to 1 less what is after.
    probability: Vec<f64>,
    /// Of the cell after the axis, where there is one.
    after: Option<f64>,
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
        let on_axis = normalised_from_ln(&total);
        Self { axis, probability: on_axis.clone(), on_axis, after: None }
    }

    /// The same with a chance that the year is after the axis.
    fn with_after(self, after: f64) -> Self {
        let probability = self.on_axis.iter().map(|p| p * (1.0 - after)).collect();
        Self { probability, after: Some(after), ..self }
    }

    /// The same, given that the year is one of the axis.
    #[must_use]
    pub fn within_the_axis(self) -> Self {
        Self { probability: self.on_axis.clone(), after: None, ..self }
    }

    /// Of a prior before any evidence.
    ///
    /// # Panics
    /// When the prior is over other years.
    #[must_use]
    pub fn of_prior(axis: Axis, prior: &Prior) -> Self {
        let posterior = Self::new(axis, &[prior.ln_by_year()]);
        if prior.after() > 0.0 { posterior.with_after(prior.after()) } else { posterior }
    }

    /// Shared probability with another, 0 to 1: the sum over years, and what is after them, of the lesser.
    #[must_use]
    pub fn overlap(&self, other: &Self) -> f64 {
        self.by_year_and_after().iter().zip(&other.by_year_and_after()).map(|(own, other)| own.min(*other)).sum()
    }

    /// Prior plus evidence: by the clues for which `keep` says yes (by place among those that count).
    ///
    /// # Panics
    /// When prior and evidence are over different years.
    #[must_use]
    pub fn of(evidence: &Evidence, prior: &Prior, keep: impl Fn(usize) -> bool) -> Self {
        let ln_likelihood = evidence.ln_likelihood(&keep);
        let posterior = Self::new(evidence.axis, &[prior.ln_by_year(), &ln_likelihood]);
        if prior.after() <= 0.0 {
            return posterior;
        }
        let on_axis = ln_sum(&ln_product(&[prior.ln_by_year(), &ln_likelihood]));
        let ln_odds = (prior.after() / (1.0 - prior.after())).ln() + evidence.ln_after(prior, keep) - on_axis;
        // Nothing that is possible on either side tells nothing of the sides.
        posterior.with_after(if ln_odds.is_nan() { prior.after() } else { 1.0 / (1.0 + (-ln_odds).exp()) })
    }

    /// The mean of several over one axis, of each year and of what is after.
    ///
    /// # Panics
    /// When there is none, or the axes differ.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "answers are few")]
    pub fn average(posteriors: &[Self]) -> Self {
        let axis = posteriors[0].axis;
        assert!(posteriors.iter().all(|posterior| posterior.axis == axis), "posteriors over one axis");
        let mut sums = vec![0.0; axis.n_years()];
        for posterior in posteriors {
            sums.iter_mut().zip(&posterior.probability).for_each(|(sum, p)| *sum += p);
        }
        let ln: Vec<f64> = sums.iter().map(|sum: &f64| sum.ln()).collect();
        let average = Self::new(axis, &[&ln]);
        let after = posteriors.iter().map(|posterior| posterior.after).sum::<Option<f64>>();
        match after {
            Some(sum) => average.with_after(sum / posteriors.len() as f64),
            None => average,
        }
    }

    /// The axis.
    #[must_use]
    pub fn axis(&self) -> Axis {
        self.axis
    }

    /// Probability of each year, in order; they sum to 1 less [`Self::after`].
    #[must_use]
    pub fn by_year(&self) -> &[f64] {
        &self.probability
    }

    /// Probability of each year, given that it is one of the axis; they sum to 1.
    #[must_use]
    pub fn on_axis(&self) -> &[f64] {
        &self.on_axis
    }

    /// Probability that the year is after the axis; 0 where the calibration says nothing of such years.
    #[must_use]
    pub fn after(&self) -> f64 {
        self.after.unwrap_or(0.0)
    }

    /// Probability of each year, and behind them that of the years after the axis; they sum to 1.
    #[must_use]
    pub fn by_year_and_after(&self) -> Vec<f64> {
        self.probability.iter().copied().chain([self.after()]).collect()
    }

    /// The latest year that an answer can give: the last of the axis; or, where the calibration says something of what
    /// is after, the first year behind it, which stands for all of those.
    #[must_use]
    pub fn latest(&self) -> i32 {
        if self.after.is_some() { self.axis.to() } else { self.axis.last() }
    }

    /// Probability of each row: (first year, last year, probability), years inclusive.
    #[must_use]
    pub fn by_row(&self) -> Vec<(i32, i32, f64)> {
        (0..self.axis.n_rows())
            .map(|row| self.axis.row_years(row))
            .map(|(from, to)| (from, to, self.probability_between(from, to)))
            .collect()
    }

    /// Mean year, given that it is one of the axis: the sum of year times probability.
    #[must_use]
    pub fn mean(&self) -> f64 {
        let places = self.axis.years().map(|year| f64::from(year - self.axis.from()));
        f64::from(self.axis.from()) + places.zip(&self.on_axis).map(|(place, p)| place * p).sum::<f64>()
    }

    /// First year by which at least `share` of the probability is reached; [`Self::latest`] where that is after the
    /// axis.
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
        self.latest()
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

    /// Probability of runs of years; the year behind the axis stands for all that are after it.
    #[must_use]
    pub fn probability_of(&self, runs: &[Interval]) -> f64 {
        let of_run = |run: &Interval| {
            let after = if run.to > self.axis.last() { self.after() } else { 0.0 };
            self.probability_between(run.from, run.to) + after
        };
        runs.iter().map(of_run).sum()
    }

    /// Probability of a year before this one, as far as the axis tells years apart: of one behind its end, that of all
    /// its years.
    #[must_use]
    pub fn probability_before(&self, year: i32) -> f64 {
        // All of it, without what adding up may lose.
        if year > self.axis.last() {
            return 1.0 - self.after();
        }
        self.probability_between(i32::MIN, year.saturating_sub(1))
    }

    /// Entropy in bits, given that the year is one of the axis: minus the sum of p log2 p.
    #[must_use]
    pub fn entropy_bits(&self) -> f64 {
        -self.on_axis.iter().filter(|p| **p > 0.0).map(|p| p * p.log2()).sum::<f64>()
    }

    /// Entropy in bits of the years and of what is after the axis.
    #[must_use]
    pub fn entropy_bits_with_after(&self) -> f64 {
        -self.by_year_and_after().iter().filter(|p| **p > 0.0).map(|p| p * p.log2()).sum::<f64>()
    }

    /// The 50, 80 and 95 % bands.
    #[must_use]
    pub fn bands(&self) -> Vec<Band> {
        CREDIBLE_LEVELS.iter().map(|&level| self.band(level)).collect()
    }

    /// The band of a level between 0 and 1; of 0 and below, the likeliest year alone.
    #[must_use]
    pub fn band(&self, level: f64) -> Band {
        Band::shortest(self.axis, &self.probability, self.after, level)
    }
}
