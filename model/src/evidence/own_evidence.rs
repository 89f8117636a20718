//! What a part's own clues say of its year.

use crate::evidence::copied::Copied;
use crate::evidence::measures::Measures;
use crate::evidence::on_shelf::OnShelf;
use crate::evidence::one_clue::OneClue;
use crate::evidence::own_years::OwnYears;
use crate::evidence::usable::Usable;
use crate::evidence::weighed::{BySet, Weighed};
use crate::numbers::axis::Axis;
use crate::reading::part::Part;
use crate::tables::calibration::Calibration;
use crate::tables::table_set::TableSet;

/// A clue whose reading counts, with its exponent.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct UsedClue {
    pub id: String,
    pub reading: String,
    pub weight: f64,
    /// Corrects others and is no evidence by itself.
    pub adjusts: bool,
    /// Chance of misreading before anything else is known.
    pub misread: f64,
}

/// The clues of one part by themselves: each level, mark and number, and the measures together.
#[derive(Debug, Clone)]
pub(crate) struct OwnEvidence {
    pub axis: Axis,
    /// In the order they were given: by their ids.
    pub clues: Vec<UsedClue>,
    pub singles: Vec<Weighed<OneClue>>,
    pub measures: Option<Weighed<Measures>>,
    /// The votes of the dated clubs most like it.
    pub shelf: Option<Weighed<OnShelf>>,
}

impl OwnEvidence {
    /// Evidence of the readings of one part of the club of this id, by the tables of a fit or of a draw.
    pub fn new(calibration: &Calibration, tables: &TableSet, part: Part, id: &str, usable: &[Usable<'_>]) -> Self {
        let block_weight = tables.block(part).map_or(1.0, |block| block.weight);
        let mut own = Self {
            axis: calibration.catalogue().axis(),
            clues: Vec::new(),
            singles: Vec::new(),
            measures: None,
            shelf: OnShelf::of(calibration, part, id, usable),
        };
        let mut together = Vec::new();
        for (place, &one) in usable.iter().enumerate() {
            let single = OneClue::of(calibration, tables, one);
            let weight = single.as_ref().map_or(block_weight, |(_, weight)| *weight);
            own.clues.push(one.used(weight));
            match single {
                Some((evidence, weight)) => own.singles.push(Weighed { places: vec![place], weight, evidence }),
                None => together.push((place, one)),
            }
        }
        if let Some(block) = tables.block(part) {
            own.measures = Measures::of(own.axis, block, &together);
        }
        own
    }

    /// Tempered ln likelihood of the clues for which `keep` holds, in two sums: by the year of fashion, by the year of
    /// making.
    pub fn ln_sides(&self, keep: impl Fn(usize) -> bool) -> [Vec<f64>; 2] {
        let mut sides = [vec![0.0; self.axis.n_years()], vec![0.0; self.axis.n_years()]];
        self.singles.iter().for_each(|single| single.add_to_side(&mut sides, &keep));
        if let Some(measures) = &self.measures {
            measures.add_to_side(&mut sides, &keep);
        }
        if let Some(shelf) = &self.shelf {
            shelf.add_to_side(&mut sides, keep);
        }
        sides
    }

    /// The clues for which `keep` holds, on a part made after the axis ends.
    pub fn copied(&self, keep: impl Fn(usize) -> bool) -> Copied {
        let mut copied = Copied::new(self.axis.n_years());
        self.singles.iter().for_each(|single| copied.add(single, &keep));
        if let Some(measures) = &self.measures {
            copied.add(measures, &keep);
        }
        if let Some(shelf) = &self.shelf {
            let named = |place: usize| self.singles.iter().any(|one| one.places.contains(&place) && one.is_named());
            copied.add(shelf, |place| keep(place) && !named(place));
        }
        copied
    }

    /// Chance that each clue is misread on a part made after the axis ends that copies one of some year of the axis
    /// with these chances; where the rules say how such a part looks, by them.
    fn misread_after(&self, copies: &[f64]) -> Vec<f64> {
        let years = OwnYears::of_years(self.copied(|_| true).years(copies));
        let mut all = self.misread_on_axis(&years);
        for (single, after) in self.singles.iter().filter_map(|single| Some((single, single.evidence.after()?))) {
            single.places.iter().for_each(|&place| all[place] = after.misread);
        }
        all
    }

    /// Chance that each clue is misread, given all of them, summed over weights of the part's years; in the cell after
    /// the axis it copies one of some year of the axis with these chances.
    pub fn misread(&self, years: &OwnYears, copies: &[f64]) -> Vec<f64> {
        let mut all = self.misread_on_axis(years);
        if years.cell > 0.0 {
            all.iter_mut().zip(self.misread_after(copies)).for_each(|(sum, misread)| *sum += years.cell * misread);
        }
        all
    }

    fn misread_on_axis(&self, years: &OwnYears) -> Vec<f64> {
        let on_axis = years.on_axis();
        let mut all: Vec<f64> = self.clues.iter().map(|clue| on_axis * clue.misread).collect();
        self.singles.iter().for_each(|single| single.misread_into(&mut all, years));
        if let Some(measures) = &self.measures {
            measures.misread_into(&mut all, years);
        }
        all
    }
}

impl Usable<'_> {
    /// Exponent that a clue of a joined part counts with, in its own part.
    pub fn weight_in_its_part(&self, calibration: &Calibration, tables: &TableSet) -> f64 {
        if let Some(model) = calibration.parts_model().filter(|model| model.sign(&self.clue.id).is_some()) {
            return model.sign_weight;
        }
        let own = tables.own_tables().find(|table| table.clue == self.clue.id).map(|table| table.weight);
        let block = tables.block(self.clue.part).filter(|_| !self.clue.kind.is_known());
        own.or(block.map(|block| block.weight)).unwrap_or(1.0)
    }

    /// The clue as it stands in an account.
    pub fn used(&self, weight: f64) -> UsedClue {
        UsedClue {
            id: self.clue.id.clone(),
            reading: self.reading.text.clone(),
            weight,
            adjusts: self.clue.adjusts,
            misread: self.misread(),
        }
    }
}
