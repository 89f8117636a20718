//! One weighed piece of evidence: a level clue, or the measured clues of a part together.

use crate::evidence::joined_parts::PartsEvidence;
use crate::evidence::measures::MeasuredEvidence;
use crate::numbers::axis::Axis;

/// Evidence that shares one exponent; it gives a likelihood by year for every set of its clues.
///
/// A set is a bit mask over the block's own clues.
#[derive(Debug, Clone)]
pub(crate) struct EvidenceBlock {
    /// Places of the block's clues among all clues used: measures, then level adjusters.
    pub clues: Vec<usize>,
    /// Exponent in the posterior.
    pub weight: f64,
    axis: Axis,
    source: Source,
}

#[derive(Debug, Clone)]
enum Source {
    /// (1 - e) P at each row, and e q.
    Level {
        right: Vec<f64>,
        wrong: f64,
    },
    Measured(MeasuredEvidence),
    /// The same two cases, by year: a mark or a number.
    Dated {
        right: Vec<f64>,
        wrong: f64,
    },
    /// Shaft and grip, as far as they are the head's own; by year, not by row.
    Parts(Fixed),
}

/// What is fixed to the part that is dated.
#[derive(Debug, Clone)]
enum Fixed {
    ShaftAndGrip(PartsEvidence),
    Grip(PartsEvidence),
}

impl EvidenceBlock {
    pub fn level(axis: Axis, clue: usize, weight: f64, (right, wrong): (Vec<f64>, f64)) -> Self {
        Self { clues: vec![clue], weight, axis, source: Source::Level { right, wrong } }
    }

    pub fn dated(axis: Axis, clue: usize, (right, wrong): (Vec<f64>, f64)) -> Self {
        Self { clues: vec![clue], weight: 1.0, axis, source: Source::Dated { right, wrong } }
    }

    pub fn measured(axis: Axis, clues: Vec<usize>, weight: f64, evidence: MeasuredEvidence) -> Self {
        debug_assert_eq!(clues.len(), evidence.n_clues());
        Self { clues, weight, axis, source: Source::Measured(evidence) }
    }

    /// Shaft and grip as evidence of the head; exponents stand within.
    pub fn shaft_and_grip(axis: Axis, clues: Vec<usize>, evidence: PartsEvidence) -> Self {
        debug_assert_eq!(clues.len(), evidence.n_clues());
        Self { clues, weight: 1.0, axis, source: Source::Parts(Fixed::ShaftAndGrip(evidence)) }
    }

    /// The grip as evidence of the shaft.
    pub fn grip(axis: Axis, clues: Vec<usize>, evidence: PartsEvidence) -> Self {
        debug_assert_eq!(clues.len(), evidence.n_grip_clues());
        Self { clues, weight: 1.0, axis, source: Source::Parts(Fixed::Grip(evidence)) }
    }

    pub fn is_measured(&self) -> bool {
        matches!(self.source, Source::Measured(_))
    }

    pub fn is_level(&self) -> bool {
        matches!(self.source, Source::Level { .. } | Source::Dated { .. })
    }

    pub fn n_clues(&self) -> usize {
        self.clues.len()
    }

    /// ln likelihood by year of a set of the block's clues, before the exponent.
    pub fn ln_by_year(&self, mask: usize) -> Vec<f64> {
        if mask == 0 {
            return vec![0.0; self.axis.n_years()];
        }
        match &self.source {
            Source::Parts(fixed) => fixed.ln_by_year(mask),
            Source::Dated { right, wrong } => right.iter().map(|r| (r + wrong).ln()).collect(),
            _ => self.axis.ln_rows_to_ln_years(&self.ln_rows(mask)),
        }
    }

    fn ln_rows(&self, mask: usize) -> Vec<f64> {
        match &self.source {
            Source::Level { right, wrong } => right.iter().map(|r| (r + wrong).ln()).collect(),
            Source::Measured(evidence) => evidence.ln_evidence(mask),
            Source::Parts(_) | Source::Dated { .. } => vec![0.0; self.axis.n_rows()],
        }
    }

    /// ln likelihood at every row for every set: `[mask * n_rows + row]`.
    fn ln_rows_of_all_sets(&self) -> Vec<f64> {
        match &self.source {
            Source::Level { .. } => {
                let mut all = vec![0.0; self.axis.n_rows()];
                all.extend(self.ln_rows(1));
                all
            }
            Source::Measured(evidence) => evidence.ln_evidence_all(),
            Source::Parts(_) | Source::Dated { .. } => Vec::new(),
        }
    }

    /// ln likelihood by year of all measures of the block together, the adjusting ones among them; `None` for other blocks.
    pub fn ln_measures_together(&self) -> Option<Vec<f64>> {
        match &self.source {
            Source::Measured(evidence) => Some(self.axis.ln_rows_to_ln_years(&evidence.ln_all_together())),
            _ => None,
        }
    }

    /// The factors that each set multiplies the posterior by, in the order of the masks.
    pub fn factors(&self) -> impl Iterator<Item = Factor> + '_ {
        let n_rows = self.axis.n_rows();
        let all = self.ln_rows_of_all_sets();
        (0..1_usize << self.n_clues()).map(move |mask| {
            let ln_years = match &self.source {
                Source::Parts(_) | Source::Dated { .. } => self.ln_by_year(mask),
                _ => self.axis.ln_rows_to_ln_years(&all[mask * n_rows..(mask + 1) * n_rows]),
            };
            Factor::new(&ln_years, self.weight)
        })
    }

    /// Chance of a misreading by year for each clue, given all of the block's clues: its misread term over the mixture.
    /// Level adjusters, which stand last, have no such term and are not in the list.
    pub fn misread_by_year(&self) -> Vec<Vec<f64>> {
        match &self.source {
            Source::Level { right, wrong } => {
                let mixture: Vec<f64> = right.iter().map(|r| r + wrong).collect();
                vec![self.axis.rows_to_years(&mixture).iter().map(|m| wrong / m).collect()]
            }
            Source::Dated { right, wrong } => vec![right.iter().map(|r| wrong / (r + wrong)).collect()],
            Source::Measured(evidence) => {
                let (mixture, terms) = evidence.misread_terms();
                let below = self.axis.ln_rows_to_ln_years(&mixture);
                let ratio = |term: &Vec<f64>| {
                    let above = self.axis.ln_rows_to_ln_years(term);
                    above.iter().zip(&below).map(|(a, b)| (a - b).exp().min(1.0)).collect()
                };
                terms.iter().map(ratio).collect()
            }
            Source::Parts(Fixed::ShaftAndGrip(evidence)) => evidence.misread_by_year(),
            // Told with the grip's own account.
            Source::Parts(Fixed::Grip(_)) => Vec::new(),
        }
    }
}

impl Fixed {
    fn ln_by_year(&self, mask: usize) -> Vec<f64> {
        match self {
            Self::ShaftAndGrip(evidence) => evidence.ln_by_head_year(mask),
            Self::Grip(evidence) => evidence.ln_of_grip_by_shaft_year(mask),
        }
    }
}

/// A tempered likelihood by year: its ln, shifted so that the highest is 0, and the exponential of that.
#[derive(Debug, Clone)]
pub(crate) struct Factor {
    pub ln: Vec<f64>,
    pub plain: Vec<f64>,
}

impl Factor {
    pub fn new(ln_years: &[f64], weight: f64) -> Self {
        let top = ln_years.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let ln: Vec<f64> = ln_years.iter().map(|v| weight * (v - top)).collect();
        let plain = ln.iter().map(|v| v.exp()).collect();
        Self { ln, plain }
    }
}
