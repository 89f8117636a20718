//! The answer as Linked Art: JSON-LD in the terms of CIDOC CRM, one object a club.
//!
//! A museum's program reads the spans; belief has no place in the standard, so that the chance they stand for is said
//! in words beside them. Form and terms follow the Linked Art model and its library cromulent 1.0.1 (J. Paul Getty
//! Trust, Apache-2.0); numbers of the Getty Art & Architecture Thesaurus (ODC-By 1.0) are as that library has them.

use crate::json::shared::CalibrationName;
use crate::words::date_line::date_line;
use crate::words::edtf::{earliest_and_latest, edtf};
use crate::words::label_date::stands_for;
use crate::words::sources::OPINION;
use agewright_files::{LoadedCalibration, sha256};
use agewright_model::{Club, Dating};
use serde::Serialize;
use serde_json::{Value, json};

const CONTEXT: &str = "https://linked.art/ns/v1/linked-art.json";
const AAT: &str = "http://vocab.getty.edu/aat/";

/// A club as a Linked Art object, its parts as parts, each with its own production and time-span.
#[derive(Debug, Serialize)]
#[serde(transparent)]
pub struct LinkedArt(Value);

impl LinkedArt {
    /// A club and its parts as dated.
    #[must_use]
    pub fn new(loaded: &LoadedCalibration, club: &Club, datings: &[Dating]) -> Self {
        let title = club.text.get("title").cloned().unwrap_or_else(|| format!("Wooden-shafted club {}", club.id));
        let identity = identity(loaded.calibration.catalogue().name(), &club.id);
        let dated = datings.iter().enumerate().filter(|(place, dating)| *place == 0 || dating.has_evidence());
        let parts: Vec<Value> = dated.map(|(_, dating)| part(&identity, dating)).collect();
        Self(json!({
            "@context": CONTEXT,
            "id": identity,
            "type": "HumanMadeObject",
            "_label": title,
            "identified_by": [
                { "type": "Name", "classified_as": [term("300404670", "Primary Name")], "content": title },
                { "type": "Identifier", "classified_as": [term("300312355", "Accession Number")], "content": club.id },
            ],
            "referred_to_by": [statement(&opinion(loaded, datings))],
            "part": parts,
        }))
    }
}

fn part(identity: &str, dating: &Dating) -> Value {
    let word = dating.part.word();
    json!({
        "id": format!("{identity}#{word}"),
        "type": "HumanMadeObject",
        "_label": word,
        "produced_by": {
            "type": "Production",
            "_label": format!("Making of the {word}"),
            "timespan": timespan(dating),
        },
    })
}

/// The outer bounds are those of the 95 % band, since a search by bounds that miss one club in five fails its user, and
/// there is none where that band reaches an end of the calibration's years. The 80 % band, both answers where there are
/// two, stands in the names and in words. The making lies in one unknown year, so that no inner bound is known. A year
/// before the year 1 keeps its four digits and its sign, as XML Schema writes it.
fn timespan(dating: &Dating) -> Value {
    let (from, to) = earliest_and_latest(dating, 0.95);
    let year = |year: i32| if year < 0 { format!("-{:04}", year.unsigned_abs()) } else { format!("{year:04}") };
    let mut span = json!({
        "type": "TimeSpan",
        "_label": date_line(dating),
        "identified_by": [
            { "type": "Name", "classified_as": [term("300404669", "Display Title")], "content": date_line(dating) },
        ],
        "referred_to_by": [statement(&stands_for(dating))],
    });
    if let Some(from) = from {
        span["begin_of_the_begin"] = Value::from(format!("{}-01-01T00:00:00Z", year(from)));
    }
    if let Some(to) = to {
        span["end_of_the_end"] = Value::from(format!("{}-12-31T23:59:59Z", year(to)));
    }
    let edtf = edtf(dating);
    if !edtf.is_empty() {
        let name = json!({ "type": "Name", "_label": "EDTF (ISO 8601-2)", "content": edtf });
        if let Some(names) = span["identified_by"].as_array_mut() {
            names.push(name);
        }
    }
    span
}

fn opinion(loaded: &LoadedCalibration, datings: &[Dating]) -> String {
    let name = CalibrationName::of(loaded);
    let prior = datings.first().map_or("", |dating| dating.prior.as_str());
    let notice = &loaded.calibration.origin().notice;
    let notice = if notice.is_empty() { String::new() } else { format!(" {notice}") };
    let rules = loaded.calibration.is_of_rules_alone();
    let notice = format!("{notice}{}", if rules { " No dated collection backs it." } else { "" });
    format!(
        "Dates by agewright {}, calibration {} (SHA-256 {}), prior {prior}.{notice} {OPINION}",
        env!("CARGO_PKG_VERSION"),
        name.name,
        name.sha256
    )
}

fn term(number: &str, label: &str) -> Value {
    json!({ "id": format!("{AAT}{number}"), "type": "Type", "_label": label })
}

fn statement(text: &str) -> Value {
    let mut description = term("300435416", "Description");
    description["classified_as"] = json!([term("300418049", "Brief Text")]);
    json!({ "type": "LinguisticObject", "classified_as": [description], "content": text })
}

/// A URI that is always the same for the same club of the same catalogue: a UUID of version 8 (RFC 9562, 2024) from the
/// SHA-256 of both.
fn identity(catalogue: &str, id: &str) -> String {
    let hex = sha256(&format!("{catalogue}\n{id}"));
    let digits = |from: usize, to: usize| hex.get(from..to).unwrap_or_default();
    let variant = u8::from_str_radix(digits(16, 17), 16).unwrap_or(0) & 0x3 | 0x8;
    format!(
        "urn:uuid:{}-{}-8{}-{variant:x}{}-{}",
        digits(0, 8),
        digits(8, 12),
        digits(13, 16),
        digits(17, 20),
        digits(20, 32)
    )
}
