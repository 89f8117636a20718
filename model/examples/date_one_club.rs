//! Dates one club by a calibration written out by hand, no file read: `cargo run -p agewright-model --example
//! date_one_club`.

use agewright_model::questions::why_not::PeriodAccount;
use agewright_model::tables::level_table::{LevelRow, LevelTable};
use agewright_model::tables::measured_block::{MeasuredBlock, MeasuredRow, MeasuredTable};
use agewright_model::{
    Accounting, Asked, Axis, Calibration, CalibrationContents, Catalogue, Clue, ClueKind, Dating, Ledger, Level,
    Origin, Part, Prior, TableSet, Unit,
};
use std::error::Error;

/// Two clues: how long the hosel is, and how the pin lies.
fn catalogue(axis: Axis) -> Result<Catalogue, Box<dyn Error>> {
    let hosel = Clue {
        label: "Hosel length".into(),
        unit: Unit::Inch,
        tolerance: Some(0.06),
        misread: 0.02,
        ..Clue::new("hosel", ClueKind::Measured, Part::Head)
    };
    let levels = vec![Level::plain("front_back"), Level::plain("side_side")];
    let pin = Clue { levels, misread: 0.05, ..Clue::new("pin", ClueKind::Levels, Part::Head) };
    Ok(Catalogue::new("two clues", axis, vec![hosel, pin])?)
}

/// Tables as a fit would make them: hosels shorten by a quarter inch in ten years, pins turn to the side.
fn tables(axis: Axis) -> TableSet {
    let rows = || (0..axis.n_rows()).map(|row| f64::from(u16::try_from(row).unwrap_or(0)));
    let hosel = MeasuredTable {
        clue: "hosel".into(),
        clubs: 40,
        bandwidth: 10.0,
        overall_mean: 4.5,
        overall_sd: 0.6,
        rows: rows().map(|row| MeasuredRow { clubs: 6.0, mean: 5.25 - 0.25 * row, sd: 0.3 }).collect(),
    };
    let side = |row: f64| 0.1 + 0.15 * row;
    let pin = LevelTable {
        clue: "pin".into(),
        clubs: 40,
        bandwidth: 10.0,
        weight: 0.9,
        overall: vec![0.5, 0.5],
        rows: rows().map(|row| LevelRow { clubs: 6.0, shares: vec![1.0 - side(row), side(row)] }).collect(),
    };
    let block = MeasuredBlock {
        part: Part::Head,
        degrees_of_freedom: 12.0,
        weight: 0.9,
        clues: vec![hosel],
        adjusters: Vec::new(),
        correlation: vec![vec![1.0]],
    };
    TableSet { levels: vec![pin], blocks: vec![block], ..TableSet::default() }
}

#[expect(clippy::print_stdout, reason = "an example shows what it found")]
fn main() -> Result<(), Box<dyn Error>> {
    let axis = Axis::new(1850, 1910, 10)?;
    let calibration = Calibration::new(CalibrationContents {
        name: "by hand".into(),
        catalogue: catalogue(axis)?,
        origin: Origin::default(),
        tables: tables(axis),
        marks: Vec::new(),
        parts: None,
        shelf: None,
        shared_lag: 0.0,
        default_prior: Prior::FLAT.into(),
        draws: Vec::new(),
    })?;
    let club = calibration.catalogue().club("bench 7", &[("hosel", "4 1/4 in"), ("pin", "side_side?")])?;
    let asked = Asked::new(&calibration, &club, Part::Head, None, &[])?;
    let dating = Dating::of(&asked);
    let ledger = Ledger::of(&asked, Accounting::default());

    for band in &dating.bands {
        println!("{:.0} % within {}-{}", 100.0 * band.level, band.from(), band.to());
    }
    println!("average year before any clue {:.1}", ledger.opening);
    for entry in ledger.by_size() {
        let name = calibration.catalogue().name_of(&entry.clue);
        println!("{:+6.1} years, misread {:2.0} in 100: {name}, {}", entry.years, 100.0 * entry.misread, entry.reading);
    }
    println!("average year with all clues  {:.1}", ledger.closing);
    if let Some(account) = PeriodAccount::of(&asked, [(1890, 1899), (1860, 1869)], Accounting::default()) {
        println!("the 1890s over the 1860s: {:+.1} decibans", account.total);
    }
    Ok(())
}
