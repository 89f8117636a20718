//! Clubs dated to an interval: their own clues may say where in it they lie (expectation maximisation).

use crate::dated::date_spread::DateSpread;
use crate::smooth::kernels::Kernels;
use crate::tables::all_tables::TableFitError;
use crate::tables::all_tables::{Tables, fit_tables};
use crate::tables::fit_data::FitData;
use agewright_model::numbers::ln_sums::normalised_from_ln;
use agewright_model::{Asked, Calibration};

/// Exponent of all evidence while the weights are not yet known: the centre that their fit is drawn to.
const EXPONENT: f64 = 0.8;

/// Fits tables on the members; in each of `rounds` rounds the members' intervals are first narrowed by the tables so
/// far, never outside what was given, and the tables fitted again.
///
/// # Errors
/// As [`fit_tables`].
pub(crate) fn fit_narrowed(
    data: &FitData<'_>,
    kernels: &Kernels,
    members: &[bool],
    rounds: usize,
) -> Result<Tables, TableFitError> {
    let mut tables = fit_tables(data, &data.dates, kernels, members)?;
    if rounds == 0 {
        return Ok(tables);
    }
    let mut dates = data.dates.clone();
    let mut kernels = kernels.clone();
    for _ in 0..rounds {
        let calibration = tables.calibration(data)?;
        for club in (0..data.n_clubs()).filter(|&club| members[club] && data.dates[club].share.len() > 1) {
            dates[club] = narrowed(&calibration, data, club);
            kernels.replace(club, &dates[club]);
        }
        tables = fit_tables(data, &dates, &kernels, members)?;
    }
    Ok(tables)
}

fn narrowed(calibration: &Calibration, data: &FitData<'_>, club: usize) -> DateSpread {
    let given = &data.dates[club];
    let years = given.first_ix..given.first_ix + given.share.len();
    let part = calibration.main_part();
    let Ok(asked) = Asked::new(calibration, &data.clubs[club].club, part, None, &[]) else { return given.clone() };
    let mut ln = asked.prior().ln_by_year()[years.clone()].to_vec();
    for (_, by_year) in asked.evidence().ln_by_group() {
        for (sum, value) in ln.iter_mut().zip(&by_year[years.clone()]) {
            *sum += EXPONENT * value;
        }
    }
    DateSpread { first_ix: given.first_ix, share: normalised_from_ln(&ln) }
}
