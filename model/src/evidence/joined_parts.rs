//! What shaft and grip say of the head, and the grip of the shaft: as far as they are its own.

use crate::evidence::joining::{Joining, TwoWays};
use crate::evidence::own_evidence::OwnEvidence;
use crate::evidence::own_years::OwnYears;
use crate::evidence::usable::Usable;
use crate::numbers::shared_lag::shifted;
use crate::reading::part::Part;
use crate::tables::calibration::Calibration;
use crate::tables::replacement::PartsModel;
use crate::tables::table_set::TableSet;
use std::sync::Arc;

/// Readings of shaft and grip, as a likelihood over the head's years for every set of them.
///
/// A set is a bit mask: the clues of the shaft, its signs, the clues of the grip, its signs. Lists by year have one
/// more value than there are years: that of the cell after the axis.
#[derive(Debug, Clone)]
pub(crate) struct JoinedParts {
    shaft: FixedPart,
    grip: FixedPart,
}

/// A part fixed to another: its own evidence, its signs, and how it is joined.
#[derive(Debug, Clone)]
struct FixedPart {
    evidence: Arc<OwnEvidence>,
    /// Tempered likelihoods of each sign read, on an original part and on a replacement.
    signs: Vec<[f64; 2]>,
    /// Chance that each sign is misread, before anything is known; what is told of it stays at that.
    sign_misread: Vec<f64>,
    joining: Joining,
    /// Chances of the years of fashion that such a part of after the axis copies.
    copies: Vec<f64>,
}

/// What a set of clues of a fixed part says of its own years.
#[derive(Debug)]
struct SetOfPart {
    /// Tempered ln likelihoods by the year of fashion, highest 0, and by the year of making, highest 0.
    sides: [Vec<f64>; 2],
    /// Likelihood in the cell after the axis, on the same scale.
    cell: f64,
    /// Likelihoods of the signs of the set, on an original part and on a replacement.
    signs: [f64; 2],
}

/// What a set of clues of shaft and grip says, each of its own years.
#[derive(Debug)]
pub(crate) struct SetOfBoth {
    shaft: SetOfPart,
    grip: SetOfPart,
}

impl SetOfPart {
    /// Likelihood by the part's own year, where its fashion is so many years ahead.
    fn likelihood(&self, ahead: i32) -> Vec<f64> {
        let [fashion, making] = &self.sides;
        let mut by_year: Vec<f64> = shifted(fashion, ahead).iter().zip(making).map(|(f, m)| (f + m).exp()).collect();
        by_year.push(self.cell);
        by_year
    }
}

impl FixedPart {
    fn new(
        calibration: &Calibration,
        tables: &TableSet,
        model: &PartsModel,
        part: Part,
        id: &str,
        usable: &[Usable<'_>],
    ) -> Self {
        let axis = calibration.catalogue().axis();
        let (signs, own): (Vec<Usable<'_>>, Vec<Usable<'_>>) =
            usable.iter().partition(|one| model.sign(&one.clue.id).is_some());
        let (replaced, after) = match part {
            Part::Shaft => (&model.shaft_replaced, &model.after.shaft),
            _ => (&model.grip_replaced, &model.after.grip),
        };
        let after = after.as_ref().map_or_else(|| vec![0.0; axis.n_years()], |after| after.by_year(axis));
        let likelihoods = |one: &Usable<'_>| {
            let plain = model.sign(&one.clue.id)?.likelihoods(one.clue.misread, one.reading);
            Some(plain.map(|likelihood| likelihood.powf(model.sign_weight)))
        };
        Self {
            evidence: Arc::new(OwnEvidence::new(calibration, tables, part, id, &own)),
            signs: signs.iter().filter_map(likelihoods).collect(),
            sign_misread: signs.iter().map(Usable::misread).collect(),
            joining: Joining::new(replaced.by_year(axis), after),
            copies: Vec::new(),
        }
    }

    fn n_clues(&self) -> usize {
        self.evidence.clues.len() + self.signs.len()
    }

