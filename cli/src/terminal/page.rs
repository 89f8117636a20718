//! Wrapping and tables at 80 columns.

use crate::wording::span;
use agewright_model::Part;
use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, ContentArrangement, Table};

/// Columns of a page.
pub const WIDTH: usize = 80;

/// Years or bits with their sign, to a decimal; nothing is `0.0`, never `-0.0`.
pub fn signed(value: f64) -> String {
    let text = format!("{value:+.1}");
    if text == "-0.0" || text == "+0.0" { "0.0".to_owned() } else { text }
}

/// Spaces of a phrase that a line may not break at.
pub fn kept_together(phrase: &str) -> String {
    phrase.replace(' ', "\u{a0}")
}

/// The part named behind a club's id, where it is not the head.
pub fn part_suffix(part: Part) -> String {
    if part == Part::Head { String::new() } else { format!(", {}", part.word()) }
}

/// Name of a row of years: `1890s`, or its span.
pub fn row_name(from: i32, to: i32, step: i32) -> String {
    let decade = step == 10 && from % 10 == 0 && from > 0 && to == from + 9;
    if decade { format!("{from}s") } else { span(from, to) }
}

/// Text wrapped to the page, later lines indented by `indent`.
pub fn wrapped(text: &str, indent: &str) -> String {
    // A span of years is not broken at its hyphen.
    let options = textwrap::Options::new(WIDTH).subsequent_indent(indent);
    textwrap::fill(text, options.word_splitter(textwrap::WordSplitter::NoHyphenation))
}

/// A table without lines, fitted to the page; the columns in `right` are set to the right.
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
