//! What readings prove and do not: numbers of registers, and the known traps of the trade, each a sentence with what to check.

use super::messages::clue_name;
use crate::wording::year;
use agewright_model::{Calibration, Catalogue, Cell, Club, ClueKind, Part, Reading, Register, RegisteredIn, Seen};

/// A sentence about a reading, with the kind of thing it is and the clue it is about.
pub struct Caution {
    pub kind: &'static str,
    pub clue: String,
    pub message: String,
}

/// Everything that the readings of a part call for.
pub fn cautions(calibration: &Calibration, club: &Club, part: Part) -> Vec<Caution> {
    let bench = Bench { catalogue: &calibration.catalogue, club };
    let mut found: Vec<Caution> = Vec::new();
    for (clue, cell) in calibration.catalogue.clues.iter().zip(&club.cells).filter(|(clue, _)| clue.part == part) {
        let Some(Reading { seen: Seen::Number(years), text, .. }) = cell.reading() else { continue };
        let Some(register) = clue.register.filter(|_| clue.kind == ClueKind::Register) else { continue };
        let name = clue_name(calibration, &clue.id);
        let message = format!("{name} {text}: {}", number_words(register, years, text));
        found.push(Caution { kind: "register", clue: clue.id.clone(), message });
    }
    if part == Part::Head {
        found.extend(TRAPS.iter().filter(|trap| (trap.fires)(&bench)).map(|trap| Caution {
            kind: "trap",
            clue: trap.clue.to_owned(),
            message: trap.message.to_owned(),
        }));
    }
    found
}

/// The years of a number, what they prove, and what the same number would be in other registers.
fn number_words(register: Register, years: &[RegisteredIn], text: &str) -> String {
    let list = |years: &[RegisteredIn]| {
        let told: Vec<String> = years.iter().take(6).map(|registered| year(registered.year)).collect();
        format!("{}{}", told.join(", "), if years.len() > 6 { " or later" } else { "" })
    };
    let body = text.strip_suffix("(?)").map_or(text, str::trim_end);
    let others: Vec<String> = Register::ALL
        .into_iter()
        .filter(|other| *other != register)
        .filter_map(|other| Some(format!("{} as one of the {}", list(&other.years(body).ok()?), other.name())))
        .collect();
    let others =
        if others.is_empty() { String::new() } else { format!(" Read otherwise it would be {}.", others.join(", ")) };
    format!(
        "registered in {} ({}). That proves not before, never \"made in\": half of such articles are made within 3 years, one in \
         ten after 12 or more.{others}",
        list(years),
        register.name()
    )
}

/// The club as traps look at it.
struct Bench<'a> {
    catalogue: &'a Catalogue,
    club: &'a Club,
}

impl Bench<'_> {
    fn cell(&self, clue: &str) -> Option<&Cell> {
        self.club.cells.get(self.catalogue.clue_ix(clue)?)
    }

    /// Whether a clue was read, and as nothing but these levels.
    fn is(&self, clue: &str, levels: &[&str]) -> bool {
        let Some(ix) = self.catalogue.clue_ix(clue) else { return false };
        match self.cell(clue).and_then(Cell::reading).map(|reading| &reading.seen) {
            Some(Seen::Levels(seen)) => {
                seen.iter().all(|&k| levels.contains(&self.catalogue.clues[ix].levels[k].id.as_str()))
            }
            _ => false,
        }
    }

    fn measure(&self, clue: &str) -> Option<f64> {
        match self.cell(clue)?.reading()?.seen {
            Seen::Measure { value, .. } => Some(value),
            _ => None,
        }
    }

    fn has_number(&self) -> bool {
        let cells = self.catalogue.clues.iter().zip(&self.club.cells);
        cells.into_iter().any(|(clue, cell)| clue.kind == ClueKind::Register && cell.reading().is_some())
    }
}

struct Trap {
    clue: &'static str,
    fires: fn(&Bench<'_>) -> bool,
    message: &'static str,
}

/// Traps of the trade (common practice, no source), by the ids of the clues of the built-in catalogue; a catalogue without
/// such a clue springs none.
const TRAPS: [Trap; 8] = [
    Trap {
        clue: "face_scoring",
        fires: |bench| bench.is("face_scoring", &["smooth"]),
        message: "A smooth face is not old by itself: smooth irons were sold until about 1920. Look for what else speaks for an \
                  early date.",
    },
    Trap {
        clue: "hosel_join",
        fires: |bench| bench.is("hosel_join", &["soft", "curve"]) && bench.is("corrosion", &["pitted", "lost"]),
        message: "Rust rounds a sharp join: on pitted metal a soft join or a curve may once have been a crease. Mark it with ?.",
    },
    Trap {
        clue: "top_edge",
        fires: |bench| {
            let lofted = bench.measure("loft").is_some_and(|loft| loft > 35.0) || bench.is("club_type", &["trouble"]);
            lofted && bench.measure("top_edge").is_some_and(|edge| edge < 0.16)
        },
        message: "A thin edge on a lofted iron is loft, not lateness: give loft, blade height and club type, so that the edge is \
                  corrected.",
    },
    Trap {
        clue: "hosel_to_crease",
        fires: |bench| {
            bench.measure("hosel_to_crease").is_some_and(|length| length < 3.0)
                || bench.is("hosel_form", &["short_through"])
                || bench.is("special_form", &["short_through_hosel"])
        },
        message: "So short a hosel may be a patented form, short by design from 1891 on: if it is, enter the form and mark the \
                  length altered.",
    },
    Trap {
        clue: "quality_wording",
        fires: |bench| bench.is("quality_wording", &["hand_forged"]),
        message: "\"Hand forged\" is a late word of advertising, not a sign of early work.",
    },
    Trap {
        clue: "face_hollow",
        fires: |bench| bench.is("face_hollow", &["dished"]),
        message: "Hollow faces come in two periods: early heavy irons, and concave sand clubs of about 1930. Look at sole, weight and \
                  marks to tell them apart.",
    },
    Trap {
        clue: "nicking_coarseness",
        fires: |bench| {
            ["nicking_coarseness", "nicking_regularity", "nicking_depth"]
                .iter()
                .any(|clue| bench.cell(clue) == Some(&Cell::Altered))
                || bench.is("pin_kind", &["second_hole"])
        },
        message: "A rim is nicked again when a club is re-shafted: the teeth then date the repair. Altered nicking is entered as \
                  such, and the shaft looked at.",
    },
    Trap {
        clue: "design_number",
        fires: |bench| bench.has_number(),
        message: "A number of a register is not a year of making: a model or serial number may be mistaken for one, a worn digit moves it by \
                  years, and a number for show may be of another thing.",
    },
];
