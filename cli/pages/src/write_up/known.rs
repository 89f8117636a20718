//! What is known of a club when a page is made of it.

use crate::words::answered::Answered;
use agewright_files::LoadedCalibration;
use agewright_model::Dating;
use agewright_model::questions::sensitivity::Sensitivity;
use serde::Serialize;

/// Draws the posterior of an answer at a width in pixels, as SVG.
pub type Figure<'a> = &'a dyn Fn(&Dating, i32) -> Result<String, String>;

/// A photograph on a page.
#[derive(Debug, Clone, Serialize)]
pub struct ShownPhotograph {
    /// Name of its file.
    pub file: String,
    /// What it shows, where that is said.
    pub caption: String,
    /// The picture itself, as a `data:` address (RFC 2397).
    pub address: String,
    /// Its width in pixels.
    pub width: u32,
    /// Its height in pixels.
    pub height: u32,
}

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
    /// The day that the opinion is of, as a page says it: `29 November 2026`.
    pub on: String,
    /// Photographs of the club, ready for a page.
    pub photographs: &'a [ShownPhotograph],
    /// Draws a posterior.
    pub figure: Figure<'a>,
}
