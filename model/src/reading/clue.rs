//! A clue: one observable feature of a club, and how it is read.

use crate::reading::level::{Level, has_key};
use crate::reading::needs::Needs;
use crate::reading::part::Part;
use crate::reading::register::Register;
use crate::reading::scale::Scale;
use crate::reading::silent_on::SilentOn;
use crate::reading::units::Unit;
use serde::{Deserialize, Serialize};

/// One observable feature of a club.
///
/// ```
/// use agewright_model::{Clue, ClueKind, Level, Part};
///
/// let pin = Clue {
///     levels: vec![Level::plain("front_back"), Level::plain("side_side")],
///     misread: 0.05,
///     ..Clue::new("pin_direction", ClueKind::Levels, Part::Head)
/// };
/// assert_eq!((pin.name(), pin.level_ix("side_side")), ("pin direction".to_owned(), Some(1)));
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Clue {
    /// Short name: a-z, 0-9 and `_`; the datum is part of it.
    pub id: String,
    /// Name for people.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub label: String,
    /// What tables head its column with besides: `Finish`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub headings: Vec<String>,
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
    /// Chance that a reading is wrong or belongs to later work, 0 to below 1: the one place where it stands.
    pub misread: f64,
    /// What it needs of another clue to make sense.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub needs: Option<Needs>,
    /// Clubs on which it says nothing of the date.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub silent_on: Vec<SilentOn>,
    /// Is like a mark: a doubtful or re-cut one is a matter for a specialist, as those of marks and registers are.
    #[serde(default, skip_serializing_if = "is_false")]
    pub like_a_mark: bool,
    /// How to take the reading.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub how: String,
    /// The drawing that shows how to take it, by its id; may be empty. Levels have their own.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub drawing: String,
    /// The sentence of a catalogue's entry that its readings stand in: those of the same word stand together; those of
    /// `marks` are inscriptions in a schedule.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub sentence: String,
    /// How a sentence tells a measure, `{}` being the reading: `top edge {}`; may be empty. Levels have their own.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub phrase: String,
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
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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

/// What a calibration holds of the clues of a kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TableForm {
    /// The share of each level in each row of years: readings are levels.
    Shares,
    /// Mean and spread in each row of years, together with the other measures of the part: readings are measures.
    Measures,
    /// Nothing fitted: the years are known, as those of marks and registers are.
    Known,
}

impl ClueKind {
    /// In what form clues of the kind are fitted from dated clubs, if they are.
    #[must_use]
    pub fn table_form(self) -> TableForm {
        match self {
            Self::Levels => TableForm::Shares,
            Self::Measured => TableForm::Measures,
            Self::Mark | Self::Register => TableForm::Known,
        }
    }

    /// Whether its readings are measures.
    #[must_use]
    pub fn is_measure(self) -> bool {
        self.table_form() == TableForm::Measures
    }

    /// Whether its years are known rather than fitted from dated clubs.
    #[must_use]
    pub fn is_known(self) -> bool {
        self.table_form() == TableForm::Known
    }
}

impl Clue {
    /// A clue of a kind and part; everything else is empty, or as it is when a catalogue does not say it.
    #[must_use]
    pub fn new(id: &str, kind: ClueKind, part: Part) -> Self {
        Self {
            id: id.to_owned(),
            label: String::new(),
            headings: Vec::new(),
            kind,
            unit: Unit::default(),
            scale: Scale::default(),
            range: None,
            tolerance: None,
            levels: Vec::new(),
            marks: None,
            register: None,
            ordered: false,
            adjusts: false,
            part,
            misread: 0.0,
            needs: None,
            silent_on: Vec::new(),
            like_a_mark: false,
            how: String::new(),
            drawing: String::new(),
            sentence: String::new(),
            phrase: String::new(),
        }
    }

    /// Name for people: the label, or the id with its underscores as spaces.
    #[must_use]
    pub fn name(&self) -> String {
        if self.label.is_empty() { self.id.replace('_', " ") } else { self.label.clone() }
    }

    /// Place of a level by its id.
    #[must_use]
    pub fn level_ix(&self, id: &str) -> Option<usize> {
        self.levels.iter().position(|level| level.id == id)
    }

    /// Place of a level by its key: of its id, of the label that is printed, or of a synonym.
    pub(crate) fn level_of(&self, key: &str) -> Option<usize> {
        let is_word = |level: &Level| level.words().any(|word| has_key(word, key));
        self.level_ix(key).or_else(|| self.levels.iter().position(is_word))
    }

    /// Usual error of one measuring, in the clue's unit; 0 where the catalogue gives none.
    #[must_use]
    pub fn usual_error(&self) -> f64 {
        self.tolerance.unwrap_or(0.0)
    }

    /// Whether a doubtful or altered reading of it is a doubtful mark.
    #[must_use]
    pub fn is_like_a_mark(&self) -> bool {
        self.like_a_mark || self.kind.is_known()
    }
}
