//! What changed from an older calibration, as text.

use crate::terminal::page::Page;
use crate::words::counted::counted;
use crate::words::readings::level_name;
use crate::words::years::{short_words, span};
use agewright_calibration::Comparison;
use agewright_calibration::fit::comparison::ClueChange;
use agewright_model::{Catalogue, ShortAnswer};
use std::fmt::Write as _;

/// Clubs shown, those that move most.
const MOST_SHOWN: usize = 10;

/// The text.
#[must_use]
pub fn comparison_text(page: Page, catalogue: &Catalogue, old: &str, change: &Comparison) -> String {
    let mut out = format!("{}\n\n", page.wrapped(&format!("Against {old}, old > new"), "  "));
    let rows = change.clues.iter().map(|clue| clue_row(catalogue, clue)).collect();
    let _ = writeln!(out, "{}", page.table(&["Clue", "Clubs", "Weight", "Largest change in its table"], rows, &[]));
    if change.dates.is_empty() {
        return out;
    }
    let moved: Vec<u32> = change.dates.iter().map(|date| date.old.median.abs_diff(date.new.median)).collect();
    #[expect(clippy::cast_precision_loss, reason = "counts of clubs")]
    let mean = f64::from(moved.iter().sum::<u32>()) / moved.len() as f64;
    let far = moved.iter().filter(|years| **years >= 5).count();
    let told = format!(
        "{} dated by both: the middle year moves by {mean:.1} years on average, {} by five or more",
        counted(moved.len(), "club", "clubs"),
        counted(far, "club", "clubs")
    );
    let _ = writeln!(out, "\n{}\n", page.wrapped(&told, "  "));
    let rows = change.dates.iter().take(MOST_SHOWN).map(|date| {
        let answer = |answer: &ShortAnswer| short_words(catalogue.axis(), answer);
        vec![date.id.clone(), answer(&date.old), answer(&date.new), format!("{:+}", date.new.median - date.old.median)]
    });
    let _ = writeln!(out, "{}", page.table(&["Club", "Old (4 in 5)", "New (4 in 5)", "Change"], rows.collect(), &[3]));
    out
}

fn pair<T: PartialEq>(old: Option<T>, new: Option<T>, word: impl Fn(&T) -> String) -> String {
    let told = |value: &Option<T>| value.as_ref().map_or_else(|| "none".to_owned(), &word);
    if old == new { told(&new) } else { format!("{} > {}", told(&old), told(&new)) }
}

fn clue_row(catalogue: &Catalogue, clue: &ClueChange) -> Vec<String> {
    let largest = clue.largest.as_ref().map_or_else(String::new, |row| {
        let years = span(row.from, row.to);
        let (what, old, new) = match &row.level {
            Some(level) => (
                level_name(catalogue, &clue.clue, level),
                format!("{:.0}", 100.0 * row.old),
                format!("{:.0} %", 100.0 * row.new),
            ),
            None => ("mean".to_owned(), format!("{:.3}", row.old), format!("{:.3}", row.new)),
        };
        // What rounds to no change is none.
        if new.starts_with(&old) { "none to speak of".to_owned() } else { format!("{what}, {years}: {old} > {new}") }
    });
    vec![
        catalogue.name_of(&clue.clue),
        pair(clue.clubs.0, clue.clubs.1, usize::to_string),
        pair(clue.weight.0.map(|w| format!("{w:.2}")), clue.weight.1.map(|w| format!("{w:.2}")), String::clone),
        largest,
    ]
}
