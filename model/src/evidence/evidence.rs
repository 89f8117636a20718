//! The readings of one club that speak of one part, as likelihoods over years.

use crate::evidence::block::Block;
use crate::evidence::joined_parts::{JoinedParts, OfTheHead, OfTheShaft};
use crate::evidence::own_evidence::{OwnEvidence, UsedClue};
use crate::evidence::usable::Usable;
use crate::evidence::weighed::{BySet, Weighed};
use crate::numbers::axis::Axis;
use crate::reading::part::Part;
use crate::tables::calibration::Calibration;
use crate::tables::table_set::TableSet;
use std::sync::Arc;

/// The readings of one club that speak of one part, as likelihoods over years.
///
/// Clues stand in the order of their ids, so that no answer depends on the order of the catalogue or of the record.
/// ```
/// use agewright_model::{Asked, Part};
///
/// let calibration = agewright_files::built_in().unwrap().calibration;
/// let readings = [("pin_direction", "side_side"), ("hosel_to_crease", "3 1/2 in")];
/// let club = calibration.catalogue().club("iron", &readings).unwrap();
/// let asked = Asked::new(&calibration, &club, Part::Head, None, &[]).unwrap();
/// let evidence = asked.evidence();
/// assert_eq!(evidence.clue_ids(), ["hosel_to_crease", "pin_direction"], "in the order of their ids");
/// // By year, in ln: of all clues, and of the hosel alone.
/// let (all, hosel) = (evidence.ln_likelihood(|_| true), evidence.ln_likelihood(|clue| clue == 0));
/// assert_eq!(all.len(), calibration.catalogue().axis().n_years());
/// assert!(all[0] < all[150] && hosel[0] < hosel[150]);
/// ```
#[derive(Debug, Clone)]
pub struct Evidence {
    pub(crate) axis: Axis,
    pub(crate) clues: Vec<UsedClue>,
    pub(crate) blocks: Vec<Weighed<Block>>,
}

impl From<OwnEvidence> for Evidence {
    fn from(own: OwnEvidence) -> Self {
        let single = |Weighed { places, weight, evidence }| {
            let evidence = Block::OneClue(evidence);
            Weighed { places, weight, evidence }
        };
        let mut blocks: Vec<Weighed<Block>> = own.singles.into_iter().map(single).collect();
        blocks.extend(own.measures.map(|Weighed { places, weight, evidence }| {
            let evidence = Block::Measures(evidence);
            Weighed { places, weight, evidence }
        }));
        Self { axis: own.axis, clues: own.clues, blocks }
    }
}

