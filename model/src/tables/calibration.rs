//! The calibration: all tables, with the catalogue and where they came from, checked as a whole.

use crate::reading::catalogue::Catalogue;
use crate::reading::clue::{Clue, ClueKind};
use crate::reading::level::Level;
use crate::reading::part::Part;
use crate::tables::calibration_error::CalibrationError;
use crate::tables::contents::CalibrationContents;
use crate::tables::contents_check::check_contents;
use crate::tables::laid_shelf::LaidShelf;
use crate::tables::mark_use::MarkUse;
use crate::tables::origin::Origin;
use crate::tables::prior::{Prior, UnknownPrior};
use crate::tables::replacement::{PartsModel, SignTable};
use crate::tables::shares::SharesMoved;
use crate::tables::shelf::Shelf;
use crate::tables::table_set::TableSet;
use std::sync::Arc;

/// All that is needed to date a club. There is none that has not passed every check, so that none makes a dating fail.
///
/// ```
/// use agewright_model::tables::level_table::{LevelRow, LevelTable};
/// use agewright_model::{Axis, Calibration, CalibrationContents, Catalogue, Clue, ClueKind, Level, Origin, Part};
/// use agewright_model::{Prior, TableSet};
///
/// let axis = Axis::new(1850, 1900, 10).unwrap();
/// let levels = vec![Level::plain("coarse"), Level::plain("fine")];
/// let nicking = Clue { levels, misread: 0.1, ..Clue::new("nicking", ClueKind::Levels, Part::Head) };
/// // Coarse teeth grow rarer: 9 in 10 in the 1850s, 1 in 10 in the 1890s.
/// let row = |r: usize| LevelRow { clubs: 5.0, shares: vec![0.9 - 0.2 * r as f64, 0.1 + 0.2 * r as f64] };
/// let table = LevelTable {
///     clue: "nicking".into(), clubs: 25, bandwidth: 10.0, weight: 1.0, overall: vec![0.5, 0.5],
///     rows: (0..5).map(row).collect(),
/// };
/// let contents = CalibrationContents {
///     name: "small".into(),
///     catalogue: Catalogue::new("small", axis, vec![nicking]).unwrap(),
///     origin: Origin::default(),
///     tables: TableSet { levels: vec![table], ..TableSet::default() },
///     marks: Vec::new(), parts: None, shelf: None, shared_lag: 0.0, default_prior: Prior::FLAT.into(),
///     draws: Vec::new(),
/// };
/// let calibration = Calibration::new(contents.clone()).unwrap();
/// assert_eq!(calibration.parts_dated(), [Part::Head]);
/// // What makes no sense is refused, with its place.
/// let mut spoilt = contents;
/// spoilt.tables.levels[0].rows[3].shares = vec![0.9, 0.9];
/// assert_eq!(Calibration::new(spoilt).unwrap_err().path.to_string(), "levels[0].rows[3].shares");
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Calibration {
    contents: CalibrationContents,
    moved: Vec<SharesMoved>,
    laid: Vec<Arc<LaidShelf>>,
}

impl Calibration {
    /// A calibration of these contents, everything checked; shares that are off 1 by rounding, or by an edit of at most
    /// 0.005, are brought to it. The flat prior is added where it is missing.
    ///
    /// # Errors
    /// [`CalibrationError`] with the first thing that is wrong, and where.
    pub fn new(mut contents: CalibrationContents) -> Result<Self, CalibrationError> {
        let flat = Prior::flat(contents.catalogue.axis());
        for tables in std::iter::once(&mut contents.tables).chain(&mut contents.draws) {
            if tables.prior(Prior::FLAT).is_err() {
                tables.priors.insert(0, flat.clone());
            }
        }
        let moved = check_contents(&mut contents)?;
        let mut laid = Vec::new();
        if let (Some(shelf), Ok(prior)) = (&contents.shelf, contents.tables.prior(Prior::AS_COLLECTED)) {
            let of_part = |part| Arc::new(LaidShelf::new(&contents.catalogue, shelf, part, prior));
            laid.extend(shelf.parts.iter().map(of_part));
        }
        Ok(Self { contents, moved, laid })
    }

    /// What it is made of, to be changed and checked again.
    #[must_use]
    pub fn into_contents(self) -> CalibrationContents {
        self.contents
    }

    /// The same with more marks, each with its years of use; a mark that its clue does not list yet becomes a level of
    /// it.
    ///
    /// # Errors
    /// [`CalibrationError`] for years that make no sense or a clue that has no marks.
    pub fn with_marks(self, added: Vec<MarkUse>) -> Result<Self, CalibrationError> {
        let mut contents = self.contents;
        for mark in &added {
            let (look, label) = (mark.source.clone(), mark.written.clone());
            let level = Level { look, label, ..Level::plain(&mark.mark) };
            contents.catalogue.add_mark(&mark.clue, level);
        }
        contents.marks.extend(added);
        Self::new(contents)
    }

