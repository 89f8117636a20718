//! `agewright record`: entry at the bench, clue by clue.

use crate::arguments::{PlainFormat, RecordingArguments};
use crate::asked::interrupted::Interrupted;
use crate::asked::request::{Request, ShownAccount, calibration};
use crate::disk::json_line::print_json;
use crate::disk::record_file::RecordFile;
use crate::disk::whole_file::check_may_write;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::nearest_word::cell_hint;
use agewright_model::{Catalogue, Cell, Club, Clue, Dating};
use agewright_pages::json::dating::Answer;
use agewright_pages::terminal::bench_sheet::clue_prompt;
use agewright_pages::terminal::date_text::{DateText, date_text};
use agewright_pages::terminal::page::Page;
use agewright_pages::words::date_line::date_line;
use std::io::{BufRead, BufReader, Write};

/// Texts that are asked for behind the clues.
const TEXTS: [(&str, &str); 4] = [
    ("title", "What it is, for the page (e.g. Iron with a smooth face)"),
    ("inscription", "Marks, letter by letter, gaps as [...]"),
    ("condition", "Condition"),
    ("note", "Note"),
];

/// What a person answers.
enum Said {
    Skip,
    Back,
    Stop,
    Help,
    Clear,
    Text(String),
}

pub fn run(arguments: &RecordingArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    if arguments.out.extension().is_none_or(|ending| !ending.eq_ignore_ascii_case("toml")) {
        return Err(Failure::Usage(format!("{}: the name of a record must end in .toml", arguments.out.display())));
    }
    let loaded = calibration(arguments.calibration.as_deref(), &arguments.marks, streams)?;
    let request = Request::of_one(loaded, arguments.prior.clone())?;
    let catalogue = request.loaded.calibration.catalogue();
    if !arguments.resume {
        check_may_write(&arguments.out, false).map_err(|failure| match failure {
            Failure::Rejected(_) => Failure::Rejected(format!(
                "{} exists and was left as it is\nWhat to do: choose another name, or go on with it by --resume",
                arguments.out.display()
            )),
            other => other,
        })?;
    }
    let found = if arguments.resume { Some(RecordFile::resume(&arguments.out, catalogue, streams)?) } else { None };
    let page = streams.page;
    let interrupted = Interrupted::watch(arguments, page);
    let Streams { stdin, stdout, stderr, .. } = streams;
    let mut entry = Entry { request: &request, catalogue, input: BufReader::new(stdin), out: stderr, page };
    let (mut file, mut club) = match found {
        Some((file, club)) => (file, club),
        None => entry.begin(arguments)?,
    };
    interrupted.may_tell_of(&file);
    entry.clues(&mut file, &mut club, &interrupted)?;
    let kept = if file.is_saved() {
        format!("Saved in {}.", file.path().display())
    } else {
        "Nothing was answered, and nothing was written.".to_owned()
    };
    writeln!(entry.out, "\n{}", page.wrapped(&kept, ""))?;
    let mut streams = Streams { stdin: &mut std::io::empty(), stdout: *stdout, stderr: *entry.out, page };
    report(arguments, &request, &club, &mut streams)
}

/// The answer at the end.
fn report(
    arguments: &RecordingArguments,
    request: &Request,
    club: &Club,
    streams: &mut Streams<'_>,
) -> Result<(), Failure> {
    let shown = match arguments.format {
        PlainFormat::Text => ShownAccount::Years,
        PlainFormat::Json => ShownAccount::YearsAndBits,
    };
    let parts = request.answers_of(club, shown)?;
    match arguments.format {
        PlainFormat::Text => {
            let shown = DateText { parts: &parts, before: None, detail: false, like: false };
            Ok(write!(streams.stdout, "{}", date_text(streams.page, &shown))?)
        }
        PlainFormat::Json => {
            let answer = Answer::of_club(&request.loaded, &parts, None);
            answer.map_or(Ok(()), |answer| print_json(&answer, streams))
        }
    }
}

/// One sitting at the bench.
struct Entry<'a, 'b> {
    request: &'a Request,
    catalogue: &'a Catalogue,
    input: BufReader<&'a mut &'b mut dyn std::io::Read>,
    out: &'a mut &'b mut dyn Write,
    page: Page,
}

