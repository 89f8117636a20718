//! The command line, as clap reads it.

use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Dates old wooden-shafted golf clubs from what can be seen and measured, and shows the account.
#[derive(Debug, Parser)]
#[command(name = "agewright", version, max_term_width = 80, after_help = EXIT_CODES)]
pub struct Arguments {
    #[command(subcommand)]
    pub command: Command,
}

const EXIT_CODES: &str = "\
Exit codes: 0 done, 1 failed, 2 wrong usage, 3 input rejected, 4 a check asked for did not pass.
An answer is an opinion from the readings: no appraisal, no authentication.";

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Dates clubs: bands, the ledger of what moved the estimate, warnings.
    #[command(after_help = "\
Examples:
  agewright date demo-data/smooth-face.toml
  agewright date demo-data/undated.csv --club plain-cleek --format json")]
    Date(DateArguments),
    /// Fits a calibration from clubs of known date.
    #[command(after_help = "\
Examples:
  agewright fit --catalogue demo-data/irons.toml \\
    --collection demo-data/wrackness.csv --out mine.toml
  agewright fit --catalogue demo-data/irons.toml \\
    --rules demo-data/rules.toml --out rules.toml")]
    Fit(FitArguments),
    /// Dates clubs of known date as if it were not known, and scores the answers.
    #[command(after_help = "\
Examples:
  agewright audit --catalogue demo-data/irons.toml \\
    --collection demo-data/wrackness.csv
  agewright audit --catalogue demo-data/irons.toml \\
    --collection demo-data/wrackness.csv --require-coverage 0.9")]
    Audit(AuditArguments),
    /// Drops each clue in turn, and takes each prior in turn.
    #[command(after_help = "\
Examples:
  agewright sensitivity demo-data/smooth-face.toml
  agewright sensitivity demo-data/undated.csv --club two-ages --format json")]
    Sensitivity(SensitivityArguments),
    /// Draws the posterior, and the ledger of one club, as SVG or PNG.
    #[command(after_help = "\
Examples:
  agewright chart demo-data/smooth-face.toml --out smooth-face.svg
  agewright chart demo-data/undated.csv --out undated.png")]
    Chart(ChartArguments),
    /// Prints the catalogue as a bench sheet: what to read, and how.
    #[command(after_help = "\
Examples:
  agewright clues
  agewright clues --catalogue demo-data/irons.toml")]
    Clues(CluesArguments),
}

/// A share that a check can be held against; one above 1 is never reached, and the check then says so.
fn share(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(share) if share.is_finite() && share >= 0.0 => Ok(share),
        _ => Err("write a share, for example 0.95 for 95 %".to_owned()),
    }
}

/// Clubs to read, and against which calibration.
#[derive(Debug, Args)]
pub struct RecordArguments {
    /// TOML records or tables (CSV) of clubs; `-` reads standard input.
    #[arg(required = true, value_name = "RECORD")]
    pub records: Vec<PathBuf>,
    /// Only the club of this id; may be given several times.
    #[arg(long = "club", value_name = "ID")]
    pub clubs: Vec<String>,
    /// Calibration file; without it the built-in demo is used.
    #[arg(long, value_name = "FILE")]
    pub calibration: Option<PathBuf>,
    /// Prior: `flat`, `as-collected` or another of the calibration's.
    #[arg(long, value_name = "NAME")]
    pub prior: Option<String>,
    /// Leave this clue out; may be given several times.
    #[arg(long, value_name = "CLUE")]
    pub without: Vec<String>,
    /// Pass over this column of a table; may be given several times.
    #[arg(long, value_name = "COLUMN")]
    pub ignore: Vec<String>,
}

