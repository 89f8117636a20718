//! Reads a catalogue from its file, and the years of use of its marks from the files that it names beside it.

use crate::disk::text_file::read_text;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::{SourceText, add_marks, read_catalogue, read_marks};
use agewright_model::Catalogue;
use agewright_model::tables::mark_use::MarkUse;
use std::path::Path;
use std::sync::Arc;

pub fn read_catalogue_with_marks(
    path: &Path,
    source: &Arc<SourceText>,
    streams: &mut Streams<'_>,
) -> Result<(Catalogue, Vec<MarkUse>), Failure> {
    let mut catalogue = read_catalogue(source)?;
    let mut files: Vec<String> = catalogue.clues().iter().filter_map(|clue| clue.marks.clone()).collect();
    files.sort();
    files.dedup();
    let mut marks = Vec::new();
    for file in files {
        let beside = path.parent().unwrap_or_else(|| Path::new("")).join(&file);
        let added = read_marks(&read_text(&beside, streams)?, &catalogue)?;
        add_marks(&mut catalogue, &added);
        marks.extend(added);
    }
    Ok((catalogue, marks))
}
