//! Reads the clubs that a command is asked about: TOML records, or tables.

use crate::arguments::TableArguments;
use crate::disk::text_file::{is_record, read_sheet, read_text};
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::nearest_word::nearest;
use agewright_files::{
    InputProblem, ListedClub, Problems, Refused, SourceText, read_collection, read_dated_record, sha256,
};
use agewright_model::Catalogue;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Ids named where none is the one asked for.
const MOST_LISTED: usize = 12;

/// Clubs of all the files named, in their order; with `wanted`, only those of these ids, in the order of `wanted`.
pub fn read_records(
    paths: &[PathBuf],
    wanted: &[String],
    catalogue: &Catalogue,
    table: &TableArguments,
    streams: &mut Streams<'_>,
) -> Result<Vec<ListedClub>, Failure> {
    let mut all = Vec::new();
    for path in paths {
        all.extend(read_collection_file(path, catalogue, table, streams)?.clubs);
    }
    if wanted.is_empty() {
        return Ok(all);
    }
    let mut wanted: Vec<String> = wanted.to_vec();
    let mut seen = std::collections::BTreeSet::new();
    wanted.retain(|id| seen.insert(id.clone()));
    if let Some(id) = wanted.iter().find(|id| all.iter().filter(|listed| &listed.club.id == *id).count() > 1) {
        return Err(Failure::Rejected(format!("club \"{id}\" stands in more than one of the files; name one file")));
    }
    let pick = |id: &String| {
        all.iter().find(|listed| &listed.club.id == id).cloned().ok_or_else(|| {
            let mut ids: Vec<&str> = all.iter().map(|listed| listed.club.id.as_str()).collect();
            // Of a long table the nearest is told, and the first few.
            let near = nearest(id, ids.iter().copied());
            ids.truncate(MOST_LISTED);
            ids.extend(near.filter(|near| !ids.contains(near)));
            let ids: Vec<String> = ids.into_iter().map(str::to_owned).collect();
            Failure::unknown_word(&format!("--club {id}: there is no such club in what was read"), id, &ids)
        })
    };
    wanted.iter().map(pick).collect()
}

/// Clubs of one file or folder, and what it is known by.
pub struct CollectionFile {
    pub clubs: Vec<ListedClub>,
    /// Its name, for messages.
    pub name: String,
    /// SHA-256 of its text; of a folder, of the texts of its records one behind another.
    pub sha256: String,
}

/// Clubs of a table, of a record, or of a folder of records in the order of their names.
pub fn read_collection_file(
    path: &Path,
    catalogue: &Catalogue,
    table: &TableArguments,
    streams: &mut Streams<'_>,
) -> Result<CollectionFile, Failure> {
    let mut read = read_one(path, catalogue, table, streams)?;
    let folder = if path.is_dir() { path } else { path.parent().unwrap_or_else(|| Path::new("")) };
    read.clubs.iter_mut().for_each(|listed| listed.folder = folder.to_owned());
    Ok(read)
}

fn read_one(
    path: &Path,
    catalogue: &Catalogue,
    table: &TableArguments,
    streams: &mut Streams<'_>,
) -> Result<CollectionFile, Failure> {
    if path.is_dir() {
        return read_folder(path, catalogue, streams);
    }
    let source = read_sheet(path, table.sheet.as_deref(), streams)?;
    let clubs = if is_of_record(path, &source) {
        vec![read_dated_record(&source, catalogue)?]
    } else {
        let read = read_collection(&source, catalogue, &table.options())?;
        if !read.taken_for.is_empty() {
            let taken = |(heading, own): &(String, String)| format!("\"{}\" is taken for {own}", in_short(heading));
            let taken = read.taken_for.iter().map(taken).collect::<Vec<_>>().join(", ");
            streams.tell(&format!("note: {}: column {taken}", source.name))?;
        }
        if !read.passed_over.is_empty() {
            let more = read.passed_over.len().saturating_sub(MOST_LISTED);
            let more = if more > 0 { format!("; and {more} more") } else { String::new() };
            let columns: Vec<String> = read.passed_over.iter().take(MOST_LISTED).map(|name| in_short(name)).collect();
            let columns = columns.join("; ");
            streams
                .tell(&format!("note: {}: columns that are no clue were passed over: {columns}{more}", source.name))?;
        }
        read.clubs
    };
    Ok(CollectionFile { clubs, name: source.name.clone(), sha256: sha256(&source.text) })
}

