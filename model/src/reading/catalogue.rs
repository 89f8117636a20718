//! The catalogue: which clues there are, how each is read, and which part it dates.

use crate::numbers::axis::{Axis, AxisError};
use crate::reading::register::Register;
use crate::reading::scale::Scale;
use crate::reading::units::Unit;
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use thiserror::Error;

/// The list of clues a club is read by, and the axis of years.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "CatalogueRecord", into = "CatalogueRecord")]
pub struct Catalogue {
    /// Name, by which a record may say which catalogue it was read by.
    pub name: String,
    /// Years and rows.
    pub axis: Axis,
    /// Clues, in the order they are best taken at the bench.
    pub clues: Vec<Clue>,
}

/// First year and first year after, as the catalogue writes them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct YearRange {
    /// First year.
    pub from: i32,
    /// First year after the last.
    pub to: i32,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CatalogueRecord {
    name: String,
    years: YearRange,
    #[serde(default = "a_decade")]
    step: i32,
    #[serde(rename = "clue", default)]
    clues: Vec<Clue>,
}

fn a_decade() -> i32 {
    10
}

/// One observable feature of a club.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Clue {
    /// Short name: a-z, 0-9 and `_`; the datum is part of it.
    pub id: String,
    /// Name for people.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub label: String,
    /// What a reading of it is.
    pub kind: ClueKind,
    /// Unit of a measured clue.
    #[serde(default, skip_serializing_if = "is_plain")]
    pub unit: Unit,
    /// Scale a measured clue is modelled on.
    #[serde(default, skip_serializing_if = "is_linear")]
    pub scale: Scale,
    /// Lowest and highest believable measure; outside is refused as a slip of the pen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub range: Option<[f64; 2]>,
    /// Usual error of one measuring, in the clue's unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tolerance: Option<f64>,
    /// Levels of a level clue.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub levels: Vec<Level>,
    /// File of the marks' years of use, as the catalogue names it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub marks: Option<String>,
    /// The register that the numbers of a register clue belong to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub register: Option<Register>,
    /// Whether the levels have an order (for display).
    #[serde(default, skip_serializing_if = "is_false")]
    pub ordered: bool,
    /// Corrects the measured clues and is no evidence of date by itself.
    #[serde(default, skip_serializing_if = "is_false")]
    pub adjusts: bool,
    /// The part that the clue dates.
    pub part: Part,
    /// Chance that a reading is wrong or belongs to later work, 0 to below 1.
    pub misread: f64,
    /// How to take the reading.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub how: String,
}

fn is_false(value: &bool) -> bool {
    !value
}
fn is_plain(unit: &Unit) -> bool {
    *unit == Unit::Plain
}
fn is_linear(scale: &Scale) -> bool {
    *scale == Scale::Linear
}

/// What a reading of a clue is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ClueKind {
    /// A number with a unit.
    Measured,
    /// One of several levels.
    Levels,
    /// A stamp with years of use.
    Mark,
    /// A number in a register.
    Register,
}

/// The part of a club that a clue dates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Part {
    /// The head.
    Head,
    /// The shaft.
    Shaft,
    /// The grip.
    Grip,
}

impl Part {
    /// All parts, head first.
    pub const ALL: [Self; 3] = [Self::Head, Self::Shaft, Self::Grip];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Head => "head",
            Self::Shaft => "shaft",
            Self::Grip => "grip",
        }
    }
}

/// A level of a level clue.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(from = "LevelRecord", into = "LevelRecord")]
pub struct Level {
    /// Short name.
    pub id: String,
    /// What it looks like, for the bench sheet; may be empty.
    pub look: String,
}

#[derive(Serialize, Deserialize)]
#[serde(untagged)]
enum LevelRecord {
    Word(String),
    Look(LookRecord),
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct LookRecord {
    id: String,
    look: String,
}

impl From<LevelRecord> for Level {
    fn from(record: LevelRecord) -> Self {
        match record {
            LevelRecord::Word(id) => Self { id, look: String::new() },
            LevelRecord::Look(LookRecord { id, look }) => Self { id, look },
        }
    }
}

impl From<Level> for LevelRecord {
    fn from(level: Level) -> Self {
        if level.look.is_empty() {
            Self::Word(level.id)
        } else {
            Self::Look(LookRecord { id: level.id, look: level.look })
        }
    }
}

/// What is wrong with a catalogue.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum CatalogueError {
    /// The years or the step make no axis.
    #[error(transparent)]
    Axis(#[from] AxisError),
    /// There is no clue.
    #[error("the catalogue lists no clue")]
    NoClue,
    /// A clue's id has a character outside a-z, 0-9 and `_`, or is empty.
    #[error("clue id \"{0}\": use a-z, 0-9 and _ only")]
    Id(String),
    /// Two clues share an id.
    #[error("clue id \"{0}\" stands twice")]
    TwiceClue(String),
    /// An id that the collection table needs for itself.
    #[error("clue id \"{0}\" is the name of a column of its own in a collection; choose another")]
    Reserved(String),
    /// Something about one clue.
    #[error("clue \"{clue}\": {problem}")]
    Clue {
        /// The clue's id.
        clue: String,
        /// What is wrong, with the value.
        problem: String,
    },
}

impl CatalogueError {
    /// The id of the clue concerned, if one is.
    #[must_use]
    pub fn clue(&self) -> Option<&str> {
        match self {
            Self::Id(id) | Self::TwiceClue(id) | Self::Reserved(id) | Self::Clue { clue: id, .. } => Some(id),
            _ => None,
        }
    }
}

/// Columns of a collection that are not clues.
pub(crate) const OWN_COLUMNS: [&str; 5] = ["id", "made_from", "made_to", "note", "date_grade"];
/// Words that a cell may hold in place of a level.
const OWN_WORDS: [&str; 2] = ["unreadable", "altered"];

impl Catalogue {
    /// A catalogue, checked.
    ///
    /// # Errors
    /// [`CatalogueError`] for what a clue lacks or contradicts.
    pub fn new(name: String, axis: Axis, clues: Vec<Clue>) -> Result<Self, CatalogueError> {
        if clues.is_empty() {
            return Err(CatalogueError::NoClue);
        }
        let mut seen = BTreeSet::new();
        for clue in &clues {
            clue.check()?;
            if !seen.insert(clue.id.as_str()) {
                return Err(CatalogueError::TwiceClue(clue.id.clone()));
            }
        }
        Ok(Self { name, axis, clues })
    }

