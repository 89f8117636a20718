//! What is asked: a part of a club, by a calibration and a prior, some clues left out. Prior and evidence are resolved
//! once.

use crate::evidence::evidence::Evidence;
use crate::evidence::joined_parts::JoinedParts;
use crate::evidence::own_evidence::OwnEvidence;
use crate::evidence::part_prior::Together;
use crate::evidence::usable::{UnusedClue, Usable, usable_readings};
use crate::numbers::axis::Axis;
use crate::reading::cell::{Cell, Reading};
use crate::reading::club::Club;
use crate::reading::part::Part;
use crate::tables::calibration::Calibration;
use crate::tables::prior::{Prior, UnknownPrior};
use crate::tables::table_set::TableSet;
use std::sync::Arc;
use thiserror::Error;

/// A question about one part of one club, its prior looked up and its evidence gathered; every answer is made from it.
///
/// ```
/// # use agewright_model::tables::level_table::{LevelRow, LevelTable};
/// # use agewright_model::{Axis, Calibration, CalibrationContents, Catalogue, Clue, ClueKind, Level, Origin, Part};
/// # use agewright_model::{Prior, TableSet};
/// # let axis = Axis::new(1850, 1900, 10).unwrap();
/// # let levels = vec![Level::plain("coarse"), Level::plain("fine")];
/// # let nicking = Clue { levels, misread: 0.1, ..Clue::new("nicking", ClueKind::Levels, Part::Head) };
/// # let row = |r: usize| LevelRow { clubs: 5.0, shares: vec![0.9 - 0.2 * r as f64, 0.1 + 0.2 * r as f64] };
/// # let table = LevelTable { clue: "nicking".into(), clubs: 25, bandwidth: 10.0, weight: 1.0,
/// #     overall: vec![0.5, 0.5], rows: (0..5).map(row).collect() };
/// # let calibration = Calibration::new(CalibrationContents { name: "small".into(),
/// #     catalogue: Catalogue::new("small", axis, vec![nicking]).unwrap(), origin: Origin::default(),
/// #     tables: TableSet { levels: vec![table], ..TableSet::default() },
/// #     marks: Vec::new(), parts: None, default_prior: Prior::FLAT.into(), draws: Vec::new() }).unwrap();
/// use agewright_model::Asked;
///
/// let club = calibration.catalogue().club("mine", &[("nicking", "coarse")]).unwrap();
/// let asked = Asked::new(&calibration, &club, Part::Head, Some("flat"), &[]).unwrap();
/// assert_eq!(asked.evidence().clue_ids(), ["nicking"]);
/// // With the one clue left out nothing is left.
/// let without = Asked::new(&calibration, &club, Part::Head, None, &["nicking"]).unwrap();
/// assert_eq!(without.evidence().n_clues(), 0);
/// assert!(Asked::new(&calibration, &club, Part::Head, Some("as-sold"), &[]).is_err());
/// ```
#[derive(Debug, Clone)]
pub struct Asked<'a> {
    calibration: &'a Calibration,
    tables: &'a TableSet,
    club: &'a Club,
    part: Part,
    named: &'a Prior,
    prior: Prior,
    without: Vec<&'a str>,
    gathered: Gathered,
}

/// Why a question cannot be answered.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum AskedError {
    /// The calibration has no prior of this name.
    #[error(transparent)]
    Prior(#[from] UnknownPrior),
    /// A clue to be left out that the catalogue does not have.
    #[error("the catalogue has no clue \"{0}\"")]
    Clue(String),
    /// A reading that is not of its clue's kind: the club was read by another catalogue.
    #[error("club \"{club}\": its reading of {clue} is none that the catalogue allows")]
    Reading {
        /// The club's id.
        club: String,
        /// The clue's id.
        clue: String,
    },
    /// Evidence that is no number: the calibration's tables hold absurd ones.
    #[error(
        "club \"{club}\": its reading of {clue} gives no finite likelihood: a table of the calibration is absurd there"
    )]
    NotFinite {
        /// The club's id.
        club: String,
        /// The clue's id, or the first of those that speak together.
        clue: String,
    },
}

/// The evidence of one part, with what is known of the parts together.
#[derive(Debug, Clone)]
struct Gathered {
    evidence: Evidence,
    unused: Vec<UnusedClue>,
    /// `None` where the calibration does not say how parts belong together.
    together: Option<Together>,
}

