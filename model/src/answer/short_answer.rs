//! An answer in short: the middle year and the span that the date line gives.

use crate::answer::band::Interval;
use crate::answer::posterior::Posterior;

/// Middle year, 80 % band and the chance of its span.
#[derive(Debug, Clone, PartialEq)]
pub struct ShortAnswer {
    /// Median year; the year behind the axis stands for all that are after it, here and in the next two.
    pub median: i32,
    /// First year of the 80 % band.
    pub from: i32,
    /// Last year of the 80 % band.
    pub to: i32,
    /// Probability of the years from..=to: 0.8 at least, more where the band has gaps.
    pub probability: f64,
    /// The runs of years that the band is made of, where they are several: what lies between them is not in it.
    pub pieces: Vec<Interval>,
}

impl ShortAnswer {
    /// Of a posterior.
    ///
    /// ```
    /// use agewright_model::{Axis, Posterior, Prior, ShortAnswer};
    ///
    /// let axis = Axis::new(1800, 1900, 10).unwrap();
    /// let short = ShortAnswer::of(&Posterior::new(axis, &[Prior::flat(axis).ln_by_year()]));
    /// assert_eq!((short.median, short.from, short.to), (1849, 1800, 1879));
    /// ```
    #[must_use]
    pub fn of(posterior: &Posterior) -> Self {
        let band = posterior.band(0.8);
        let (from, to) = (band.from(), band.to());
        let after = if to > posterior.axis().last() { posterior.after() } else { 0.0 };
        let probability = posterior.probability_between(from, to) + after;
        let pieces = if band.intervals.len() > 1 { band.intervals } else { Vec::new() };
        Self { median: posterior.median(), from, to, probability, pieces }
    }

    /// Whether it is split into several runs of years, so that its median is no date.
    #[must_use]
    pub fn is_split(&self) -> bool {
        self.pieces.len() > 1
    }

    /// Whether middle year and span are the same, whatever the chances.
    #[must_use]
    pub fn has_years_of(&self, other: &Self) -> bool {
        (self.median, self.from, self.to) == (other.median, other.from, other.to)
    }
}
