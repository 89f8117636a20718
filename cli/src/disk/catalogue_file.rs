//! Reads a catalogue, and the years of use of its marks from the files that it names beside it.

use crate::disk::text_file::read_text;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::{STARTER_CATALOGUE, STARTER_MARKS, SourceText, add_marks, read_catalogue, read_marks};
use agewright_model::Catalogue;
use agewright_model::tables::mark_use::MarkUse;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// A catalogue with its text and the years of use of its marks.
pub struct ReadCatalogue {
    pub catalogue: Catalogue,
    pub marks: Vec<MarkUse>,
    pub source: Arc<SourceText>,
}

/// The catalogue of a file, or the starter catalogue that is built in; `more` are files of a user's own marks.
pub fn read_catalogue_with_marks(
    path: Option<&Path>,
    more: &[PathBuf],
    streams: &mut Streams<'_>,
) -> Result<ReadCatalogue, Failure> {
    let source = match path {
        Some(path) => read_text(path, streams)?,
        None => SourceText::new("irons.toml (built in)", STARTER_CATALOGUE),
    };
    let mut catalogue = read_catalogue(&source)?;
    let mut files: Vec<String> = catalogue.clues().iter().filter_map(|clue| clue.marks.clone()).collect();
    files.sort();
    files.dedup();
    let mut texts = Vec::new();
    for file in files {
        texts.push(match path {
            Some(path) => read_text(&path.parent().unwrap_or_else(|| Path::new("")).join(&file), streams)?,
            None => SourceText::new("marks.csv (built in)", STARTER_MARKS),
        });
    }
    for file in more {
        texts.push(read_text(file, streams)?);
    }
    let mut marks = Vec::new();
    for text in texts {
        let added = read_marks(&text, &catalogue)?;
        add_marks(&mut catalogue, &added);
        marks.extend(added);
    }
    Ok(ReadCatalogue { catalogue, marks, source })
}
