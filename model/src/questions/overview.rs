//! A whole collection: when its clubs were made, which decades are thin, and which clubs deserve another look.

use crate::answer::band::Interval;
use crate::answer::dating::Dating;
use crate::answer::short_answer::ShortAnswer;
use crate::evidence::asked::Asked;
use crate::numbers::axis::Axis;
use crate::questions::counts_by_decade::{RowCount, UncertainCount, counts_by_row, thin_rows};
use crate::questions::next_look::next_looks;
use crate::reading::known_date::KnownDate;
use crate::reading::part::Part;

/// A date that is worth this much as a dated club is taken as known.
const KNOWN_WORTH: f64 = 0.7;
/// An 80 % band of more years than this deserves another look.
const WIDE: i32 = 40;

/// A collection, dated; clubs are added one by one.
#[derive(Debug, Clone)]
pub struct Overview {
    /// The part that the clubs are dated by.
    pub part: Part,
    /// Name of the prior used.
    pub prior: String,
    /// The clubs by their middle years.
    pub clubs: Vec<OverviewClub>,
    /// Number of clubs in each row of years.
    pub rows: Vec<RowCount>,
    /// Number of clubs of after the axis, where the calibration says something of such.
    pub after: Option<UncertainCount>,
    /// Places of the rows that may well hold no club.
    pub thin: Vec<usize>,
    /// Clubs that deserve another look, in the order they came.
    pub look_again: Vec<LookAgain>,
    axis: Axis,
    probabilities: Vec<Vec<f64>>,
    chances_after: Vec<f64>,
}

/// One club of a collection.
#[derive(Debug, Clone, PartialEq)]
pub struct OverviewClub {
    /// Its id.
    pub id: String,
    /// How its years are known.
    pub status: ClubStatus,
    /// The date as it is printed.
    pub date_line: String,
    /// Median, first and last year; of a club of known date its own years.
    pub median: i32,
    /// First year.
    pub from: i32,
    /// Last year.
    pub to: i32,
    /// The date that is given with it, with its grade.
    pub given: Option<KnownDate>,
}

/// How the years of a collection's club are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClubStatus {
    /// They are those given with the club.
    Known,
    /// By its clues: one answer.
    Dated,
    /// By its clues: the band is split, and the median lies between two answers.
    TwoAnswers,
    /// No clue of date: it is not counted.
    Undated,
}

/// A club that deserves another look.
#[derive(Debug, Clone, PartialEq)]
pub struct LookAgain {
    /// Its id.
    pub id: String,
    /// Why.
    pub reasons: Vec<LookReason>,
    /// What the best look at a clue not yet examined may be expected to bring.
    pub look: Option<NextYears>,
}

/// What a look may be expected to bring.
#[derive(Debug, Clone, PartialEq)]
pub struct NextYears {
    /// The clue's id.
    pub clue: String,
    /// Expected gain in bits.
    pub bits: f64,
    /// Expected number of years in the 80 % band after it.
    pub years: f64,
    /// Their number now.
    pub years_now: i32,
    /// Whether that helps.
    pub helps: bool,
}

/// Why a club deserves another look.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LookReason {
    /// There is no clue of date.
    NoClue,
    /// There are two answers.
    TwoAnswers,
    /// The 80 % band is so many years wide.
    Wide(i32),
    /// Measures and the other clues disagree.
    Conflict,
    /// Clues (by their ids) are out of step.
    OutOfStep(Vec<String>),
    /// Readings of two clues (by their ids) cannot both be right.
    CannotBoth(String, String),
    /// The years that are given with it share none with the 19-in-20 band of its clues.
    NotBorneOut,
}

/// Whether a date is good enough to stand for a club's own clues: published or better.
#[must_use]
pub fn is_known(date: &KnownDate) -> bool {
    date.worth() >= KNOWN_WORTH
}

/// Whether the 19-in-20 band of an answer by clues shares no year with the date that is given.
#[must_use]
pub fn is_not_borne_out(date: &KnownDate, dating: &Dating) -> bool {
    let shares = |piece: &Interval| piece.from <= date.to() && date.from() <= piece.to;
    dating.has_evidence() && !dating.band(0.95).intervals.iter().any(shares)
}

/// A club as an overview takes it in.
#[derive(Debug, Clone)]
pub struct CountedClub {
    club: OverviewClub,
    /// Its chances by year; none where nothing is known of it.
    by_year: Option<Vec<f64>>,
    /// The chance that it is of after the axis, of a club dated by its clues.
    after: Option<f64>,
    look_again: Option<LookAgain>,
}

