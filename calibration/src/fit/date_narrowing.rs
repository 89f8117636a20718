//! Clubs dated to an interval: their own clues may say where in it they lie (expectation maximisation).

use crate::dated::date_spread::DateSpread;
use crate::smooth::kernels::Kernels;
use crate::tables::all_tables::{Tables, fit_tables};
use crate::tables::fit_data::FitData;
use agewright_model::{Calibration, Evidence, Part, PriorError, normalised_from_ln};

/// Exponent of all evidence while the weights are not yet known: the centre that their fit is drawn to.
const EXPONENT: f64 = 0.8;

/// Fits tables on the members; in each of `rounds` rounds the members' intervals are first narrowed by the tables so far,
/// never outside what was given, and the tables fitted again.
///
/// # Errors
/// As [`fit_tables`].
pub(crate) fn fit_narrowed(
    data: &FitData<'_>,
    kernels: &Kernels,
    members: &[bool],
    rounds: usize,
) -> Result<Tables, PriorError> {
    let mut tables = fit_tables(data, &data.dates, kernels, members)?;
    if rounds == 0 {
        return Ok(tables);
    }
    let mut dates = data.dates.clone();
    let mut kernels = kernels.clone();
    for _ in 0..rounds {
        for club in (0..data.n_clubs()).filter(|&club| members[club] && data.dates[club].share.len() > 1) {
            dates[club] = narrowed(&tables.calibration, data, club);
            kernels.replace(club, &dates[club]);
        }
        tables = fit_tables(data, &dates, &kernels, members)?;
    }
    Ok(tables)
}

/// The part whose clues date a club: the head where it has tables.
pub(crate) fn main_part(calibration: &Calibration) -> Part {
    calibration.parts().first().copied().unwrap_or(Part::Head)
}

fn narrowed(calibration: &Calibration, data: &FitData<'_>, club: usize) -> DateSpread {
    let given = &data.dates[club];
    let years = given.first_ix..given.first_ix + given.share.len();
    let (evidence, _) = Evidence::gather(calibration, &data.clubs[club].club, main_part(calibration), &[]);
    let mut ln: Vec<f64> = match calibration.prior(&calibration.default_prior) {
        Ok(prior) => prior.ln_by_year()[years.clone()].to_vec(),
        Err(_) => vec![0.0; given.share.len()],
    };
    for (_, by_year) in evidence.ln_by_group() {
        for (sum, value) in ln.iter_mut().zip(&by_year[years.clone()]) {
            *sum += EXPONENT * value;
        }
    }
    DateSpread { first_ix: given.first_ix, share: normalised_from_ln(&ln) }
}
