//! EDTF strings: every form that we write is one that an independent parser accepts (reference/edtf_forms.csv, made
//! with python-edtf 5.0.2), and the years in it are those of the band.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::{FitSettings, fit};
use agewright_model::Calibration;
use agewright_pages::words::date_line::date_line;
use agewright_pages::words::edtf::{edtf, edtf_level_1};
use external_checks::{date_readings, demo_calibration};
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// Digits become `d`; runs of further sets and runs are what the form is about.
fn form(edtf: &str) -> String {
    edtf.chars().map(|c| if c.is_ascii_digit() { 'd' } else { c }).collect()
}

fn accepted() -> BTreeSet<String> {
    let mut reader = csv::Reader::from_reader(include_str!("reference/edtf_forms.csv").as_bytes());
    reader.records().map(|row| form(&row.unwrap()[0])).collect()
}

/// A calibration of a small bimodal measure, for splits; of years about 1 BC, for signs.
fn two_humps(first: i32) -> Calibration {
    let catalogue = format!(
        "name = \"t\"\nyears = {{ from = {first}, to = {} }}\n[[clue]]\nid = \"width\"\nkind = \"levels\"\nlevels = \
         [\"wide\", \"thin\"]\npart = \"head\"\nmisread = 0.02\n",
        first + 160
    );
    let catalogue = external_checks::catalogue(&catalogue);
    let mut table = "id,made_from,made_to,width\n".to_owned();
    for year in (first..first + 160).step_by(2) {
        let place = year - first;
        let wide = (30..50).contains(&place) || (110..130).contains(&place);
        writeln!(table, "y{place},{year},{year},{}", if wide { "wide" } else { "thin" }).unwrap();
    }
    let clubs = external_checks::dated_clubs(&table, &catalogue);
    fit(&catalogue, &clubs, &FitSettings::default()).unwrap().calibration
}

#[test]
fn every_form_written_is_one_that_an_independent_parser_accepts() {
    let accepted = accepted();
    let demo = demo_calibration();
    let mut written = BTreeSet::new();
    for pin in ["front_back", "side_side"] {
        for hosel in ["6.5", "5", "4.2", "3.6", "3.2"] {
            let edtf = edtf(&date_readings(&demo, &[("pin_direction", pin), ("hosel_to_crease", hosel)], None));
            written.insert(edtf);
        }
    }
    for first in [1780, -70] {
        let dating = date_readings(&two_humps(first), &[("width", "wide")], Some("flat"));
        assert_eq!(dating.band(0.8).modes().len(), 2, "two answers");
        let line = date_line(&dating);
        assert!(line.contains(" or ") && line.ends_with("(4 in 5)"), "{line}");
        written.insert(edtf(&dating));
    }
    let level_1 = [1780, -70].map(two_humps);
    for (first, calibration) in [1780, -70].iter().zip(&level_1) {
        let dating = date_readings(calibration, &[("width", "thin")], Some("flat"));
        assert_eq!(dating.posterior.axis().from(), *first);
        written.extend(edtf_level_1(&dating));
        assert_eq!(edtf_level_1(&date_readings(calibration, &[("width", "wide")], Some("flat"))), None);
    }
    for (pin, hosel) in [("front_back", "6.5"), ("front_back", "5"), ("side_side", "4.2"), ("side_side", "3.2")] {
        let dating = date_readings(&demo, &[("pin_direction", pin), ("hosel_to_crease", hosel)], None);
        written.extend(edtf_level_1(&dating));
    }
    assert!(written.len() > 10, "many different strings: {written:?}");
    for edtf in &written {
        assert!(accepted.contains(&form(edtf)), "{edtf} is not of a form that was checked: {accepted:?}");
    }
}

#[test]
fn nothing_read_is_no_date() {
    let dating = date_readings(&demo_calibration(), &[], None);
    assert_eq!(edtf(&dating), "");
    assert!(date_line(&dating).starts_with("undated"));
}
