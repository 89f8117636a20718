//! What the page asks of the engine, as JSON.

use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// A question of the page.
#[derive(Debug, Clone, Deserialize)]
#[serde(tag = "ask", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Request {
    /// Begins, with what a user put into the page; answered by the clues.
    Open {
        /// The calibration and marks of the page's owner.
        #[serde(default)]
        own: OwnFiles,
    },
    /// Dates a club.
    Date {
        /// The club.
        club: ClubTexts,
        /// How.
        #[serde(default)]
        how: HowAsked,
    },
    /// Dates the first part of a club alone, without an account: what is shown until that comes.
    Short {
        /// The club.
        club: ClubTexts,
        /// How.
        #[serde(default)]
        how: HowAsked,
    },
    /// What to look at next on a club.
    Next {
        /// The club.
        club: ClubTexts,
        /// How.
        #[serde(default)]
        how: HowAsked,
    },
    /// Why the head is not of one run of years; it is weighed against the likeliest decade beside it.
    WhyNot {
        /// The club.
        club: ClubTexts,
        /// How.
        #[serde(default)]
        how: HowAsked,
        /// The first year of the run and its last, inclusive.
        years: (i32, i32),
    },
    /// Clubs side by side, clue by clue: two to twelve.
    Compare {
        /// The clubs, in their order.
        clubs: Vec<ClubTexts>,
        /// How.
        #[serde(default)]
        how: HowAsked,
    },
    /// Pages of a write-up.
    Pages {
        /// The club.
        club: ClubTexts,
        /// How.
        #[serde(default)]
        how: HowAsked,
        /// `report`, `catalogue`, `label` or `insurance`.
        kind: String,
    },
    /// Reads a record or a table of clubs.
    Import {
        /// Name of the file, for messages.
        name: String,
        /// What stands in it.
        text: String,
    },
    /// All clubs as a table, and as bars on one axis of years.
    Clubs {
        /// The clubs, in their order.
        clubs: Vec<ClubTexts>,
        /// How.
        #[serde(default)]
        how: HowAsked,
        /// Whether the table is wanted, and not the bars.
        #[serde(default)]
        table: bool,
    },
    /// A record of a club.
    Record {
        /// The club.
        club: ClubTexts,
    },
}

/// Files that a user put into a page of their own.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnFiles {
    /// The calibration; without one, that which is built in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub calibration: Option<NamedText>,
    /// Marks beside it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<NamedText>,
    /// Records of clubs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub clubs: Vec<NamedText>,
}

/// A file by its name.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NamedText {
    /// Its name.
    pub name: String,
    /// What stands in it.
    pub text: String,
}

/// A club as it was entered: every reading as a text, by the clue's id.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClubTexts {
    /// Its id.
    pub id: String,
    /// The readings.
    #[serde(default)]
    pub readings: BTreeMap<String, String>,
    /// The date that it is given with, as a record has it.
    #[serde(default)]
    pub made: String,
    /// How well that is known, 1 to 5; empty where nobody says.
    #[serde(default)]
    pub date_grade: String,
    /// The set, maker's lot or find that it belongs to.
    #[serde(default)]
    pub set: String,
    /// A note.
    #[serde(default)]
    pub note: String,
    /// Texts for its pages.
    #[serde(default)]
    pub text: BTreeMap<String, String>,
}

/// How a club is asked about.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HowAsked {
    /// The prior; without one, the calibration's own choice.
    #[serde(default)]
    pub prior: Option<String>,
    /// Ids of clues that are left out.
    #[serde(default)]
    pub without: Vec<String>,
    /// The day that the opinion is of, in words.
    #[serde(default)]
    pub on: String,
    /// Whether the numbers are wanted too, as the program's JSON has them.
    #[serde(default)]
    pub numbers: bool,
}
