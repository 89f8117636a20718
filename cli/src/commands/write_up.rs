//! `agewright write-up`: clubs on paper.

use super::question::{Question, prior_failure};
use crate::Streams;
use crate::answers::{Answer, SensitivityAnswer, WriteUpAnswer, print_json, rounded_json};
use crate::arguments::{PageKind, PlainFormat, WriteUpArguments};
use crate::failure::Failure;
use crate::files::{check_may_write, write_whole};
use crate::terminal::progress;
use crate::write_up::{Known, PageFacts, folder_name, pages};
use agewright_model::{Club, Dating, Sensitivity, sensitivity};
use clap::ValueEnum as _;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// A club's folder and what goes into it.
struct Folder {
    path: PathBuf,
    files: Vec<(&'static str, String)>,
}

pub fn run(arguments: &WriteUpArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let question = Question::read(&arguments.records, streams)?;
    let root = match &arguments.out {
        Some(root) => root.clone(),
        None => beside_the_record(arguments)?,
    };
    let folders = folders(&question, &root)?;
    let mut made = Vec::new();
    let bar = progress("writing up", question.clubs.len());
    for (club, path) in question.clubs.iter().zip(folders) {
        let files = write_up(arguments, &question, club)?;
        for (name, _) in &files {
            let file = path.join(name);
            if file.exists() {
                check_may_write(&file, arguments.force)?;
            }
        }
        made.push(Folder { path, files });
        bar.inc(1);
    }
    bar.finish();
    for folder in &made {
        std::fs::create_dir_all(&folder.path)
            .map_err(|error| Failure::Failed(format!("folder {} cannot be made: {error}", folder.path.display())))?;
    }
    for (folder, club) in made.iter().zip(&question.clubs) {
        write(folder, arguments.force)?;
        let names: Vec<&str> = folder.files.iter().map(|(name, _)| *name).collect();
        match arguments.format {
            PlainFormat::Text => {
                for name in names {
                    writeln!(streams.stdout, "{}", folder.path.join(name).display())?;
                }
            }
            PlainFormat::Json => print_json(&WriteUpAnswer::new(&club.id, &folder.path, &names), streams)?,
        }
    }
    Ok(())
}

/// The folder that holds the record.
fn beside_the_record(arguments: &WriteUpArguments) -> Result<PathBuf, Failure> {
    match arguments.records.records.as_slice() {
        [path] if path.as_os_str() != "-" => Ok(path.parent().map(Path::to_path_buf).unwrap_or_default()),
        [_] => {
            Err(Failure::Usage("standard input lies in no folder: say where the pages go with --out DIR".to_owned()))
        }
        _ => Err(Failure::Usage("several records: say where the pages go with --out DIR".to_owned())),
    }
}

/// A folder for each club; clubs of different files may share an id, but not a folder.
fn folders(question: &Question, root: &Path) -> Result<Vec<PathBuf>, Failure> {
    let mut taken: BTreeMap<String, &str> = BTreeMap::new();
    let mut folders = Vec::new();
    for club in &question.clubs {
        let name = folder_name(&club.id);
        // Some systems do not tell A from a.
        if let Some(other) = taken.insert(name.to_lowercase(), &club.id) {
            return Err(Failure::Rejected(format!(
                "clubs \"{other}\" and \"{}\" would share the folder {name}\n= help: give them ids that differ by more \
                 than case, or write them up one by one with --club",
                club.id
            )));
        }
        folders.push(root.join(name));
    }
    Ok(folders)
}

fn write_up(
    arguments: &WriteUpArguments,
    question: &Question,
    club: &Club,
) -> Result<Vec<(&'static str, String)>, Failure> {
    let parts = question.parts();
    let datings = parts.iter().map(|&part| question.date(club, part)).collect::<Result<Vec<Dating>, _>>()?;
    let sensitivities = parts
        .iter()
        .map(|&part| {
            let calibration = &question.loaded.calibration;
            sensitivity(calibration, club, part, question.prior.as_deref(), &question.without)
                .map_err(|error| prior_failure(&error))
        })
        .collect::<Result<Vec<Sensitivity>, _>>()?;
    let facts = PageFacts::new(&Known {
        loaded: &question.loaded,
        club,
        datings: &datings,
        sensitivities: &sensitivities,
        before: arguments.before,
        with_private: arguments.with_private,
        command: command(arguments, question),
    })?;
    let kinds = if arguments.pages.is_empty() { PageKind::value_variants() } else { &arguments.pages };
    let mut files: Vec<(&'static str, String)> =
        pages(&facts, kinds)?.into_iter().map(|page| (page.name, page.contents)).collect();
    if kinds.contains(&PageKind::Report) {
        let mut answers: Vec<Answer> =
            datings.iter().map(|dating| Answer::new(&question.loaded, club, dating, arguments.before)).collect();
        let mut answer = answers.remove(0);
        answer.other_parts = answers;
        let hangs_on: Vec<SensitivityAnswer> = parts
            .iter()
            .zip(&sensitivities)
            .map(|(&part, result)| SensitivityAnswer::new(&question.loaded, club, part, result))
            .collect();
        files.push(("facts.json", rounded_json(&answer, &hangs_on)?));
    }
    Ok(files)
}

/// How the answer of the page is asked for again.
fn command(arguments: &WriteUpArguments, question: &Question) -> String {
    let mut command = "agewright date record.toml".to_owned();
    if let Some(calibration) = &arguments.records.calibration {
        let name = calibration.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        command += &format!(" --calibration {name}");
    }
    command += &format!(" --prior {}", question.prior_name());
    for clue in &arguments.records.without {
        command += &format!(" --without {clue}");
    }
    if let Some(before) = arguments.before {
        command += &format!(" --before {before}");
    }
    command
}

fn write(folder: &Folder, force: bool) -> Result<(), Failure> {
    for (name, contents) in &folder.files {
        write_whole(&folder.path.join(name), contents.as_bytes(), force)?;
    }
    Ok(())
}
