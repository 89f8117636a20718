//! The plain product of clues: what one gets by multiplying each clue's own table, as if nothing were shared.

use agewright_model::{Calibration, Cell, Club, Evidence, Part, Posterior, Prior};

/// The same tables without correlation, misreading, weights and adjusters.
pub(crate) fn stripped(calibration: &Calibration) -> Calibration {
    let mut plain = calibration.clone();
    for clue in &mut plain.catalogue.clues {
        clue.misread = 0.0;
    }
    for table in &mut plain.level_tables {
        table.misread = 0.0;
        table.weight = 1.0;
    }
    for block in &mut plain.blocks {
        block.adjusters.clear();
        block.weight = 1.0;
        for table in &mut block.clues {
            table.misread = 0.0;
        }
    }
    plain
}

/// Posterior by the plain product: ln prior plus the sum of each clue's own ln likelihood, adjusters left out.
#[must_use]
pub fn product_posterior(calibration: &Calibration, club: &Club, part: Part, prior: &Prior) -> Posterior {
    let plain = stripped(calibration);
    let is_adjuster: Vec<usize> =
        plain.catalogue.clues.iter().enumerate().filter(|(_, clue)| clue.adjusts).map(|(ix, _)| ix).collect();
    let mut sure = club.clone();
    for cell in &mut sure.cells {
        if let Cell::Read(reading) = cell {
            reading.doubtful = false;
        }
    }
    let (evidence, _) = Evidence::gather(&plain, &sure, part, &is_adjuster);
    let alone: Vec<Vec<f64>> = (0..evidence.n_clues()).map(|clue| evidence.ln_alone(clue)).collect();
    let mut terms: Vec<&[f64]> = alone.iter().map(Vec::as_slice).collect();
    terms.push(prior.ln_by_year());
    Posterior::new(plain.catalogue.axis, &terms)
}
