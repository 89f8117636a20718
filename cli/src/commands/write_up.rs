//! `agewright write-up`: clubs on paper.

use crate::arguments::{PlainFormat, WriteUpArguments};
use crate::asked::progress::progress;
use crate::asked::request::Request;
use crate::disk::folder_name::folder_name;
use crate::disk::json_line::print_json;
use crate::disk::whole_file::{check_may_write, write_whole};
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::ListedClub;
use agewright_model::questions::sensitivity::Sensitivity;
use agewright_model::{Dating, sensitivity};
use agewright_pages::charts::drawing::with_words;
use agewright_pages::charts::outlined::outlined;
use agewright_pages::charts::posterior_panel::posterior_figure;
use agewright_pages::json::dating::Answer;
use agewright_pages::json::sensitivity::SensitivityAnswer;
use agewright_pages::json::write_up::{WriteUpAnswer, rounded_json};
use agewright_pages::words::date_line::date_line;
use agewright_pages::words::label_date::stands_for;
use agewright_pages::write_up::facts::PageFacts;
use agewright_pages::write_up::known::Known;
use agewright_pages::write_up::pages::{PageKind, pages};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// A club's folder and what goes into it.
struct Folder {
    path: PathBuf,
    files: Vec<(&'static str, String)>,
}

pub fn run(arguments: &WriteUpArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let request = Request::read(&arguments.records, streams)?;
    request.check_before(arguments.before)?;
    let root = match &arguments.out {
        Some(root) => root.clone(),
        None => beside_the_record(arguments)?,
    };
    let folders = folders(&request, &root)?;
    let mut made = Vec::new();
    let bar = progress("writing up", request.clubs.len());
    for (club, path) in request.clubs.iter().zip(folders) {
        let files = write_up(arguments, &request, club)?;
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
    for (folder, club) in made.iter().zip(request.clubs()) {
        write(folder, arguments.force)?;
        let names: Vec<&str> = folder.files.iter().map(|(name, _)| *name).collect();
        match arguments.format {
            PlainFormat::Text => {
                for name in names {
                    writeln!(streams.stdout, "{}", folder.path.join(name).display())?;
                }
            }
            PlainFormat::Json => {
                print_json(&WriteUpAnswer::new(&club.id, &folder.path.display().to_string(), &names), streams)?;
            }
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
fn folders(request: &Request, root: &Path) -> Result<Vec<PathBuf>, Failure> {
    let mut taken: BTreeMap<String, &str> = BTreeMap::new();
    let mut folders = Vec::new();
    for club in request.clubs() {
        let name = folder_name(&club.id);
        // Some systems do not tell A from a.
        if let Some(other) = taken.insert(name.to_lowercase(), &club.id) {
            return Err(Failure::Rejected(format!(
                "clubs \"{other}\" and \"{}\" would share the folder {name}\nWhat to do: give them ids that differ \
                 by more \
                 than case, or write them up one by one with --club",
                club.id
            )));
        }
        folders.push(root.join(name));
    }
    Ok(folders)
}

/// All pages of one club.
fn write_up(
    arguments: &WriteUpArguments,
    request: &Request,
    club: &ListedClub,
) -> Result<Vec<(&'static str, String)>, Failure> {
    let parts = request.answers(club)?;
    let sensitivities: Vec<Sensitivity> = parts.iter().map(|part| sensitivity(&part.asked)).collect();
    let figure = |dating: &Dating, width: i32| {
        let svg = posterior_figure(&request.loaded.calibration, dating, width)?;
        let title = format!("When the {} of {} was made, by year", dating.part.word(), club.club.id);
        Ok(with_words(&svg, &title, &format!("{}. {}", date_line(dating), stands_for(dating))))
    };
    let facts = PageFacts::new(&Known {
        loaded: &request.loaded,
        parts: &parts,
        sensitivities: &sensitivities,
        before: arguments.before,
        with_private: arguments.with_private,
        command: command(arguments, request),
        figure: &figure,
    })?;
    let every = [PageKind::Report, PageKind::Catalogue, PageKind::Label, PageKind::Insurance];
    let asked_for: Vec<PageKind> = arguments.pages.iter().map(|&choice| choice.into()).collect();
    let kinds = if asked_for.is_empty() { every.as_slice() } else { asked_for.as_slice() };
    let mut files = Vec::new();
    for page in pages(&facts, kinds)? {
        // On a page words are words, in the page's own face; a picture by itself has none to count on.
        let is_picture = page.name.ends_with(".svg");
        let contents = if is_picture { outlined(&page.contents).map_err(Failure::Failed)? } else { page.contents };
        files.push((page.name, contents));
    }
    if kinds.contains(&PageKind::Report)
        && let Some(answer) = Answer::of_club(&request.loaded, &parts, arguments.before)
    {
        let answers = parts.iter().zip(&sensitivities);
        let hangs_on = answers.map(|(part, result)| SensitivityAnswer::new(&request.loaded, &part.asked, result));
        files.push(("facts.json", rounded_json(&answer, &hangs_on.collect::<Vec<_>>())?));
    }
    Ok(files)
}

/// How the answer of the page is asked for again.
fn command(arguments: &WriteUpArguments, request: &Request) -> String {
    let mut command = "agewright date record.toml".to_owned();
    if let Some(calibration) = &arguments.records.calibration {
        let name = calibration.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        command += &format!(" --calibration {name}");
    }
    command += &format!(" --prior {}", request.prior_name());
    for clue in &arguments.records.without {
        command += &format!(" --without {clue}");
    }
    if let Some(years) = arguments.records.elsewhere {
        command += &format!(" --elsewhere={years}");
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
