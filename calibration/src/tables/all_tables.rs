//! Fits all tables on some of the clubs of a collection.

use crate::dated::date_spread::DateSpread;
use crate::smooth::kernels::Kernels;
use crate::tables::block_fit::{block, measured_clue};
use crate::tables::collection_prior::as_collected;
use crate::tables::fit_data::FitData;
use crate::tables::level_fit::level_table;
use crate::tables::measured_fit::MeasuredReading;
use crate::tables::omissions::WhyLeftOut;
use agewright_model::tables::prior::PriorError;
use agewright_model::tables::shelf::Shelf;
use agewright_model::{Calibration, CalibrationContents, CalibrationError, Origin, Part, Prior, TableForm, TableSet};
use thiserror::Error;

/// What was left out of tables: (clue, readings, why), and what was set aside: (clue, reading, robust deviations).
#[derive(Debug, Clone, Default)]
pub(crate) struct Omissions {
    pub left_out: Vec<(usize, usize, WhyLeftOut)>,
    pub set_aside: Vec<(usize, MeasuredReading, f64)>,
}

/// Everything that is fitted at once, all weights 1.
pub(crate) struct Tables {
    pub set: TableSet,
    pub omissions: Omissions,
    /// The dated clubs themselves.
    pub shelf: Option<Shelf>,
}

/// Why tables cannot be fitted.
#[derive(Debug, Clone, PartialEq, Error)]
pub(crate) enum TableFitError {
    /// A prior could not be made.
    #[error(transparent)]
    Prior(#[from] PriorError),
    /// The fitted tables do not pass their own checks.
    #[error(transparent)]
    Calibration(#[from] CalibrationError),
}

impl Tables {
    /// Name of the prior that goes with these tables where nothing else is said.
    pub fn usual_prior(&self) -> &'static str {
        if self.set.prior(Prior::AS_COLLECTED).is_ok() { Prior::AS_COLLECTED } else { Prior::FLAT }
    }

    /// A calibration of these tables as they are.
    ///
    /// # Errors
    /// [`CalibrationError`] for tables that do not pass their checks.
    pub fn calibration(&self, data: &FitData<'_>) -> Result<Calibration, CalibrationError> {
        Calibration::new(CalibrationContents {
            name: String::new(),
            catalogue: data.catalogue.clone(),
            origin: Origin::default(),
            tables: self.set.clone(),
            marks: data.rules.map_or_else(Vec::new, |rules| rules.marks.clone()),
            parts: data.rules.and_then(|rules| rules.parts.clone()),
            shelf: self.shelf.clone(),
            shared_lag: 0.0,
            default_prior: self.usual_prior().to_owned(),
            draws: Vec::new(),
        })
    }
}

/// Fits every table on the clubs for which `members` holds, dated by `dates`.
///
/// # Errors
/// [`PriorError`] cannot occur for dates on the axis; it is passed on rather than hidden.
pub(crate) fn fit_tables(
    data: &FitData<'_>,
    dates: &[DateSpread],
    kernels: &Kernels,
    members: &[bool],
) -> Result<Tables, PriorError> {
    let catalogue = data.catalogue;
    let mut omissions = Omissions::default();
    let mut level_tables = Vec::new();
    let mut measured = Vec::new();
    for (ix, clue) in catalogue.clues().iter().enumerate() {
        match clue.kind.table_form() {
            TableForm::Shares if clue.adjusts => {}
            TableForm::Shares => match level_table(data, ix, kernels, members) {
                Ok(table) => level_tables.push(table),
                Err((n, why)) => omissions.left_out.push((ix, n, why)),
            },
            TableForm::Measures => match measured_clue(data, ix, kernels, members) {
                Ok((clue, aside)) => {
                    omissions.set_aside.extend(aside.into_iter().map(|(reading, off)| (ix, reading, off)));
                    measured.push(clue);
                }
                Err((n, why)) => omissions.left_out.push((ix, n, why)),
            },
            TableForm::Known => {}
        }
    }
    let blocks = Part::ALL.iter().filter_map(|&part| block(data, kernels, members, part, &measured)).collect();
    let own: Vec<usize> = (0..data.n_clubs()).filter(|&club| members[club]).collect();
    let own_dates: Vec<&DateSpread> = own.iter().map(|&club| &dates[club]).collect();
    let own_worths: Vec<f64> = own.iter().map(|&club| data.worths[club]).collect();
    let mut priors = vec![Prior::flat(catalogue.axis())];
    if !own.is_empty() {
        let own_sets: Vec<usize> = own.iter().map(|&club| data.sets.set_of(club)).collect();
        priors.push(as_collected(catalogue.axis(), &own_dates, &own_worths, &own_sets, data.method.flat_share)?);
    }
    for rule in data.rules.iter().flat_map(|rules| &rules.priors) {
        priors.push(rule.prior(catalogue.axis())?);
    }
    Ok(Tables { set: TableSet { levels: level_tables, blocks, priors }, omissions, shelf: None })
}
