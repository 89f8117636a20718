//! `agewright fit`: fits a calibration from clubs of known date.

use crate::arguments::FitArguments;
use crate::asked::fitting::{Knowledge, fit_failure, read_knowledge};
use crate::asked::progress::{progress, working};
use crate::disk::records::{CollectionFile, read_collection_file, read_records};
use crate::disk::text_file::read_text;
use crate::disk::whole_file::{check_may_write, check_no_input, write_whole};
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_calibration::audit::audit::n_fits;
use agewright_calibration::{AuditPlan, DatedClub, FitError, FitMethod, FitSettings, Rules, audit, compare, fit};
use agewright_files::collection::dated_clubs;
use agewright_files::{ListedClub, LoadedCalibration, SourceText, calibration_text, sha256};
use agewright_model::tables::origin::AuditFigures;
use agewright_model::{Calibration, Catalogue, Club, Origin};
use agewright_pages::terminal::comparison_text::comparison_text;
use agewright_pages::terminal::fit_text::fit_text;
use std::path::{Path, PathBuf};
use std::sync::Arc;

pub fn run(arguments: &FitArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    check_arguments(arguments)?;
    let read = Read::new(arguments, streams)?;
    let settings = read.settings(arguments);
    let sign = working("fitting");
    let fitted = fit(&read.catalogue, &read.dated, &settings);
    sign.finish_and_clear();
    let mut fitted = fitted.map_err(|error| fit_failure(&error, read.fitted_on()))?;
    if !arguments.no_audit {
        let mut contents = fitted.calibration.into_contents();
        match audited(&read.catalogue, &read.dated, &settings) {
            Ok(figures) => contents.origin.audit = figures,
            Err(error) => streams.tell(&format!("note: not audited: {error}"))?,
        }
        fitted.calibration = Calibration::new(contents)?;
    }
    let old = arguments.against.as_deref();
    let old = old.map(|path| Ok::<_, Failure>(LoadedCalibration::read(&read_text(path, streams)?)?)).transpose()?;
    let compared = match &arguments.clubs {
        Some(path) => read_records(std::slice::from_ref(path), &[], &read.catalogue, &arguments.table, streams)?,
        None => read.clubs().to_vec(),
    };
    let compared: Vec<Club> = compared.into_iter().map(|listed| listed.club).collect();
    let text = calibration_text(&fitted.calibration)?;
    write_whole(&arguments.out, text.as_bytes(), arguments.force)?;
    let undated = read.clubs().len() - read.dated.len();
    write!(
        streams.stderr,
        "{}",
        fit_text(streams.page, &fitted, undated, &arguments.out.display().to_string(), text.len())
    )?;
    match old {
        Some(old) => tell_change(&old.calibration, &fitted.calibration, &compared, streams),
        None => Ok(()),
    }
}

fn check_arguments(arguments: &FitArguments) -> Result<(), Failure> {
    let known = &arguments.knowledge;
    let given = [&known.catalogue, &arguments.collection, &known.rules, &arguments.against, &arguments.clubs];
    let inputs: Vec<&Path> = given.into_iter().flatten().chain(&known.marks).map(PathBuf::as_path).collect();
    check_no_input(&arguments.out, &inputs)?;
    check_may_write(&arguments.out, arguments.force)?;
    match arguments.name.iter().chain([&arguments.notice]).find(|text| text.chars().any(char::is_control)) {
        Some(name) => {
            Err(Failure::Usage(format!("--name and --notice are plain text on one line: {}", name.escape_debug())))
        }
        None => Ok(()),
    }
}

/// What a fit is made from, as read.
struct Read {
    catalogue: Catalogue,
    catalogue_source: Arc<SourceText>,
    collection: Option<CollectionFile>,
    dated: Vec<DatedClub>,
    rules: Option<Rules>,
    rules_source: Option<Arc<SourceText>>,
}

impl Read {
    fn new(arguments: &FitArguments, streams: &mut Streams<'_>) -> Result<Self, Failure> {
        let Knowledge { catalogue, catalogue_source, rules, rules_source } =
            read_knowledge(&arguments.knowledge, streams)?;
        let collection = arguments.collection.as_ref();
        let collection =
            collection.map(|path| read_collection_file(path, &catalogue, &arguments.table, streams)).transpose()?;
        let dated = collection.as_ref().map_or_else(Vec::new, |read| dated_clubs(&read.clubs));
        Ok(Self { catalogue, catalogue_source, collection, dated, rules, rules_source })
    }

