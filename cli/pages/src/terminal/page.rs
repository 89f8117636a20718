//! Wrapping and tables, to the width that there is.

use crate::words::named::title_or_note;
use crate::words::shared_lag::lag_sentence;
use crate::words::sources::{OPINION, calibration_sentences};
use agewright_model::{Asked, Calibration, Club};
use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, ContentArrangement, Table};

/// Columns of the narrowest page and of the widest: below, tables break up; above, lines are long to read.
const WIDTHS: [usize; 2] = [50, 80];
/// A page of fewer columns than this drops those of a table that are not needed.
pub const WIDE_ENOUGH: usize = 68;

/// A page of text, so many columns wide.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Page {
    width: usize,
}

impl Default for Page {
    /// The widest.
    fn default() -> Self {
        Self { width: WIDTHS[1] }
    }
}

impl Page {
    /// The page for a terminal of so many columns; never narrower than 50 nor wider than 80.
    #[must_use]
    pub fn within(columns: usize) -> Self {
        Self { width: columns.clamp(WIDTHS[0], WIDTHS[1]) }
    }

    /// Columns.
    #[must_use]
    pub fn width(self) -> usize {
        self.width
    }

    /// Whether only what is needed has room.
    #[must_use]
    pub fn is_narrow(self) -> bool {
        self.width < WIDE_ENOUGH
    }

    /// Text wrapped to the page, later lines indented by `indent`.
    #[must_use]
    pub fn wrapped(self, text: &str, indent: &str) -> String {
        self.set_in(text, "", indent)
    }

    /// Text wrapped to the page, all lines indented by `indent`.
    #[must_use]
    pub fn indented(self, text: &str, indent: &str) -> String {
        self.set_in(text, indent, indent)
    }

    fn set_in(self, text: &str, first: &str, later: &str) -> String {
        // A span of years is not broken at its hyphen.
        let options = textwrap::Options::new(self.width).initial_indent(first).subsequent_indent(later);
        let filled = textwrap::fill(text, options.word_splitter(textwrap::WordSplitter::NoHyphenation));
        with_plain_spaces(&filled)
    }

    /// A table without lines, fitted to the page; the columns in `right` are set to the right.
    #[must_use]
    pub fn table(self, headings: &[&str], rows: Vec<Vec<String>>, right: &[usize]) -> String {
        let mut table = Table::new();
        table.load_style(NOTHING).set_content_arrangement(ContentArrangement::Dynamic);
        table.set_width(u16::try_from(self.width).unwrap_or(80)).set_header(headings.to_vec());
        for row in rows {
            table.add_row(row);
        }
        let last = headings.len().saturating_sub(1);
        for (ix, column) in table.column_iter_mut().enumerate() {
            // Many columns stand closer together.
            let gap = if headings.len() > 7 || self.is_narrow() { 1 } else { 2 };
            column.set_padding((0, if ix == last { 0 } else { gap }));
            if right.contains(&ix) {
                column.set_cell_alignment(CellAlignment::Right);
            }
        }
        let lines: Vec<String> = table.to_string().lines().map(|line| line.trim_end().to_owned()).collect();
        with_plain_spaces(&lines.join("\n"))
    }

    /// What a club is, in a line of its own below a heading that has its id; nothing where nobody says.
    #[must_use]
    pub fn title_line(self, club: &Club) -> String {
        let title = title_or_note(club);
        if title.is_empty() { title } else { format!("{}\n", self.wrapped(&title, "")) }
    }

    /// What every answer about one club says of itself: how far it may lead or lag, and what it rests on.
    #[must_use]
    pub fn answer_lines(self, asked: &Asked<'_>) -> String {
        let lag =
            lag_sentence(asked).map_or_else(String::new, |sentence| format!("{}\n", self.wrapped(&sentence, "  ")));
        lag + &self.source_lines(asked.calibration())
    }

    /// What every answer says of itself: the calibration it rests on, what backs it, and that it is an opinion.
    #[must_use]
    pub fn source_lines(self, calibration: &Calibration) -> String {
        format!("{}\n{}\n", self.wrapped(&calibration_sentences(calibration), "  "), self.wrapped(OPINION, ""))
    }
}

/// Once the lines are broken, what was kept together is written with plain spaces, to be searched for and copied.
fn with_plain_spaces(text: &str) -> String {
    text.replace('\u{a0}', " ")
}

/// Spaces of a phrase that a line may not break at.
#[must_use]
pub fn kept_together(phrase: &str) -> String {
    phrase.replace(' ', "\u{a0}")
}
