//! What shaft and grip say of the head, and the grip of the shaft: as far as they are its own.

use crate::evidence::joining::{Joining, TwoWays};
use crate::evidence::own_evidence::OwnEvidence;
use crate::evidence::usable::Usable;
use crate::evidence::weighed::BySet;
use crate::reading::part::Part;
use crate::tables::calibration::Calibration;
use crate::tables::replacement::PartsModel;
use crate::tables::table_set::TableSet;
use std::sync::Arc;

/// Readings of shaft and grip, as a likelihood over the head's years for every set of them.
///
/// A set is a bit mask: the clues of the shaft, its signs, the clues of the grip, its signs.
#[derive(Debug)]
pub(crate) struct JoinedParts {
    shaft: FixedPart,
    grip: FixedPart,
}

/// A part fixed to another: its own evidence, its signs, and how it is joined.
#[derive(Debug)]
struct FixedPart {
    evidence: OwnEvidence,
    /// Likelihoods of each sign read, on an original part and on a replacement.
    signs: Vec<[f64; 2]>,
    /// Chance that each sign is misread, before anything is known; what is told of it stays at that.
    sign_misread: Vec<f64>,
    joining: Joining,
}

impl FixedPart {
    fn new(
        calibration: &Calibration,
        tables: &TableSet,
        model: &PartsModel,
        part: Part,
        usable: &[Usable<'_>],
    ) -> Self {
        let axis = calibration.catalogue().axis();
        let (signs, own): (Vec<Usable<'_>>, Vec<Usable<'_>>) =
            usable.iter().partition(|one| model.sign(&one.clue.id).is_some());
        let replaced = if part == Part::Shaft { &model.shaft_replaced } else { &model.grip_replaced };
        let likelihoods = |one: &Usable<'_>| Some(model.sign(&one.clue.id)?.likelihoods(one.clue.misread, one.reading));
        Self {
            evidence: OwnEvidence::new(calibration, tables, part, &own),
            signs: signs.iter().filter_map(likelihoods).collect(),
            sign_misread: signs.iter().map(Usable::misread).collect(),
            joining: Joining { replaced: replaced.by_year(axis) },
        }
    }

    fn n_clues(&self) -> usize {
        self.evidence.clues.len() + self.signs.len()
    }

    /// Likelihood by the part's own year of a set of its clues, highest 1.
    fn likelihood(&self, set: usize) -> Vec<f64> {
        let ln = self.evidence.ln_likelihood(|clue| set & (1 << clue) != 0);
        let top = ln.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        ln.iter().map(|v| (v - top).exp()).collect()
    }

    /// Likelihoods of the signs of a set, on an original part and on a replacement.
    fn signs(&self, set: usize) -> [f64; 2] {
        let n = self.evidence.clues.len();
        let read = self.signs.iter().enumerate().filter(|(i, _)| set & (1 << (n + i)) != 0);
        read.fold([1.0; 2], |[own, later], (_, [o, l])| [own * o, later * l])
    }

    /// Sums over this part's years, by the year of what it is fixed to, with the signs of a set on either way.
    fn ways(&self, set: usize, value: &[f64]) -> TwoWays {
        let TwoWays { mut own, mut later } = self.joining.sums(value);
        let signs = self.signs(set);
        own.iter_mut().for_each(|v| *v *= signs[0]);
        later.iter_mut().for_each(|v| *v *= signs[1]);
        TwoWays { own, later }
    }

    /// Chances by year that each of its clues is misread, each carried by `of` to the year that is asked about; signs
    /// keep theirs.
    fn misread_by_year(&self, of: impl Fn(&[f64]) -> Vec<f64>) -> Vec<Vec<f64>> {
        let mut all: Vec<Vec<f64>> = self.evidence.misread_by_year().iter().map(|misread| of(misread)).collect();
        let n_years = self.evidence.axis.n_years();
        all.extend(self.sign_misread.iter().map(|&misread| vec![misread; n_years]));
        all
    }
}

fn sum(ways: &TwoWays) -> Vec<f64> {
    ways.own.iter().zip(&ways.later).map(|(o, l)| o + l).collect()
}

fn times(a: &[f64], b: &[f64]) -> Vec<f64> {
    a.iter().zip(b).map(|(a, b)| a * b).collect()
}

impl JoinedParts {
    /// From the readings of the shaft and of the grip, each in the order of their ids.
    pub fn new(
        calibration: &Calibration,
        tables: &TableSet,
        model: &PartsModel,
        shaft: &[Usable<'_>],
        grip: &[Usable<'_>],
    ) -> Self {
        let part = |part, usable| FixedPart::new(calibration, tables, model, part, usable);
        Self { shaft: part(Part::Shaft, shaft), grip: part(Part::Grip, grip) }
    }

    fn sets(&self, set: usize) -> (usize, usize) {
        let n = self.shaft.n_clues();
        (set & ((1 << n) - 1), set >> n)
    }

    /// Chances by the shaft's year of what was read of the grip, given the shaft's.
    fn of_grip(&self, set: usize) -> Vec<f64> {
        sum(&self.grip.ways(set, &self.grip.likelihood(set)))
    }

    /// Weights of the shaft's years, before any of its clues but with its signs, from weights of the head's years.
    pub fn shaft_prior(&self, head: &[f64]) -> Vec<f64> {
        self.shaft.joining.carried(head, self.shaft.signs(usize::MAX))
    }

    /// Weights of the grip's years, before any of its clues but with its signs, from weights of the head's years.
    pub fn grip_prior(&self, head: &[f64]) -> Vec<f64> {
        let shaft = times(&self.shaft_prior(head), &self.shaft.likelihood(usize::MAX));
        self.grip.joining.carried(&shaft, self.grip.signs(usize::MAX))
    }

    /// P(the shaft is a later one), P(the grip is later than the shaft), from weights of the head's years by its own
    /// clues.
    pub fn replaced(&self, head: &[f64]) -> [f64; 2] {
        let all = usize::MAX;
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let of_shaft = times(&self.shaft.likelihood(all), &self.of_grip(all >> self.shaft.n_clues()));
        let shaft = self.shaft.ways(all, &of_shaft);
        let grip = self.grip.ways(all, &self.grip.likelihood(all));
        let at_shaft = times(&self.shaft_prior(head), &self.shaft.likelihood(all));
        let share = |weight: &[f64], ways: &TwoWays| {
            let (own, later) = (dot(weight, &ways.own), dot(weight, &ways.later));
            later / (own + later)
        };
        [share(head, &shaft), share(&at_shaft, &grip)]
    }
}

/// Shaft and grip as evidence of the head's year; exponents stand within.
#[derive(Debug, Clone)]
pub(crate) struct OfTheHead(pub Arc<JoinedParts>);

impl BySet for OfTheHead {
    fn n_years(&self) -> usize {
        self.0.shaft.evidence.axis.n_years()
    }

    fn ln_by_year(&self, set: usize) -> Vec<f64> {
        let (shaft, grip) = self.0.sets(set);
        let of_shaft = times(&self.0.shaft.likelihood(shaft), &self.0.of_grip(grip));
        sum(&self.0.shaft.ways(shaft, &of_shaft)).iter().map(|v| v.ln()).collect()
    }

    fn misread_by_year(&self) -> Vec<Vec<f64>> {
        let (all, JoinedParts { shaft, grip }) = (usize::MAX, &*self.0);
        let of_grip = self.0.of_grip(all);
        let of_shaft = shaft.likelihood(all);
        let base = sum(&shaft.ways(all, &times(&of_shaft, &of_grip)));
        // Mean over the shaft's years, by the head's year, of something by the shaft's year (times the grip's chances).
        let by_head = |by_shaft: &[f64]| {
            let above = sum(&shaft.ways(all, &times(&of_shaft, by_shaft)));
            above.iter().zip(&base).map(|(a, b)| (a / b).clamp(0.0, 1.0)).collect::<Vec<f64>>()
        };
        let mut out = shaft.misread_by_year(|misread| by_head(&times(misread, &of_grip)));
        let likelihood = grip.likelihood(all);
        out.extend(grip.misread_by_year(|misread| by_head(&sum(&grip.ways(all, &times(&likelihood, misread))))));
        out
    }
}

/// The grip as evidence of the shaft's year; a set is of the grip's clues and signs.
#[derive(Debug, Clone)]
pub(crate) struct OfTheShaft(pub Arc<JoinedParts>);

impl BySet for OfTheShaft {
    fn n_years(&self) -> usize {
        self.0.grip.evidence.axis.n_years()
    }

    fn ln_by_year(&self, set: usize) -> Vec<f64> {
        self.0.of_grip(set).iter().map(|v| v.ln()).collect()
    }

    /// Told with the grip's own account.
    fn misread_by_year(&self) -> Vec<Vec<f64>> {
        Vec::new()
    }
}
