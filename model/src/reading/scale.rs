//! Scales that measured clues are modelled on.

use serde::{Deserialize, Serialize};

/// Scale a measured clue is modelled on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, Default)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Scale {
    /// As measured.
    #[default]
    Linear,
    /// Natural logarithm of the measure: for lengths and thicknesses.
    Log,
}

impl Scale {
    /// A measure on this scale; `None` where it has no logarithm.
    #[must_use]
    pub fn place(self, measure: f64) -> Option<f64> {
        match self {
            Self::Linear => Some(measure),
            Self::Log => (measure > 0.0).then(|| measure.ln()),
        }
    }

    /// The measure that stands at a place on this scale.
    #[must_use]
    pub fn measure(self, place: f64) -> f64 {
        match self {
            Self::Linear => place,
            Self::Log => place.exp(),
        }
    }

    /// A small error of a measure, carried to this scale (first order).
    #[must_use]
    pub fn error(self, error: f64, measure: f64) -> f64 {
        match self {
            Self::Linear => error,
            Self::Log => error / measure,
        }
    }
}
