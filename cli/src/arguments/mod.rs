//! The command line, as clap reads it.

pub mod before_year;
mod calibrating;
mod command_line;
mod dating;
mod opinions;
mod pages;
mod plain_format;
mod tables;

pub use calibrating::{AuditArguments, FitArguments, KnowledgeArguments};
pub use command_line::{Arguments, Command, CompletionsArguments};
pub use dating::{
    ChartArguments, ChartPanels, ClubArguments, ClubOrder, CollectionArguments, CompareArguments, DateArguments,
    DateFormat, RecordArguments, WhyNotArguments,
};
pub use opinions::{CompareOpinionArguments, OpinionArguments, OpinionCommand, SaveArguments};
pub use pages::{
    BenchArguments, CatalogueArguments, CluesArguments, RecordingArguments, SchemaArguments, SchemaOf, WriteUpArguments,
};
pub use plain_format::PlainFormat;
pub use tables::TableArguments;
