//! The dated clubs most like one, as text.

use crate::terminal::page::wrapped;
use crate::words::like::{HOW_LIKE, LikeWords, like_heading, like_words, nothing_like};
use agewright_model::Asked;
use agewright_model::questions::like::Likeness;
use std::fmt::Write as _;

/// Text of at most 80 columns; says so where there is nothing to lay the club beside.
#[must_use]
pub fn like_text(asked: &Asked<'_>) -> String {
    let Some(like) = Likeness::of(asked) else { return format!("{}\n", wrapped(&nothing_like(asked), "  ")) };
    let catalogue = asked.calibration().catalogue();
    let mut out = format!("{}\n", wrapped(&like_heading(&like), "  "));
    for club in &like.nearest {
        let LikeWords { heading, agrees, differs, unread } = like_words(catalogue, club);
        let _ = writeln!(out, "\n{}", wrapped(&heading, "  "));
        for (what, list) in [("agrees", agrees), ("differs", differs), ("not read there", unread)] {
            if !list.is_empty() {
                let _ = writeln!(out, "{}", wrapped(&format!("  {what}: {}", list.join("; ")), "    "));
            }
        }
    }
    if !like.nearest.is_empty() {
        let _ = writeln!(out, "\n{}", wrapped(HOW_LIKE, "  "));
    }
    out
}
