//! Fits a whole calibration from a catalogue and dated clubs.

use crate::dated::dated_club::DatedClub;
use crate::dated::sets::Sets;
use crate::fit::date_narrowing::fit_narrowed;
use crate::fit::exponents::{NARROWING_ROUNDS, RULES_WEIGHT, Weighed, weighed};
use crate::fit::gain::Narrowing;
use crate::fit::resampling::draws;
use crate::fit::rule_conflicts::{RuleConflict, rule_conflicts};
use crate::smooth::kernels::Kernels;
use crate::tables::all_tables::{Omissions, TableFitError, Tables};
use crate::tables::fit_data::FitData;
use crate::tables::method::FitMethod;
use crate::tables::omissions::{LEAST_READINGS, WhyLeftOut};
use crate::tables::rules::Rules;
use agewright_model::tables::origin::InSets;
use agewright_model::tables::prior::{PriorError, UnknownPrior};
use agewright_model::tables::shelf::{Shelf, ShelfClub};
use agewright_model::{AskedError, Calibration, CalibrationError, Catalogue, Cell, Origin, Prior};
use std::borrow::Cow;
use thiserror::Error;

/// What a fit is asked for.
#[derive(Debug, Clone, Default)]
pub struct FitSettings {
    /// Name of the calibration.
    pub name: String,
    /// Where everything came from; the number of clubs and their years are filled in.
    pub origin: Origin,
    /// Name of the prior to use by default; `None` for as-collected, without clubs the first of the rules.
    pub prior: Option<String>,
    /// Rules of thumb that count beside the clubs.
    pub rules: Option<Rules>,
    /// How tables are fitted.
    pub method: FitMethod,
    /// Whether the clubs of the shelf lose their ids.
    pub anonymous: bool,
    /// Number of draws of resampled clubs to keep beside the tables.
    pub draws: usize,
    /// Seed of the draws.
    pub seed: u64,
}

/// A fitted calibration and what was seen on the way.
#[derive(Debug, Clone)]
pub struct Fit {
    /// The calibration.
    pub calibration: Calibration,
    /// What was left out and set aside.
    pub report: FitReport,
}

/// What a fit left out and set aside, and what it chose.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FitReport {
    /// Dated clubs that counted.
    pub clubs: usize,
    /// Clubs whose date grade is worth nothing.
    pub worthless: usize,
    /// Clues without a table.
    pub left_out: Vec<LeftOut>,
    /// Readings too wild to fit on.
    pub set_aside: Vec<SetAside>,
    /// Rows of years with no dated club: first and last year of each.
    pub empty_rows: Vec<(i32, i32)>,
    /// Rows in which rules and clubs disagree by more than chance.
    pub conflicts: Vec<RuleConflict>,
    /// Clubs that exponents were fitted on, where these are a sample of all.
    pub weighed_on: Option<usize>,
    /// Whether the clues of clubs dated to an interval were let narrow it.
    pub narrowing: Narrowing,
}

/// A clue without a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// The clue's id.
    pub clue: String,
    /// Dated clubs with a reading.
    pub readings: usize,
    /// Why.
    pub why: WhyLeftOut,
}

/// A reading too wild to fit on.
#[derive(Debug, Clone, PartialEq)]
pub struct SetAside {
    /// The club's id.
    pub club: String,
    /// The clue's id.
    pub clue: String,
    /// The reading as written.
    pub reading: String,
    /// Robust standard deviations off the line.
    pub deviations: f64,
}

