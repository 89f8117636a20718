//! Arguments of the commands that make pages and sheets, and of entry at the bench.

use crate::arguments::before_year::BeforeYear;
use crate::arguments::dating::RecordArguments;
use crate::arguments::plain_format::PlainFormat;
use agewright_pages::json::schema::ANSWERS;
use agewright_pages::write_up::pages::PageKind;
use agewright_pages::write_up::sheets::SheetKind;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

#[derive(Debug, Args)]
pub struct CluesArguments {
    /// Catalogue to print; without it the calibration's own.
    #[arg(long, value_name = "FILE")]
    pub catalogue: Option<PathBuf>,
    /// Calibration whose catalogue to print; without it the built-in one.
    #[arg(long, value_name = "FILE")]
    pub calibration: Option<PathBuf>,
    /// Write a blank recording sheet to this file: .csv or .xlsx, one column a clue; .html, to print, with a drawing of
    /// every level.
    #[arg(long, value_name = "FILE")]
    pub sheet: Option<PathBuf>,
    /// Replace the sheet if it exists.
    #[arg(long)]
    pub force: bool,
    /// Form of what is printed.
    #[arg(long, value_enum, default_value_t = PlainFormat::Text)]
    pub format: PlainFormat,
}

#[derive(Debug, Args)]
pub struct BenchArguments {
    /// Records (.toml), tables of clubs (.csv, .xlsx, .ods) or folders of records to put into the page.
    #[arg(value_name = "RECORD")]
    pub records: Vec<PathBuf>,
    /// Calibration for the page; without it the built-in one.
    #[arg(long, value_name = "FILE")]
    pub calibration: Option<PathBuf>,
    /// Marks of your own beside the catalogue's; may be given several times.
    #[arg(long, value_name = "FILE")]
    pub marks: Vec<PathBuf>,
    /// The page, a file that ends in .html.
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
    /// Replace it if it exists.
    #[arg(long)]
    pub force: bool,
}

#[derive(Debug, Args)]
pub struct WriteUpArguments {
    #[command(flatten)]
    pub records: RecordArguments,
    /// Folder in which each club's own folder is made; by default that of its record.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,
    /// Only these pages; may be given several times. By default all.
    #[arg(long = "page", value_enum, value_name = "PAGE")]
    pub pages: Vec<PageChoice>,
    /// All clubs together on A4 sheets; may be given several times. Without --page no folders are made beside them.
    #[arg(long = "sheet", value_enum, value_name = "SHEET")]
    pub sheets: Vec<SheetChoice>,
    /// Also give the chance that the club was made before this year; today-100 for what is older than a hundred years.
    #[arg(long, value_name = "YEAR", allow_negative_numbers = true)]
    pub before: Option<BeforeYear>,
    /// Day that the opinion is of, as 2026-03-31; by default today.
    #[arg(long, value_name = "DAY")]
    pub on: Option<String>,
    /// Print owner, address, storage place and the like too (`text.owner`, ...).
    #[arg(long)]
    pub with_private: bool,
    /// Replace pages that exist though they were changed by hand, or were not made by this command.
    #[arg(long)]
    pub force: bool,
    /// Form of the list of files written.
    #[arg(long, value_enum, default_value_t = PlainFormat::Text)]
    pub format: PlainFormat,
}

/// A page of a write-up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PageChoice {
    /// The full report, as HTML and Markdown.
    Report,
    /// Heading and at most 120 words for a catalogue.
    Catalogue,
    /// 25 to 50 words for an exhibition.
    Label,
    /// Schedule for an insurer, after Object ID; no value.
    Insurance,
}

impl From<PageChoice> for PageKind {
    fn from(choice: PageChoice) -> Self {
        match choice {
            PageChoice::Report => Self::Report,
            PageChoice::Catalogue => Self::Catalogue,
            PageChoice::Label => Self::Label,
            PageChoice::Insurance => Self::Insurance,
        }
    }
}

/// A sheet of many clubs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SheetChoice {
    /// Labels to cut out, ten to a page (labels.html).
    Labels,
    /// Catalogue entries, one below another (entries.html).
    Entries,
    /// Insurance schedules, one to a page (schedules.html).
    Schedules,
    /// One line a club, to tick off (checklist.html).
    Checklist,
}

impl From<SheetChoice> for SheetKind {
    fn from(choice: SheetChoice) -> Self {
        match choice {
            SheetChoice::Labels => Self::Labels,
            SheetChoice::Entries => Self::Entries,
            SheetChoice::Schedules => Self::Schedules,
            SheetChoice::Checklist => Self::Checklist,
        }
    }
}

#[derive(Debug, Args)]
pub struct CatalogueArguments {
    /// Catalogue to write (TOML); the years of use of its marks go beside it, to mine-marks.csv for mine.toml.
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
    /// Write the starter rules here too (TOML).
    #[arg(long, value_name = "FILE")]
    pub rules: Option<PathBuf>,
    /// Replace files that exist.
    #[arg(long)]
    pub force: bool,
}

#[derive(Debug, Args)]
pub struct RecordingArguments {
    /// Record to write (TOML); saved after every answer.
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
    /// Id of the club; asked for if not given.
    #[arg(long, value_name = "ID", conflicts_with = "resume")]
    pub id: Option<String>,
    /// Go on with a record that exists.
    #[arg(long)]
    pub resume: bool,
    /// Calibration file; without it the built-in starter rules for irons are used.
    #[arg(long, value_name = "FILE")]
    pub calibration: Option<PathBuf>,
    /// Years of use of marks of your own (CSV); may be given several times.
    #[arg(long = "marks", value_name = "FILE")]
    pub marks: Vec<PathBuf>,
    /// Prior of the running date.
    #[arg(long, value_name = "NAME")]
    pub prior: Option<String>,
    /// Form of the answer at the end.
    #[arg(long, value_enum, default_value_t = PlainFormat::Text)]
    pub format: PlainFormat,
}

#[derive(Debug, Args)]
pub struct SchemaArguments {
    /// What to describe.
    #[arg(value_enum)]
    pub what: SchemaOf,
    /// The command whose answer is meant (`facts`: the figures of a write-up).
    #[arg(long, value_name = "COMMAND", default_value = "date", value_parser = ANSWERS)]
    pub of: String,
    /// Catalogue of the record; without it the calibration's own.
    #[arg(long, value_name = "FILE")]
    pub catalogue: Option<PathBuf>,
    /// Calibration whose catalogue the record is read by; without it the built-in one.
    #[arg(long, value_name = "FILE")]
    pub calibration: Option<PathBuf>,
}

/// What has a schema.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SchemaOf {
    /// The record of a club (TOML), with the clues of a catalogue.
    Record,
    /// A catalogue (TOML).
    Catalogue,
    /// Rules of thumb (TOML).
    Rules,
    /// A calibration (TOML).
    Calibration,
    /// An answer as JSON.
    Answer,
}
