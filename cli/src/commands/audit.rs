//! `agewright audit`: how good the answers are.

use crate::arguments::{AuditArguments, PlainFormat};
use crate::asked::fitting::{Knowledge, fit_failure, read_knowledge};
use crate::asked::progress::progress;
use crate::disk::json_line::print_json;
use crate::disk::picture_file::PictureFile;
use crate::disk::records::read_collection_file;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_calibration::audit::audit::{audit_with_witnesses, is_mate_of, n_fits};
use agewright_calibration::audit::learning_curve::CURVE_FITS;
use agewright_calibration::dated::sets::Sets;
use agewright_calibration::{
    Audit, AuditOf, AuditPlan, AuditVariants, DatedClub, FitError, FitMethod, FitSettings, learning_curve,
    without_each_clue,
};
use agewright_files::collection::dated_clubs;
use agewright_model::Catalogue;
use agewright_pages::charts::pit_columns::draw_pit;
use agewright_pages::json::audit::AuditAnswer;
use agewright_pages::terminal::audit_text::{AuditText, audit_text};
use agewright_pages::words::counted::counted;

pub fn run(arguments: &AuditArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let picture = arguments.chart.as_deref().map(|path| PictureFile::new(path, &[], arguments.force)).transpose()?;
    let read = Read::new(arguments, streams)?;
    read.warn(arguments, streams)?;
    let result = read.audit(arguments)?;
    let variants = read.variants(arguments, &result)?;
    match arguments.format {
        PlainFormat::Text => {
            let shown = AuditText {
                catalogue: &read.catalogue,
                audit: &result,
                variants: &variants,
                n_fitted: read.n_fitted(),
                sets: Sets::of(read.clubs.iter().filter(|club| club.worth() > 0.0)),
                held_out: read.held_out.is_some(),
            };
            write!(streams.stdout, "{}", audit_text(streams.page, &shown))?;
        }
        PlainFormat::Json => print_json(&AuditAnswer::new(&result, &variants), streams)?,
    }
    if let Some(picture) = picture {
        picture.write(&draw_pit(&result.pits()).map_err(Failure::Failed)?)?;
    }
    required(arguments, &result)
}

fn required(arguments: &AuditArguments, result: &Audit) -> Result<(), Failure> {
    // Dates too wide to test the bands say nothing of what was required.
    let means = result.means()[0];
    let tested = if means.testing == means.clubs { Some(means.coverage) } else { means.coverage_of_testing };
    let covered = tested.map_or(f64::NAN, |coverage| coverage[2]);
    match arguments.require_coverage {
        Some(share) if tested.is_none() => Err(Failure::Check(format!(
            "only {} of the {} dates {} narrow enough to test the bands, too few to tell whether the 95 % band holds \
             {share} of them",
            means.testing,
            means.clubs,
            if means.testing == 1 { "is" } else { "are" }
        ))),
        Some(share) if covered < share => {
            let hint = if share > 1.0 { " (a share: write 0.95 for 95 %)" } else { "" };
            let dates = if means.testing == means.clubs { "the dates" } else { "the dates narrow enough to test it" };
            Err(Failure::Check(format!("the 95 % band holds {covered:.3} of {dates}; {share} was required{hint}")))
        }
        _ => Ok(()),
    }
}

/// What is audited, as read.
struct Read {
    catalogue: Catalogue,
    clubs: Vec<DatedClub>,
    held_out: Option<Vec<DatedClub>>,
    settings: FitSettings,
    /// Name of the collection, for messages.
    collection: String,
}

impl Read {
    fn new(arguments: &AuditArguments, streams: &mut Streams<'_>) -> Result<Self, Failure> {
        let Knowledge { catalogue, rules, .. } = read_knowledge(&arguments.knowledge, streams)?;
        let read = read_collection_file(&arguments.collection, &catalogue, &arguments.table, streams)?;
        let (clubs, name) = (dated_clubs(&read.clubs), read.name);
        let held_out = match &arguments.held_out {
            Some(path) => Some(dated_clubs(&read_collection_file(path, &catalogue, &arguments.table, streams)?.clubs)),
            None => None,
        };
        let scored_file = arguments.held_out.as_ref().map_or_else(|| name.clone(), |path| path.display().to_string());
        if held_out.as_ref().unwrap_or(&clubs).iter().all(|club| club.worth() <= 0.0) {
            return Err(Failure::Rejected(format!("{scored_file}: no dated club to audit")));
        }
        let method = FitMethod { shelf: !arguments.no_shelf, ..FitMethod::default() };
        let settings = FitSettings { prior: arguments.prior.clone(), rules, method, ..FitSettings::default() };
        Ok(Self { catalogue, clubs, held_out, settings, collection: name })
    }

