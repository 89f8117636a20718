//! `agewright write-up`: clubs on paper.

use crate::arguments::{PlainFormat, WriteUpArguments};
use crate::asked::opinion_day::{day_in_words, opinion_day};
use crate::asked::progress::progress;
use crate::asked::request::{Request, ShownAccount};
use crate::disk::folder_name::folder_name;
use crate::disk::json_line::print_json;
use crate::disk::own_pages::OwnPages;
use crate::disk::photograph_files::photographs_of;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::ListedClub;
use agewright_files::nearest_word::nearest;
use agewright_model::questions::sensitivity::Sensitivity;
use agewright_model::{Dating, sensitivity};
use agewright_pages::charts::drawing::titled_figure;
use agewright_pages::charts::outlined::outlined;
use agewright_pages::json::dating::Answer;
use agewright_pages::json::sensitivity::SensitivityAnswer;
use agewright_pages::json::write_up::{WriteUpAnswer, rounded_json};
use agewright_pages::words::counted::counted;
use agewright_pages::write_up::facts::{PageFacts, TEXT_KEYS};
use agewright_pages::write_up::known::Known;
use agewright_pages::write_up::pages::{PageKind, pages};
use agewright_pages::write_up::sheets::{SheetKind, index, sheet};
use agewright_pages::write_up::short_texts::{heading_title, label_title, left_out_of_entry, n_words};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// Folders named in a note, at the most.
const MOST_LISTED: usize = 8;

/// What is asked for, and on which day.
struct WriteUp<'a> {
    arguments: &'a WriteUpArguments,
    request: &'a Request,
    before: Option<i32>,
    on: String,
    kinds: Vec<PageKind>,
}

/// A club's folder.
struct Folder {
    name: String,
    own: OwnPages,
    files: Vec<&'static str>,
}

pub fn run(arguments: &WriteUpArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let day = opinion_day(arguments.on.as_deref())?;
    let request = Request::read(&arguments.records, streams)?;
    let before = request.year_before(arguments.before, day)?;
    let root = match &arguments.out {
        Some(root) => root.clone(),
        None => beside_the_record(arguments)?,
    };
    if root.exists() && !root.as_os_str().is_empty() && !root.is_dir() {
        let message = format!("--out {}: this is a file, and a folder is asked for", root.display());
        return Err(Failure::Usage(message));
    }
    let on = day_in_words(day);
    let write_up = WriteUp { arguments, request: &request, before, on, kinds: kinds(arguments) };
    let names = folders(&request)?;
    let (mut folders, mut clubs) = (Vec::new(), Vec::new());
    let bar = progress("writing up", request.clubs.len());
    for (club, name) in request.clubs.iter().zip(names) {
        let (facts, files) = write_up.club(club)?;
        let mut folder = Folder { own: OwnPages::of(&root.join(&name)), name, files: Vec::new() };
        for (name, contents) in files {
            folder.own.add(name, contents, arguments.force)?;
            folder.files.push(name);
        }
        folders.push(folder);
        clubs.push(facts);
        bar.inc(1);
    }
    bar.finish();
    let has_report = write_up.kinds.contains(&PageKind::Report);
    if before.is_some() && (write_up.kinds.len() > 1 || !has_report || !arguments.sheets.is_empty()) {
        let none = if has_report { "" } else { ", and none is made here" };
        streams.tell(&format!("note: the chance that --before asks for stands on the report alone{none}"))?;
    }
    for note in write_up.cut_titles(&clubs).into_iter().chain(write_up.cut_entries(&clubs)).chain(odd_texts(&clubs)) {
        streams.tell(&note)?;
    }
    let others = other_reports(&root, &folders).len();
    if has_report && clubs.len() > 1 && others > 0 {
        let told = counted(others, "report of another run is", "reports of other runs are");
        streams
            .tell(&format!("note: index.html is of the {} clubs of this run; {told} named below it", clubs.len()))?;
    }
    let together = write_up.together(&root, &folders, &clubs)?;
    written(&folders, together, &request, arguments.format, streams)
}

/// The pages asked for; sheets alone make no folders.
fn kinds(arguments: &WriteUpArguments) -> Vec<PageKind> {
    if arguments.pages.is_empty() && arguments.sheets.is_empty() {
        return vec![PageKind::Report, PageKind::Catalogue, PageKind::Label, PageKind::Insurance];
    }
    arguments.pages.iter().map(|&choice| choice.into()).collect()
}

