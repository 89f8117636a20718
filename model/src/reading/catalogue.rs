//! The catalogue: which clues there are, how each is read, which part it dates, and what of it misleads.

use crate::numbers::axis::{Axis, AxisError};
use crate::reading::cell::{Cell, Reading};
use crate::reading::cell_error::CellError;
use crate::reading::club::Club;
use crate::reading::clue::{Clue, ClueKind};
use crate::reading::clue_check::{ClueProblem, check_clue};
use crate::reading::document_path::DocumentPath;
use crate::reading::drawing::Drawing;
use crate::reading::level::Level;
use crate::reading::needs_met::{are_met, need_problem};
use crate::reading::part::Part;
use crate::reading::silence::{is_silent, silence_problem};
use crate::reading::specialist::SpecialistReasons;
use crate::reading::trap::{Trap, TrapProblem};
use std::collections::BTreeSet;
use thiserror::Error;

/// The list of clues a club is read by, and the axis of years; checked when it is made.
///
/// ```
/// use agewright_model::{Axis, Catalogue, Clue, ClueKind, Level, Part};
///
/// let axis = Axis::new(1780, 1940, 10).unwrap();
/// let pin = Clue {
///     levels: vec![Level::plain("front_back"), Level::plain("side_side")],
///     ..Clue::new("pin", ClueKind::Levels, Part::Head)
/// };
/// let catalogue = Catalogue::new("small", axis, vec![pin]).unwrap();
/// let club = catalogue.club("mine", &[("pin", "side_side?")]).unwrap();
/// assert!(club.cells[0].reading().unwrap().doubtful);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Catalogue {
    name: String,
    axis: Axis,
    clues: Vec<Clue>,
    traps: Vec<Trap>,
    specialist: SpecialistReasons,
    drawings: Vec<Drawing>,
}

/// What is wrong with a catalogue, and where.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("{problem}")]
pub struct CatalogueError {
    /// Where in the catalogue, by the keys of its file.
    pub path: DocumentPath,
    /// What.
    pub problem: CatalogueProblem,
}

