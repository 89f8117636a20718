//! What moved an opinion, in words.

use crate::words::readings::text_in_words;
use agewright_files::opinion::{AnswerThen, Opinion};
use agewright_model::questions::opinion_change::{ChangeShare, Ingredient};
use agewright_model::{Catalogue, Cell, Club, Part};

/// Two opinions, and what moved from the one to the other.
#[derive(Debug)]
pub struct OpinionChange {
    /// The earlier opinion.
    pub old: Opinion,
    /// The later one.
    pub new: Opinion,
    /// What moved of the part that answers are about first.
    pub main: PartChange,
    /// The same of the other parts that both are of.
    pub others: Vec<PartChange>,
    /// Readings that changed.
    pub readings: Vec<ReadingChange>,
}

/// What moved of one part.
#[derive(Debug)]
pub struct PartChange {
    /// The part.
    pub part: Part,
    /// What the earlier opinion answered for it.
    pub old: AnswerThen,
    /// The same of the later.
    pub new: AnswerThen,
    /// Shares of what changed; with `program` they add up to the change of the average year.
    pub shares: Vec<ChangeShare>,
    /// What the program moved: kept answers, less what the same question gives today.
    pub program: f64,
}

impl PartChange {
    /// The change of the average year.
    #[must_use]
    pub fn years(&self) -> f64 {
        self.new.mean - self.old.mean
    }

    /// Whether what changed could not be told apart.
    #[must_use]
    pub fn is_mixed(&self) -> bool {
        self.shares.iter().any(|share| share.ingredients.len() > 1)
    }
}

/// A reading that changed.
#[derive(Debug)]
pub struct ReadingChange {
    /// The clue's id.
    pub clue: String,
    /// Its name.
    pub name: String,
    /// What stood there, as a sentence says it; nothing where it was not examined.
    pub old: Option<String>,
    /// What stands there now.
    pub new: Option<String>,
}

impl ReadingChange {
    /// All that changed between a club as it was read and as it is, in the order of the later catalogue.
    #[must_use]
    pub fn between(old: (&Catalogue, &Club), new: (&Catalogue, &Club)) -> Vec<Self> {
        let read = |(catalogue, club): (&Catalogue, &Club), clue: &str| {
            let cell = catalogue.read_on(club).find(|(own, _)| own.id == clue).map(|(_, cell)| cell.clone())?;
            match cell {
                Cell::NotExamined => None,
                Cell::Unreadable => Some("unreadable".to_owned()),
                Cell::Altered => Some("altered".to_owned()),
                Cell::Read(reading) => Some(text_in_words(catalogue, clue, &reading.text)),
            }
        };
        let of_new = new.0.clues().iter().map(|clue| (clue.id.clone(), clue.name()));
        let gone = old.0.clues().iter().filter(|clue| new.0.clue(&clue.id).is_none());
        let all = of_new.chain(gone.map(|clue| (clue.id.clone(), clue.name())));
        let change = |(clue, name): (String, String)| {
            let (old, new) = (read(old, &clue), read(new, &clue));
            (old != new).then_some(Self { clue, name, old, new })
        };
        all.filter_map(change).collect()
    }

    /// `hosel length: 3.9 in, was 3 1/2 in`.
    #[must_use]
    pub fn in_words(&self) -> String {
        match (&self.old, &self.new) {
            (Some(old), Some(new)) => format!("{}: {new}, was {old}", self.name),
            (None, Some(new)) => format!("{}: {new}, was not examined", self.name),
            (Some(old), None) => format!("{}: not examined, was {old}", self.name),
            (None, None) => self.name.clone(),
        }
    }
}

impl OpinionChange {
    /// What moved of each part.
    pub fn parts(&self) -> impl Iterator<Item = &PartChange> {
        std::iter::once(&self.main).chain(&self.others)
    }

    /// What changed of the ingredients of a share, in a few words each.
    #[must_use]
    pub fn what_changed(&self, share: &ChangeShare) -> Vec<String> {
        share.ingredients.iter().flat_map(|ingredient| self.of(*ingredient)).collect()
    }

    fn of(&self, ingredient: Ingredient) -> Vec<String> {
        let (old, new) = (&self.old, &self.new);
        match ingredient {
            Ingredient::Readings => self.readings.iter().map(ReadingChange::in_words).collect(),
            Ingredient::Calibration if old.calibration_name == new.calibration_name => {
                vec![format!("{}, of another file", new.calibration_name)]
            }
            Ingredient::Calibration => vec![format!("{}, was {}", new.calibration_name, old.calibration_name)],
            Ingredient::Prior => vec![format!("{}, was {}", new.asked.prior, old.asked.prior)],
            Ingredient::Question => {
                let told = |opinion: &Opinion| {
                    let without = opinion.asked.without.join(", ");
                    let without =
                        if without.is_empty() { "nothing left out".to_owned() } else { format!("without {without}") };
                    let elsewhere = opinion.asked.elsewhere.map(|years| format!(", elsewhere by {years} years"));
                    format!("{without}{}", elsewhere.unwrap_or_default())
                };
                vec![format!("{}, was {}", told(new), told(old))]
            }
        }
    }
}

/// Name of an ingredient.
#[must_use]
pub fn ingredient_name(ingredient: Ingredient) -> &'static str {
    match ingredient {
        Ingredient::Readings => "Readings",
        Ingredient::Calibration => "Calibration",
        Ingredient::Prior => "Prior",
        Ingredient::Question => "What was asked",
    }
}
