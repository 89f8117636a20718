//! The clues as the page asks for them: what to look at, how, and what may be answered.

use agewright_files::LoadedCalibration;
use agewright_files::drawings::Drawings;
use agewright_model::{Clue, ClueKind, Level};
use agewright_pages::drawings::shown::{clue_drawing, level_drawing};
use serde::Serialize;

/// What the page begins with.
#[derive(Serialize)]
pub(crate) struct Opened<'a> {
    pub calibration: &'a str,
    pub sha256: &'a str,
    pub notice: &'a str,
    pub priors: Vec<PriorCard<'a>>,
    pub clues: Vec<ClueCard>,
}

#[derive(Serialize)]
pub(crate) struct PriorCard<'a> {
    id: &'a str,
    about: &'a str,
    is_default: bool,
}

#[derive(Serialize)]
pub(crate) struct ClueCard {
    id: String,
    name: String,
    part: &'static str,
    how: String,
    /// `measure`, `levels` or `number`.
    entry: &'static str,
    /// Units that it can be written in, its own first.
    units: Vec<&'static str>,
    /// The unit of a bare number, in words.
    bare: &'static str,
    /// Measures as they may be written.
    example: &'static str,
    drawing: Option<String>,
    levels: Vec<LevelCard>,
}

#[derive(Serialize)]
struct LevelCard {
    id: String,
    name: String,
    look: String,
    drawing: Option<String>,
}

impl<'a> Opened<'a> {
    pub fn of(loaded: &'a LoadedCalibration) -> Self {
        let calibration = &loaded.calibration;
        let catalogue = calibration.catalogue();
        let drawings = Drawings::of(catalogue);
        let prior = |prior: &'a agewright_model::Prior| PriorCard {
            id: &prior.name,
            about: &prior.about,
            is_default: prior.name == calibration.default_prior(),
        };
        Self {
            calibration: calibration.name(),
            sha256: &loaded.sha256,
            notice: &calibration.origin().notice,
            priors: calibration.tables().priors.iter().map(prior).collect(),
            // Of a mark that no file tells the years of there is nothing to be entered.
            clues: catalogue
                .clues()
                .iter()
                .filter(|clue| clue.kind != ClueKind::Mark || !clue.levels.is_empty())
                .map(|clue| clue_card(drawings, clue))
                .collect(),
        }
    }
}

fn clue_card(drawings: Drawings<'_>, clue: &Clue) -> ClueCard {
    let level = |level: &Level| LevelCard {
        id: level.id.clone(),
        name: level.name(),
        look: level.look.clone(),
        drawing: level_drawing(drawings, clue, level),
    };
    let own = clue.unit.symbol();
    let others = clue.unit.allowed_words().iter().copied().filter(|word| *word != own);
    ClueCard {
        id: clue.id.clone(),
        name: clue.name(),
        part: clue.part.word(),
        how: clue.how.clone(),
        entry: match clue.kind {
            ClueKind::Measured => "measure",
            ClueKind::Levels | ClueKind::Mark => "levels",
            ClueKind::Register => "number",
        },
        units: std::iter::once(own).filter(|own| !own.is_empty()).chain(others).collect(),
        bare: clue.unit.plural(),
        example: clue.unit.example(),
        drawing: clue_drawing(drawings, clue),
        levels: clue.levels.iter().map(level).collect(),
    }
}