impl<'a> Asked<'a> {
    /// Asks when a part of a club was made: by a prior of this name (`None`: the calibration's own choice), and without
    /// the clues of these ids.
    ///
    /// # Errors
    /// [`AskedError`] for an unknown prior or clue, for a club that was read by another catalogue, and where a table of
    /// absurd numbers makes evidence that is none.
    pub fn new(
        calibration: &'a Calibration,
        club: &'a Club,
        part: Part,
        prior: Option<&str>,
        without: &[&'a str],
    ) -> Result<Self, AskedError> {
        let named = calibration.prior(prior)?;
        let catalogue = calibration.catalogue();
        if let Some(clue) = without.iter().find(|clue| catalogue.clue_ix(clue).is_none()) {
            return Err(AskedError::Clue((*clue).to_owned()));
        }
        let unfit = catalogue.read_on(club).find(|(clue, cell)| cell.reading().is_some_and(|r| !r.seen.is_of(clue)));
        if let Some((clue, _)) = unfit {
            return Err(AskedError::Reading { club: club.id.clone(), clue: clue.id.clone() });
        }
        let asked = Self::by_tables(calibration, calibration.tables(), club, part, named, without.to_vec());
        match asked.evidence().not_finite().map(str::to_owned) {
            Some(clue) => Err(AskedError::NotFinite { club: club.id.clone(), clue }),
            None => Ok(asked),
        }
    }

    fn by_tables(
        calibration: &'a Calibration,
        tables: &'a TableSet,
        club: &'a Club,
        part: Part,
        named: &'a Prior,
        without: Vec<&'a str>,
    ) -> Self {
        let gathered = Gathered::new(calibration, tables, club, part, &without);
        let prior = gathered.prior_of(part, named);
        Self { calibration, tables, club, part, named, prior, without, gathered }
    }

    /// The same question about another part of the club.
    #[must_use]
    pub fn of_part(&self, part: Part) -> Self {
        Self::by_tables(self.calibration, self.tables, self.club, part, self.named, self.without.clone())
    }

    /// The same question of a draw of the calibration, by the draw's own prior of that name.
    pub(crate) fn by_draw(&self, draw: &'a TableSet) -> Option<Self> {
        let named = draw.prior(&self.named.name).ok()?;
        Some(Self::by_tables(self.calibration, draw, self.club, self.part, named, self.without.clone()))
    }

    /// The evidence if this had been read for a clue too (by its place in the catalogue).
    pub(crate) fn evidence_with(&self, clue_ix: usize, reading: &Reading) -> Evidence {
        let mut club = self.club.clone();
        club.cells.resize(self.calibration.catalogue().clues().len(), Cell::NotExamined);
        club.cells[clue_ix] = Cell::Read(reading.clone());
        Gathered::new(self.calibration, self.tables, &club, self.part, &self.without).evidence
    }

    /// The calibration.
    #[must_use]
    pub fn calibration(&self) -> &'a Calibration {
        self.calibration
    }

    /// The tables that are asked: those of the calibration.
    pub(crate) fn tables(&self) -> &'a TableSet {
        self.tables
    }

    /// The club.
    #[must_use]
    pub fn club(&self) -> &'a Club {
        self.club
    }

    /// The part.
    #[must_use]
    pub fn part(&self) -> Part {
        self.part
    }

    /// The axis of years.
    #[must_use]
    pub fn axis(&self) -> Axis {
        self.gathered.evidence.axis
    }

    /// The prior of the part's years: for the head the one asked for; for shaft and grip, where the calibration says
    /// how parts belong together, what the head and the chance of a replacement leave open.
    #[must_use]
    pub fn prior(&self) -> &Prior {
        &self.prior
    }

    /// What another prior of the head's years makes of the part's.
    #[must_use]
    pub fn prior_from(&self, prior: &Prior) -> Prior {
        self.gathered.prior_of(self.part, prior)
    }

    /// The evidence: everything that was read and counts.
    #[must_use]
    pub fn evidence(&self) -> &Evidence {
        &self.gathered.evidence
    }

    /// Readings of the part that give no evidence.
    #[must_use]
    pub fn unused(&self) -> &[UnusedClue] {
        &self.gathered.unused
    }

    /// Whether a clue (by its id) is left out on request.
    pub(crate) fn leaves_out(&self, clue: &str) -> bool {
        self.without.contains(&clue)
    }

    /// P(this shaft is later than the head, or this grip later than the shaft), where the calibration says how parts
    /// belong together.
    #[must_use]
    pub fn chance_replaced(&self) -> Option<f64> {
        self.gathered.together.as_ref()?.chance_replaced(self.part, self.named)
    }
}

impl Gathered {
    fn new(calibration: &Calibration, tables: &TableSet, club: &Club, part: Part, without: &[&str]) -> Self {
        let read = |part: Part| usable_readings(calibration, club, part, without);
        let (mut usable, unused) = read(part);
        let Some(model) = calibration.parts_model() else {
            let own = OwnEvidence::new(calibration, tables, part, &usable);
            return Self { evidence: own.into(), unused, together: None };
        };
        // Signs say nothing of a part's year by themselves.
        usable.retain(|one| model.sign(&one.clue.id).is_none());
        let [shaft, grip] = [Part::Shaft, Part::Grip].map(|part| read(part).0);
        let parts = Arc::new(JoinedParts::new(calibration, tables, model, &shaft, &grip));
        let own = OwnEvidence::new(calibration, tables, part, &usable);
        let ln_head = if part == Part::Head {
            own.ln_likelihood(|_| true)
        } else {
            OwnEvidence::new(calibration, tables, Part::Head, &read(Part::Head).0).ln_likelihood(|_| true)
        };
        // In the order that the joined parts take them in: the clues of each part, then its signs.
        let is_sign = |one: &Usable<'_>| model.sign(&one.clue.id).is_some();
        let mut fixed = Vec::new();
        for (other, readings) in [(Part::Shaft, &shaft), (Part::Grip, &grip)] {
            if part.fixed_to_it().contains(&other) {
                fixed.extend(readings.iter().filter(|one| !is_sign(one)));
                fixed.extend(readings.iter().filter(|one| is_sign(one)));
            }
        }
        let mut evidence = Evidence::from(own);
        if !fixed.is_empty() {
            evidence = evidence.with_fixed(calibration, tables, part, &fixed, Arc::clone(&parts));
        }
        Self { evidence, unused, together: Some(Together { ln_head, parts }) }
    }

    fn prior_of(&self, part: Part, prior: &Prior) -> Prior {
        self.together.as_ref().map_or_else(|| prior.clone(), |together| together.prior_of(part, prior))
    }
}
