//! `agewright fit`: fits a calibration from clubs of known date.

use crate::Streams;
use crate::arguments::FitArguments;
use crate::failure::{Failure, SourceText};
use crate::files::{
    Collection, TableOptions, calibration_text, check_may_write, check_no_input, load_calibration,
    read_catalogue_with_marks, read_collection, read_records, read_rules, read_text, sha256, write_whole,
};
use crate::nearest_word::hint;
use crate::terminal::{comparison_text, fit_text, progress, working};
use agewright_calibration::{AuditPlan, DatedClub, FitError, FitSettings, Rules, audit, compare, fit};
use agewright_model::{AuditFigures, Catalogue, MarkUse, Origin};
use std::path::{Path, PathBuf};
use std::rc::Rc;

pub fn run(arguments: &FitArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let given = [&arguments.collection, &arguments.rules, &arguments.against, &arguments.clubs];
    let mut inputs: Vec<&Path> = given.into_iter().flatten().map(PathBuf::as_path).collect();
    inputs.push(&arguments.catalogue);
    check_no_input(&arguments.out, &inputs)?;
    check_may_write(&arguments.out, arguments.force)?;
    if let Some(name) = arguments.name.iter().chain([&arguments.notice]).find(|text| text.chars().any(char::is_control))
    {
        return Err(Failure::Usage(format!("--name and --notice are plain text on one line: {}", name.escape_debug())));
    }
    let catalogue_source = read_text(&arguments.catalogue, streams)?;
    let (catalogue, marks) = read_catalogue_with_marks(&arguments.catalogue, &catalogue_source, streams)?;
    let options = TableOptions { ignore: arguments.ignore.clone() };
    let collection_source = arguments.collection.as_ref().map(|path| read_text(path, streams)).transpose()?;
    let collection = match &collection_source {
        Some(source) => read_collection(source, &catalogue, &options)?,
        None => Collection::default(),
    };
    let rules_source = arguments.rules.as_ref().map(|path| read_text(path, streams)).transpose()?;
    let name_of = |path: &Option<PathBuf>| path.as_deref().map(file_name).unwrap_or_default();
    let sha_of = |source: &Option<Rc<SourceText>>| source.as_ref().map(|s| sha256(&s.text)).unwrap_or_default();
    let from = if arguments.collection.is_some() { name_of(&arguments.collection) } else { name_of(&arguments.rules) };
    let settings = FitSettings {
        name: arguments.name.clone().unwrap_or_else(|| format!("{} from {from}", catalogue.name)),
        origin: Origin {
            program: concat!("agewright ", env!("CARGO_PKG_VERSION")).to_owned(),
            catalogue_file: file_name(&arguments.catalogue),
            catalogue_sha256: sha256(&catalogue_source.text),
            collection_file: name_of(&arguments.collection),
            collection_sha256: sha_of(&collection_source),
            rules_file: name_of(&arguments.rules),
            rules_sha256: sha_of(&rules_source),
            notice: arguments.notice.clone(),
            ..Origin::default()
        },
        prior: arguments.prior.clone(),
        rules: with_marks(rules_source.as_ref().map(|source| read_rules(source, &catalogue)).transpose()?, marks),
        draws: usize::from(arguments.bootstrap),
        seed: arguments.seed,
        ..FitSettings::default()
    };
    let fitted_on = collection_source.as_ref().or(rules_source.as_ref()).map_or("", |source| source.name.as_str());
    let sign = working("fitting");
    let fitted = fit(&catalogue, &collection.dated, &settings);
    sign.finish_and_clear();
    let mut fitted = fitted.map_err(|error| fit_failure(&error, fitted_on))?;
    if !arguments.no_audit {
        fitted.calibration.origin.audit = audited(&catalogue, &collection.dated, &settings);
    }
    let old = arguments.against.as_deref().map(|path| load_calibration(&read_text(path, streams)?)).transpose()?;
    let compared = match &arguments.clubs {
        Some(path) => read_records(std::slice::from_ref(path), &[], &catalogue, &options, streams)?.clubs,
        None => collection.clubs.clone(),
    };
    let text = calibration_text(&fitted.calibration)?;
    write_whole(&arguments.out, text.as_bytes(), arguments.force)?;
    write!(streams.stderr, "{}", fit_text(&fitted, &collection, &arguments.out))?;
    if let Some(old) = old {
        let (before, now) = (&old.calibration.catalogue.name, &fitted.calibration.catalogue.name);
        if before != now {
            writeln!(
                streams.stderr,
                "note: the older calibration is of another catalogue, {before}; clues are matched by id"
            )?;
        }
        let change = compare(&old.calibration, &fitted.calibration, &compared);
        write!(streams.stdout, "{}", comparison_text(&fitted.calibration.catalogue, &old.calibration.name, &change))?;
    }
    Ok(())
}

/// Rules with the years of use of the catalogue's marks; marks alone are rules too.
pub fn with_marks(rules: Option<Rules>, marks: Vec<MarkUse>) -> Option<Rules> {
    if marks.is_empty() {
        return rules;
    }
    Some(Rules { marks, ..rules.unwrap_or_default() })
}

/// Folds of the audit that goes with a fit, and the fewest clubs that make them.
const FOLDS: usize = 10;

/// Figures of an audit of the fit on its own clubs, rounded; `None` with too few clubs, or where a fold cannot be fitted.
fn audited(catalogue: &Catalogue, clubs: &[DatedClub], settings: &FitSettings) -> Option<AuditFigures> {
    if clubs.iter().filter(|club| club.worth() > 0.0).count() < FOLDS {
        return None;
    }
    let settings = FitSettings { draws: 0, ..settings.clone() };
    let bar = progress("auditing", FOLDS);
    let result = audit(catalogue, clubs, &settings, AuditPlan::Folds(FOLDS), settings.seed, &|| bar.inc(1));
    bar.finish();
    let result = result.ok()?;
    let [model, prior, _] = result.means();
    let rounded = |value: f64| (value * 1e4).round() / 1e4;
    Some(AuditFigures {
        folds: FOLDS,
        clubs: result.clubs.len(),
        log_score: rounded(model.log_score),
        crps: rounded(model.crps),
        crps_of_prior: rounded(prior.crps),
        coverage: model.coverage.map(rounded),
    })
}

/// Why nothing could be fitted, as the command line tells it.
pub fn fit_failure(error: &FitError, collection: &str) -> Failure {
    match error {
        FitError::Prior { name, allowed } => {
            let help = hint(name, allowed).map_or_else(String::new, |help| format!("\n= help: {help}"));
            Failure::Usage(format!("--prior: {error}{help}"))
        }
        _ => Failure::Rejected(format!("{collection}: {error}")),
    }
}

fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(|| path.display().to_string(), |name| name.to_string_lossy().into_owned())
}
