//! A level of a clue: what may be seen.

use serde::{Deserialize, Serialize};

/// A level of a level clue, or a mark of a clue of marks.
///
/// ```
/// use agewright_model::Level;
///
/// let level = Level { id: "side_side".into(), label: "side to side".into(), ..Level::default() };
/// assert_eq!((level.name(), Level::plain("hand_dots").name()), ("side to side".into(), "hand dots".into()));
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, Default)]
#[serde(from = "LevelRecord", into = "LevelRecord")]
pub struct Level {
    /// Short name, as it is entered.
    pub id: String,
    /// Name as it is printed; may be empty.
    pub label: String,
    /// What it looks like, for the bench sheet; may be empty.
    pub look: String,
    /// Other words that it is entered by.
    pub synonyms: Vec<String>,
}

impl Level {
    /// A level that is no more than its id.
    #[must_use]
    pub fn plain(id: &str) -> Self {
        Self { id: id.to_owned(), ..Self::default() }
    }

    /// The words that it is entered by, its id first.
    pub fn words(&self) -> impl Iterator<Item = &str> {
        let label = Some(self.label.as_str()).filter(|label| !label.is_empty());
        std::iter::once(self.id.as_str()).chain(label).chain(self.synonyms.iter().map(String::as_str))
    }

    /// Name for people: the label, or the id with its underscores as spaces.
    #[must_use]
    pub fn name(&self) -> String {
        if self.label.is_empty() { self.id.replace('_', " ") } else { self.label.clone() }
    }
}

/// Case, spaces and hyphens do not matter in a level's word.
pub(crate) fn level_key(word: &str) -> String {
    word.trim().to_lowercase().replace([' ', '-'], "_")
}

/// A level as a catalogue writes it: a word, or a table.
#[derive(Serialize, Deserialize)]
#[serde(untagged)]
enum LevelRecord {
    Word(String),
    Told(ToldRecord),
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ToldRecord {
    id: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    label: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    look: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    synonyms: Vec<String>,
}

impl From<LevelRecord> for Level {
    fn from(record: LevelRecord) -> Self {
        match record {
            LevelRecord::Word(id) => Self { id, ..Self::default() },
            LevelRecord::Told(ToldRecord { id, label, look, synonyms }) => Self { id, label, look, synonyms },
        }
    }
}

impl From<Level> for LevelRecord {
    fn from(Level { id, label, look, synonyms }: Level) -> Self {
        if label.is_empty() && look.is_empty() && synonyms.is_empty() {
            return Self::Word(id);
        }
        Self::Told(ToldRecord { id, label, look, synonyms })
    }
}