/// Why no calibration can be fitted.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum FitError {
    /// No dated club counts.
    #[error("no dated club to fit on: fill made_from and made_to (clubs of date grade 5 do not count)")]
    NoDatedClub,
    /// All clubs are of one set.
    #[error(
        "all dated clubs are of one set: nothing is left when it is left out, so that no table can be fitted on them"
    )]
    OneSet,
    /// No clue has enough readings.
    #[error(
        "no clue has enough dated readings for a table: each needs {LEAST_READINGS} clubs or more that do not all read \
         alike"
    )]
    NoTable,
    /// The prior asked for does not exist.
    #[error("there is no prior \"{}\"", .0.name)]
    Prior(#[from] UnknownPrior),
    /// A club that was read by another catalogue.
    #[error(transparent)]
    Reading(AskedError),
    /// A prior could not be made.
    #[error(transparent)]
    PriorRows(#[from] PriorError),
    /// The fitted tables do not pass their own checks.
    #[error(transparent)]
    Calibration(#[from] CalibrationError),
}

impl From<TableFitError> for FitError {
    fn from(error: TableFitError) -> Self {
        match error {
            TableFitError::Prior(error) => Self::PriorRows(error),
            TableFitError::Calibration(error) => Self::Calibration(error),
        }
    }
}

impl From<AskedError> for FitError {
    fn from(error: AskedError) -> Self {
        match error {
            AskedError::Prior(error) => Self::Prior(error),
            other => Self::Reading(other),
        }
    }
}

/// Fits a calibration: tables on all clubs, exponents on evidence out of ten folds, intervals narrowed by the clubs'
/// own clues where that raises the out-of-fold score. Folds run in parallel and are gathered in order: the result does
/// not depend on threads.
///
/// # Errors
/// [`FitError`] when nothing can be fitted or the prior asked for does not exist.
/// ```
/// use agewright_calibration::{DatedClub, FitError, FitSettings, fit};
/// use agewright_model::{Axis, Catalogue, Clue, ClueKind, KnownDate, Level, Part};
///
/// let levels = ["coarse", "fine"].map(Level::plain).to_vec();
/// let nicking = Clue { levels, misread: 0.05, ..Clue::new("nicking", ClueKind::Levels, Part::Head) };
/// let catalogue = Catalogue::new("small", Axis::new(1850, 1910, 10).unwrap(), vec![nicking]).unwrap();
/// let dated = |year: i32| {
///     let teeth = if year % 4 == 0 || year > 1890 { "fine" } else { "coarse" };
///     let club = catalogue.club(&format!("of {year}"), &[("nicking", teeth)]).unwrap();
///     DatedClub::new(club, KnownDate::new(catalogue.axis(), year, year, Default::default()).unwrap())
/// };
/// let clubs: Vec<DatedClub> = (1852..1908).step_by(2).map(dated).collect();
/// let fitted = fit(&catalogue, &clubs, &FitSettings::default()).unwrap().calibration;
/// let table = fitted.tables().level_table("nicking").unwrap();
/// assert!(table.rows[0].shares[0] > table.rows[5].shares[0], "coarse teeth grow rarer");
/// assert_eq!(fit(&catalogue, &[], &FitSettings::default()).unwrap_err(), FitError::NoDatedClub);
/// ```
pub fn fit(catalogue: &Catalogue, clubs: &[DatedClub], settings: &FitSettings) -> Result<Fit, FitError> {
    let heard = heard(catalogue, clubs);
    let counted: Vec<&DatedClub> = heard.iter().filter(|club| club.worth() > 0.0).collect();
    if counted.is_empty() && settings.rules.is_none() {
        return Err(FitError::NoDatedClub);
    }
    if counted.len() > 1 && Sets::of(counted.iter().copied()).len() == 1 {
        return Err(FitError::OneSet);
    }
    let catalogue = catalogue.clone().with_least_misread(settings.method.least_misread);
    let data = FitData::new(&catalogue, counted, settings.rules.as_ref(), &settings.method);
    let kernels = Kernels::new(catalogue.axis(), &data.dates, &settings.method.bandwidths).with_sets(data.sets.clone());
    let plain = fit_narrowed(&data, &kernels, &vec![true; data.n_clubs()], 0)?;
    if plain.set.n_tables() == 0 {
        return Err(FitError::NoTable);
    }
    let prior = chosen_prior(&plain, settings)?;
    let Weighed { mut tables, narrowing, shared_lag } = weighed(&data, &kernels, plain, &prior)?;
    let rounds = if matches!(narrowing, Narrowing::Kept(_)) { NARROWING_ROUNDS } else { 0 };
    let mut contents = tables.calibration(&data)?.into_contents();
    contents.shared_lag = shared_lag;
    if let Some(parts) = &mut contents.parts {
        // Signs are of the rules whatever clubs there are.
        parts.sign_weight = settings.method.weights.unwrap_or(RULES_WEIGHT);
    }
    if let Some(shelf) = contents.shelf.as_mut().filter(|_| settings.anonymous) {
        take_out_ids(&catalogue, shelf);
    }
    if settings.draws > 0 && data.n_clubs() > 0 {
        contents.draws = draws(&data, &kernels, &contents.tables, rounds, settings.draws, settings.seed)?;
    }
    contents.name.clone_from(&settings.name);
    contents.origin = origin(settings, &data);
    contents.default_prior = prior;
    let mut report = report(&data, &std::mem::take(&mut tables.omissions), clubs.len(), narrowing);
    report.conflicts = settings.rules.iter().flat_map(|rules| rule_conflicts(&data, &kernels, rules)).collect();
    Ok(Fit { calibration: Calibration::new(contents)?, report })
}

/// The clubs without the readings that say nothing of their dates.
fn heard<'a>(catalogue: &Catalogue, clubs: &'a [DatedClub]) -> Cow<'a, [DatedClub]> {
    if catalogue.clues().iter().all(|clue| clue.silent_on.is_empty()) {
        return Cow::Borrowed(clubs);
    }
    let without = |dated: &DatedClub| {
        let mut own = dated.clone();
        for ((clue, _), cell) in catalogue.read_on(&dated.club).zip(&mut own.club.cells) {
            if catalogue.is_silent(clue, &dated.club) {
                *cell = Cell::NotExamined;
            }
        }
        own
    };
    Cow::Owned(clubs.iter().map(without).collect())
}

