//! What is asked: a part of a club, by a calibration and a prior, some clues left out. Prior and evidence are resolved
//! once.

use crate::evidence::evidence::Evidence;
use crate::evidence::joined_parts::JoinedParts;
use crate::evidence::own_evidence::{OwnEvidence, UsedClue};
use crate::evidence::part_prior::Together;
use crate::evidence::usable::{UnusedClue, Usable, usable_readings};
use crate::numbers::axis::Axis;
use crate::numbers::shared_lag::{SharedLag, lag_nodes};
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
/// #     marks: Vec::new(), parts: None, shelf: None, shared_lag: 0.0, default_prior: Prior::FLAT.into(),
/// #     draws: Vec::new() }).unwrap();
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
    question: Question<'a>,
    part: Part,
    read: Arc<WhatWasRead>,
    gathered: Gathered,
}

/// What is asked, whichever part it is asked of.
#[derive(Debug, Clone)]
struct Question<'a> {
    calibration: &'a Calibration,
    tables: &'a TableSet,
    club: &'a Club,
    named: &'a Prior,
    without: Vec<&'a str>,
    /// Standard deviation in years of the lead or lag that the clues of fashion share.
    lag_sd: f64,
    is_from_elsewhere: bool,
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

/// What was read of a part and of what it is fixed to, whatever prior and lag are asked for.
#[derive(Debug)]
struct WhatWasRead {
    own: OwnEvidence,
    unused: Vec<UnusedClue>,
    /// `None` where the calibration does not say how parts belong together.
    joined: Option<JoinedReadings>,
}

#[derive(Debug)]
struct JoinedReadings {
    /// The head's own clues, where another part is asked about.
    head: Option<OwnEvidence>,
    parts: JoinedParts,
    /// Readings of what is fixed to the part, in the order that the joined parts take them in.
    fixed: Vec<UsedClue>,
}

/// The evidence of one part, with what is known of the parts together.
#[derive(Debug, Clone)]
struct Gathered {
    evidence: Evidence,
    /// Of the part's years, before its own clues.
    prior: Prior,
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
        let question = Question {
            calibration,
            tables: calibration.tables(),
            club,
            named,
            without: without.to_vec(),
            lag_sd: calibration.shared_lag(),
            is_from_elsewhere: false,
        };
        let asked = Self::of(question, part);
        match asked.evidence().not_finite().map(str::to_owned) {
            Some(clue) => Err(AskedError::NotFinite { club: club.id.clone(), clue }),
            None => Ok(asked),
        }
    }

    fn of(question: Question<'a>, part: Part) -> Self {
        let read = Arc::new(question.read_of(part));
        Self::of_read(question, part, read)
    }

    fn of_read(question: Question<'a>, part: Part, read: Arc<WhatWasRead>) -> Self {
        let gathered = question.gathered(part, &read);
        Self { question, part, read, gathered }
    }

    /// The same question of a club from another region than the collection: beside the lag of its own its region leads
    /// or lags by a standard deviation of so many years; variances add.
    #[must_use]
    pub fn elsewhere(&self, years: f64) -> Self {
        let lag_sd = self.calibration().shared_lag_elsewhere(years);
        let question = Question { lag_sd, is_from_elsewhere: true, ..self.question.clone() };
        Self::of_read(question, self.part, Arc::clone(&self.read))
    }

    /// The same question about another part of the club.
    #[must_use]
    pub fn of_part(&self, part: Part) -> Self {
        Self::of(self.question.clone(), part)
    }

    /// The same question by another prior of the head's years.
    #[must_use]
    pub fn by_prior<'b>(&self, prior: &'b Prior) -> Asked<'b>
    where
        'a: 'b,
    {
        Asked::of_read(Question { named: prior, ..self.question.clone() }, self.part, Arc::clone(&self.read))
    }

    /// The same question of a draw of the calibration, by the draw's own prior of that name.
    pub(crate) fn by_draw(&self, draw: &'a TableSet) -> Option<Self> {
        let named = draw.prior(&self.question.named.name).ok()?;
        Some(Self::of(Question { tables: draw, named, ..self.question.clone() }, self.part))
    }

    /// The evidence if this had been read for a clue too (by its place in the catalogue).
    pub(crate) fn evidence_with(&self, clue_ix: usize, reading: &Reading) -> Evidence {
        let mut club = self.question.club.clone();
        club.cells.resize(self.calibration().catalogue().clues().len(), Cell::NotExamined);
        club.cells[clue_ix] = Cell::Read(reading.clone());
        let question = Question { club: &club, ..self.question.clone() };
        question.gathered(self.part, &question.read_of(self.part)).evidence
    }

    /// The calibration.
    #[must_use]
    pub fn calibration(&self) -> &'a Calibration {
        self.question.calibration
    }

    /// The tables that are asked: those of the calibration.
    pub(crate) fn tables(&self) -> &'a TableSet {
        self.question.tables
    }

    /// The club.
    #[must_use]
    pub fn club(&self) -> &'a Club {
        self.question.club
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
        &self.gathered.prior
    }

    /// Standard deviation in years of the lead or lag that the clues of fashion share.
    #[must_use]
    pub fn lag_sd(&self) -> f64 {
        self.question.lag_sd
    }

    /// Whether the club was said to be from another region than the collection.
    #[must_use]
    pub fn is_from_elsewhere(&self) -> bool {
        self.question.is_from_elsewhere
    }

    /// The evidence: everything that was read and counts.
    #[must_use]
    pub fn evidence(&self) -> &Evidence {
        &self.gathered.evidence
    }

    /// Readings of the part that give no evidence.
    #[must_use]
    pub fn unused(&self) -> &[UnusedClue] {
        &self.read.unused
    }

    /// Whether a clue (by its id) is left out on request.
    pub(crate) fn leaves_out(&self, clue: &str) -> bool {
        self.question.without.contains(&clue)
    }

    /// P(this shaft is later than the head, or this grip later than the shaft), where the calibration says how parts
    /// belong together.
    #[must_use]
    pub fn chance_replaced(&self) -> Option<f64> {
        self.gathered.together.as_ref()?.chance_replaced(self.part, self.question.named)
    }
}

