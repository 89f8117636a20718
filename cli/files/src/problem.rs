//! What is wrong with an input, and where.

use std::fmt;
use std::ops::Range;
use std::sync::Arc;
use thiserror::Error;

/// A text that input came in: its name as given, and the text.
///
/// ```
/// use agewright_files::SourceText;
///
/// let source = SourceText::new("clubs.csv", "id,pin\nK-7,side_side\n");
/// assert_eq!(source.line_of(9), 2);
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceText {
    /// Name, for messages.
    pub name: String,
    /// The text, without a byte-order mark, its lines ended by a line feed.
    pub text: String,
    /// Whether it is a sheet of a workbook, row by row and cell by cell, so that places are told by cell.
    pub is_sheet: bool,
}

impl SourceText {
    /// A sheet of a workbook as a table, under a name.
    #[must_use]
    pub fn of_sheet(name: &str, text: &str) -> Arc<Self> {
        Arc::new(Self { name: name.to_owned(), text: with_line_feeds(text), is_sheet: true })
    }

    /// Where a byte of the text stands: `17:34`, line and letter from 1; of a sheet `cell D17`.
    ///
    /// ```
    /// use agewright_files::SourceText;
    ///
    /// let text = format!("a,\"b,\nc\",d\n{}x", ",".repeat(27));
    /// let sheet = SourceText::of_sheet("clubs.xlsx", &text);
    /// let at = |letter| text.find(letter).unwrap();
    /// assert_eq!([sheet.place_of(at('d')), sheet.place_of(at('x'))], ["cell C1", "cell AB2"]);
    /// assert_eq!(SourceText::new("clubs.csv", &text).place_of(at('d')), "2:4");
    /// ```
    #[must_use]
    pub fn place_of(&self, byte: usize) -> String {
        if self.is_sheet {
            return format!("cell {}", self.cell_of(byte));
        }
        let line_starts = self.text[..byte].rfind('\n').map_or(0, |at| at + 1);
        format!("{}:{}", self.line_of(byte), self.text[line_starts..byte].chars().count() + 1)
    }

    fn cell_of(&self, byte: usize) -> String {
        let (mut row, mut column, mut in_quotes) = (1_usize, 0_usize, false);
        for b in self.text.bytes().take(byte) {
            match b {
                b'"' => in_quotes = !in_quotes,
                b'\n' if !in_quotes => (row, column) = (row + 1, 0),
                b',' if !in_quotes => column += 1,
                _ => {}
            }
        }
        // Columns are named A to Z, AA and so on.
        let mut letters = String::new();
        let mut rest = column + 1;
        while rest > 0 {
            let letter = u8::try_from((rest - 1) % 26).unwrap_or_default();
            letters.insert(0, char::from(b'A' + letter));
            rest = (rest - 1) / 26;
        }
        format!("{letters}{row}")
    }

    /// A text under a name; a byte-order mark is dropped, and a carriage return alone, with which old spreadsheets end
    /// their lines, is taken for a line feed.
    #[must_use]
    pub fn new(name: &str, text: &str) -> Arc<Self> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        Arc::new(Self { name: name.to_owned(), text: with_line_feeds(text), is_sheet: false })
    }

    /// Line, from 1, of a byte of the text.
    #[must_use]
    pub fn line_of(&self, byte: usize) -> usize {
        self.text.bytes().take(byte).filter(|b| *b == b'\n').count() + 1
    }
}

/// A text with a line feed for every carriage return that none stands behind; as long as it was.
fn with_line_feeds(text: &str) -> String {
    let mut ends = text.split('\r');
    let mut out = String::with_capacity(text.len());
    out.push_str(ends.next().unwrap_or_default());
    for line in ends {
        out.push(if line.starts_with('\n') { '\r' } else { '\n' });
        out.push_str(line);
    }
    out
}

/// One thing wrong with an input, with its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InputProblem {
    /// Where it stands.
    pub source: Arc<SourceText>,
    /// Bytes of the text concerned; `None` for the text as a whole.
    pub bytes: Option<Range<usize>>,
    /// What is wrong, with the value.
    pub message: String,
    /// Row and column by name, e.g. `club W017, column pin_direction`.
    pub place: Option<String>,
    /// What to do, e.g. the nearest allowed word.
    pub help: Option<String>,
}