impl CountedClub {
    /// Of known date: it counts in its own years, any of them alike. Where its clues do not bear that out, one of the
    /// two wants another look.
    #[must_use]
    pub fn known(asked: &Asked<'_>, dating: &Dating, date: &KnownDate, date_line: String) -> Self {
        let (id, from, to) = (&asked.club().id, date.from(), date.to());
        let each = 1.0 / f64::from(to - from + 1);
        let by_year = asked.axis().years().map(|year| if (from..=to).contains(&year) { each } else { 0.0 });
        let not_borne_out = || LookAgain { id: id.clone(), reasons: vec![LookReason::NotBorneOut], look: None };
        let (status, median) = (ClubStatus::Known, i32::midpoint(from, to));
        Self {
            club: OverviewClub { id: id.clone(), status, date_line, median, from, to, given: Some(*date) },
            by_year: Some(by_year.collect()),
            after: None,
            look_again: is_not_borne_out(date, dating).then(not_borne_out),
        }
    }

    /// As dated by its clues, whatever date is given with it. Of one without a clue nothing is known but the prior, and
    /// that is no club.
    #[must_use]
    pub fn dated(asked: &Asked<'_>, dating: &Dating, date_line: String, given: Option<KnownDate>) -> Self {
        let ShortAnswer { median, from, to, .. } = dating.short();
        let status = match (dating.has_evidence(), dating.has_two_answers()) {
            (false, _) => ClubStatus::Undated,
            (true, true) => ClubStatus::TwoAnswers,
            (true, false) => ClubStatus::Dated,
        };
        Self {
            club: OverviewClub { id: asked.club().id.clone(), status, date_line, median, from, to, given },
            by_year: dating.has_evidence().then(|| dating.posterior.by_year().to_vec()),
            after: dating.has_evidence().then(|| dating.posterior.after()),
            look_again: another_look(asked, dating),
        }
    }
}

impl Overview {
    /// Of no club yet.
    #[must_use]
    pub fn new(axis: Axis, part: Part, prior: &str) -> Self {
        Self {
            part,
            prior: prior.to_owned(),
            clubs: Vec::new(),
            rows: Vec::new(),
            after: None,
            thin: Vec::new(),
            look_again: Vec::new(),
            axis,
            probabilities: Vec::new(),
            chances_after: Vec::new(),
        }
    }

    /// Adds a club.
    pub fn add(&mut self, club: CountedClub) {
        self.probabilities.extend(club.by_year);
        self.chances_after.extend(club.after);
        self.look_again.extend(club.look_again);
        self.clubs.push(club.club);
    }

    /// Orders the clubs by their middle years, those without one last, and counts them by row.
    #[must_use]
    pub fn counted(mut self) -> Self {
        let rank = |status: ClubStatus| match status {
            ClubStatus::Known | ClubStatus::Dated => 0,
            ClubStatus::TwoAnswers => 1,
            ClubStatus::Undated => 2,
        };
        self.clubs.sort_by_key(|club| (rank(club.status), club.median));
        self.rows = counts_by_row(self.axis, &self.probabilities);
        self.thin = thin_rows(&self.rows);
        let some_after = self.chances_after.iter().any(|chance| *chance > 0.0);
        self.after = some_after.then(|| UncertainCount::of(self.chances_after.iter().copied()));
        self
    }

    /// Number of clubs of a status.
    #[must_use]
    pub fn count(&self, status: ClubStatus) -> usize {
        self.clubs.iter().filter(|club| club.status == status).count()
    }
}

/// Why a club deserves another look, if it does, and what to look at.
fn another_look(asked: &Asked<'_>, dating: &Dating) -> Option<LookAgain> {
    let years = dating.band(0.8).n_years();
    let mut reasons = Vec::new();
    if !dating.has_evidence() {
        reasons.push(LookReason::NoClue);
    } else if dating.has_two_answers() {
        reasons.push(LookReason::TwoAnswers);
    } else if years > WIDE {
        reasons.push(LookReason::Wide(years));
    }
    if dating.conflict.is_some() {
        reasons.push(LookReason::Conflict);
    }
    if !dating.out_of_step.is_empty() {
        reasons.push(LookReason::OutOfStep(dating.out_of_step.iter().map(|odd| odd.clue.clone()).collect()));
    }
    let both = asked.calibration().catalogue().cannot_both(asked.club());
    let both = both.filter(|both| both.iter().all(|(clue, _)| !asked.leaves_out(&clue.id)));
    let own = both.filter(|[(clue, _), _]| clue.part == asked.part());
    reasons.extend(own.map(|[own, other]| LookReason::CannotBoth(other.0.id.clone(), own.0.id.clone())));
    if reasons.is_empty() {
        return None;
    }
    let next = next_looks(asked);
    let look = next.best().map(|look| NextYears {
        helps: next.helps(look),
        clue: look.clue.clone(),
        bits: look.bits,
        years: look.width,
        years_now: next.width_now,
    });
    Some(LookAgain { id: asked.club().id.clone(), reasons, look })
}