impl Entry<'_, '_> {
    fn begin(&mut self, arguments: &RecordingArguments) -> Result<(RecordFile, Club), Failure> {
        let id = match &arguments.id {
            Some(id) => id.trim().to_owned(),
            None => loop {
                write!(self.out, "Id of the club, a name or number of its own\n> ")?;
                match self.listen()? {
                    Said::Text(id) => break id,
                    Said::Stop => return Err(Failure::Usage("the club needs an id; nothing was written".to_owned())),
                    _ => {}
                }
            },
        };
        if id.is_empty() || id.chars().any(char::is_control) {
            return Err(Failure::Usage("--id: a name or number on one line".to_owned()));
        }
        let file = RecordFile::new(&arguments.out, &id, self.catalogue)?;
        let cells = vec![Cell::NotExamined; self.catalogue.clues().len()];
        Ok((file, Club { id, cells, ..Club::default() }))
    }

    /// Asks for all clues and texts, from the first that has no answer yet.
    fn clues(&mut self, file: &mut RecordFile, club: &mut Club, interrupted: &Interrupted) -> Result<(), Failure> {
        let clues = self.catalogue.clues();
        let n_clues = clues.len();
        writeln!(
            self.out,
            "{}",
            self.page.wrapped(
                "Enter (or skip) passes on, < (back) goes back, - (clear) takes an answer away, ? (help) tells how, . \
                 (stop) ends. Add ? behind a doubtful reading; \"unreadable\" for worn or covered, \"altered\" for \
                 known later work, a|b for one of these. Every answer is saved as it is given. Nothing is cleaned, \
                 unwound or taken apart; chisel-cut points are sharp.",
                ""
            )
        )?;
        let is_open = |ix: &usize| {
            let is_asked = clues.get(*ix).is_some_and(|clue| self.catalogue.makes_sense(clue, club));
            is_asked && club.cells.get(*ix) == Some(&Cell::NotExamined)
        };
        let mut at = (0..n_clues).find(is_open).unwrap_or(n_clues);
        while at < n_clues + TEXTS.len() {
            let next = match clues.get(at) {
                Some(clue) => self.clue(file, club, at, clue)?,
                None => self.text(file, club, TEXTS[at - n_clues])?,
            };
            interrupted.may_tell_of(file);
            // What another answer leaves nothing to read of is not asked for.
            let is_asked = |at: &usize| clues.get(*at).is_none_or(|clue| self.catalogue.makes_sense(clue, club));
            match next {
                Next::On => at = (at + 1..).find(is_asked).unwrap_or(at + 1),
                Next::Back => at = (0..at).rev().find(is_asked).unwrap_or(0),
                Next::Stop => break,
            }
        }
        Ok(())
    }

    fn clue(&mut self, file: &mut RecordFile, club: &mut Club, ix: usize, clue: &Clue) -> Result<Next, Failure> {
        let n_clues = self.catalogue.clues().len();
        write!(self.out, "\n{}", clue_prompt(self.page, clue, ix + 1, n_clues, club.cells.get(ix)))?;
        loop {
            write!(self.out, "> ")?;
            let text = match self.listen()? {
                Said::Skip => return Ok(Next::On),
                Said::Back => return Ok(Next::Back),
                Said::Stop => return Ok(Next::Stop),
                Said::Help => {
                    write!(self.out, "{}", clue_prompt(self.page, clue, ix + 1, n_clues, club.cells.get(ix)))?;
                    writeln!(self.out, "{}", self.page.indented(&ways_of_writing(clue), "  "))?;
                    continue;
                }
                Said::Clear => {
                    club.cells[ix] = Cell::NotExamined;
                    file.set_reading(&clue.id, None)?;
                    return Ok(Next::On);
                }
                Said::Text(text) => as_kept(clue, &text),
            };
            match Cell::from_text(clue, &text, false) {
                Ok(cell) => {
                    // A comma that is read as a decimal one is kept as a point.
                    let kept = if clue.kind.is_measure() { text.replace(',', ".") } else { text };
                    let cell = Cell::from_text(clue, &kept, false).unwrap_or(cell);
                    file.set_reading(&clue.id, Some(&kept))?;
                    club.cells[ix] = cell;
                    self.so_far(club)?;
                    return Ok(Next::On);
                }
                Err(error) => {
                    let help = cell_hint(clue, &text, &error);
                    let help = help.map_or_else(String::new, |help| format!("; {help}"));
                    writeln!(self.out, "{}", self.page.wrapped(&format!("{error}{help}"), "  "))?;
                }
            }
        }
    }

