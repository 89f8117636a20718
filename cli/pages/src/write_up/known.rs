//! What is known of a club when a page is made of it.

use crate::words::answered::Answered;
use agewright_files::LoadedCalibration;
use agewright_model::Dating;
use agewright_model::questions::sensitivity::Sensitivity;

/// Draws the posterior of an answer at a width in pixels, as SVG.
pub type Figure<'a> = &'a dyn Fn(&Dating, i32) -> Result<String, String>;

/// What is known of a club.
pub struct Known<'a> {
    /// The calibration.
    pub loaded: &'a LoadedCalibration,
    /// The answers for its parts, the head first.
    pub parts: &'a [Answered<'a>],
    /// What each of them hangs on.
    pub sensitivities: &'a [Sensitivity],
    /// A year before which the chance is told too.
    pub before: Option<i32>,
    /// Whether owner, address and the like are printed too.
    pub with_private: bool,
    /// How the answer is asked for again.
    pub command: String,
    /// Draws a posterior.
    pub figure: Figure<'a>,
}
