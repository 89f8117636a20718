//! The command line as a whole: the commands, and what each is for.

use crate::arguments::calibrating::{AuditArguments, FitArguments};
use crate::arguments::dating::{
    ChartArguments, ClubArguments, CollectionArguments, CompareArguments, DateArguments, WhyNotArguments,
};
use crate::arguments::opinions::OpinionArguments;
use crate::arguments::pages::{
    BenchArguments, CatalogueArguments, CluesArguments, RecordingArguments, SchemaArguments, WriteUpArguments,
};
use clap::{Args, Parser, Subcommand};

/// Dates old wooden-shafted golf clubs from what can be seen and measured, and shows the account.
#[derive(Debug, Parser)]
#[command(name = "agewright", version, max_term_width = 80, after_help = EXIT_CODES)]
pub struct Arguments {
    #[command(subcommand)]
    pub command: Command,
}

const EXIT_CODES: &str = "\
Exit codes: 0 done, 1 failed, 2 wrong usage, 3 input rejected, 4 a check asked for did not pass,
130 stopped by Ctrl-C.
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
  agewright fit --collection mine.csv --out mine.toml
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
    Sensitivity(ClubArguments),
    /// Weighs two periods against each other, clue by clue: why not 1850?
    #[command(after_help = "\
Examples:
  agewright why-not demo-data/smooth-face.toml --periods 1850s
  agewright why-not demo-data/undated.csv --club plain-cleek \\
    --periods 1870-79 1890-99")]
    WhyNot(WhyNotArguments),
    /// Says which clue to look at next, and what it may be expected to tell.
    #[command(after_help = "\
Examples:
  agewright next demo-data/undated.csv --club worn
  agewright next demo-data/undated.csv --club high-loft --format json")]
    Next(ClubArguments),
    /// Lays clubs side by side: which is older, and how sure that is.
    #[command(after_help = "\
Examples:
  agewright compare demo-data/undated.csv --club plain-cleek --club high-loft
  agewright compare demo-data/undated.csv --chart undated-bars.svg")]
    Compare(CompareArguments),
    /// Dates a whole collection: how many by decade, what is thin, what to look at again.
    #[command(after_help = "\
Examples:
  agewright collection demo-data/undated.csv
  agewright collection demo-data/wrackness.csv --format json")]
    Collection(CollectionArguments),
    /// Writes a club up: report, catalogue entry, label, insurance schedule.
    // Here a sheet is one of paper; that of a spreadsheet has another name.
    #[command(mut_arg("sheet", |sheet| sheet.long("from-sheet")), after_help = "\
Examples:
  agewright write-up demo-data/smooth-face.toml --out pages
  agewright write-up demo-data/undated.csv --out pages --page label
  agewright write-up demo-data/undated.csv --out pages --sheet labels")]
    WriteUp(WriteUpArguments),
    /// Keeps an opinion, and tells later what moved it and why.
    #[command(after_help = "\
Examples:
  agewright opinion save demo-data/smooth-face.toml --out smooth-face.json
  agewright opinion compare smooth-face.json \\
    --record demo-data/smooth-face.toml --prior general")]
    Opinion(OpinionArguments),
    /// Writes the bench page: the model in one HTML file, for any browser, with your clubs and calibration in it.
    #[command(after_help = "\
Examples:
  agewright bench --out bench.html
  agewright bench demo-data/undated.csv --out my-bench.html \\
    --calibration demo-data/demo-calibration.toml")]
    Bench(BenchArguments),
    /// Asks for a club's readings clue by clue, and dates it as they come in.
    #[command(after_help = "\
Examples:
  agewright record --out my-cleek.toml
  agewright record --out my-cleek.toml --resume")]
    Record(RecordingArguments),
    /// Draws the answer year by year (the posterior), and the ledger of one club, as SVG or PNG.
    #[command(after_help = "\
Examples:
  agewright chart demo-data/smooth-face.toml --out smooth-face.svg
  agewright chart demo-data/undated.csv --out undated.png")]
    Chart(ChartArguments),
    /// Prints the catalogue as a bench sheet: what to read, and how.
    #[command(after_help = "\
Examples:
  agewright clues
  agewright clues --sheet irons.html
  agewright clues --catalogue demo-data/irons.toml --sheet irons.xlsx")]
    Clues(CluesArguments),
    /// Writes the starter catalogue and its rules, to start your own from.
    #[command(after_help = "\
Examples:
  agewright catalogue --out mine.toml --rules my-rules.toml")]
    Catalogue(CatalogueArguments),
    /// Prints the JSON Schema of a file or an answer, for an editor or a program to check by.
    #[command(after_help = "\
Examples:
  agewright schema record > record.schema.json
  agewright schema answer --of compare")]
    Schema(SchemaArguments),
    /// Prints a script that completes command lines in a shell.
    #[command(after_help = "\
Examples:
  agewright completions bash > ~/.local/share/bash-completion/completions/agewright
  agewright completions zsh > ~/.zfunc/_agewright")]
    Completions(CompletionsArguments),
    /// Prints the manual page.
    #[command(after_help = "\
Examples:
  agewright man > agewright.1
  agewright man | man -l -")]
    Man,
}

#[derive(Debug, Args)]
pub struct CompletionsArguments {
    /// The shell.
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}
