//! Arguments of opinions that are kept and compared.

use crate::arguments::before_year::BeforeYear;
use crate::arguments::dating::RecordArguments;
use crate::arguments::plain_format::PlainFormat;
use clap::{Args, Subcommand};
use std::path::PathBuf;

#[derive(Debug, Args)]
pub struct OpinionArguments {
    #[command(subcommand)]
    pub what: OpinionCommand,
}

#[derive(Debug, Subcommand)]
pub enum OpinionCommand {
    /// Keeps the opinion of a club beside its record: readings, answer, calibration, program and day.
    Save(SaveArguments),
    /// Tells what moved between a saved opinion and another, or today's: readings, calibration, prior, program.
    Compare(CompareOpinionArguments),
}

#[derive(Debug, Args)]
pub struct SaveArguments {
    #[command(flatten)]
    pub records: RecordArguments,
    /// Also keep the chance that the club was made before this year; today-100 for what is older than a hundred years.
    #[arg(long, value_name = "YEAR", allow_negative_numbers = true)]
    pub before: Option<BeforeYear>,
    /// Day that the opinion is of, as 2026-03-31; by default today.
    #[arg(long, value_name = "DAY")]
    pub on: Option<String>,
    /// File to write (.json); by default beside the record, named for the club and the day.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Replace the file if it exists.
    #[arg(long)]
    pub force: bool,
}

#[derive(Debug, Args)]
pub struct CompareOpinionArguments {
    /// The saved opinion.
    #[arg(value_name = "OPINION")]
    pub old: PathBuf,
    /// A later one; without it the club is asked about today.
    #[arg(value_name = "LATER", conflicts_with_all = ["record", "calibration", "prior"])]
    pub new: Option<PathBuf>,
    /// Record of today, or a table with a row of the club's id; by default the file that the saved opinion was made of.
    #[arg(long, value_name = "FILE")]
    pub record: Option<PathBuf>,
    /// Calibration of today; without it the built-in starter rules for irons.
    #[arg(long, value_name = "FILE")]
    pub calibration: Option<PathBuf>,
    /// Years of use of marks of your own (CSV), of today; may be given several times.
    #[arg(long = "marks", value_name = "FILE")]
    pub marks: Vec<PathBuf>,
    /// Prior of today; by default that of the saved opinion where the calibration has it, else the calibration's own.
    #[arg(long, value_name = "NAME")]
    pub prior: Option<String>,
    /// Form of the answer.
    #[arg(long, value_enum, default_value_t = PlainFormat::Text)]
    pub format: PlainFormat,
}