    /// All clubs of the collection.
    fn clubs(&self) -> &[ListedClub] {
        self.collection.as_ref().map_or(&[], |read| &read.clubs)
    }

    /// Name of the file that is fitted on, for messages.
    fn fitted_on(&self) -> &str {
        let rules = || self.rules_source.as_ref().map_or("", |source| source.name.as_str());
        self.collection.as_ref().map_or_else(rules, |read| &read.name)
    }

    fn settings(&self, arguments: &FitArguments) -> FitSettings {
        let name_of = |path: &Option<PathBuf>| path.as_deref().map(file_name).unwrap_or_default();
        let name_in = |source: &Option<Arc<SourceText>>| {
            source.as_ref().map(|source| file_name(Path::new(&source.name))).unwrap_or_default()
        };
        let sha_of = |source: &Option<Arc<SourceText>>| source.as_ref().map(|s| sha256(&s.text)).unwrap_or_default();
        let from = if arguments.collection.is_some() { &arguments.collection } else { &arguments.knowledge.rules };
        let is_named = !arguments.anonymous || arguments.collection.is_none();
        let usual_name = || match is_named {
            true => format!("{} from {}", self.catalogue.name(), name_of(from)),
            false => format!("{} from a collection", self.catalogue.name()),
        };
        let collection = if is_named { name_of(&arguments.collection) } else { String::new() };
        let collection_sha256 = self.collection.as_ref().filter(|_| is_named).map(|read| read.sha256.clone());
        FitSettings {
            name: arguments.name.clone().unwrap_or_else(usual_name),
            origin: Origin {
                program: concat!("agewright ", env!("CARGO_PKG_VERSION")).to_owned(),
                catalogue_file: file_name(Path::new(&self.catalogue_source.name)),
                catalogue_sha256: sha256(&self.catalogue_source.text),
                collection_file: collection,
                collection_sha256: collection_sha256.unwrap_or_default(),
                rules_file: name_in(&self.rules_source),
                rules_sha256: sha_of(&self.rules_source),
                notice: arguments.notice.clone(),
                ..Origin::default()
            },
            prior: arguments.prior.clone(),
            rules: self.rules.clone(),
            method: FitMethod { shelf: !arguments.no_shelf, ..FitMethod::default() },
            anonymous: arguments.anonymous,
            draws: usize::from(arguments.bootstrap),
            seed: arguments.seed,
        }
    }
}

/// What changed from an older calibration, on standard output.
fn tell_change(old: &Calibration, new: &Calibration, clubs: &[Club], streams: &mut Streams<'_>) -> Result<(), Failure> {
    let before = old.catalogue().name();
    if before != new.catalogue().name() {
        streams
            .tell(&format!("note: the older calibration is of another catalogue, {before}; clues are matched by id"))?;
    }
    let change = compare(old, new, clubs);
    Ok(write!(streams.stdout, "{}", comparison_text(streams.page, new.catalogue(), old.name(), &change))?)
}

/// Folds of the audit that goes with a fit, and the fewest clubs that make them.
const FOLDS: usize = 10;

/// Figures of an audit of the fit on its own clubs, rounded; `None` with too few clubs.
fn audited(
    catalogue: &Catalogue,
    clubs: &[DatedClub],
    settings: &FitSettings,
) -> Result<Option<AuditFigures>, FitError> {
    if clubs.iter().filter(|club| club.worth() > 0.0).count() < FOLDS {
        return Ok(None);
    }
    let settings = FitSettings { draws: 0, ..settings.clone() };
    let plan = AuditPlan::Folds(FOLDS);
    let folds = n_fits(clubs, plan);
    let bar = progress("auditing", folds);
    let result = audit(catalogue, clubs, &settings, plan, settings.seed, &|| bar.inc(1));
    bar.finish();
    let result = result?;
    let [model, prior, _] = result.means();
    let rounded = |value: f64| (value * 1e4).round() / 1e4;
    Ok(Some(AuditFigures {
        folds,
        clubs: result.clubs.len(),
        log_score: rounded(model.log_score),
        crps: rounded(model.crps),
        crps_of_prior: rounded(prior.crps),
        coverage: model.coverage.map(rounded),
        testing: Some(model.testing),
        coverage_of_testing: model.coverage_of_testing.map(|held| held.map(rounded)),
    }))
}

fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned())
}
