//! `agewright catalogue`: writes the starter catalogue, its marks and its rules, to start one's own from.

use crate::arguments::CatalogueArguments;
use crate::disk::whole_file::{check_may_write, write_whole};
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::{STARTER_CATALOGUE, STARTER_MARKS, STARTER_RULES};
use std::path::PathBuf;

/// Name of the file of marks in the starter catalogue.
const MARKS: &str = "marks = \"marks.csv\"";

pub fn run(arguments: &CatalogueArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    // Marks of one's own may well be in a marks.csv: those of the catalogue are called after it.
    let stem = arguments.out.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let marks = format!("{stem}-marks.csv");
    let catalogue = STARTER_CATALOGUE.replace(MARKS, &format!("marks = {}", serde_json::to_string(&marks)?));
    let mut files: Vec<(PathBuf, &str)> =
        vec![(arguments.out.clone(), &catalogue), (arguments.out.with_file_name(&marks), STARTER_MARKS)];
    files.extend(arguments.rules.iter().map(|path| (path.clone(), STARTER_RULES)));
    let names: std::collections::BTreeSet<&PathBuf> = files.iter().map(|(path, _)| path).collect();
    if names.len() < files.len() {
        return Err(Failure::Usage(format!("catalogue, rules and {marks} are files of their own: give each a name")));
    }
    // All or none: what stands in the way of one is found before any is written.
    for (path, _) in &files {
        check_may_write(path, arguments.force)?;
    }
    for (path, text) in &files {
        write_whole(path, text.as_bytes(), arguments.force)?;
    }
    let written: Vec<String> = files.iter().map(|(path, _)| path.display().to_string()).collect();
    let what = match arguments.rules {
        Some(_) => "the starter catalogue for irons, the years of use of its marks and the starter rules",
        None => "the starter catalogue for irons and the years of use of its marks",
    };
    let told = format!("{what}: written to {}", written.join(", "));
    streams.tell(&told)
}