    /// Tells which clubs are not scored, or flatter the scores.
    fn warn(&self, arguments: &AuditArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
        let scored = self.held_out.as_ref().unwrap_or(&self.clubs);
        let opinions = scored.iter().filter(|club| club.worth() <= 0.0).count();
        if opinions > 0 {
            let clubs =
                counted(opinions, "club of date grade 5 (own opinion) is", "clubs of date grade 5 (own opinion) are");
            streams.tell(&format!("note: {clubs} not scored"))?;
        }
        let held_out = self.held_out.as_deref().unwrap_or(&[]);
        let mates = self.clubs.iter().filter(|club| is_mate_of(club, held_out) && !held_out.contains(club)).count();
        if mates > 0 {
            let clubs = counted(mates, "club of the collection is", "clubs of the collection are");
            streams.tell(&format!("note: {clubs} of the sets of held-out clubs, and not fitted on"))?;
        }
        let both = self.held_out.iter().flatten().filter(|club| self.clubs.contains(club)).count();
        if both > 0 && arguments.held_out.is_some() {
            let clubs = counted(both, "held-out club stands", "held-out clubs stand");
            streams.tell(&format!("warning: {clubs} in the collection too; such scores flatter"))?;
        }
        Ok(())
    }

    fn of(&self, arguments: &AuditArguments) -> AuditOf<'_> {
        AuditOf {
            catalogue: &self.catalogue,
            clubs: &self.clubs,
            held_out: self.held_out.as_deref(),
            settings: &self.settings,
            seed: arguments.seed,
        }
    }

    /// Clubs that held-out ones are dated by: neither opinions nor of their sets.
    fn n_fitted(&self) -> usize {
        let held_out = self.held_out.as_deref().unwrap_or(&[]);
        self.clubs.iter().filter(|club| club.worth() > 0.0 && !is_mate_of(club, held_out)).count()
    }

    fn plan(&self, arguments: &AuditArguments) -> AuditPlan<'_> {
        match (&self.held_out, arguments.leave_one_out) {
            (Some(clubs), _) => AuditPlan::HeldOut(clubs),
            (None, true) => AuditPlan::LeaveOneOut,
            (None, false) => AuditPlan::Folds(usize::from(arguments.folds)),
        }
    }

    fn failure(&self, error: &FitError) -> Failure {
        fit_failure(error, &self.collection)
    }

    fn audit(&self, arguments: &AuditArguments) -> Result<Audit, Failure> {
        let plan = self.plan(arguments);
        let bar = progress("auditing", n_fits(&self.clubs, plan));
        let done = || bar.inc(1);
        let audit = audit_with_witnesses(&self.catalogue, &self.clubs, &self.settings, plan, arguments.seed, &done);
        bar.finish();
        audit.map_err(|error| self.failure(&error))
    }

    fn variants(&self, arguments: &AuditArguments, whole: &Audit) -> Result<AuditVariants, Failure> {
        let (of, plan) = (self.of(arguments), self.plan(arguments));
        let mut variants = AuditVariants::default();
        if arguments.each_clue {
            let bar = progress("without each clue", n_fits(&self.clubs, plan) * self.catalogue.clues().len());
            let each = without_each_clue(of, plan, &|| bar.inc(1));
            bar.finish();
            variants.each_clue = each.map_err(|error| self.failure(&error))?;
        }
        if arguments.learning_curve {
            let bar = progress("with fewer clubs", CURVE_FITS);
            let curve = learning_curve(of, whole, &|| bar.inc(1));
            bar.finish();
            variants.learning_curve = curve.map_err(|error| self.failure(&error))?;
        }
        Ok(variants)
    }
}
