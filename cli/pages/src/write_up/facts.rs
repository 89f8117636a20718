//! Everything that a page says of a club, in words and figures as printed; the templates only put it in its place.

use crate::drawings::shown::reading_drawings;
use crate::words::answered::Answered;
use crate::words::before::before_words;
use crate::words::counted::counted;
use crate::words::date_line::date_line;
use crate::words::given_date::{given_sentence, given_years, known_of, known_years, of_given_years, with_grade};
use crate::words::label_date::label_date;
use crate::words::readings::{is_inscribed, look, phrase_of, reading_in_words};
use crate::words::shared_lag::lag_sentence;
use crate::words::sources::{audit_words, in_sets_words, other_priors_message};
use crate::words::to_mind::to_mind;
use crate::words::years::{answer_year, short_span, span};
use crate::write_up::axis_bars::AxisBars;
use crate::write_up::cut_texts::capital;
use crate::write_up::known::{Known, ShownPhotograph};
use crate::write_up::page_error::PageError;
use crate::write_up::part_facts::{PartFacts, part_facts};
use agewright_files::drawings::Drawings;
use agewright_files::photograph_list::PHOTOGRAPHS;
use agewright_files::{LoadedCalibration, record_text};
use agewright_model::questions::overview::{is_known, is_not_borne_out};
use agewright_model::{Calibration, Catalogue, Cell, Club, Clue, Dating, Prior};
use serde::Serialize;

/// A club on paper.
#[derive(Debug, Serialize)]
#[expect(missing_docs, reason = "the names are those of the templates")]
pub struct PageFacts {
    pub id: String,
    pub title: String,
    /// Its title in a list: where it has none, what kind of club it is.
    pub listed_as: String,
    pub date_line: String,
    pub label_date: String,
    /// The date that is given with the club, as a sentence.
    pub given: Option<String>,
    /// Its years, where they are known.
    pub known_years: Option<String>,
    /// The same within a sentence, `of 1885-90`.
    pub known_of: Option<String>,
    /// Where they are somebody's opinion: the years, and whose.
    pub given_years: Option<String>,
    /// The same within a sentence.
    pub given_of: Option<String>,
    /// Whether its clues share no year with those that are given.
    pub is_not_borne_out: bool,
    pub before: Option<String>,
    pub parts: Vec<PartFacts>,
    pub readings: Vec<ReadingFacts>,
    pub not_examined: Vec<String>,
    /// Headings and texts of the page that are never evidence.
    pub texts: Vec<TextFacts>,
    /// Names of texts that are kept back.
    pub kept_back: Vec<String>,
    /// The day that the opinion is of.
    pub on: String,
    pub photographs: Vec<ShownPhotograph>,
    /// What a reader has to mind, in a few words each.
    pub mind: Vec<String>,
    /// The years of the head as bars on the axis.
    pub bars: AxisBars,
    pub prior: String,
    /// How far the clues may lead or lag together, where they may.
    pub lag: Option<String>,
    pub calibration: CalibrationFacts,
    pub record: String,
    pub command: String,
    pub version: &'static str,
}

#[derive(Debug, Serialize)]
#[expect(missing_docs, reason = "the names are those of the templates")]
pub struct CalibrationFacts {
    pub name: String,
    pub sha256: String,
    pub sentence: String,
    /// What a likelihood is here, by what stands behind the tables.
    pub found: &'static str,
    /// What the reader must know of the calibration before anything else; often nothing.
    pub caution: String,
    pub audit: Option<String>,
}

#[derive(Debug, Serialize)]
#[expect(missing_docs, reason = "the names are those of the templates")]
pub struct TextFacts {
    pub key: String,
    pub heading: String,
    pub text: String,
}