    fn text(&mut self, file: &mut RecordFile, club: &mut Club, (key, what): (&str, &str)) -> Result<Next, Failure> {
        let now = if key == "note" { Some(&club.note).filter(|note| !note.is_empty()) } else { club.text.get(key) };
        let now = now.map_or_else(String::new, |now| format!("\n  now: {now}"));
        write!(self.out, "\n{}{now}\n> ", self.page.wrapped(what, ""))?;
        loop {
            match self.listen()? {
                Said::Skip => return Ok(Next::On),
                Said::Clear => {
                    file.set_text(key, None)?;
                    if key == "note" {
                        club.note.clear();
                    } else {
                        club.text.remove(key);
                    }
                    return Ok(Next::On);
                }
                Said::Back => return Ok(Next::Back),
                Said::Stop => return Ok(Next::Stop),
                Said::Help => write!(self.out, "For the page, never evidence\n> ")?,
                Said::Text(text) if text.chars().any(char::is_control) => {
                    write!(self.out, "There are control characters in it\n> ")?;
                }
                Said::Text(text) => {
                    file.set_text(key, Some(&text))?;
                    if key == "note" {
                        club.note = text;
                    } else {
                        club.text.insert(key.to_owned(), text);
                    }
                    return Ok(Next::On);
                }
            }
        }
    }

    /// One answer; the end of the input is a stop.
    fn listen(&mut self) -> Result<Said, Failure> {
        self.out.flush()?;
        let mut line = Vec::new();
        if self.input.read_until(b'\n', &mut line)? == 0 {
            return Ok(Said::Stop);
        }
        let text = String::from_utf8_lossy(&line);
        let text = text.trim();
        Ok(match text.to_lowercase().as_str() {
            "" | "skip" | "next" => Said::Skip,
            "<" | "back" => Said::Back,
            "." | "stop" | "quit" | "exit" => Said::Stop,
            "?" | "help" => Said::Help,
            "-" | "clear" => Said::Clear,
            _ => Said::Text(text.to_owned()),
        })
    }

    /// The running date, of each part that something was read of.
    fn so_far(&mut self, club: &Club) -> Result<(), Failure> {
        for part in self.request.parts() {
            let dating = Dating::of(&self.request.ask(club, part)?);
            if dating.has_evidence() {
                writeln!(self.out, "  so far, {}: {}", part.word(), date_line(&dating))?;
            }
        }
        Ok(())
    }
}

enum Next {
    On,
    Back,
    Stop,
}

/// What may be written for a clue beyond what its prompt lists.
fn ways_of_writing(clue: &Clue) -> String {
    if clue.kind.is_measure() {
        return "Written 3.5, 3 1/2, 89 mm, 3.5 +/- 0.1 or 3.4 to 3.6; ? behind it for doubt; Enter if you did not look."
            .to_owned();
    }
    let others = clue.levels.iter().filter(|level| !level.synonyms.is_empty());
    let others: Vec<String> =
        others.map(|level| format!("{} also as {}", level.name(), level.synonyms.join(", "))).collect();
    let others = if others.is_empty() { String::new() } else { format!(" {}.", others.join("; ")) };
    format!("Its number or its word, 1|2 for one of two, ? behind it for doubt; Enter if you did not look.{others}")
}

/// An answer as it is kept: levels by their words.
fn as_kept(clue: &Clue, text: &str) -> String {
    if clue.kind.is_measure() { text.to_owned() } else { by_number(clue, text) }
}

/// Levels may be chosen by their numbers on the screen: `2`, `1|2`, `2?`; a level that is itself named so comes first.
fn by_number(clue: &Clue, text: &str) -> String {
    let (body, doubt) = text.strip_suffix('?').map_or((text, ""), |body| (body, "?"));
    let named = |word: &str| {
        if clue.levels.iter().any(|level| level.words().any(|own| own == word.trim())) {
            return None;
        }
        let number: usize = word.trim().parse().ok()?;
        clue.levels.get(number.checked_sub(1)?).map(|level| level.id.clone())
    };
    let words: Vec<String> =
        body.split('|').map(|word| named(word).unwrap_or_else(|| word.trim().to_owned())).collect();
    format!("{}{doubt}", words.join("|"))
}