impl Evidence {
    /// The same with what is fixed to the part: `fixed` are its readings, in the order that the joined parts take them
    /// in.
    pub(crate) fn with_fixed(
        mut self,
        calibration: &Calibration,
        tables: &TableSet,
        part: Part,
        fixed: &[Usable<'_>],
        joined: Arc<JoinedParts>,
    ) -> Self {
        let places = (self.clues.len()..self.clues.len() + fixed.len()).collect();
        self.clues.extend(fixed.iter().map(|one| one.used(weight_of(calibration, tables, *one))));
        let evidence = match part {
            Part::Head => Block::OfTheHead(OfTheHead(joined)),
            Part::Shaft | Part::Grip => Block::OfTheShaft(OfTheShaft(joined)),
        };
        self.blocks.push(Weighed { places, weight: 1.0, evidence });
        self.sorted_by_id()
    }

    /// The same with its clues in the order of their ids.
    fn sorted_by_id(mut self) -> Self {
        let mut order: Vec<usize> = (0..self.clues.len()).collect();
        order.sort_by(|&a, &b| self.clues[a].id.cmp(&self.clues[b].id));
        let mut place_of = vec![0; order.len()];
        for (place, &old) in order.iter().enumerate() {
            place_of[old] = place;
        }
        self.clues = order.iter().map(|&old| self.clues[old].clone()).collect();
        for place in self.blocks.iter_mut().flat_map(|block| &mut block.places) {
            *place = place_of[*place];
        }
        self
    }

    /// The axis of years.
    #[must_use]
    pub fn axis(&self) -> Axis {
        self.axis
    }

    /// Number of clues that count.
    #[must_use]
    pub fn n_clues(&self) -> usize {
        self.clues.len()
    }

    /// Ids of the clues that count, sorted.
    #[must_use]
    pub fn clue_ids(&self) -> Vec<&str> {
        self.clues.iter().map(|clue| clue.id.as_str()).collect()
    }

    /// Tempered ln likelihood by year of the clues for which `keep` says yes (by place among the clues that count).
    #[must_use]
    pub fn ln_likelihood(&self, keep: impl Fn(usize) -> bool) -> Vec<f64> {
        let mut total = vec![0.0; self.axis.n_years()];
        self.blocks.iter().for_each(|block| block.add_to(&mut total, &keep));
        total
    }

    /// The first clue of evidence that is no number, or that holds every year for impossible; only tables of absurd
    /// numbers make such.
    pub(crate) fn not_finite(&self) -> Option<&str> {
        let absurd = |block: &Weighed<Block>| {
            let own = if block.places.is_empty() { None } else { block.evidence.first_absurd(block.places.len()) };
            own.and_then(|clue| block.places.get(clue).copied())
        };
        self.blocks.iter().find_map(absurd).map(|place| self.clues[place].id.as_str())
    }

    /// ln likelihood by year of each fitted group, before its exponent: level clues by their id, measures by `None`.
    #[must_use]
    pub fn ln_by_group(&self) -> Vec<(Option<&str>, Vec<f64>)> {
        let group = |block: &Weighed<Block>| {
            let id = match block.evidence {
                Block::OneClue(_) => block.places.first().map(|&place| self.clues[place].id.as_str()),
                Block::Measures(_) => None,
                Block::OfTheHead(_) | Block::OfTheShaft(_) => return None,
            };
            Some((id, block.ln_by_year(block.all())))
        };
        self.blocks.iter().filter_map(group).collect()
    }

    /// One clue's own ln likelihood by year, alone and before its exponent; by its place among [`Self::clue_ids`].
    /// Zeros for a place that is not there, and for a level adjuster, which says nothing alone.
    #[must_use]
    pub fn ln_alone(&self, clue: usize) -> Vec<f64> {
        let own = |block: &Weighed<Block>| {
            let set = block.set_of(|place| place == clue);
            (set != 0).then(|| block.ln_by_year(set))
        };
        self.blocks.iter().find_map(own).unwrap_or_else(|| vec![0.0; self.axis.n_years()])
    }

    /// Chance by year that each clue is misread, given all clues (for a level adjuster, its chance before they are
    /// known): `[clue, in the order of clue_ids][year of the axis]`.
    #[must_use]
    pub fn misread_by_year(&self) -> Vec<Vec<f64>> {
        let mut all: Vec<Vec<f64>> = self.clues.iter().map(|clue| vec![clue.misread; self.axis.n_years()]).collect();
        self.blocks.iter().for_each(|block| block.misread_into(&mut all));
        all
    }

    /// ln likelihood by year of all measures together, the adjusting ones among them; `None` where nothing was
    /// measured.
    pub(crate) fn ln_measures_together(&self) -> Option<Vec<f64>> {
        self.blocks.iter().find_map(|block| match &block.evidence {
            Block::Measures(measures) => Some(measures.ln_all_together()),
            _ => None,
        })
    }
}

/// Exponent that a clue of a joined part counts with, in its own part.
fn weight_of(calibration: &Calibration, tables: &TableSet, one: Usable<'_>) -> f64 {
    let own = tables.own_tables().find(|table| table.clue == one.clue.id).map(|table| table.weight);
    let block =
        tables.block(one.clue.part).filter(|_| !one.clue.kind.is_known() && calibration.sign(&one.clue.id).is_none());
    own.or(block.map(|block| block.weight)).unwrap_or(1.0)
}
