//! What shaft and grip say of the head, and the grip of the shaft: as far as they are its own.

use crate::evidence::joining::{Joining, TwoWays};
use crate::evidence::own_evidence::OwnEvidence;
use crate::evidence::usable::Usable;
use crate::numbers::shared_lag::shifted;
use crate::reading::part::Part;
use crate::tables::calibration::Calibration;
use crate::tables::replacement::PartsModel;
use crate::tables::table_set::TableSet;

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
    /// Tempered likelihoods of each sign read, on an original part and on a replacement.
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
        let likelihoods = |one: &Usable<'_>| {
            let plain = model.sign(&one.clue.id)?.likelihoods(one.clue.misread, one.reading);
            Some(plain.map(|likelihood| likelihood.powf(model.sign_weight)))
        };
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

    /// Likelihood by the part's own year of a set of its clues, highest 1 by the year of fashion, where its fashion is
    /// so many years ahead.
    fn likelihood(&self, set: usize, ahead: i32) -> Vec<f64> {
        let [fashion, making] = self.evidence.ln_sides(|clue| set & (1 << clue) != 0);
        let top = |ln: &[f64]| ln.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let tops = top(&fashion) + top(&making);
        shifted(&fashion, ahead).iter().zip(&making).map(|(f, m)| (f + m - tops).exp()).collect()
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
    fn misread_by_year(&self, ahead: i32, of: impl Fn(&[f64]) -> Vec<f64>) -> Vec<Vec<f64>> {
        let own = self.evidence.misread_by_year(ahead);
        let mut all: Vec<Vec<f64>> = own.iter().map(|misread| of(misread)).collect();
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
    fn of_grip(&self, set: usize, ahead: i32) -> Vec<f64> {
        sum(&self.grip.ways(set, &self.grip.likelihood(set, ahead)))
    }

    /// Weights of a part's years, before any of its clues but with its signs, from weights of the head's years, where
    /// fashion is so many years ahead.
    pub fn prior_of(&self, part: Part, head: &[f64], ahead: i32) -> Vec<f64> {
        match part {
            Part::Head => head.to_vec(),
            Part::Shaft => self.shaft_prior(head),
            Part::Grip => self.grip_prior(head, ahead),
        }
    }

    /// Weights of the shaft's years, before any of its clues but with its signs, from weights of the head's years.
    fn shaft_prior(&self, head: &[f64]) -> Vec<f64> {
        self.shaft.joining.carried(head, self.shaft.signs(usize::MAX))
    }

    /// Weights of the grip's years, before any of its clues but with its signs, from weights of the head's years.
    fn grip_prior(&self, head: &[f64], ahead: i32) -> Vec<f64> {
        let shaft = times(&self.shaft_prior(head), &self.shaft.likelihood(usize::MAX, ahead));
        self.grip.joining.carried(&shaft, self.grip.signs(usize::MAX))
    }

    /// Weights of a shaft that is the head's own and of a later one, or of a grip that is the shaft's own and of a
    /// later one, from weights of the head's years by its own clues, where fashion is so many years ahead.
    pub fn own_and_later(&self, part: Part, head: &[f64], ahead: i32) -> [f64; 2] {
        let all = usize::MAX;
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let shaft = self.shaft.likelihood(all, ahead);
        let (weights, ways) = if part == Part::Shaft {
            let of_grip = self.of_grip(all >> self.shaft.n_clues(), ahead);
            (head.to_vec(), self.shaft.ways(all, &times(&shaft, &of_grip)))
        } else {
            (times(&self.shaft_prior(head), &shaft), self.grip.ways(all, &self.grip.likelihood(all, ahead)))
        };
        [dot(&weights, &ways.own), dot(&weights, &ways.later)]
    }

    /// Likelihood by the year of a part of a set of what is fixed to it, where fashion is so many years ahead.
    pub fn likelihood_of(&self, part: Part, set: usize, ahead: i32) -> Vec<f64> {
        match part {
            Part::Head => {
                let (shaft, grip) = self.sets(set);
                let of_shaft = times(&self.shaft.likelihood(shaft, ahead), &self.of_grip(grip, ahead));
                sum(&self.shaft.ways(shaft, &of_shaft))
            }
            Part::Shaft | Part::Grip => self.of_grip(set, ahead),
        }
    }

    /// Chance by the year of a part that each clue fixed to it is misread, where fashion is so many years ahead, in the
    /// order of their sets; what the grip tells of a shaft is told with the grip's own account.
    pub fn misread_of(&self, part: Part, ahead: i32) -> Vec<Vec<f64>> {
        if part != Part::Head {
            return Vec::new();
        }
        let (all, Self { shaft, grip }) = (usize::MAX, self);
        let of_grip = self.of_grip(all, ahead);
        let of_shaft = shaft.likelihood(all, ahead);
        let base = sum(&shaft.ways(all, &times(&of_shaft, &of_grip)));
        // Mean over the shaft's years, by the head's year, of something by the shaft's year (times the grip's chances).
        let by_head = |by_shaft: &[f64]| {
            let above = sum(&shaft.ways(all, &times(&of_shaft, by_shaft)));
            above.iter().zip(&base).map(|(a, b)| (a / b).clamp(0.0, 1.0)).collect::<Vec<f64>>()
        };
        let mut out = shaft.misread_by_year(ahead, |misread| by_head(&times(misread, &of_grip)));
        let likelihood = grip.likelihood(all, ahead);
        let by_grip = |misread: &[f64]| by_head(&sum(&grip.ways(all, &times(&likelihood, misread))));
        out.extend(grip.misread_by_year(ahead, by_grip));
        out
    }
}
