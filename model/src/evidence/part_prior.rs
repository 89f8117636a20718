//! The years that a shaft or a grip may be of, before its own clues are read: from the head, and what it is fixed to.

use crate::evidence::joined_parts::JoinedParts;
use crate::numbers::ln_sums::{ln_product, normalised_from_ln};
use crate::reading::part::Part;
use crate::tables::prior::Prior;
use std::sync::Arc;

/// The head by its own clues, and what is fixed to it.
#[derive(Debug, Clone)]
pub(crate) struct Together {
    /// Tempered ln likelihood by year of the head's own clues.
    pub ln_head: Vec<f64>,
    pub parts: Arc<JoinedParts>,
}

impl Together {
    /// Probability of the head's years by its own clues alone.
    fn head(&self, prior: &Prior) -> Vec<f64> {
        normalised_from_ln(&ln_product(&[&self.ln_head, prior.ln_by_year()]))
    }

    /// The prior of a part's years: for the head the one given; for shaft and grip what the head's own clues and the
    /// chance of a replacement leave open.
    pub fn prior_of(&self, part: Part, prior: &Prior) -> Prior {
        match part {
            Part::Head => prior.clone(),
            Part::Shaft => prior.with_weights(&self.parts.shaft_prior(&self.head(prior))),
            Part::Grip => prior.with_weights(&self.parts.grip_prior(&self.head(prior))),
        }
    }

    /// P(the shaft is later than the head) and P(the grip is later than the shaft), by all clues; `None` for the head.
    pub fn chance_replaced(&self, part: Part, prior: &Prior) -> Option<f64> {
        let chances = || self.parts.replaced(&self.head(prior));
        match part {
            Part::Head => None,
            Part::Shaft => Some(chances()[0]),
            Part::Grip => Some(chances()[1]),
        }
    }
}