    /// What a set of its clues says.
    fn of_set(&self, set: usize) -> SetOfPart {
        let n = self.evidence.clues.len();
        let is_read = |clue: usize| set & (1 << clue) != 0;
        let mut sides = self.evidence.ln_sides(is_read);
        let mut tops = 0.0;
        for side in &mut sides {
            let top = side.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            side.iter_mut().for_each(|ln| *ln -= top);
            tops += top;
        }
        let read = self.signs.iter().enumerate().filter(|(i, _)| is_read(n + i));
        let signs = read.fold([1.0; 2], |[own, later], (_, [o, l])| [own * o, later * l]);
        SetOfPart { sides, cell: (self.evidence.copied(is_read).ln_of_years(&self.copies) - tops).exp(), signs }
    }

    /// Sums over this part's years, by the year of what it is fixed to, with the signs of a set on either way.
    fn ways(&self, set: &SetOfPart, value: &[f64]) -> TwoWays {
        let TwoWays { mut own, mut later } = self.joining.sums(value);
        own.iter_mut().for_each(|v| *v *= set.signs[0]);
        later.iter_mut().for_each(|v| *v *= set.signs[1]);
        TwoWays { own, later }
    }

    /// Chance that each of its clues is misread, summed over weights of its years; signs keep theirs.
    fn misread(&self, years: &OwnYears) -> Vec<f64> {
        let mut all = self.evidence.misread(years, &self.copies);
        let weight = years.on_axis() + years.cell;
        all.extend(self.sign_misread.iter().map(|misread| weight * misread));
        all
    }

    /// Weights of its years, of which what was read of it is part, from weights of the years of what it is fixed to.
    fn years_under(&self, set: &SetOfPart, weights: &[f64], value: &[f64]) -> Vec<f64> {
        times(&self.joining.carried(weights, set.signs), value)
    }
}

fn sum(ways: &TwoWays) -> Vec<f64> {
    ways.own.iter().zip(&ways.later).map(|(o, l)| o + l).collect()
}

/// Weights over what they hold already; nothing where that is nothing.
fn over(weights: &[f64], base: &[f64]) -> Vec<f64> {
    let share = |(weight, base): (&f64, &f64)| Some(weight / base).filter(|share| share.is_finite()).unwrap_or(0.0);
    weights.iter().zip(base).map(share).collect()
}

fn times(a: &[f64], b: &[f64]) -> Vec<f64> {
    a.iter().zip(b).map(|(a, b)| a * b).collect()
}

