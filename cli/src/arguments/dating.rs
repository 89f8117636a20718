//! Arguments of the commands that ask about clubs.

use crate::arguments::before_year::BeforeYear;
use crate::arguments::plain_format::PlainFormat;
use crate::arguments::tables::TableArguments;
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

/// Clubs to read, and against which calibration.
#[derive(Debug, Args)]
pub struct RecordArguments {
    /// TOML records, folders of them, or tables of clubs (CSV or a spreadsheet); `-` reads standard input.
    #[arg(required = true, value_name = "RECORD")]
    pub records: Vec<PathBuf>,
    /// Only the club of this id; may be given several times.
    #[arg(long = "club", value_name = "ID")]
    pub clubs: Vec<String>,
    /// Calibration file; without it the built-in starter rules for irons are used.
    #[arg(long, value_name = "FILE")]
    pub calibration: Option<PathBuf>,
    /// Years of use of marks of your own (CSV); may be given several times.
    #[arg(long = "marks", value_name = "FILE")]
    pub marks: Vec<PathBuf>,
    /// Prior: `flat`, `as-collected` or another of the calibration's.
    #[arg(long, value_name = "NAME")]
    pub prior: Option<String>,
    /// Leave this clue out; may be given several times.
    #[arg(long, value_name = "CLUE")]
    pub without: Vec<String>,
    /// The clubs come from another region than the collection: what one looks like may lead or lag by so many years
    /// more (standard deviation; 10 where no number is given).
    #[arg(long, value_name = "YEARS", num_args = 0..=1, require_equals = true, default_missing_value = "10")]
    #[arg(value_parser = years_elsewhere)]
    pub elsewhere: Option<f64>,
    #[command(flatten)]
    pub table: TableArguments,
}

/// A lag that a club from elsewhere may have.
fn years_elsewhere(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(years) if (1.0..=100.0).contains(&years) => Ok(years),
        _ => Err("give a number of years from 1 to 100".to_owned()),
    }
}

impl RecordArguments {
    /// The files that are read.
    pub fn inputs(&self) -> Vec<&Path> {
        self.records.iter().chain(&self.calibration).chain(&self.marks).map(PathBuf::as_path).collect()
    }
}

#[derive(Debug, Args)]
pub struct DateArguments {
    #[command(flatten)]
    pub records: RecordArguments,
    /// Form of the answer.
    #[arg(long, value_enum, default_value_t = DateFormat::Text)]
    pub format: DateFormat,
    /// Also give the chance that the club was made before this year; today-100 for what is older than a hundred years.
    #[arg(long, value_name = "YEAR", allow_negative_numbers = true)]
    pub before: Option<BeforeYear>,
    /// Write a table to this file instead, .csv or .xlsx: a row for each part that was read.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Fill the table's column of what speaks for the years and against them, which takes longer.
    #[arg(long)]
    pub reasons: bool,
    /// Replace the table if it exists.
    #[arg(long)]
    pub force: bool,
    /// Show the account of each club where there are several; one club always has it.
    #[arg(long)]
    pub ledger: bool,
    /// Show bits, weights and the years that each clue favours.
    #[arg(long)]
    pub detail: bool,
    /// List the dated clubs most like it, with what agrees and what differs.
    #[arg(long)]
    pub like: bool,
    /// Order of several clubs.
    #[arg(long, value_enum, default_value_t = ClubOrder::Given)]
    pub sort: ClubOrder,
}

/// The order in which several clubs stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ClubOrder {
    /// By middle year, the oldest first.
    Year,
    /// By id.
    Id,
    /// As they were given.
    Given,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum DateFormat {
    /// For people.
    Text,
    /// JSON Lines, one object a club.
    Json,
    /// One row a club.
    Csv,
    /// Linked Art (JSON-LD), one object a club.
    LinkedArt,
}

/// Commands that need nothing beyond the club: `sensitivity`, `next`.
#[derive(Debug, Args)]
pub struct ClubArguments {
    #[command(flatten)]
    pub records: RecordArguments,
    /// Form of the answer.
    #[arg(long, value_enum, default_value_t = PlainFormat::Text)]
    pub format: PlainFormat,
}

#[derive(Debug, Args)]
pub struct WhyNotArguments {
    #[command(flatten)]
    pub club: ClubArguments,
    /// The periods to weigh: `1850s`, `1850-65` or `1893`; the second is by default the likeliest decade.
    #[arg(long, required = true, num_args = 1..=2, value_name = "PERIOD")]
    pub periods: Vec<String>,
}

#[derive(Debug, Args)]
pub struct CompareArguments {
    #[command(flatten)]
    pub club: ClubArguments,
    /// Draw the clubs one below another on one axis of years, into this .svg or .png.
    #[arg(long, value_name = "FILE")]
    pub chart: Option<PathBuf>,
    /// Order of the clubs.
    #[arg(long, value_enum, default_value_t = ClubOrder::Year)]
    pub sort: ClubOrder,
    /// Replace the chart if it exists.
    #[arg(long)]
    pub force: bool,
}

#[derive(Debug, Args)]
pub struct CollectionArguments {
    #[command(flatten)]
    pub club: ClubArguments,
    /// Date every club by its clues, those of known date too.
    #[arg(long)]
    pub by_clues_alone: bool,
    /// Also write a table to this file, .csv or .xlsx: a row for each part that was read, with what speaks for its
    /// years and against them, all by clues.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Replace the table if it exists.
    #[arg(long)]
    pub force: bool,
}

#[derive(Debug, Args)]
pub struct ChartArguments {
    #[command(flatten)]
    pub records: RecordArguments,
    /// File to write, ending in .svg or .png; without it the SVG goes to standard output.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// What to draw; by default both for one club, and bars for several.
    #[arg(long, value_enum)]
    pub show: Option<ChartPanels>,
    /// Order of several clubs.
    #[arg(long, value_enum, default_value_t = ClubOrder::Year)]
    pub sort: ClubOrder,
    /// Replace the output if it exists.
    #[arg(long)]
    pub force: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ChartPanels {
    /// A bar of nested bands for each club, on one axis of years.
    Bars,
    /// The posterior of each club.
    Posterior,
    /// The ledger of each club.
    Ledger,
    /// Both for each club.
    Both,
    /// Each club among the dated clubs most like it.
    Like,
}