/// Writes it all, and tells what was written.
fn written(
    folders: &[Folder],
    together: Option<OwnPages>,
    request: &Request,
    format: PlainFormat,
    streams: &mut Streams<'_>,
) -> Result<(), Failure> {
    let tell = |paths: Vec<PathBuf>, streams: &mut Streams<'_>| -> Result<(), Failure> {
        paths.iter().try_for_each(|path| Ok(writeln!(streams.stdout, "{}", path.display())?))
    };
    let own = || folders.iter().filter(|folder| !folder.files.is_empty());
    for (folder, club) in own().zip(request.clubs()) {
        let paths = folder.own.write()?;
        match format {
            PlainFormat::Text => tell(paths, streams)?,
            PlainFormat::Json => {
                let names = paths.iter().filter_map(|path| path.file_name());
                let names: Vec<String> = names.map(|name| name.to_string_lossy().into_owned()).collect();
                let path = folder.own.folder().display().to_string();
                print_json(&WriteUpAnswer::new(&club.id, &path, &folder.files, &names), streams)?;
            }
        }
    }
    let left: Vec<String> = own()
        .filter(|folder| !folder.own.left().is_empty())
        .map(|folder| format!("{}: {}", folder.name, folder.own.left().join(", ")))
        .collect();
    if !left.is_empty() {
        let more = left.len().saturating_sub(MOST_LISTED);
        let more = if more > 0 { format!("; and {more} folders more") } else { String::new() };
        let named = left.into_iter().take(MOST_LISTED).collect::<Vec<_>>().join("; ");
        streams.tell(&format!(
            "note: pages of an earlier run stay, and may be of another day or question: {named}{more}"
        ))?;
    }
    let all = || own().map(|folder| &folder.own).chain(&together);
    let kept: Vec<String> =
        all().flat_map(|own| own.kept().iter().map(|name| own.folder().join(name).display().to_string())).collect();
    if !kept.is_empty() {
        streams.tell(&format!(
            "note: changed by hand since it was made, and left as it is: {}; --force replaces it",
            kept.join("; ")
        ))?;
    }
    let unchanged: usize = own().map(|folder| &folder.own).chain(&together).map(|own| own.unchanged).sum();
    if let Some(together) = together {
        let paths = together.write()?;
        if format == PlainFormat::Text {
            tell(paths, streams)?;
        }
    }
    if unchanged > 0 {
        let pages = if unchanged == 1 { "page stands" } else { "pages stand" };
        streams.tell(&format!("note: {unchanged} {pages} there already, word for word"))?;
    }
    Ok(())
}

/// The folder that holds the record.
fn beside_the_record(arguments: &WriteUpArguments) -> Result<PathBuf, Failure> {
    match arguments.records.records.as_slice() {
        [path] if path.is_dir() => Err(Failure::Usage("a folder: say where the pages go with --out DIR".to_owned())),
        [path] if path.as_os_str() != "-" => Ok(path.parent().map(Path::to_path_buf).unwrap_or_default()),
        [_] => {
            Err(Failure::Usage("standard input lies in no folder: say where the pages go with --out DIR".to_owned()))
        }
        _ => Err(Failure::Usage("several records: say where the pages go with --out DIR".to_owned())),
    }
}

/// Name of a folder for each club; clubs of different files may share an id, but not a folder.
fn folders(request: &Request) -> Result<Vec<String>, Failure> {
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
        folders.push(name);
    }
    Ok(folders)
}