/// What is wrong with a catalogue.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum CatalogueProblem {
    /// The years or the step make no axis.
    #[error(transparent)]
    Axis(#[from] AxisError),
    /// There is no clue.
    #[error("the catalogue lists no clue")]
    NoClue,
    /// Two clues share an id.
    #[error("clue id \"{0}\" stands twice")]
    TwiceClue(String),
    /// Something about one clue.
    #[error("clue \"{clue}\": {problem}")]
    Clue {
        /// The clue's id.
        clue: String,
        /// What is wrong.
        problem: ClueProblem,
    },
    /// A clue that needs what is not there.
    #[error("clue \"{clue}\": {problem}")]
    Needs {
        /// The clue's id.
        clue: String,
        /// What is wrong.
        problem: String,
    },
    /// Something about a trap.
    #[error(transparent)]
    Trap(#[from] TrapProblem),
    /// Something about a drawing, or a drawing that is named and not there.
    #[error("{0}")]
    Drawing(String),
}

/// Why readings make no club.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum ReadingError {
    /// A clue that the catalogue does not have.
    #[error("\"{0}\" is no clue of the catalogue")]
    Clue(String),
    /// A text that is no reading of its clue.
    #[error(transparent)]
    Cell(#[from] CellError),
}

impl Catalogue {
    /// A catalogue, checked.
    ///
    /// # Errors
    /// [`CatalogueError`] for what a clue lacks or contradicts.
    pub fn new(name: &str, axis: Axis, clues: Vec<Clue>) -> Result<Self, CatalogueError> {
        let wrong = |path: DocumentPath, problem| Err(CatalogueError { path, problem });
        if clues.is_empty() {
            return wrong(DocumentPath::root(), CatalogueProblem::NoClue);
        }
        let mut seen = BTreeSet::new();
        for (place, clue) in clues.iter().enumerate() {
            let path = || DocumentPath::key("clue").at(place);
            if let Err((within, problem)) = check_clue(clue) {
                let problem = CatalogueProblem::Clue { clue: clue.id.clone(), problem };
                return wrong(within.within(path()), problem);
            }
            if !seen.insert(clue.id.as_str()) {
                return wrong(path().then("id"), CatalogueProblem::TwiceClue(clue.id.clone()));
            }
        }
        for (place, clue) in clues.iter().enumerate() {
            // A clue that is looked at by itself has no other to need.
            let needs = clue.needs.as_ref().filter(|_| clues.len() > 1);
            if let Some(problem) = needs.and_then(|needs| need_problem(needs, &clues)) {
                let problem = CatalogueProblem::Needs { clue: clue.id.clone(), problem };
                return wrong(DocumentPath::key("clue").at(place).then("needs"), problem);
            }
            let silent_on = clue.silent_on.iter().filter(|_| clues.len() > 1);
            if let Some(problem) = silent_on.filter_map(|on| silence_problem(on, &clues)).next() {
                let problem = CatalogueProblem::Needs { clue: clue.id.clone(), problem };
                return wrong(DocumentPath::key("clue").at(place).then("silent_on"), problem);
            }
        }
        Ok(Self {
            name: name.to_owned(),
            axis,
            clues,
            traps: Vec::new(),
            specialist: SpecialistReasons::default(),
            drawings: Vec::new(),
        })
    }

    /// The same with traps of the trade.
    ///
    /// # Errors
    /// [`CatalogueError`] for a trap that speaks of what the catalogue does not have.
    pub fn with_traps(mut self, traps: Vec<Trap>) -> Result<Self, CatalogueError> {
        for (place, trap) in traps.iter().enumerate() {
            trap.check(&self.clues).map_err(|(within, problem)| CatalogueError {
                path: within.within(DocumentPath::key("trap").at(place)),
                problem: problem.into(),
            })?;
        }
        self.traps = traps;
        Ok(self)
    }

    /// The same with reasons to see a specialist.
    #[must_use]
    pub fn with_specialist(mut self, specialist: SpecialistReasons) -> Self {
        self.specialist = specialist;
        self
    }

    /// The same with drawings of its own, beside the built-in ones.
    #[must_use]
    pub fn with_drawings(mut self, drawings: Vec<Drawing>) -> Self {
        self.drawings = drawings;
        self
    }

    /// The same with every level and measured clue misread at least so often.
    #[must_use]
    pub fn with_least_misread(mut self, least: f64) -> Self {
        for clue in self.clues.iter_mut().filter(|clue| !clue.kind.is_known()) {
            clue.misread = clue.misread.max(least);
        }
        self
    }

    /// The same with another chance of misreading for every clue.
    ///
    /// # Errors
    /// [`CatalogueError`] for a chance outside 0 to below 1.
    pub fn with_misread(self, chance: impl Fn(&Clue) -> f64) -> Result<Self, CatalogueError> {
        let clues = self.clues.iter().map(|clue| Clue { misread: chance(clue), ..clue.clone() }).collect();
        let new = Self::new(&self.name, self.axis, clues)?.with_traps(self.traps)?;
        Ok(new.with_specialist(self.specialist).with_drawings(self.drawings))
    }

    /// Adds a mark as a level of its clue, where it is not one yet; nothing for a clue that has no marks.
    pub fn add_mark(&mut self, clue: &str, mark: Level) {
        let own = self.clues.iter_mut().find(|own| own.id == clue && own.kind == ClueKind::Mark);
        if let Some(clue) = own.filter(|clue| clue.level_ix(&mark.id).is_none()) {
            clue.levels.push(mark);
        }
    }

    /// Name, by which a record may say which catalogue it was read by.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Years and rows.
    #[must_use]
    pub fn axis(&self) -> Axis {
        self.axis
    }

    /// Clues, in the order they are best taken at the bench.
    #[must_use]
    pub fn clues(&self) -> &[Clue] {
        &self.clues
    }

    /// Traps of the trade.
    #[must_use]
    pub fn traps(&self) -> &[Trap] {
        &self.traps
    }

    /// Reasons to see a specialist.
    #[must_use]
    pub fn specialist(&self) -> &SpecialistReasons {
        &self.specialist
    }

    /// Drawings of its own.
    #[must_use]
    pub fn drawings(&self) -> &[Drawing] {
        &self.drawings
    }

    /// Place of a clue in the catalogue by its id.
    #[must_use]
    pub fn clue_ix(&self, id: &str) -> Option<usize> {
        self.clues.iter().position(|clue| clue.id == id)
    }

    /// A clue by its id.
    #[must_use]
    pub fn clue(&self, id: &str) -> Option<&Clue> {
        self.clues.iter().find(|clue| clue.id == id)
    }

    /// Name of a clue for people, by its id; the id itself for a clue that is not there.
    #[must_use]
    pub fn name_of(&self, id: &str) -> String {
        self.clue(id).map_or_else(|| id.to_owned(), Clue::name)
    }

    /// A club from its readings, each a clue's id and what would stand in a cell; all else is not examined.
    ///
    /// # Errors
    /// [`ReadingError`] for an unknown clue, or a text that is no reading of it.
    pub fn club(&self, id: &str, readings: &[(&str, &str)]) -> Result<Club, ReadingError> {
        let mut club = Club { id: id.to_owned(), cells: vec![Cell::NotExamined; self.clues.len()], ..Club::default() };
        for (clue, text) in readings {
            let ix = self.clue_ix(clue).ok_or_else(|| ReadingError::Clue((*clue).to_owned()))?;
            club.cells[ix] = Cell::from_text(&self.clues[ix], text, false)?;
        }
        Ok(club)
    }

    /// Clues with what stands on a club for each, in the order of the catalogue.
    pub fn read_on<'a>(&'a self, club: &'a Club) -> impl Iterator<Item = (&'a Clue, &'a Cell)> {
        let cells = club.cells.iter().chain(std::iter::repeat(&Cell::NotExamined));
        self.clues.iter().zip(cells)
    }

    /// Whether a clue makes sense on a club: what it needs of another clue is not ruled out by what was read.
    #[must_use]
    pub fn makes_sense(&self, clue: &Clue, club: &Club) -> bool {
        let Some(needs) = &clue.needs else { return true };
        self.read_on(club)
            .find(|(other, _)| other.id == needs.clue)
            .is_none_or(|(other, cell)| are_met(needs, other, cell))
    }

    /// Whether a clue says nothing of the date on a club, being as it is by the club's design.
    #[must_use]
    pub fn is_silent(&self, clue: &Clue, club: &Club) -> bool {
        let on = |id: &str| self.read_on(club).find(|(other, _)| other.id == id);
        clue.silent_on.iter().any(|one| on(&one.clue).is_some_and(|(other, cell)| is_silent(one, other, cell)))
    }

    /// Whether anything was looked for on a part.
    #[must_use]
    pub fn was_looked_at(&self, club: &Club, part: Part) -> bool {
        self.read_on(club).any(|(clue, cell)| clue.part == part && *cell != Cell::NotExamined)
    }

    /// Readings that cannot both be right: each of a clue with that of the clue which leaves nothing to read of it.
    /// What is worn away rules nothing out that was read.
    pub fn cannot_both<'a>(&'a self, club: &'a Club) -> impl Iterator<Item = [(&'a Clue, &'a Reading); 2]> {
        let read = || self.read_on(club).filter_map(|(clue, cell)| Some((clue, cell.reading()?)));
        read().filter(|(clue, _)| !self.makes_sense(clue, club)).filter_map(move |own| {
            let needs = own.0.needs.as_ref()?;
            Some([own, read().find(|(clue, _)| clue.id == needs.clue)?])
        })
    }

    /// The traps that a club's readings spring, in their order.
    pub fn sprung<'a>(&'a self, club: &'a Club) -> impl Iterator<Item = &'a Trap> {
        self.traps.iter().filter(|trap| trap.is_sprung(&self.clues, club))
    }
}

impl CatalogueError {
    /// An error of the years or the step.
    #[must_use]
    pub fn of_axis(error: AxisError) -> Self {
        let field = if matches!(error, AxisError::Step { .. }) { "step" } else { "years" };
        Self { path: DocumentPath::key(field), problem: error.into() }
    }
}
