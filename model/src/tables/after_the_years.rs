//! What is made after the axis ends: copies of old heads, shafts and grips that were renewed since.

use crate::reading::cell::{Reading, Seen};
use crate::tables::chance_by_year::ChanceByYear;

/// How likely each part is to be later than all years of the axis, and how that can be seen. With nothing said of it no
/// part is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AfterTheYears {
    /// Chance that a head was made after the years, before anything is read of it; 0 where the rules are silent.
    pub head: f64,
    /// Share of later shafts, by the year of the head, that are of after the years.
    pub shaft: Option<ChanceByYear>,
    /// Share of later grips, by the year of the shaft, that are of after the years.
    pub grip: Option<ChanceByYear>,
    /// How such a part looks; in whatever does not stand here it is like those of the years before.
    pub looks: Vec<LaterLook>,
}

/// Shares of a level clue among parts that were made after the years.
#[derive(Debug, Clone, PartialEq)]
pub struct LaterLook {
    /// The clue's id.
    pub clue: String,
    /// Share of each level, summing to 1, none of them 0.
    pub shares: Vec<f64>,
}

impl AfterTheYears {
    /// Whether any part may be of after the years.
    #[must_use]
    pub fn is_possible(&self) -> bool {
        self.head > 0.0 || self.shaft.is_some() || self.grip.is_some()
    }

    /// How a clue looks on a part made after the years.
    #[must_use]
    pub fn look(&self, clue: &str) -> Option<&LaterLook> {
        self.looks.iter().find(|look| look.clue == clue)
    }
}

impl LaterLook {
    /// Share of a reading, summed over the levels that it names; 1 of what names none.
    #[must_use]
    pub(crate) fn share(&self, reading: &Reading) -> f64 {
        match &reading.seen {
            Seen::Levels(levels) => levels.iter().map(|&k| self.shares[k]).sum(),
            _ => 1.0,
        }
    }
}
