//! What every dating command is asked: which clubs, by which calibration, prior and clues.

use crate::Streams;
use crate::arguments::RecordArguments;
use crate::built_in::built_in;
use crate::clue_orders::clue_orders;
use crate::failure::Failure;
use crate::files::{
    Collection, LoadedCalibration, TableOptions, load_calibration, read_marks, read_records, read_text,
};
use crate::nearest_word::hint;
use agewright_calibration::DatedClub;
use agewright_model::{Club, Dating, DatingError, DatingOptions, EXACT_CLUES, Part};
use std::path::{Path, PathBuf};

/// Clubs read against a calibration, and how they shall be dated.
pub struct Question {
    pub loaded: LoadedCalibration,
    pub clubs: Vec<Club>,
    /// Those of them whose date is known.
    pub dated: Vec<DatedClub>,
    pub prior: Option<String>,
    /// Places of the clues left out.
    pub without: Vec<usize>,
}

/// The calibration named, or the built-in one.
pub fn calibration(path: Option<&Path>, streams: &mut Streams<'_>) -> Result<LoadedCalibration, Failure> {
    let loaded = match path {
        Some(path) => load_calibration(&read_text(path, streams)?)?,
        None => built_in()?,
    };
    for note in &loaded.notes {
        writeln!(streams.stderr, "note: {note}")?;
    }
    Ok(loaded)
}

/// The calibration named, or the built-in one, with a user's own marks added.
pub fn calibration_with_marks(
    path: Option<&Path>,
    marks: &[PathBuf],
    streams: &mut Streams<'_>,
) -> Result<LoadedCalibration, Failure> {
    let mut loaded = calibration(path, streams)?;
    for file in marks {
        let added = read_marks(&read_text(file, streams)?, &mut loaded.calibration.catalogue)?;
        for draw in &mut loaded.calibration.draws {
            draw.catalogue.clone_from(&loaded.calibration.catalogue);
            draw.marks.extend(added.iter().cloned());
        }
        loaded.calibration.marks.extend(added);
    }
    Ok(loaded)
}

impl Question {
    pub fn read(arguments: &RecordArguments, streams: &mut Streams<'_>) -> Result<Self, Failure> {
        let loaded = calibration_with_marks(arguments.calibration.as_deref(), &arguments.marks, streams)?;
        let catalogue = &loaded.calibration.catalogue;
        let ids: Vec<String> = catalogue.clues.iter().map(|clue| clue.id.clone()).collect();
        let mut without = Vec::new();
        for word in &arguments.without {
            without.push(catalogue.clue_ix(word).ok_or_else(|| {
                let help = hint(word, &ids).map_or_else(String::new, |help| format!("\n= help: {help}"));
                Failure::Usage(format!("--without {word}: the catalogue has no such clue{help}"))
            })?);
        }
        if let Some(prior) = &arguments.prior {
            loaded.calibration.prior(prior).map_err(|error| prior_failure(&error))?;
        }
        let options = TableOptions { ignore: arguments.ignore.clone() };
        let Collection { clubs, dated } =
            read_records(&arguments.records, &arguments.clubs, catalogue, &options, streams)?;
        Ok(Self { loaded, clubs, dated, prior: arguments.prior.clone(), without })
    }

    /// The parts that the calibration can date, the head first.
    pub fn parts(&self) -> Vec<Part> {
        self.loaded.calibration.parts()
    }

    pub fn date(&self, club: &Club, part: Part) -> Result<Dating, Failure> {
        Dating::of(&self.loaded.calibration, club, part, self.options()).map_err(|error| prior_failure(&error))
    }

    /// The same for many clubs, of which no ledger is shown: its shares are rough.
    pub fn date_without_account(&self, club: &Club, part: Part) -> Result<Dating, Failure> {
        let there_and_back = |ids: &[&str]| vec![(0..ids.len()).collect(), (0..ids.len()).rev().collect()];
        let options = DatingOptions { exact_up_to: 0, orders: &there_and_back, ..self.options() };
        Dating::of(&self.loaded.calibration, club, part, options).map_err(|error| prior_failure(&error))
    }

    pub fn options(&self) -> DatingOptions<'_> {
        DatingOptions {
            prior: self.prior.as_deref(),
            without: &self.without,
            exact_up_to: EXACT_CLUES,
            orders: &|ids| clue_orders(ids),
        }
    }

    /// Name of the prior used.
    pub fn prior_name(&self) -> &str {
        self.prior.as_deref().unwrap_or(&self.loaded.calibration.default_prior)
    }

    /// The part that answers are about first: the head, where the calibration dates it.
    pub fn part(&self) -> Part {
        self.parts().first().copied().unwrap_or(Part::Head)
    }

    /// Refuses clubs of different files that share an id, where one would be taken for the other.
    pub fn check_ids(&self) -> Result<(), Failure> {
        let mut seen = std::collections::BTreeSet::new();
        match self.clubs.iter().find(|club| !seen.insert(club.id.as_str())) {
            Some(club) => Err(Failure::Rejected(format!(
                "club \"{}\" stands in more than one of the files; give each an id of its own",
                club.id
            ))),
            None => Ok(()),
        }
    }

    /// The only club, for commands about one.
    pub fn one_club(&self) -> Result<&Club, Failure> {
        match self.clubs.as_slice() {
            [club] => Ok(club),
            clubs => {
                let ids: Vec<&str> = clubs.iter().take(8).map(|club| club.id.as_str()).collect();
                let more = if clubs.len() > 8 { ", ..." } else { "" };
                Err(Failure::Usage(format!(
                    "this command takes one club and {} were read\n= help: choose one with --club: {}{more}",
                    clubs.len(),
                    ids.join(", ")
                )))
            }
        }
    }
}

/// An unknown prior, with the ones there are.
pub fn prior_failure(error: &DatingError) -> Failure {
    match error {
        DatingError::Prior { name, allowed } => {
            let help = hint(name, allowed).map_or_else(String::new, |help| format!("\n= help: {help}"));
            Failure::Usage(format!("{error}{help}"))
        }
        _ => Failure::Failed(error.to_string()),
    }
}
