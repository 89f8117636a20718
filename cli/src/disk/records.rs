//! Reads the clubs that a command is asked about: TOML records, or tables.

use crate::disk::text_file::read_text;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::nearest_word::nearest;
use agewright_files::{Collection, ListedClub, SourceText, TableOptions, read_collection, read_record};
use agewright_model::Catalogue;
use std::path::{Path, PathBuf};

/// Ids named where none is the one asked for.
const MOST_LISTED: usize = 12;

/// Clubs of all the files named, in their order; with `wanted`, only those of these ids, in the order of `wanted`.
pub fn read_records(
    paths: &[PathBuf],
    wanted: &[String],
    catalogue: &Catalogue,
    options: &TableOptions,
    streams: &mut Streams<'_>,
) -> Result<Collection, Failure> {
    let mut all = Collection::default();
    for path in paths {
        let source = read_text(path, streams)?;
        if is_record(path, &source) {
            all.clubs.push(ListedClub { club: read_record(&source, catalogue)?, date: None, set: None });
        } else {
            all.clubs.extend(read_collection(&source, catalogue, options)?.clubs);
        }
    }
    if wanted.is_empty() {
        return Ok(all);
    }
    let mut wanted: Vec<String> = wanted.to_vec();
    let mut seen = std::collections::BTreeSet::new();
    wanted.retain(|id| seen.insert(id.clone()));
    if let Some(id) = wanted.iter().find(|id| all.clubs.iter().filter(|listed| &listed.club.id == *id).count() > 1) {
        return Err(Failure::Rejected(format!("club \"{id}\" stands in more than one of the files; name one file")));
    }
    let pick = |id: &String| {
        all.clubs.iter().find(|listed| &listed.club.id == id).cloned().ok_or_else(|| {
            let mut ids: Vec<&str> = all.clubs.iter().map(|listed| listed.club.id.as_str()).collect();
            // Of a long table the nearest is told, and the first few.
            let near = nearest(id, ids.iter().copied());
            ids.truncate(MOST_LISTED);
            ids.extend(near.filter(|near| !ids.contains(near)));
            let ids: Vec<String> = ids.into_iter().map(str::to_owned).collect();
            Failure::unknown_word(&format!("--club {id}: there is no such club in what was read"), id, &ids)
        })
    };
    Ok(Collection { clubs: wanted.iter().map(pick).collect::<Result<_, _>>()? })
}

/// By its ending; standard input and other endings by what the first line of substance looks like.
fn is_record(path: &Path, source: &SourceText) -> bool {
    match path.extension().and_then(|e| e.to_str()).map(str::to_lowercase).as_deref() {
        Some("toml") => true,
        Some("csv" | "tsv" | "txt" | "xlsx" | "ods") => false,
        _ => {
            let first = source.text.lines().map(str::trim).find(|line| !line.is_empty()).unwrap_or("");
            first.starts_with(['#', '[']) || first.contains('=')
        }
    }
}
