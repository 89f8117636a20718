//! What shaft and grip say of the head: as far as they are its own.

use crate::evidence::evidence::Evidence;
use crate::numbers::axis::Axis;
use crate::reading::catalogue::Part;
use crate::reading::cell::Reading;
use crate::reading::misread::misread_of;
use crate::tables::calibration::Calibration;
use crate::tables::replacement::{Joining, PartsModel, TwoWays};

/// Readings of shaft and grip, as a likelihood over the head's years for every set of them.
///
/// A set is a bit mask: the clues of the shaft, its signs, the clues of the grip, its signs.
#[derive(Debug, Clone)]
pub(crate) struct PartsEvidence {
    axis: Axis,
    shaft: FixedPart,
    grip: FixedPart,
}

/// A part fixed to another: its own evidence, its signs, and how it is joined.
#[derive(Debug, Clone)]
struct FixedPart {
    evidence: Evidence,
    /// Likelihoods of each sign read, on an original part and on a replacement.
    signs: Vec<[f64; 2]>,
    /// Chance that each sign is misread, before anything is known; what is told of it stays at that.
    sign_misread: Vec<f64>,
    joining: Joining,
}

/// A reading that speaks of a part: its place in the catalogue.
pub(crate) type Usable<'a> = (usize, &'a Reading);

