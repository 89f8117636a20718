//! Scores of one posterior, and their means over clubs.

use crate::audit::scores::{absolute_error, covered_share, crps, log_score};
use crate::audit::truth::Truth;
use agewright_model::Posterior;

/// Scores of one posterior against a date.
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
    /// Whether the date is narrow enough to test the bands of the model.
    pub tests_bands: bool,
}

/// How an audited club is dated.
#[derive(Debug, Clone)]
pub struct ScoredDate {
    /// First year.
    pub from: i32,
    /// Last year.
    pub to: i32,
    /// What the true year may be: one for all that is scored beside the model, so that all are scored alike.
    pub truth: Truth,
    /// Whether it is at most half as long as the model's 80 % band. A longer one says little of whether a band holds.
    pub tests_bands: bool,
}

impl ScoredDate {
    /// A date from..=to as it scores an answer of the model and what stands beside it.
    #[must_use]
    pub fn new(model: &Posterior, from: i32, to: i32) -> Self {
        let tests_bands = 2 * (to - from + 1) <= model.band(0.8).n_years();
        Self { from, to, truth: Truth::within(model, from, to), tests_bands }
    }
}

impl AuditScores {
    /// Scores a posterior.
    #[must_use]
    pub fn of(posterior: &Posterior, date: &ScoredDate) -> Self {
        let bands = posterior.bands();
        let covered = |ix: usize| bands.get(ix).map_or(0.0, |band| covered_share(band, &date.truth));
        Self {
            log_score: log_score(posterior, date.from, date.to),
            crps: crps(posterior, &date.truth),
            absolute_error: absolute_error(posterior, &date.truth),
            covered: [covered(0), covered(1), covered(2)],
            tests_bands: date.tests_bands,
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
    /// Clubs scored.
    pub clubs: usize,
    /// Those of them whose date is narrow enough to test the bands.
    pub testing: usize,
    /// The coverage on those alone; `None` for fewer than [`LEAST_TESTING`].
    pub coverage_of_testing: Option<[f64; 3]>,
}

/// Coverage is told of so many clubs or more.
pub const LEAST_TESTING: usize = 20;

impl Means {
    /// Means of some scores; zeros for none.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "clubs are counted in thousands")]
    pub fn of<'a>(scores: impl Iterator<Item = &'a AuditScores> + Clone) -> Self {
        let clubs = scores.clone().count();
        let mean = |value: &dyn Fn(&AuditScores) -> f64| scores.clone().map(value).sum::<f64>() / clubs.max(1) as f64;
        let testing = scores.clone().filter(|s| s.tests_bands).count();
        let of_testing = |ix: usize| {
            scores.clone().filter(|s| s.tests_bands).map(|s| s.covered[ix]).sum::<f64>() / testing.max(1) as f64
        };
        Self {
            log_score: mean(&|s| s.log_score),
            crps: mean(&|s| s.crps),
            mae: mean(&|s| s.absolute_error),
            coverage: [mean(&|s| s.covered[0]), mean(&|s| s.covered[1]), mean(&|s| s.covered[2])],
            clubs,
            testing,
            coverage_of_testing: (testing >= LEAST_TESTING).then(|| [of_testing(0), of_testing(1), of_testing(2)]),
        }
    }
}
