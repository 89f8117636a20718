//! Draws a collection from a known truth, fits tables on it and audits the fit, no file read: `cargo run --release -p
//! agewright-calibration --example fit_and_audit`.

use agewright_calibration::{AuditPlan, DatedClub, FitSettings, audit, fit};
use agewright_model::{
    Asked, Axis, Catalogue, Clue, ClueKind, Dating, KnownDate, Level, Part, Unit, reading::scale::Scale,
};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use std::error::Error;

fn catalogue(axis: Axis) -> Result<Catalogue, Box<dyn Error>> {
    let hosel = Clue {
        unit: Unit::Inch,
        scale: Scale::Log,
        tolerance: Some(0.06),
        misread: 0.02,
        ..Clue::new("hosel", ClueKind::Measured, Part::Head)
    };
    let levels = ["coarse", "fine"].map(Level::plain).to_vec();
    let nicking = Clue { levels, misread: 0.05, ..Clue::new("nicking", ClueKind::Levels, Part::Head) };
    Ok(Catalogue::new("two clues", axis, vec![hosel, nicking])?)
}

/// Eighty invented clubs: hosels shorten and teeth grow finer with the years, neither without exceptions.
fn collection(catalogue: &Catalogue) -> Result<Vec<DatedClub>, Box<dyn Error>> {
    let mut random = ChaCha8Rng::seed_from_u64(7);
    let mut clubs = Vec::new();
    for n in 0..80 {
        let year = random.random_range(1850..1920);
        let late = f64::from(year - 1850) / 70.0;
        let hosel = format!("{:.2}", (5.0 - 1.4 * late) * (1.0 + 0.08 * (random.random::<f64>() - 0.5)));
        let nicking = if random.random::<f64>() < 0.1 + 0.8 * late { "fine" } else { "coarse" };
        let club = catalogue.club(&format!("invented {n}"), &[("hosel", &hosel), ("nicking", nicking)])?;
        let date = KnownDate::new(catalogue.axis(), year, year, Default::default())?;
        clubs.push(DatedClub::new(club, date));
    }
    Ok(clubs)
}

#[expect(clippy::print_stdout, reason = "an example shows what it found")]
fn main() -> Result<(), Box<dyn Error>> {
    let catalogue = catalogue(Axis::new(1840, 1930, 10)?)?;
    let clubs = collection(&catalogue)?;
    let settings = FitSettings::default();
    let fitted = fit(&catalogue, &clubs, &settings)?;
    for table in &fitted.calibration.tables().levels {
        println!("{}: exponent {:.2}, bandwidth {:.0} years", table.clue, table.weight, table.bandwidth);
    }

    // Each tenth of the clubs is dated by a fit on the rest.
    let audited = audit(&catalogue, &clubs, &settings, AuditPlan::Folds(10), 1, &|| {})?;
    let [model, prior, product] = audited.means();
    println!("CRPS {:.1} years; the prior alone {:.1}; the plain product {:.1}", model.crps, prior.crps, product.crps);
    let [half, eighty, most] = model.coverage.map(|share| 100.0 * share);
    println!("the 50, 80 and 95 % bands held {half:.0}, {eighty:.0} and {most:.0} % of the dates");

    let club = catalogue.club("undated", &[("hosel", "3.9 in"), ("nicking", "coarse")])?;
    let asked = Asked::new(&fitted.calibration, &club, Part::Head, None, &[])?;
    let short = Dating::of(&asked).short();
    println!("an undated one: middle year {}, {}-{} (4 in 5)", short.median, short.from, short.to);
    Ok(())
}
