//! Arguments of `fit` and `audit`.

use crate::arguments::plain_format::PlainFormat;
use crate::arguments::tables::TableArguments;
use clap::Args;
use std::path::PathBuf;

/// What is known before any club: the clues, rules of thumb and marks.
#[derive(Debug, Args)]
pub struct KnowledgeArguments {
    /// Catalogue of clues (TOML); without it the built-in starter catalogue and rules for irons are used.
    #[arg(long, value_name = "FILE")]
    pub catalogue: Option<PathBuf>,
    /// Rules of thumb (TOML), each with a worth in clubs; alone or beside a collection.
    #[arg(long, value_name = "FILE")]
    pub rules: Option<PathBuf>,
    /// Fit on the clubs alone: without the starter rules that else go with the starter catalogue.
    #[arg(long, conflicts_with = "rules")]
    pub no_rules: bool,
    /// Years of use of marks of your own (CSV); may be given several times.
    #[arg(long = "marks", value_name = "FILE")]
    pub marks: Vec<PathBuf>,
}

#[derive(Debug, Args)]
pub struct FitArguments {
    #[command(flatten)]
    pub knowledge: KnowledgeArguments,
    /// Dated clubs: a table (CSV or a spreadsheet) or a folder of records; `-` reads standard input.
    #[arg(long, value_name = "FILE", required_unless_present = "rules")]
    pub collection: Option<PathBuf>,
    /// Calibration file to write.
    #[arg(long, value_name = "FILE")]
    pub out: PathBuf,
    /// Prior used when none is asked for: `as-collected`, `flat` or one of the rules'.
    #[arg(long, value_name = "NAME")]
    pub prior: Option<String>,
    /// Name of the calibration, shown with every answer.
    #[arg(long, value_name = "TEXT")]
    pub name: Option<String>,
    /// A sentence that every answer shall show, e.g. what the clubs are.
    #[arg(long, value_name = "TEXT", default_value = "")]
    pub notice: String,
    /// Tell what changed from this older calibration, and how dates move.
    #[arg(long, value_name = "FILE")]
    pub against: Option<PathBuf>,
    /// Clubs whose dates are compared with --against (default: the collection's own).
    #[arg(long, value_name = "FILE", requires = "against")]
    pub clubs: Option<PathBuf>,
    /// Keep this many fits on resampled clubs, so that every answer shows how far it hangs on which clubs there were
    /// (the tables are resampled; the dated clubs that vote stay).
    #[arg(
        long,
        value_name = "N",
        default_value_t = 0,
        value_parser = clap::value_parser!(u16).range(0..=500),
        allow_negative_numbers = true
    )]
    pub bootstrap: u16,
    /// Do without the audit (ten more fits), whose figures the calibration carries with it.
    #[arg(long)]
    pub no_audit: bool,
    /// Keep no shelf: without it the dated clubs themselves have no vote beside the tables, and the calibration does
    /// not hold their readings.
    #[arg(long)]
    pub no_shelf: bool,
    /// Leave the clubs' ids, and the name and hash of the collection's file, out of the calibration, for one that is to
    /// be given away; dates and readings stay, by which their owners would know them.
    #[arg(long)]
    pub anonymous: bool,
    /// Seed of the resampling.
    #[arg(long, value_name = "N", default_value_t = 1, allow_negative_numbers = true)]
    pub seed: u64,
    #[command(flatten)]
    pub table: TableArguments,
    /// Replace the output if it exists.
    #[arg(long)]
    pub force: bool,
}

#[derive(Debug, Args)]
pub struct AuditArguments {
    #[command(flatten)]
    pub knowledge: KnowledgeArguments,
    /// Dated clubs: a table (CSV or a spreadsheet) or a folder of records; `-` reads standard input.
    #[arg(long, value_name = "FILE")]
    pub collection: PathBuf,
    /// Date these clubs by one fit on the collection, in place of folds.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["folds", "leave_one_out"])]
    pub held_out: Option<PathBuf>,
    /// Number of folds; each is dated by a fit without it.
    #[arg(long, value_name = "K", default_value_t = 10, value_parser = clap::value_parser!(u16).range(2..))]
    pub folds: u16,
    /// Date each club by a fit without it (slow: one fit a club).
    #[arg(long, conflicts_with = "folds")]
    pub leave_one_out: bool,
    /// Also score without each clue in turn (one audit a clue).
    #[arg(long)]
    pub each_clue: bool,
    /// Also score with fewer clubs to fit on: how the score grows.
    #[arg(long)]
    pub learning_curve: bool,
    /// Fit without a shelf.
    #[arg(long)]
    pub no_shelf: bool,
    /// Prior: `as-collected`, `flat` or one of the rules'.
    #[arg(long, value_name = "NAME")]
    pub prior: Option<String>,
    /// Seed of where dates fall within their answers (the randomised PIT) and of the learning curve's draws.
    #[arg(long, value_name = "N", default_value_t = 1, allow_negative_numbers = true)]
    pub seed: u64,
    /// Exit with code 4 where the 95 % band holds a smaller share of the dates than this.
    #[arg(long, value_name = "SHARE", value_parser = share, allow_negative_numbers = true)]
    pub require_coverage: Option<f64>,
    /// Write a histogram of where the dates fall within their answers (the PIT) to this .svg or .png.
    #[arg(long, value_name = "FILE")]
    pub chart: Option<PathBuf>,
    /// Replace the chart if it exists.
    #[arg(long)]
    pub force: bool,
    #[command(flatten)]
    pub table: TableArguments,
    /// Form of the result.
    #[arg(long, value_enum, default_value_t = PlainFormat::Text)]
    pub format: PlainFormat,
}

/// A share that a check can be held against; one above 1 is never reached, and the check then says so.
fn share(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(share) if share.is_finite() && share >= 0.0 => Ok(share),
        _ => Err("write a share, for example 0.95 for 95 %".to_owned()),
    }
}