#[derive(Debug, Serialize)]
#[expect(missing_docs, reason = "the names are those of the templates")]
pub struct ReadingFacts {
    pub clue: String,
    pub part: &'static str,
    pub reading: String,
    pub look: String,
    pub how: String,
    /// What was seen, or how the measure is taken, as SVG.
    pub drawings: Vec<String>,
    pub measured: bool,
    /// Says what kind of club it is rather than when it was made.
    pub describes: bool,
    /// A stamp, a word or a number on the club.
    pub inscribed: bool,
    /// Known later work.
    pub is_altered: bool,
    /// How a sentence tells it, and which sentence it stands in.
    pub phrase: String,
    pub sentence: String,
    /// `unreadable` and `altered` say nothing of the date.
    pub counts: bool,
    /// Cannot be right together with another reading.
    pub disputed: bool,
}

/// Keys of texts that have a place of their own on a page.
pub const TEXT_KEYS: [&str; 14] = [
    "title",
    PHOTOGRAPHS,
    "photographs",
    "condition",
    "damage",
    "inscription",
    "marks",
    "materials",
    "maker",
    "provenance",
    "reference",
    "examined_by",
    "examined_on",
    "note",
];

/// Texts that stay off a page unless asked for, by parts of their names: of people, places and worth.
const PRIVATE: [&str; 45] = [
    "owner", "owned", "property", "address", "street", "postcode", "mail", "phone", "mobile", "contact", "storage",
    "store", "location", "kept", "shelf", "box", "cabinet", "drawer", "rack", "room", "valu", "worth", "price", "paid",
    "cost", "insur", "lend", "lent", "loan", "vendor", "seller", "bought", "buyer", "bidder", "sold", "acquired",
    "estimate", "reserve", "apprais", "invoice", "receipt", "consign", "client", "customer", "donor",
];

/// The same, as whole words of a name.
const PRIVATE_WORDS: [&str; 24] = [
    "tel",
    "fax",
    "city",
    "town",
    "gps",
    "fee",
    "bid",
    "bank",
    "safe",
    "key",
    "crate",
    "depot",
    "deposit",
    "gift",
    "heir",
    "heirs",
    "bequest",
    "policy",
    "premium",
    "commission",
    "whereabouts",
    "whatsapp",
    "skype",
    "depositor",
];

/// Whether a text of a record is of people, places or worth, and stays off pages unless asked for.
#[must_use]
pub fn is_private(key: &str) -> bool {
    let key = key.to_lowercase();
    let is_word = |word: &str| PRIVATE_WORDS.contains(&word);
    PRIVATE.iter().any(|part| key.contains(part)) || key.split(|c: char| !c.is_alphanumeric()).any(is_word)
}

/// Said where the clues share no year with the date that is given.
const NOT_BORNE_OUT: &str = " Its clues do not bear that out: one of the two wants another look.";
/// Said on every page that rests on rules of thumb.
const RULES_ALONE: &str = "Dates here rest on rules of thumb of the trade; no dated collection backs them.";