impl Question<'_> {
    fn read(&self, part: Part) -> (Vec<Usable<'_>>, Vec<UnusedClue>) {
        usable_readings(self.calibration, self.club, part, &self.without)
    }

    fn own_evidence(&self, part: Part, usable: &[Usable<'_>]) -> OwnEvidence {
        OwnEvidence::new(self.calibration, self.tables, part, &self.club.id, usable)
    }

    fn read_of(&self, part: Part) -> WhatWasRead {
        let (mut usable, unused) = self.read(part);
        let Some(model) = self.calibration.parts_model() else {
            return WhatWasRead { own: self.own_evidence(part, &usable), unused, joined: None };
        };
        // Signs say nothing of a part's year by themselves.
        let is_sign = |one: &Usable<'_>| model.sign(&one.clue.id).is_some();
        usable.retain(|one| !is_sign(one));
        let [shaft, grip] = [Part::Shaft, Part::Grip].map(|part| self.read(part).0);
        let parts = JoinedParts::new(self.calibration, self.tables, model, &self.club.id, &shaft, &grip);
        let own = self.own_evidence(part, &usable);
        let head = (part != Part::Head).then(|| self.own_evidence(Part::Head, &self.read(Part::Head).0));
        // In the order that the joined parts take them in: the clues of each part, then its signs.
        let mut fixed = Vec::new();
        for (other, readings) in [(Part::Shaft, &shaft), (Part::Grip, &grip)] {
            if part.fixed_to_it().contains(&other) {
                fixed.extend(readings.iter().filter(|one| !is_sign(one)));
                fixed.extend(readings.iter().filter(|one| is_sign(one)));
            }
        }
        let fixed =
            fixed.into_iter().map(|one: &Usable<'_>| one.used(one.weight_in_its_part(self.calibration, self.tables)));
        WhatWasRead { own, unused, joined: Some(JoinedReadings { head, parts, fixed: fixed.collect() }) }
    }

    fn gathered(&self, part: Part, read: &WhatWasRead) -> Gathered {
        let own = &read.own;
        let model = self.calibration.parts_model();
        let (Some(model), Some(JoinedReadings { head, parts, fixed })) = (model, &read.joined) else {
            let lag = SharedLag::normal(own.axis.n_years(), self.lag_sd, own.axis.step());
            let evidence = Evidence::from(own.clone()).with_lag(lag);
            return Gathered { evidence, prior: self.named.clone(), together: None };
        };
        let lags = lag_nodes(self.lag_sd, own.axis.step());
        if part == Part::Head && fixed.is_empty() {
            // What a later shaft or grip would copy tells nothing of a head of which neither was read.
            let lag = SharedLag::from_nodes(&lags, own.axis.n_years());
            let evidence = Evidence::from(own.clone()).with_lag(lag).with_after(None, lags);
            return Gathered { evidence, prior: self.named.clone().with_after(model.after.head), together: None };
        }
        let together = Together::new(head.as_ref().unwrap_or(own), &model.after, parts.clone(), lags, self.named);
        let parts = together.parts();
        let open = together.left_open(part, self.named);
        let copies = (part != Part::Head).then(|| parts.copies(part));
        let mut evidence = Evidence::from(own.clone()).with_lag(open.lag).with_after(copies, open.lag_after);
        if !fixed.is_empty() {
            evidence = evidence.with_fixed(part, fixed, parts);
        }
        Gathered { evidence, prior: open.prior, together: Some(together) }
    }
}
