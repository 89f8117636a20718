//! The parts of a club: three objects with three dates.

use serde::{Deserialize, Serialize};

/// The part of a club that a clue dates.
/// ```
/// use agewright_model::Part;
///
/// assert_eq!(Part::ALL.map(Part::word), ["head", "shaft", "grip"]);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum Part {
    /// The head.
    Head,
    /// The shaft.
    Shaft,
    /// The grip.
    Grip,
}

impl Part {
    /// All parts, head first.
    pub const ALL: [Self; 3] = [Self::Head, Self::Shaft, Self::Grip];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Head => "head",
            Self::Shaft => "shaft",
            Self::Grip => "grip",
        }
    }

    /// The parts fixed to it, directly or through another: to the head shaft and grip, to the shaft the grip.
    #[must_use]
    pub fn fixed_to_it(self) -> &'static [Self] {
        match self {
            Self::Head => &[Self::Shaft, Self::Grip],
            Self::Shaft => &[Self::Grip],
            Self::Grip => &[],
        }
    }
}