impl PageFacts {
    /// All facts of a club.
    ///
    /// # Errors
    /// [`PageError`] where a figure cannot be drawn, and for a club of no part.
    pub fn new(known: &Known<'_>) -> Result<Self, PageError> {
        let Some(Answered { asked, dating: head, .. }) = known.parts.first() else { return Err(PageError::NoPart) };
        let (club, catalogue) = (asked.club(), known.loaded.calibration.catalogue());
        let clues = || catalogue.read_on(club);
        let parts = known.parts.iter().zip(known.sensitivities).enumerate();
        let parts = parts
            .filter(|(place, (answered, _))| *place == 0 || catalogue.was_looked_at(club, answered.dating.part))
            .map(|(_, (answered, sensitivity))| part_facts(known, answered, sensitivity))
            .collect::<Result<Vec<_>, _>>()?;
        let is_private = |key: &str| !known.with_private && is_private(key);
        let texts = club
            .text
            .iter()
            .filter(|(key, _)| key.as_str() != "title" && key.as_str() != PHOTOGRAPHS && !is_private(key))
            .map(|(key, text)| TextFacts { key: key.clone(), heading: heading(key), text: text.clone() });
        let note = (!club.note.is_empty()).then(|| TextFacts {
            key: "note".to_owned(),
            heading: "Note".to_owned(),
            text: club.note.clone(),
        });
        let given = known.parts.first().and_then(|part| part.given.as_ref());
        let (known_date, opinion) = (given.filter(|date| is_known(date)), given.filter(|date| !is_known(date)));
        Ok(Self {
            id: club.id.clone(),
            listed_as: club.text.get("title").cloned().unwrap_or_else(|| kind_of_club(catalogue, club)),
            title: club.text.get("title").cloned().unwrap_or_else(|| format!("Club {}", club.id)),
            date_line: date_line(head),
            label_date: label_date(head),
            known_years: known_date.map(known_years),
            known_of: known_date.map(known_of),
            given_years: opinion.map(|date| with_grade(&given_years(date), date)),
            given_of: opinion.map(|date| with_grade(&of_given_years(date), date)),
            is_not_borne_out: given.is_some_and(|given| is_not_borne_out(given, head)),
            given: given.map(|given| {
                let doubt = if is_not_borne_out(given, head) { NOT_BORNE_OUT } else { "" };
                format!("{}{doubt}", given_sentence(given))
            }),
            before: known.before.map(|before| format!("{}.", before_words(head, before))),
            parts,
            readings: clues()
                .filter_map(|(clue, cell)| {
                    let is_disputed = catalogue.cannot_both(club).flatten().any(|(other, _)| other.id == clue.id);
                    Some(ReadingFacts { disputed: is_disputed, ..reading_facts(Drawings::of(catalogue), clue, cell)? })
                })
                .collect(),
            not_examined: clues().filter(|(_, cell)| **cell == Cell::NotExamined).map(|(c, _)| c.name()).collect(),
            texts: texts.chain(note).collect(),
            kept_back: club.text.keys().filter(|key| is_private(key)).map(|key| heading(key)).collect(),
            on: known.on.clone(),
            photographs: known.photographs.to_vec(),
            mind: to_mind(known.parts),
            bars: AxisBars::of(head),
            prior: prior_sentence(&known.loaded.calibration, head),
            lag: lag_sentence(asked),
            calibration: calibration_facts(known.loaded),
            record: record_text(club, catalogue, &|key| key == PHOTOGRAPHS || is_private(key)).trim_end().to_owned(),
            command: known.command.clone(),
            version: concat!("agewright ", env!("CARGO_PKG_VERSION")),
        })
    }

    /// Keys of texts that have no place of their own on any page.
    pub fn other_texts(&self) -> impl Iterator<Item = &str> {
        self.texts.iter().map(|text| text.key.as_str()).filter(|key| !TEXT_KEYS.contains(key))
    }

    /// A text of the page by its key.
    #[must_use]
    pub fn text(&self, key: &str) -> Option<&str> {
        self.texts.iter().find(|text| text.key == key).map(|text| text.text.as_str())
    }
}

/// What kind of club it is, in the catalogue's words without what stands in brackets.
fn kind_of_club(catalogue: &Catalogue, club: &Club) -> String {
    let kind = catalogue
        .read_on(club)
        .find(|(clue, cell)| clue.adjusts && clue.sentence == "kind" && cell.reading().is_some());
    let phrase = kind.and_then(|(clue, cell)| Some(phrase_of(clue, cell.reading()?)));
    let bare = phrase.as_deref().map_or("no title", |phrase| phrase.split(" (").next().unwrap_or(phrase));
    capital(bare)
}

/// `examined_by` as a heading: `Examined by`.
fn heading(key: &str) -> String {
    let words = key.replace(['_', '-'], " ");
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| format!("{}{}", first.to_uppercase(), letters.as_str()))
}

