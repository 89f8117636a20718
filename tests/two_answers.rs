//! A club with two answers is given both wherever its date is printed, and a side that reaches the end of the years is
//! open in every form.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_model::Dating;
use agewright_pages::words::date_line::date_line;
use agewright_pages::words::edtf::{earliest_and_latest, edtf};
use agewright_pages::words::label_date::label_date;
use external_checks::{STARTER, changed, date_readings, demo_calibration};

/// Datings of clubs whose clues pull apart, under several calibrations.
fn pulled_apart() -> Vec<Dating> {
    let demo = demo_calibration();
    // Where rules say nothing of later years, what reaches the end of the axis is open.
    let silent = changed(&STARTER, |contents| contents.parts.as_mut().unwrap().after = Default::default());
    let mut all = Vec::new();
    for hosel in ["3 1/4 in", "4.2", "5", "5 3/4 in"] {
        for pin in ["front_back", "side_side"] {
            for nicking in ["coarse", "fine"] {
                for face in ["deep_ribs", "stamped_lines"] {
                    let readings = [
                        ("name_or_number", "number"),
                        ("iron_grain", "strong"),
                        ("hosel_to_crease", hosel),
                        ("pin_direction", pin),
                        ("nicking_coarseness", nicking),
                        ("face_scoring", face),
                    ];
                    all.push(date_readings(&STARTER, &readings, None));
                    all.push(date_readings(&STARTER, &readings, Some("flat")));
                    all.push(date_readings(&silent, &readings, Some("flat")));
                    all.push(date_readings(&silent, &readings[1..], Some("flat")));
                    all.push(date_readings(&demo, &readings[2..5], None));
                }
            }
        }
    }
    all
}

/// The end of a span as it is printed: in full, or its last two figures.
fn tells(text: &str, year: i32) -> bool {
    text.contains(&year.to_string()) || text.contains(&format!("-{:02}", year % 100))
}

#[test]
fn both_answers_stand_in_every_form() {
    let (mut split, mut open) = (0, 0);
    for dating in pulled_apart() {
        let (axis, end, band) = (dating.posterior.axis(), dating.posterior.latest(), dating.band(0.8));
        let pieces: Vec<_> = band.intervals.iter().filter(|piece| piece.probability >= 0.1).collect();
        assert_eq!(pieces.len() > 1, dating.has_two_answers(), "what is printed in pieces is told as such");
        for text in [date_line(&dating), label_date(&dating), edtf(&dating)] {
            for piece in &pieces {
                // An open side has no year of its own.
                let from = piece.from <= axis.from() || tells(&text, piece.from);
                let to = piece.to >= end || tells(&text, piece.to);
                let is_one = pieces.len() == 1;
                assert!(is_one || (from && to), "{text}: {} to {}", piece.from, piece.to);
                if !is_one && piece.to >= end {
                    assert!(!tells(&text, axis.last()), "{text} ends in no year");
                    open += 1;
                }
            }
            split += usize::from(pieces.len() > 1);
        }
        let (earliest, latest) = earliest_and_latest(&dating, 0.8);
        assert_eq!((earliest.is_none(), latest.is_none()), (band.from() <= axis.from(), band.to() >= end));
    }
    assert!(split > 12 && open > 2, "{split} forms of two answers, {open} of them open");
}