fn is_hidden(path: &Path) -> bool {
    path.file_name().is_some_and(|name| name.to_string_lossy().starts_with('.'))
}

/// A heading of no more letters than a note has room for.
fn in_short(heading: &str) -> String {
    if heading.chars().count() <= 40 {
        heading.to_owned()
    } else {
        format!("{}...", heading.chars().take(40).collect::<String>())
    }
}

/// Folders within a folder that hold records are told to be passed over.
fn tell_of_folders(name: &str, folders: &[PathBuf], streams: &mut Streams<'_>) -> Result<(), Failure> {
    let has_records = |folder: &&PathBuf| {
        let mut entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
        entries.any(|entry| is_record(&entry.path()) && !is_hidden(&entry.path()))
    };
    let with_records: Vec<&PathBuf> = folders.iter().filter(has_records).collect();
    let told = with_records.iter().take(MOST_LISTED).filter_map(|folder| folder.file_name());
    let told: Vec<String> = told.map(|folder| in_short(&folder.to_string_lossy())).collect();
    if told.is_empty() {
        return Ok(());
    }
    let more = with_records.len().saturating_sub(MOST_LISTED);
    let more = if more > 0 { format!("; and {more} more") } else { String::new() };
    streams.tell(&format!(
        "note: {name}: records in folders within it were passed over: {}{more}; name these folders too",
        told.join("; ")
    ))
}

/// The records of a folder.
fn read_folder(folder: &Path, catalogue: &Catalogue, streams: &mut Streams<'_>) -> Result<CollectionFile, Failure> {
    let name = folder.display().to_string();
    let failed = |error: std::io::Error| Failure::Failed(format!("{} cannot be read: {error}", folder.display()));
    let entries = std::fs::read_dir(folder).map_err(failed)?.collect::<Result<Vec<_>, _>>().map_err(failed)?;
    let mut paths: Vec<PathBuf> =
        entries.into_iter().map(|entry| entry.path()).filter(|path| !is_hidden(path)).collect();
    paths.sort();
    let (folders, files): (Vec<PathBuf>, Vec<PathBuf>) = paths.into_iter().partition(|path| path.is_dir());
    let paths: Vec<PathBuf> = files.into_iter().filter(|path| is_record(path) && path.is_file()).collect();
    tell_of_folders(&name, &folders, streams)?;
    if paths.is_empty() {
        return Err(Failure::Rejected(format!(
            "{name}: a folder without a record in it\nWhat to do: name a table, or a folder of records (.toml)"
        )));
    }
    let (mut clubs, mut texts, mut problems): (Vec<ListedClub>, String, Problems) = Default::default();
    let mut first_in: BTreeMap<String, &Path> = BTreeMap::new();
    for path in &paths {
        let source = read_text(path, streams)?;
        texts.push_str(&source.text);
        match read_dated_record(&source, catalogue) {
            Ok(listed) => {
                if let Some(other) = first_in.get(&listed.club.id) {
                    let id = &listed.club.id;
                    let message = format!("id \"{id}\" stands twice; the first is in {}", other.display());
                    let help = "give each club an id of its own";
                    problems.push(|| InputProblem::new(&source, None, message).help(Some(help.to_owned())));
                } else {
                    first_in.insert(listed.club.id.clone(), path);
                }
                clubs.push(listed);
            }
            Err(Refused::Problems(own)) => problems.add(own),
            Err(other) => return Err(other.into()),
        }
    }
    if problems.is_empty() {
        Ok(CollectionFile { clubs, name, sha256: sha256(&texts) })
    } else {
        Err(Failure::Input(problems))
    }
}

/// By its ending; standard input and other endings by what the first line of substance looks like.
fn is_of_record(path: &Path, source: &SourceText) -> bool {
    match path.extension().and_then(|e| e.to_str()).map(str::to_lowercase).as_deref() {
        Some("toml") => true,
        Some("csv" | "tsv" | "txt" | "xlsx" | "ods") => false,
        _ => {
            let first = source.text.lines().map(str::trim).find(|line| !line.is_empty()).unwrap_or("");
            first.starts_with(['#', '[']) || first.contains('=')
        }
    }
}
