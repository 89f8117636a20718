//! Wrapping and tables at 80 columns.

use crate::words::shared_lag::lag_sentence;
use crate::words::sources::{OPINION, calibration_sentences};
use agewright_model::{Asked, Calibration};
use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, ContentArrangement, Table};

/// Columns of a page.
pub const WIDTH: usize = 80;

/// Spaces of a phrase that a line may not break at.
#[must_use]
pub fn kept_together(phrase: &str) -> String {
    phrase.replace(' ', "\u{a0}")
}

/// Text wrapped to the page, later lines indented by `indent`.
#[must_use]
pub fn wrapped(text: &str, indent: &str) -> String {
    // A span of years is not broken at its hyphen.
    let options = textwrap::Options::new(WIDTH).subsequent_indent(indent);
    textwrap::fill(text, options.word_splitter(textwrap::WordSplitter::NoHyphenation))
}

/// A table without lines, fitted to the page; the columns in `right` are set to the right.
#[must_use]
pub fn table(headings: &[&str], rows: Vec<Vec<String>>, right: &[usize]) -> String {
    let mut table = Table::new();
    table.load_style(NOTHING).set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(u16::try_from(WIDTH).unwrap_or(80)).set_header(headings.to_vec());
    for row in rows {
        table.add_row(row);
    }
    let last = headings.len().saturating_sub(1);
    for (ix, column) in table.column_iter_mut().enumerate() {
        // Many columns stand closer together.
        let gap = if headings.len() > 7 { 1 } else { 2 };
        column.set_padding((0, if ix == last { 0 } else { gap }));
        if right.contains(&ix) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let lines: Vec<String> = table.to_string().lines().map(|line| line.trim_end().to_owned()).collect();
    lines.join("\n")
}

/// What every answer about one club says of itself: how far it may lead or lag, and what it rests on.
#[must_use]
pub fn answer_lines(asked: &Asked<'_>) -> String {
    let lag = lag_sentence(asked).map_or_else(String::new, |sentence| format!("{}\n", wrapped(&sentence, "  ")));
    lag + &source_lines(asked.calibration())
}

/// What every answer says of itself: the calibration it rests on, what backs it, and that it is an opinion.
#[must_use]
pub fn source_lines(calibration: &Calibration) -> String {
    format!("{}\n{OPINION}\n", wrapped(&calibration_sentences(calibration), "  "))
}