impl FixedPart {
    fn new(calibration: &Calibration, model: &PartsModel, part: Part, usable: &[Usable<'_>]) -> Self {
        let axis = calibration.catalogue.axis;
        let of_part = |&&(ix, _): &&Usable<'_>| calibration.catalogue.clues[ix].part == part;
        let sign = |ix: usize| model.sign(&calibration.catalogue.clues[ix].id);
        let own: Vec<Usable<'_>> = usable.iter().filter(of_part).copied().filter(|u| sign(u.0).is_none()).collect();
        let signs = usable.iter().filter(of_part).filter_map(|&(ix, reading)| Some(sign(ix)?.likelihoods(reading)));
        let of_signs = usable.iter().filter(of_part).filter(|u| sign(u.0).is_some());
        let sign_misread =
            of_signs.map(|&(ix, reading)| misread_of(calibration.catalogue.clues[ix].misread, reading)).collect();
        let replaced = if part == Part::Shaft { &model.shaft_replaced } else { &model.grip_replaced };
        Self {
            evidence: Evidence::build(calibration, part, &own),
            signs: signs.collect(),
            sign_misread,
            joining: Joining { replaced: replaced.by_year(axis) },
        }
    }

    fn n_clues(&self) -> usize {
        self.evidence.n_clues() + self.signs.len()
    }

    /// Likelihood by the part's own year of a set of its clues, highest 1.
    fn likelihood(&self, mask: usize) -> Vec<f64> {
        let ln = self.evidence.ln_likelihood(|clue| mask & (1 << clue) != 0);
        let top = ln.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        ln.iter().map(|v| (v - top).exp()).collect()
    }

    /// Likelihoods of the signs of a set, on an original part and on a replacement.
    fn signs(&self, mask: usize) -> [f64; 2] {
        let n = self.evidence.n_clues();
        let read = self.signs.iter().enumerate().filter(|(i, _)| mask & (1 << (n + i)) != 0);
        read.fold([1.0; 2], |[own, later], (_, [o, l])| [own * o, later * l])
    }

    /// Sums over this part's years, by the year of what it is fixed to, with the signs of a set on either way.
    fn ways(&self, mask: usize, value: &[f64]) -> TwoWays {
        let TwoWays { mut own, mut later } = self.joining.sums(value);
        let signs = self.signs(mask);
        own.iter_mut().for_each(|v| *v *= signs[0]);
        later.iter_mut().for_each(|v| *v *= signs[1]);
        TwoWays { own, later }
    }
}

fn sum(ways: &TwoWays) -> Vec<f64> {
    ways.own.iter().zip(&ways.later).map(|(o, l)| o + l).collect()
}

fn times(a: &[f64], b: &[f64]) -> Vec<f64> {
    a.iter().zip(b).map(|(a, b)| a * b).collect()
}

impl PartsEvidence {
    pub fn new(calibration: &Calibration, model: &PartsModel, usable: &[Usable<'_>]) -> Self {
        let part = |part| FixedPart::new(calibration, model, part, usable);
        Self { axis: calibration.catalogue.axis, shaft: part(Part::Shaft), grip: part(Part::Grip) }
    }

    /// The order of the clues in a mask, for a list of usable readings sorted by their ids.
    pub fn order(calibration: &Calibration, model: &PartsModel, usable: &[Usable<'_>]) -> Vec<usize> {
        let key = |&place: &usize| {
            let clue = &calibration.catalogue.clues[usable[place].0];
            (clue.part, model.sign(&clue.id).is_some(), place)
        };
        let mut order: Vec<usize> = (0..usable.len()).collect();
        order.sort_by_key(key);
        order
    }

    pub fn n_clues(&self) -> usize {
        self.shaft.n_clues() + self.grip.n_clues()
    }

    fn masks(&self, mask: usize) -> (usize, usize) {
        let n = self.shaft.n_clues();
        (mask & ((1 << n) - 1), mask >> n)
    }

    /// Chances by the shaft's year of what was read of the grip, given the shaft's.
    fn of_grip(&self, mask: usize) -> Vec<f64> {
        sum(&self.grip.ways(mask, &self.grip.likelihood(mask)))
    }

    /// ln likelihood by the head's year of a set of clues.
    pub fn ln_by_head_year(&self, mask: usize) -> Vec<f64> {
        let (shaft, grip) = self.masks(mask);
        let of_shaft = times(&self.shaft.likelihood(shaft), &self.of_grip(grip));
        sum(&self.shaft.ways(shaft, &of_shaft)).iter().map(|v| v.ln()).collect()
    }

    /// ln likelihood by the shaft's year of a set of the grip's clues (bits from 0).
    pub fn ln_of_grip_by_shaft_year(&self, mask: usize) -> Vec<f64> {
        self.of_grip(mask).iter().map(|v| v.ln()).collect()
    }

    pub fn n_grip_clues(&self) -> usize {
        self.grip.n_clues()
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

    /// P(the shaft is a later one), P(the grip is later than the shaft), from weights of the head's years by its own clues.
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

    /// Chance by the head's year that each clue is misread, in the order of the mask; signs keep none.
    pub fn misread_by_year(&self) -> Vec<Vec<f64>> {
        let all = usize::MAX;
        let of_grip = self.of_grip(all);
        let shaft_likelihood = self.shaft.likelihood(all);
        let base = sum(&self.shaft.ways(all, &times(&shaft_likelihood, &of_grip)));
        // Mean over the shaft's years, by the head's year, of something by the shaft's year (times the grip's chances).
        let by_head = |by_shaft: &[f64]| {
            let above = sum(&self.shaft.ways(all, &times(&shaft_likelihood, by_shaft)));
            above.iter().zip(&base).map(|(a, b)| (a / b).clamp(0.0, 1.0)).collect::<Vec<f64>>()
        };
        let mut out = Vec::new();
        for misread in self.shaft.evidence.misread_by_year() {
            out.push(by_head(&times(&misread, &of_grip)));
        }
        out.extend(self.shaft.sign_misread.iter().map(|&misread| vec![misread; self.axis.n_years()]));
        let grip_likelihood = self.grip.likelihood(all);
        for misread in self.grip.evidence.misread_by_year() {
            out.push(by_head(&sum(&self.grip.ways(all, &times(&grip_likelihood, &misread)))));
        }
        out.extend(self.grip.sign_misread.iter().map(|&misread| vec![misread; self.axis.n_years()]));
        out
    }
}
