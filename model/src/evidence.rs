//! The evidence of one club for one part: what was read, against a calibration.

use crate::axis::Axis;
use crate::calibration::Calibration;
use crate::catalogue::{ClueKind, Part};
use crate::club::Club;
use crate::dating::{UnusedClue, WhyUnused};
use crate::evidence_block::EvidenceBlock;
use crate::measured_evidence::MeasuredEvidence;
use crate::reading::{Cell, Reading};

/// A clue whose reading counts, with its exponent.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct UsedClue {
    pub ix: usize,
    pub id: String,
    pub reading: String,
    pub weight: f64,
}

/// The readings of one club that speak of one part, as likelihoods over years.
///
/// Clues stand in the order of their ids, so that no answer depends on the order of the catalogue or of the record.
#[derive(Debug, Clone)]
pub struct Evidence {
    pub(crate) axis: Axis,
    pub(crate) clues: Vec<UsedClue>,
    pub(crate) blocks: Vec<EvidenceBlock>,
}

impl Evidence {
    /// Gathers a club's readings for a part, leaving out the clues (by place in the catalogue) in `without`; also says
    /// which readings of the part could not be used and why.
    #[must_use]
    pub fn gather(calibration: &Calibration, club: &Club, part: Part, without: &[usize]) -> (Self, Vec<UnusedClue>) {
        let mut unused = Vec::new();
        let mut usable: Vec<(usize, &Reading)> = Vec::new();
        for (ix, clue) in calibration.catalogue.clues.iter().enumerate().filter(|(_, clue)| clue.part == part) {
            let cell = club.cells.get(ix).unwrap_or(&Cell::NotExamined);
            match why_unused(calibration, ix, cell, without) {
                Ok(reading) => usable.push((ix, reading)),
                Err(Some(why)) => unused.push(UnusedClue { clue: clue.id.clone(), why }),
                Err(None) => {}
            }
        }
        usable.sort_by(|a, b| calibration.catalogue.clues[a.0].id.cmp(&calibration.catalogue.clues[b.0].id));
        (Self::build(calibration, part, &usable), unused)
    }

    fn build(calibration: &Calibration, part: Part, usable: &[(usize, &Reading)]) -> Self {
        let axis = calibration.catalogue.axis;
        let mut clues = Vec::with_capacity(usable.len());
        let mut blocks = Vec::new();
        let mut measures: Vec<(usize, &Reading)> = Vec::new();
        let mut measured_places = Vec::new();
        for (place, &(ix, reading)) in usable.iter().enumerate() {
            let id = calibration.catalogue.clues[ix].id.clone();
            let mut weight = 1.0;
            if let Some(table) = calibration.level_table(&id) {
                weight = table.weight;
                blocks.push(EvidenceBlock::level(axis, place, weight, table.cases(reading)));
            } else if let Some((block, j)) = calibration.measured_table(part, &id) {
                weight = block.weight;
                measures.push((j, reading));
                measured_places.push(place);
            }
            clues.push(UsedClue { ix, id, reading: reading.text.clone(), weight });
        }
        if let Some(block) = calibration.blocks.iter().find(|block| block.part == part)
            && !measures.is_empty()
        {
            let evidence = MeasuredEvidence::new(block, &measures);
            blocks.push(EvidenceBlock::measured(axis, measured_places, block.weight, evidence));
        }
        Self { axis, clues, blocks }
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
        for block in &self.blocks {
            let mask =
                block.clues.iter().enumerate().filter(|&(_, &clue)| keep(clue)).fold(0, |mask, (i, _)| mask | (1 << i));
            if mask == 0 {
                continue;
            }
            for (sum, ln) in total.iter_mut().zip(block.ln_by_year(mask)) {
                *sum += block.weight * ln;
            }
        }
        total
    }

    /// One clue's own ln likelihood by year, alone and before its exponent.
    #[must_use]
    pub fn ln_alone(&self, clue: usize) -> Vec<f64> {
        self.blocks
            .iter()
            .find_map(|block| {
                let i = block.clues.iter().position(|&c| c == clue)?;
                Some(block.ln_by_year(1 << i))
            })
            .unwrap_or_else(|| vec![0.0; self.axis.n_years()])
    }

    /// Chance by year that each clue is misread, given all clues (0 for a clue without a table).
    #[must_use]
    pub fn misread_by_year(&self) -> Vec<Vec<f64>> {
        let mut all = vec![vec![0.0; self.axis.n_years()]; self.clues.len()];
        for block in &self.blocks {
            for (&clue, by_year) in block.clues.iter().zip(block.misread_by_year()) {
                all[clue] = by_year;
            }
        }
        all
    }
}

/// The reading, or why it does not count (`None`: it was not examined, which needs no word).
fn why_unused<'a>(
    calibration: &Calibration,
    ix: usize,
    cell: &'a Cell,
    without: &[usize],
) -> Result<&'a Reading, Option<WhyUnused>> {
    let clue = &calibration.catalogue.clues[ix];
    let reading = match cell {
        Cell::NotExamined => return Err(None),
        Cell::Unreadable => return Err(Some(WhyUnused::Unreadable)),
        Cell::Altered => return Err(Some(WhyUnused::Altered)),
        Cell::Read(reading) => reading,
    };
    if without.contains(&ix) {
        return Err(Some(WhyUnused::LeftOut));
    }
    if clue.adjusts {
        return Err(Some(WhyUnused::Adjusts));
    }
    let has_table = match clue.kind {
        ClueKind::Levels => calibration.level_table(&clue.id).is_some(),
        _ => calibration.measured_table(clue.part, &clue.id).is_some(),
    };
    if has_table { Ok(reading) } else { Err(Some(WhyUnused::NoTable)) }
}