    /// Place of a clue in the catalogue by its id.
    #[must_use]
    pub fn clue_ix(&self, id: &str) -> Option<usize> {
        self.clues.iter().position(|clue| clue.id == id)
    }
}

impl TryFrom<CatalogueRecord> for Catalogue {
    type Error = CatalogueError;
    fn try_from(record: CatalogueRecord) -> Result<Self, CatalogueError> {
        let axis = Axis::new(record.years.from, record.years.to, record.step)?;
        Self::new(record.name, axis, record.clues)
    }
}

impl From<Catalogue> for CatalogueRecord {
    fn from(catalogue: Catalogue) -> Self {
        Self {
            name: catalogue.name,
            years: YearRange { from: catalogue.axis.from(), to: catalogue.axis.to() },
            step: catalogue.axis.step(),
            clues: catalogue.clues,
        }
    }
}

fn is_id(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
}

impl Clue {
    /// Name for people: the label, or the id with its underscores as spaces.
    #[must_use]
    pub fn name(&self) -> String {
        if self.label.is_empty() { self.id.replace('_', " ") } else { self.label.clone() }
    }

    fn problem(&self, problem: impl Into<String>) -> CatalogueError {
        CatalogueError::Clue { clue: self.id.clone(), problem: problem.into() }
    }

    fn check(&self) -> Result<(), CatalogueError> {
        if !is_id(&self.id) {
            return Err(CatalogueError::Id(self.id.clone()));
        }
        if OWN_COLUMNS.contains(&self.id.as_str()) {
            return Err(CatalogueError::Reserved(self.id.clone()));
        }
        if !(0.0..1.0).contains(&self.misread) {
            return Err(self.problem(format!("misread = {}: it must be at least 0 and below 1", self.misread)));
        }
        match self.kind {
            ClueKind::Measured => self.check_measured(),
            ClueKind::Levels => self.check_levels(),
            ClueKind::Mark => self.check_mark(),
            ClueKind::Register => self.check_register(),
        }
    }

    fn check_measured(&self) -> Result<(), CatalogueError> {
        if !self.levels.is_empty() {
            return Err(self.problem("a measured clue has no levels"));
        }
        if let Some([low, high]) = self.range {
            if !(low.is_finite() && high.is_finite() && low < high) {
                return Err(self.problem(format!("range = [{low}, {high}]: the first must be below the second")));
            }
            if self.scale == Scale::Log && low <= 0.0 {
                return Err(self.problem(format!("range begins at {low}: on a log scale it must begin above 0")));
            }
        }
        match self.tolerance {
            Some(t) if !(t.is_finite() && t >= 0.0) => {
                Err(self.problem(format!("tolerance = {t}: it must not be below 0")))
            }
            _ => Ok(()),
        }
    }

    /// A mark's years of use stand in a file of their own; its levels may all come from there.
    fn check_mark(&self) -> Result<(), CatalogueError> {
        if self.adjusts || self.register.is_some() {
            return Err(self.problem("a mark adjusts nothing and is of no register"));
        }
        self.check_level_words()
    }

    fn check_register(&self) -> Result<(), CatalogueError> {
        if self.register.is_none() {
            return Err(self.problem("it needs register = \"uk_designs\", \"us_patents\" or \"gb_patents\""));
        }
        if self.adjusts || !self.levels.is_empty() || self.range.is_some() || self.unit != Unit::Plain {
            return Err(self.problem("a number of a register has no levels, unit or range, and adjusts nothing"));
        }
        Ok(())
    }

    fn check_levels(&self) -> Result<(), CatalogueError> {
        if self.unit != Unit::Plain || self.range.is_some() || self.tolerance.is_some() || self.scale == Scale::Log {
            return Err(self.problem("unit, scale, range and tolerance are for measured clues"));
        }
        if self.levels.len() < 2 {
            return Err(self.problem(format!("it needs two levels or more, and has {}", self.levels.len())));
        }
        self.check_level_words()
    }

    fn check_level_words(&self) -> Result<(), CatalogueError> {
        let mut seen = BTreeSet::new();
        for level in &self.levels {
            if !is_id(&level.id) {
                return Err(self.problem(format!("level \"{}\": use a-z, 0-9 and _ only", level.id)));
            }
            if OWN_WORDS.contains(&level.id.as_str()) {
                return Err(
                    self.problem(format!("level \"{}\": the word has a meaning of its own in a cell", level.id))
                );
            }
            if !seen.insert(level.id.as_str()) {
                return Err(self.problem(format!("level \"{}\" stands twice", level.id)));
            }
        }
        Ok(())
    }
}