impl JoinedParts {
    /// From the readings of the shaft and of the grip of the club of this id, each in the order of their ids.
    pub fn new(
        calibration: &Calibration,
        tables: &TableSet,
        model: &PartsModel,
        id: &str,
        shaft: &[Usable<'_>],
        grip: &[Usable<'_>],
    ) -> Self {
        let part = |part, usable| FixedPart::new(calibration, tables, model, part, id, usable);
        Self { shaft: part(Part::Shaft, shaft), grip: part(Part::Grip, grip) }
    }

    /// The same with the chances of the years of fashion that a shaft, and a grip, of after the axis copies.
    pub fn with_copies(mut self, [shaft, grip]: [Vec<f64>; 2]) -> Self {
        (self.shaft.copies, self.grip.copies) = (shaft, grip);
        self
    }

    /// Chances of the years of fashion that a part of after the axis copies.
    pub fn copies(&self, part: Part) -> &[f64] {
        if part == Part::Grip { &self.grip.copies } else { &self.shaft.copies }
    }

    /// What a set of the clues that are fixed to a part says: for the head those of shaft and grip, for the shaft those
    /// of the grip.
    pub fn of_set(&self, part: Part, set: usize) -> SetOfBoth {
        let n = if part == Part::Head { self.shaft.n_clues() } else { 0 };
        SetOfBoth { shaft: self.shaft.of_set(set & ((1 << n) - 1)), grip: self.grip.of_set(set >> n) }
    }

    /// What all clues of both say.
    pub fn of_all(&self) -> SetOfBoth {
        SetOfBoth { shaft: self.shaft.of_set(usize::MAX), grip: self.grip.of_set(usize::MAX) }
    }

    /// Chances by the shaft's year of what was read of the grip, given the shaft's.
    fn of_grip(&self, grip: &SetOfPart, ahead: i32) -> Vec<f64> {
        sum(&self.grip.ways(grip, &grip.likelihood(ahead)))
    }

    /// Weights of a part's years, before any of its clues but with its signs, from weights of the head's years, where
    /// fashion is so many years ahead; `all` is what all clues say.
    pub fn prior_of(&self, part: Part, all: &SetOfBoth, head: &[f64], ahead: i32) -> Vec<f64> {
        let shaft = || self.shaft.joining.carried(head, all.shaft.signs);
        match part {
            Part::Head => head.to_vec(),
            Part::Shaft => shaft(),
            Part::Grip => {
                let weights = times(&shaft(), &all.shaft.likelihood(ahead));
                self.grip.joining.carried(&weights, all.grip.signs)
            }
        }
    }

    /// Weights of a shaft that is the head's own and of a later one, or of a grip that is the shaft's own and of a
    /// later one, from weights of the head's years by its own clues, where fashion is so many years ahead.
    pub fn own_and_later(&self, part: Part, all: &SetOfBoth, head: &[f64], ahead: i32) -> [f64; 2] {
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let shaft = all.shaft.likelihood(ahead);
        let (weights, ways) = if part == Part::Shaft {
            let of_grip = self.of_grip(&all.grip, ahead);
            (head.to_vec(), self.shaft.ways(&all.shaft, &times(&shaft, &of_grip)))
        } else {
            let of_shaft = times(&self.prior_of(Part::Shaft, all, head, ahead), &shaft);
            (of_shaft, self.grip.ways(&all.grip, &all.grip.likelihood(ahead)))
        };
        [dot(&weights, &ways.own), dot(&weights, &ways.later)]
    }

    /// Likelihood by the year of a part of a set of what is fixed to it, where fashion is so many years ahead.
    pub fn likelihood_of(&self, part: Part, set: &SetOfBoth, ahead: i32) -> Vec<f64> {
        let of_grip = self.of_grip(&set.grip, ahead);
        match part {
            Part::Head => sum(&self.shaft.ways(&set.shaft, &times(&set.shaft.likelihood(ahead), &of_grip))),
            Part::Shaft | Part::Grip => of_grip,
        }
    }

    /// Adds to the weights of the years of what is fixed to a part those that weights of the part's own years leave,
    /// all clues given, where fashion is so many years ahead.
    pub fn add_years(&self, part: Part, all: &SetOfBoth, ahead: i32, weights: &[f64], into: &mut JoinedYears) {
        let of_grip = self.of_grip(&all.grip, ahead);
        let grip = all.grip.likelihood(ahead);
        let under_shaft = if part == Part::Head {
            let shaft = all.shaft.likelihood(ahead);
            let of_both = times(&shaft, &of_grip);
            let base = sum(&self.shaft.ways(&all.shaft, &of_both));
            // What the weights hold already of the clues is taken out of them, and brought in by the year it is of.
            let by_shaft = self.shaft.years_under(&all.shaft, &over(weights, &base), &shaft);
            into.shaft.add(ahead, &times(&by_shaft, &of_grip));
            by_shaft
        } else {
            over(weights, &of_grip)
        };
        into.grip.add(ahead, &self.grip.years_under(&all.grip, &under_shaft, &grip));
    }

    /// Chance that each clue fixed to a part is misread, summed over weights of the years, in the order of their sets.
    pub fn misread(&self, part: Part, years: &JoinedYears) -> Vec<f64> {
        let grip = self.grip.misread(&years.grip);
        if part == Part::Head { [self.shaft.misread(&years.shaft), grip].concat() } else { grip }
    }
}

/// Weights of the years of shaft and grip.
#[derive(Debug)]
pub(crate) struct JoinedYears {
    shaft: OwnYears,
    grip: OwnYears,
}

impl JoinedYears {
    /// None yet, on an axis of so many years.
    pub fn new(n_years: usize) -> Self {
        Self { shaft: OwnYears::new(n_years), grip: OwnYears::new(n_years) }
    }
}