fn reading_facts(drawings: Drawings<'_>, clue: &Clue, cell: &Cell) -> Option<ReadingFacts> {
    let (reading, counts) = match cell {
        Cell::NotExamined => return None,
        Cell::Unreadable => ("unreadable: worn or covered".to_owned(), false),
        Cell::Altered => ("altered: known later work".to_owned(), false),
        Cell::Read(reading) => (reading_in_words(clue, reading), true),
    };
    Some(ReadingFacts {
        clue: clue.name(),
        part: clue.part.word(),
        reading,
        look: look(clue, cell),
        how: clue.how.clone(),
        drawings: reading_drawings(drawings, clue, cell),
        measured: clue.kind.is_measure(),
        describes: clue.adjusts && !clue.kind.is_measure(),
        inscribed: is_inscribed(clue),
        phrase: cell.reading().map_or_else(String::new, |reading| phrase_of(clue, reading)),
        sentence: clue.sentence.clone(),
        counts,
        is_altered: *cell == Cell::Altered,
        disputed: false,
    })
}

fn prior_sentence(calibration: &Calibration, dating: &Dating) -> String {
    let others = other_priors_message(calibration, dating).filter(|_| dating.has_evidence());
    let others = others.map_or_else(String::new, |others| format!(" Other priors: {others}."));
    if dating.prior == Prior::FLAT {
        return "The prior is flat: every year alike, though many more clubs survive from late years than from early \
                ones."
            .to_owned()
            + &others;
    }
    let axis = calibration.catalogue().axis();
    let flat = match dating.flat.is_split() {
        true => format!("years would be {}", short_span(axis, &dating.flat)),
        false => format!("middle year would be {}", answer_year(axis, dating.flat.median)),
    };
    let flat = if dating.has_evidence() { format!("; with every year alike the {flat}") } else { String::new() };
    format!(
        "The prior, how clubs were taken to be spread over the years before this one was looked at, is \"{}\"{flat}.\
         {others}",
        dating.prior
    )
}

fn calibration_facts(loaded: &LoadedCalibration) -> CalibrationFacts {
    let origin = loaded.calibration.origin();
    let mut sentence = match origin.dated {
        Some([from, to]) => format!(
            "It was fitted on {} dated {}{}.",
            counted(origin.clubs, "club", "clubs"),
            span(from, to),
            in_sets_words(origin.in_sets)
        ),
        None => "It was made of rules of thumb.".to_owned(),
    };
    if !origin.rules_file.is_empty() && origin.clubs > 0 {
        sentence.push_str(" Rules of thumb count beside them.");
    }
    CalibrationFacts {
        name: loaded.calibration.name().to_owned(),
        sha256: loaded.sha256.clone(),
        sentence,
        found: match (origin.clubs, origin.rules_file.is_empty()) {
            (0, _) => "how often, by rules of thumb, such a reading was to be found at that time",
            (_, true) => "how often such a reading is found on dated clubs of that time",
            (_, false) => "how often such a reading is found on dated clubs of that time, or was by rules of thumb",
        },
        caution: match (origin.clubs, origin.notice.is_empty()) {
            (0, true) => RULES_ALONE.to_owned(),
            (0, false) => format!("{} {RULES_ALONE}", origin.notice),
            _ => origin.notice.clone(),
        },
        audit: origin.audit.as_ref().map(|audit| {
            let (clubs, folds) = (audit.clubs, audit.folds);
            format!(
                "Audit: {clubs} of its clubs, each dated by a fit without it ({folds} folds): {}.",
                audit_words(audit)
            )
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::is_private;

    #[test]
    fn people_places_and_worth_are_private() {
        for key in
            ["owner", "Consigned_by", "kept_at", "shelf", "gift_of", "tel", "mobile", "auction_fee", "worth", "key"]
        {
            assert!(is_private(key), "{key}");
        }
        let public = [
            "title",
            "condition",
            "damage",
            "inscription",
            "marks",
            "materials",
            "provenance",
            "reference",
            "maker",
            "photographs",
            "photos",
            "examined_by",
            "examined_on",
            "note",
            "monkey",
        ];
        for key in public {
            assert!(!is_private(key), "{key}");
        }
    }
}