#[derive(Debug, Args)]
pub struct DateArguments {
    #[command(flatten)]
    pub records: RecordArguments,
    /// Form of the answer.
    #[arg(long, value_enum, default_value_t = DateFormat::Text)]
    pub format: DateFormat,
    /// Also give the chance that the club was made before this year.
    #[arg(long, value_name = "YEAR", allow_negative_numbers = true)]
    pub before: Option<i32>,
    /// Show bits, weights and the years that each clue favours.
    #[arg(long)]
    pub detail: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum DateFormat {
    /// For people, 80 columns.
    Text,
    /// JSON Lines, one object a club.
    Json,
    /// One row a club.
    Csv,
}

#[derive(Debug, Args)]
pub struct FitArguments {
    /// Catalogue of clues (TOML).
    #[arg(long, value_name = "FILE")]
    pub catalogue: PathBuf,
    /// Collection of dated clubs (CSV); `-` reads standard input.
    #[arg(long, value_name = "FILE", required_unless_present = "rules")]
    pub collection: Option<PathBuf>,
    /// Rules of thumb (TOML), each with a worth in clubs; alone or beside a collection.
    #[arg(long, value_name = "FILE")]
    pub rules: Option<PathBuf>,
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
    /// Keep this many fits on resampled clubs, so that every answer shows how far it hangs on which clubs there were.
    #[arg(long, value_name = "N", default_value_t = 0, value_parser = clap::value_parser!(u16).range(0..=500), allow_negative_numbers = true)]
    pub bootstrap: u16,
    /// Seed of the resampling.
    #[arg(long, value_name = "N", default_value_t = 1, allow_negative_numbers = true)]
    pub seed: u64,
    /// Pass over this column of the collection; may be given several times.
    #[arg(long, value_name = "COLUMN")]
    pub ignore: Vec<String>,
    /// Replace the output if it exists.
    #[arg(long)]
    pub force: bool,
}

#[derive(Debug, Args)]
pub struct SensitivityArguments {
    #[command(flatten)]
    pub records: RecordArguments,
    /// Form of the answer.
    #[arg(long, value_enum, default_value_t = PlainFormat::Text)]
    pub format: PlainFormat,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PlainFormat {
    /// For people, 80 columns.
    Text,
    /// One JSON object.
    Json,
}

#[derive(Debug, Args)]
pub struct ChartArguments {
    #[command(flatten)]
    pub records: RecordArguments,
    /// File to write, ending in .svg or .png; without it the SVG goes to standard output.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// What to draw; by default the posterior, with the ledger where there is one club.
    #[arg(long, value_enum)]
    pub show: Option<ChartPanels>,
    /// Replace the output if it exists.
    #[arg(long)]
    pub force: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ChartPanels {
    /// The posterior of each club.
    Posterior,
    /// The ledger of each club.
    Ledger,
    /// Both for each club.
    Both,
}

#[derive(Debug, Args)]
pub struct CluesArguments {
    /// Catalogue to print; without it the calibration's own.
    #[arg(long, value_name = "FILE")]
    pub catalogue: Option<PathBuf>,
    /// Calibration whose catalogue to print; without it the built-in demo's.
    #[arg(long, value_name = "FILE")]
    pub calibration: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub struct AuditArguments {
    /// Catalogue of clues (TOML).
    #[arg(long, value_name = "FILE")]
    pub catalogue: PathBuf,
    /// Collection of dated clubs (CSV); `-` reads standard input.
    #[arg(long, value_name = "FILE")]
    pub collection: PathBuf,
    /// Rules of thumb that count beside the clubs (TOML).
    #[arg(long, value_name = "FILE")]
    pub rules: Option<PathBuf>,
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
    /// Prior: `as-collected`, `flat` or one of the rules'.
    #[arg(long, value_name = "NAME")]
    pub prior: Option<String>,
    /// Seed of the randomised PIT and of the learning curve's draws.
    #[arg(long, value_name = "N", default_value_t = 1, allow_negative_numbers = true)]
    pub seed: u64,
    /// Exit with code 4 where the 95 % band holds a smaller share of the dates than this.
    #[arg(long, value_name = "SHARE", value_parser = share, allow_negative_numbers = true)]
    pub require_coverage: Option<f64>,
    /// Write a histogram of the PIT to this .svg or .png.
    #[arg(long, value_name = "FILE")]
    pub chart: Option<PathBuf>,
    /// Replace the chart if it exists.
    #[arg(long)]
    pub force: bool,
    /// Pass over this column; may be given several times.
    #[arg(long, value_name = "COLUMN")]
    pub ignore: Vec<String>,
    /// Form of the result.
    #[arg(long, value_enum, default_value_t = PlainFormat::Text)]
    pub format: PlainFormat,
}
