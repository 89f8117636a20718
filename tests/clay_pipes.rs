//! Dating by one measure: the bores of clay tobacco pipes.
//!
//! Modal periods: US National Park Service after Deetz 1996 and Harrington 1954; regression: Binford 1962.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::{FitSettings, fit};
use external_checks::date_readings;
use std::fmt::Write as _;

const CATALOGUE: &str = r#"
name = "Clay pipes"
years = { from = 1580, to = 1810 }
step = 10
[[clue]]
id = "bore"
label = "Stem bore, 64ths of an inch"
kind = "measured"
range = [2, 12]
part = "head"
misread = 0.02
"#;

/// Pseudo-pipes: ten for each published period, dated to the whole of it; bores lie evenly within half a 64th of the
/// period's own, as drill bits of that size were called.
fn calibration() -> agewright_model::Calibration {
    let catalogue = external_checks::catalogue(CATALOGUE);
    let mut table = "id,made_from,made_to,bore\n".to_owned();
    let mut reader = csv::Reader::from_reader(include_str!("reference/clay_pipe_modal_periods.csv").as_bytes());
    for row in reader.records().map(Result::unwrap) {
        let bore: f64 = row[0].parse().unwrap();
        for n in 0..10 {
            let own = bore - 0.45 + 0.1 * f64::from(n);
            writeln!(table, "{}-{n},{},{},{own:.2}", &row[0], &row[1], &row[2]).unwrap();
        }
    }
    let clubs = external_checks::dated_clubs(&table, &catalogue);
    fit(&catalogue, &clubs, &FitSettings::default()).unwrap().calibration
}

#[test]
fn medians_fall_in_the_published_periods_and_near_the_regression() {
    let calibration = calibration();
    let periods: Vec<(String, i32, i32)> =
        csv::Reader::from_reader(include_str!("reference/clay_pipe_modal_periods.csv").as_bytes())
            .records()
            .map(Result::unwrap)
            .map(|row| (row[0].to_owned(), row[1].parse().unwrap(), row[2].parse().unwrap()))
            .collect();
    let regression: Vec<(f64, f64)> =
        csv::Reader::from_reader(include_str!("reference/clay_pipe_binford.csv").as_bytes())
            .records()
            .map(Result::unwrap)
            .map(|row| (row[0].parse().unwrap(), row[1].parse().unwrap()))
            .collect();
    for bore in ["5", "6", "7"] {
        let median = date_readings(&calibration, &[("bore", bore)], Some("flat")).posterior.median();
        let (_, from, to) = periods.iter().find(|(b, _, _)| b == bore).unwrap();
        assert!((*from..=*to).contains(&median), "bore {bore}/64: {median}, published {from}-{to}");
        let size: f64 = bore.parse().unwrap();
        let (_, year) = regression.iter().find(|(b, _)| (b - size).abs() < 1e-9).unwrap();
        assert!((f64::from(median) - year).abs() <= 20.0, "bore {bore}/64: {median}, Binford {year}");
    }
}