impl InputProblem {
    /// A problem at some bytes of a text.
    #[must_use]
    pub fn new(source: &Arc<SourceText>, bytes: Option<Range<usize>>, message: impl Into<String>) -> Self {
        Self { source: Arc::clone(source), bytes, message: message.into(), place: None, help: None }
    }

    /// The same with its row and column by name.
    #[must_use]
    pub fn at(mut self, place: impl Into<String>) -> Self {
        self.place = Some(place.into());
        self
    }

    /// The same with what to do.
    #[must_use]
    pub fn help(mut self, help: Option<String>) -> Self {
        self.help = help;
        self
    }
}

/// On one line: name and line, place, what is wrong, and what to do.
impl fmt::Display for InputProblem {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}", self.source.name)?;
        if let Some(bytes) = &self.bytes {
            write!(out, ":{}", self.source.line_of(bytes.start))?;
        }
        if let Some(place) = &self.place {
            write!(out, ": {place}")?;
        }
        write!(out, ": {}", self.message)?;
        match &self.help {
            Some(help) => write!(out, " ({help})"),
            None => Ok(()),
        }
    }
}

/// What is wrong with an input, the first of it told and the rest counted: a large file that is wrong throughout must
/// not be told a thousand times over.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Problems {
    told: Vec<InputProblem>,
    count: usize,
}

impl Problems {
    /// Problems that are told with their places, at the most.
    const MOST_TOLD: usize = 100;

    /// Adds one, which is only put in words where it is told.
    pub fn push(&mut self, problem: impl FnOnce() -> InputProblem) {
        self.count += 1;
        if self.told.len() < Self::MOST_TOLD {
            self.told.push(problem());
        }
    }

    /// What a reader made of something, or nothing where it found a problem, which is kept.
    pub fn keep<T>(&mut self, read: Result<T, impl Into<InputProblem>>) -> Option<T> {
        read.map_err(|problem| self.push(|| problem.into())).ok()
    }

    /// Adds those of another.
    pub fn add(&mut self, mut others: Self) {
        self.count += others.count;
        others.told.truncate(Self::MOST_TOLD.saturating_sub(self.told.len()));
        self.told.append(&mut others.told);
    }

    /// The same in the order of their places.
    #[must_use]
    pub fn by_place(mut self) -> Self {
        self.told.sort_by_key(|problem| problem.bytes.as_ref().map(|bytes| bytes.start));
        self
    }

    /// Those told, in their order.
    #[must_use]
    pub fn told(&self) -> &[InputProblem] {
        &self.told
    }

    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.count
    }

    /// Whether nothing is wrong.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.count == 0
    }
}

impl FromIterator<InputProblem> for Problems {
    fn from_iter<I: IntoIterator<Item = InputProblem>>(problems: I) -> Self {
        let mut all = Self::default();
        problems.into_iter().for_each(|problem| all.push(|| problem));
        all
    }
}

impl From<Box<Self>> for InputProblem {
    fn from(boxed: Box<Self>) -> Self {
        *boxed
    }
}

/// Why an input is refused.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum Refused {
    /// What is wrong with it, every problem with its place.
    #[error("{}", .0.told().iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
    Problems(Problems),
    /// A column that was to be passed over is not in the table.
    #[error("{table} has no column {column}")]
    NoColumn {
        /// Name of the table.
        table: String,
        /// The column.
        column: String,
    },
    /// A sheet that was asked for is not in the spreadsheet.
    #[error("{workbook} has no sheet {sheet}; it has {}", .sheets.join(", "))]
    NoSheet {
        /// Name of the spreadsheet.
        workbook: String,
        /// The sheet.
        sheet: String,
        /// Sheets that there are.
        sheets: Vec<String>,
    },
}

impl From<InputProblem> for Refused {
    fn from(problem: InputProblem) -> Self {
        Self::Problems(Problems::from_iter([problem]))
    }
}

/// A value that could not be written as text; there should be none.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{what} cannot be written: {why}")]
pub struct WritingError {
    /// What was to be written.
    pub what: &'static str,
    /// Why not.
    pub why: String,
}
