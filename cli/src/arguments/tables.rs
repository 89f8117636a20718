//! How tables of clubs are read.

use agewright_files::TableOptions;
use clap::Args;

#[derive(Debug, Default, Args)]
pub struct TableArguments {
    /// Pass over this column of a table; may be given several times.
    #[arg(long, value_name = "COLUMN")]
    pub ignore: Vec<String>,
    /// Sheet of a spreadsheet to read; without it the first.
    #[arg(long, value_name = "NAME")]
    pub sheet: Option<String>,
}

impl TableArguments {
    /// What the reader of tables is told.
    pub fn options(&self) -> TableOptions {
        TableOptions { ignore: self.ignore.clone() }
    }
}
