//! The engine of the page: a request as JSON, its answer as JSON. It holds the calibration that the page opened with.

use crate::club_asked::{ClubAsked, club_of};
use crate::clubs_together::{bars_of, clubs_of, compared, record_of, table_of};
use crate::clue_cards::Opened;
use crate::request::{NamedText, OwnFiles, Request};
use crate::wrong::{Wrong, text_of};
use agewright_files::{InputProblem, LoadedCalibration, Refused, SourceText, built_in, read_marks};
use serde::Serialize;

/// Answers the page's requests one after another.
///
/// ```
/// let mut engine = agewright_bench::engine::Engine::default();
/// let club = r#"{"id": "mine", "readings": {"face_scoring": "smooth", "hosel_to_crease": "3 1/2 in"}}"#;
/// let answer = engine.answer(&format!(r#"{{"ask": "date", "club": {club}}}"#));
/// assert!(answer.contains("date_line") && engine.answer("?").contains("refused"));
/// ```
#[derive(Default)]
pub struct Engine {
    loaded: Option<LoadedCalibration>,
}

/// What is told where a request cannot be answered.
#[derive(Serialize)]
struct Refusal {
    refused: Vec<Wrong>,
}

impl Engine {
    /// The answer to a request; of one that makes no sense it says what is wrong with it (`refused`).
    #[must_use]
    pub fn answer(&mut self, request: &str) -> String {
        let answer = serde_json::from_str(request)
            .map_err(|error| Wrong::of_all(format!("this is no request: {error}")))
            .and_then(|request| self.of_request(request));
        answer.or_else(|refused| text_of(&Refusal { refused })).unwrap_or_default()
    }

    fn of_request(&mut self, request: Request) -> Result<String, Vec<Wrong>> {
        if let Request::Open { own } = &request {
            self.loaded = Some(loaded_with(own).map_err(Wrong::of_all)?);
        }
        let loaded = self.loaded()?;
        let catalogue = loaded.calibration.catalogue();
        match request {
            Request::Open { .. } => text_of(&Opened::of(loaded)),
            Request::Date { club, how } => ClubAsked::new(loaded, &club, &how)?.date(),
            Request::Short { club, how } => ClubAsked::new(loaded, &club, &how)?.short(),
            Request::Next { club, how } => ClubAsked::new(loaded, &club, &how)?.next(),
            Request::WhyNot { club, how, years } => ClubAsked::new(loaded, &club, &how)?.why_not(years),
            Request::Compare { clubs, how } => compared(loaded, &clubs, &how),
            Request::Pages { club, how, kind } => ClubAsked::new(loaded, &club, &how)?.pages(&kind),
            Request::Import { name, text } => clubs_of(catalogue, &SourceText::new(&name, &text)),
            Request::Clubs { clubs, table: true, .. } => table_of(catalogue, &clubs),
            Request::Clubs { clubs, how, .. } => bars_of(loaded, &clubs, &how),
            Request::Record { club } => record_of(catalogue, &club_of(catalogue, &club)?),
        }
    }

    /// The calibration; that which is built in, where the page was opened with no other.
    fn loaded(&mut self) -> Result<&LoadedCalibration, Vec<Wrong>> {
        if self.loaded.is_none() {
            self.loaded = Some(built_in().map_err(Wrong::of_all)?);
        }
        self.loaded.as_ref().ok_or_else(Vec::new)
    }
}

/// The page's own calibration and marks, or what is built in.
fn loaded_with(own: &OwnFiles) -> Result<LoadedCalibration, Refused> {
    let source = |file: &NamedText| SourceText::new(&file.name, &file.text);
    let mut loaded = match &own.calibration {
        Some(file) => LoadedCalibration::read(&source(file))?,
        None => built_in()?,
    };
    for file in &own.marks {
        let added = read_marks(&source(file), loaded.calibration.catalogue())?;
        loaded.calibration = loaded
            .calibration
            .with_marks(added)
            .map_err(|error| Refused::from(InputProblem::new(&source(file), None, error.to_string())))?;
    }
    Ok(loaded)
}
