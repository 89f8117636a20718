//! Scores of one posterior, and their means over clubs.

use crate::audit::scores::{absolute_error, covered_share, crps, log_score};
use agewright_model::Posterior;

/// Scores of one posterior against a date from..=to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AuditScores {
    /// ln(P(from..to)/(to - from + 1)), in nats.
    pub log_score: f64,
    /// Continuous ranked probability score in years.
    pub crps: f64,
    /// Absolute error of the median in years.
    pub absolute_error: f64,
    /// Share of the date inside the 50, 80 and 95 % bands.
    pub covered: [f64; 3],
}

impl AuditScores {
    /// Scores a posterior.
    #[must_use]
    pub fn of(posterior: &Posterior, from: i32, to: i32) -> Self {
        let bands = posterior.bands();
        let covered = |ix: usize| bands.get(ix).map_or(0.0, |band| covered_share(band, from, to));
        Self {
            log_score: log_score(posterior, from, to),
            crps: crps(posterior, from, to),
            absolute_error: absolute_error(posterior, from, to),
            covered: [covered(0), covered(1), covered(2)],
        }
    }
}

/// Means over clubs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Means {
    /// Mean log score in nats.
    pub log_score: f64,
    /// Mean CRPS in years.
    pub crps: f64,
    /// Mean absolute error of the median in years.
    pub mae: f64,
    /// Share of dates inside the 50, 80 and 95 % bands.
    pub coverage: [f64; 3],
}

impl Means {
    /// Means of some scores; zeros for none.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "clubs are counted in thousands")]
    pub fn of<'a>(scores: impl Iterator<Item = &'a AuditScores> + Clone) -> Self {
        let n = scores.clone().count().max(1) as f64;
        let mean = |value: &dyn Fn(&AuditScores) -> f64| scores.clone().map(value).sum::<f64>() / n;
        Self {
            log_score: mean(&|s| s.log_score),
            crps: mean(&|s| s.crps),
            mae: mean(&|s| s.absolute_error),
            coverage: [mean(&|s| s.covered[0]), mean(&|s| s.covered[1]), mean(&|s| s.covered[2])],
        }
    }
}
