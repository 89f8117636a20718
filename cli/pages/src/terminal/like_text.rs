//! The dated clubs most like one, as text.

use crate::terminal::page::Page;
use crate::words::like::{HOW_LIKE, LikeWords, like_heading, like_words, nothing_like};
use agewright_model::Asked;
use agewright_model::questions::like::Likeness;
use std::fmt::Write as _;

/// The text; says so where there is nothing to lay the club beside.
#[must_use]
pub fn like_text(page: Page, asked: &Asked<'_>) -> String {
    let Some(like) = Likeness::of(asked) else { return format!("{}\n", page.wrapped(&nothing_like(asked), "  ")) };
    let catalogue = asked.calibration().catalogue();
    let mut out = format!("{}\n", page.wrapped(&like_heading(&like), "  "));
    for club in &like.nearest {
        let LikeWords { heading, agrees, differs, unread } = like_words(catalogue, club);
        let _ = writeln!(out, "\n{}", page.wrapped(&heading, "  "));
        for (what, list) in [("agrees", agrees), ("differs", differs), ("not read there", unread)] {
            if !list.is_empty() {
                let _ = writeln!(out, "{}", page.wrapped(&format!("  {what}: {}", list.join("; ")), "    "));
            }
        }
    }
    if !like.nearest.is_empty() {
        let _ = writeln!(out, "\n{}", page.wrapped(HOW_LIKE, "  "));
    }
    out
}