/// Gives the clubs of a shelf numbers for ids, in the order of their dates.
fn take_out_ids(catalogue: &Catalogue, shelf: &mut Shelf) {
    let text = |own: &ShelfClub| {
        let readings = catalogue.read_on(&own.club).map(|(_, cell)| cell.reading().map_or("", |reading| &reading.text));
        readings.collect::<Vec<_>>().join(",")
    };
    shelf.anonymous = true;
    shelf.clubs.sort_by_cached_key(|own| (own.from, own.to, text(own)));
    for (number, own) in (1..).zip(&mut shelf.clubs) {
        own.club.id = format!("dated club {number}");
    }
}

fn chosen_prior(tables: &Tables, settings: &FitSettings) -> Result<String, FitError> {
    let of_rules = settings.rules.as_ref().and_then(|rules| rules.priors.first()).map(|rule| rule.name.as_str());
    let default = match tables.usual_prior() {
        Prior::FLAT => of_rules.unwrap_or(Prior::FLAT),
        other => other,
    };
    let prior = tables.set.prior(settings.prior.as_deref().unwrap_or(default))?;
    Ok(prior.name.clone())
}

fn origin(settings: &FitSettings, data: &FitData<'_>) -> Origin {
    let clubs = &data.clubs;
    let first = clubs.iter().map(|club| club.made_from()).min();
    let last = clubs.iter().map(|club| club.made_to()).max();
    let in_sets = InSets { clubs: data.sets.clubs_of_several(), sets: data.sets.of_several() };
    Origin {
        clubs: clubs.len(),
        clubs_by_row: clubs_by_row(data),
        in_sets: (in_sets.sets > 0).then_some(in_sets),
        dated: first.zip(last).map(|(first, last)| [first, last]),
        ..settings.origin.clone()
    }
}

/// Expected number of clubs in each row, each club counted by its date, to a hundredth; none for no club.
fn clubs_by_row(data: &FitData<'_>) -> Vec<f64> {
    let axis = data.catalogue.axis();
    let mut rows = vec![0.0; axis.n_rows()];
    for (date, worth) in data.dates.iter().zip(&data.worths) {
        for (offset, share) in date.share.iter().enumerate() {
            rows[axis.row_ix(axis.year_at(date.first_ix + offset))] += worth * share;
        }
    }
    if data.n_clubs() == 0 { Vec::new() } else { rows.iter().map(|clubs| (clubs * 100.0).round() / 100.0).collect() }
}

fn report(data: &FitData<'_>, omissions: &Omissions, n_clubs: usize, narrowing: Narrowing) -> FitReport {
    let id = |ix: usize| data.catalogue.clues()[ix].id.clone();
    let left_out = omissions.left_out.iter().map(|&(ix, readings, why)| LeftOut { clue: id(ix), readings, why });
    let set_aside = omissions.set_aside.iter().map(|(ix, reading, deviations)| {
        let club = &data.clubs[reading.club].club;
        let text = club.cells.get(*ix).and_then(Cell::reading).map_or("", |r| r.text.as_str());
        SetAside { club: club.id.clone(), clue: id(*ix), reading: text.to_owned(), deviations: *deviations }
    });
    FitReport {
        clubs: data.n_clubs(),
        worthless: n_clubs - data.n_clubs(),
        left_out: left_out.collect(),
        set_aside: set_aside.collect(),
        empty_rows: empty_rows(data),
        weighed_on: Some(data.method.most_weighed).filter(|most| data.method.keeps_shelf() && *most < data.n_clubs()),
        narrowing,
        conflicts: Vec::new(),
    }
}

fn empty_rows(data: &FitData<'_>) -> Vec<(i32, i32)> {
    let axis = data.catalogue.axis();
    (0..axis.n_rows())
        .map(|row| axis.row_years(row))
        .filter(|(from, to)| !data.clubs.iter().any(|club| club.made_from() <= *to && club.made_to() >= *from))
        .collect()
}
