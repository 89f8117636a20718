//! Dates a club by the starter rules that are built in: `cargo run -p agewright-files --example
//! date_with_the_starter_rules`.

use agewright_files::{Refused, built_in};
use agewright_model::{Accounting, Asked, Dating, Ledger, Part, Warning, warnings};
use std::error::Error;

#[expect(clippy::print_stdout, reason = "an example shows what it found")]
fn main() -> Result<(), Box<dyn Error>> {
    let loaded = built_in().map_err(|refused: Refused| refused.to_string())?;
    let calibration = &loaded.calibration;
    let readings = [
        ("club_type", "long"),
        ("hosel_to_crease", "3 3/4 in"),
        ("top_edge", "4 mm"),
        ("nicking_coarseness", "medium|fine"),
        ("face_scoring", "smooth"),
    ];
    let club = calibration.catalogue().club("my cleek", &readings)?;
    let asked = Asked::new(calibration, &club, Part::Head, None, &[])?;
    let dating = Dating::of(&asked);
    let ledger = Ledger::of(&asked, Accounting::default());
    let short = dating.short();
    println!("{}: middle year {}, {}-{} (4 in 5)", club.id, short.median, short.from, short.to);
    println!("before any clue the average year is {:.1}", ledger.opening);
    for entry in ledger.by_size() {
        println!("  {:+5.1} years  {}: {}", entry.years, calibration.catalogue().name_of(&entry.clue), entry.reading);
    }
    println!("with all of them it is {:.1}", ledger.closing);
    for warning in warnings(&asked, &dating) {
        if let Warning::Trap { message, .. } = warning {
            println!("mind: {message}");
        }
    }
    Ok(())
}