/// What pages say of a club, and the files of its folder by their names.
type ClubPages = (PageFacts, Vec<(&'static str, String)>);

impl WriteUp<'_> {
    /// All pages of one club.
    fn club(&self, club: &ListedClub) -> Result<ClubPages, Failure> {
        let request = self.request;
        // Bits stand in the facts beside a report, and on no page.
        let has_facts = self.kinds.contains(&PageKind::Report);
        let shown = if has_facts { ShownAccount::YearsAndBits } else { ShownAccount::Years };
        let parts = request.answers(club, shown)?;
        let sensitivities: Vec<Sensitivity> = parts.iter().map(|part| sensitivity(&part.asked)).collect();
        let figure =
            |dating: &Dating, width: i32| titled_figure(&request.loaded.calibration, &club.club, dating, width);
        let facts = PageFacts::new(&Known {
            loaded: &request.loaded,
            parts: &parts,
            sensitivities: &sensitivities,
            before: self.before,
            with_private: self.arguments.with_private,
            command: self.command(),
            on: self.on.clone(),
            photographs: &photographs_of(club)?,
            figure: &figure,
        })?;
        let mut files = Vec::new();
        for page in pages(&facts, &self.kinds)? {
            // On a page words are words, in the page's own face; a picture by itself has none to count on.
            let is_picture = page.name.ends_with(".svg");
            let contents = if is_picture { outlined(&page.contents).map_err(Failure::Failed)? } else { page.contents };
            files.push((page.name, contents));
        }
        if self.kinds.contains(&PageKind::Report)
            && let Some(answer) = Answer::of_club(&request.loaded, &parts, self.before)
        {
            let answers = parts.iter().zip(&sensitivities);
            let hangs_on = answers.map(|(part, result)| SensitivityAnswer::new(&request.loaded, &part.asked, result));
            files.push(("facts.json", rounded_json(&answer, &hangs_on.collect::<Vec<_>>())?));
        }
        Ok((facts, files))
    }

    /// The sheets of all clubs, and the page that lists their reports; nothing where neither is asked for.
    fn together(&self, root: &Path, folders: &[Folder], clubs: &[PageFacts]) -> Result<Option<OwnPages>, Failure> {
        let has_index = clubs.len() > 1 && self.kinds.contains(&PageKind::Report);
        if clubs.is_empty() || (self.arguments.sheets.is_empty() && !has_index) {
            return Ok(None);
        }
        let mut own = OwnPages::of(root);
        for kind in self.arguments.sheets.iter().map(|&choice| SheetKind::from(choice)) {
            own.add(kind.file(), sheet(kind, clubs)?, self.arguments.force)?;
        }
        if has_index {
            let axis = self.request.loaded.calibration.catalogue().axis();
            let reports: Vec<String> = folders.iter().map(|folder| address(&folder.name)).collect();
            let others = other_reports(root, folders);
            let page = index(clubs, &reports, &others, (axis.from(), axis.last()))?;
            own.add("index.html", page, self.arguments.force)?;
        }
        Ok(Some(own))
    }

    /// Titles that a label or the heading of an entry has no room for.
    fn cut_titles(&self, clubs: &[PageFacts]) -> Vec<String> {
        let sheets: Vec<SheetKind> = self.arguments.sheets.iter().map(|&choice| choice.into()).collect();
        let places = [
            (PageKind::Label, SheetKind::Labels, label_title as fn(&PageFacts) -> String, "on its label"),
            (PageKind::Catalogue, SheetKind::Entries, heading_title, "above its catalogue entry"),
        ];
        let shown = places.into_iter().filter(|(page, sheet, ..)| self.kinds.contains(page) || sheets.contains(sheet));
        let note = |(_, _, shown, place): (_, _, fn(&PageFacts) -> String, _)| {
            clubs.iter().filter_map(move |facts| {
                let short = shown(facts);
                let words = n_words(short.strip_suffix("...")?);
                let told =
                    format!("note: the title of {} is cut to {} {place}", facts.id, counted(words, "word", "words"));
                (!facts.title.trim().ends_with("...")).then_some(told)
            })
        };
        shown.flat_map(note).collect()
    }

    /// What catalogue entries have no room for.
    fn cut_entries(&self, clubs: &[PageFacts]) -> Vec<String> {
        let mut sheets = self.arguments.sheets.iter().map(|&choice| SheetKind::from(choice));
        if !self.kinds.contains(&PageKind::Catalogue) && !sheets.any(|sheet| sheet == SheetKind::Entries) {
            return Vec::new();
        }
        let note = |facts: &PageFacts| {
            let left_out = left_out_of_entry(facts).join(", ");
            let room = format!("the catalogue entry of {} has no room for {left_out}", facts.id);
            (!left_out.is_empty()).then(|| format!("note: {room}; a report has it all"))
        };
        clubs.iter().filter_map(note).collect()
    }

    /// How the answer of the page is asked for again.
    fn command(&self) -> String {
        let records = &self.arguments.records;
        let mut command = "agewright date record.toml".to_owned();
        if let Some(calibration) = &records.calibration {
            let name = calibration.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
            command += &format!(" --calibration {name}");
        }
        command += &format!(" --prior {}", self.request.prior_name());
        for clue in &records.without {
            command += &format!(" --without {clue}");
        }
        if let Some(years) = records.elsewhere {
            command += &format!(" --elsewhere={years}");
        }
        if let Some(before) = self.before {
            command += &format!(" --before {before}");
        }
        command
    }
}

/// Texts that no page has a place of its own for, with the key that they may have been meant as.
fn odd_texts(clubs: &[PageFacts]) -> Option<String> {
    let keys: BTreeSet<&str> = clubs.iter().flat_map(PageFacts::other_texts).collect();
    let named = keys.iter().map(|key| match nearest(key, TEXT_KEYS) {
        Some(near) => format!("text.{key} (did you mean text.{near}?)"),
        None => format!("text.{key}"),
    });
    let named = named.collect::<Vec<_>>().join(", ");
    let told = "no page has a place of its own for";
    (!named.is_empty()).then(|| format!("note: {told} {named}: a report has it, under \"About the club\""))
}

/// Folders that hold reports of other runs, each with the address of its report.
fn other_reports(root: &Path, folders: &[Folder]) -> Vec<(String, String)> {
    let entries = std::fs::read_dir(root).into_iter().flatten().flatten();
    let has_report = |name: &String| root.join(name).join("report.html").is_file();
    let is_other = |name: &String| folders.iter().all(|folder| folder.name != *name);
    let names = entries.map(|entry| entry.file_name().to_string_lossy().into_owned());
    let mut others: Vec<String> = names.filter(|name| is_other(name) && has_report(name)).collect();
    others.sort();
    others.into_iter().map(|name| (name.clone(), address(&name))).collect()
}

/// Address of the report in a folder of this name, from the folder that holds it (RFC 3986, section 2.1).
fn address(folder: &str) -> String {
    let mut address = String::new();
    for byte in folder.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.' | b'~') {
            address.push(char::from(byte));
        } else {
            let _ = write!(address, "%{byte:02X}");
        }
    }
    address + "/report.html"
}