    /// Name, shown with every answer.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.contents.name
    }

    /// The catalogue it was fitted with.
    #[must_use]
    pub fn catalogue(&self) -> &Catalogue {
        &self.contents.catalogue
    }

    /// Where it came from.
    #[must_use]
    pub fn origin(&self) -> &Origin {
        &self.contents.origin
    }

    /// The fitted tables.
    #[must_use]
    pub fn tables(&self) -> &TableSet {
        &self.contents.tables
    }

    /// The tables fitted on resampled clubs; often none.
    #[must_use]
    pub fn draws(&self) -> &[TableSet] {
        &self.contents.draws
    }

    /// The dated clubs themselves, where they are kept beside the tables.
    #[must_use]
    pub fn shelf(&self) -> Option<&Shelf> {
        self.contents.shelf.as_ref()
    }

    /// The shelf of a part, its readings in their places.
    pub(crate) fn laid_shelf(&self, part: Part) -> Option<&Arc<LaidShelf>> {
        self.laid.iter().find(|laid| laid.part.part == part)
    }

    /// Years of use of the marks.
    #[must_use]
    pub fn marks(&self) -> &[MarkUse] {
        &self.contents.marks
    }

    /// How shaft and grip belong to the head, where rules say it.
    #[must_use]
    pub fn parts_model(&self) -> Option<&PartsModel> {
        self.contents.parts.as_ref()
    }

    /// Standard deviation in years of the lead or lag that all clues of fashion of a club share; 0 for none.
    #[must_use]
    pub fn shared_lag(&self) -> f64 {
        self.contents.shared_lag
    }

    /// The same of a club from another region, which leads or lags by a standard deviation of so many years beside the
    /// club: variances add.
    #[must_use]
    pub fn shared_lag_elsewhere(&self, years: f64) -> f64 {
        self.contents.shared_lag.hypot(years)
    }

    /// Name of the prior that is used when none is asked for.
    #[must_use]
    pub fn default_prior(&self) -> &str {
        &self.contents.default_prior
    }

    /// Shares that an edit had moved, and that were brought to a sum of 1.
    #[must_use]
    pub fn moved_shares(&self) -> &[SharesMoved] {
        &self.moved
    }

    /// Whether no dated club stands behind it.
    #[must_use]
    pub fn is_of_rules_alone(&self) -> bool {
        self.contents.origin.clubs == 0
    }

    /// Periods of use of a clue's marks.
    #[must_use]
    pub fn uses_of(&self, clue: &str) -> Vec<&MarkUse> {
        self.contents.marks.iter().filter(|mark| mark.clue == clue).collect()
    }

    /// Table of a sign that a shaft or grip is a later one.
    #[must_use]
    pub fn sign(&self, clue: &str) -> Option<&SignTable> {
        self.contents.parts.as_ref()?.sign(clue)
    }

    /// A prior by its name; `None` asks for the calibration's own choice.
    ///
    /// # Errors
    /// [`UnknownPrior`] with the names there are.
    pub fn prior(&self, name: Option<&str>) -> Result<&Prior, UnknownPrior> {
        self.contents.tables.prior(name.unwrap_or(&self.contents.default_prior))
    }

    /// The prior for a whole collection, where the calibration names one.
    #[must_use]
    pub fn collection_prior(&self) -> Option<&Prior> {
        self.contents.tables.priors.iter().find(|prior| prior.for_collections)
    }

    /// Parts that the calibration can date: those with a table.
    #[must_use]
    pub fn parts_dated(&self) -> Vec<Part> {
        let has_table = |clue: &&Clue| self.tables().knows(clue);
        let clues = self.catalogue().clues();
        let tabled = |part: Part| clues.iter().filter(has_table).any(|clue| clue.part == part);
        Part::ALL.into_iter().filter(|&part| tabled(part)).collect()
    }

    /// The part that answers are about first: the head, where it can be dated.
    #[must_use]
    pub fn main_part(&self) -> Part {
        self.parts_dated().first().copied().unwrap_or(Part::Head)
    }

    /// Whether a clue's readings can say anything by this calibration.
    #[must_use]
    pub fn knows(&self, clue: &Clue) -> bool {
        match clue.kind {
            ClueKind::Mark => !self.uses_of(&clue.id).is_empty(),
            ClueKind::Register => true,
            _ => self.tables().knows(clue) || self.is_on_the_shelf(clue),
        }
    }

    /// Whether clubs are laid beside one another by a clue.
    #[must_use]
    pub fn is_on_the_shelf(&self, clue: &Clue) -> bool {
        self.laid_shelf(clue.part).is_some_and(|laid| laid.part.clue(&clue.id).is_some())
    }
}
