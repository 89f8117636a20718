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
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
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
    /// The drawing that shows it, by its id; empty for what has no shape.
    pub drawing: String,
    /// How a sentence tells it: `open hosel seam`; may be empty.
    pub phrase: String,
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

/// Case, spaces, hyphens and other signs do not matter in a level's word: `Cross & Anchor` is `cross_anchor`.
pub(crate) fn level_key(word: &str) -> String {
    key_letters(word).collect()
}

/// Whether a word has this key.
pub(crate) fn has_key(word: &str, key: &str) -> bool {
    !key.is_empty() && key_letters(word).eq(key.chars())
}

/// Letters and figures in small letters, one `_` for whatever stands between them.
fn key_letters(word: &str) -> impl Iterator<Item = char> {
    let mut parted = false;
    word.trim_matches(|c: char| !c.is_alphanumeric()).chars().flat_map(move |c| {
        let is_first_sign = !c.is_alphanumeric() && !parted;
        parted = !c.is_alphanumeric();
        let letters = c.is_alphanumeric().then(|| c.to_lowercase()).into_iter().flatten();
        letters.chain(is_first_sign.then_some('_'))
    })
}

/// A level as a catalogue writes it: a word, or a table.
#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(untagged)]
enum LevelRecord {
    Word(String),
    Told(ToldRecord),
}

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct ToldRecord {
    id: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    label: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    look: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    synonyms: Vec<String>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    drawing: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    phrase: String,
}

impl From<LevelRecord> for Level {
    fn from(record: LevelRecord) -> Self {
        match record {
            LevelRecord::Word(id) => Self { id, ..Self::default() },
            LevelRecord::Told(ToldRecord { id, label, look, synonyms, drawing, phrase }) => {
                Self { id, label, look, synonyms, drawing, phrase }
            }
        }
    }
}

impl From<Level> for LevelRecord {
    fn from(level: Level) -> Self {
        if level == Level::plain(&level.id) {
            return Self::Word(level.id);
        }
        let Level { id, label, look, synonyms, drawing, phrase } = level;
        Self::Told(ToldRecord { id, label, look, synonyms, drawing, phrase })
    }
}
