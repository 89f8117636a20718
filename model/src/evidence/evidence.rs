//! The evidence of one club for one part: what was read, against a calibration.

use crate::answer::dating::{UnusedClue, WhyUnused};
use crate::evidence::block::EvidenceBlock;
use crate::evidence::joined_parts::{PartsEvidence, Usable};
use crate::evidence::measures::MeasuredEvidence;
use crate::numbers::axis::Axis;
use crate::reading::catalogue::{ClueKind, Part};
use crate::reading::cell::{Cell, Reading};
use crate::reading::club::Club;
use crate::reading::misread::misread_of;
use crate::tables::calibration::Calibration;
use crate::tables::mark_use::{CasesByYear, mark_cases, register_cases};
use crate::tables::replacement::PartsModel;

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
        let (mut usable, unused) = usable_readings(calibration, club, part, without);
        let Some(model) = &calibration.parts else {
            return (Self::build(calibration, part, &usable), unused);
        };
        // Signs say nothing of a part's year by themselves.
        usable.retain(|(ix, _)| model.sign(&calibration.catalogue.clues[*ix].id).is_none());
        let fixed_to: &[Part] = match part {
            Part::Head => &[Part::Shaft, Part::Grip],
            Part::Shaft => &[Part::Grip],
            Part::Grip => &[],
        };
        let fixed = fixed_to.iter().flat_map(|&other| usable_readings(calibration, club, other, without).0);
        let mut fixed: Vec<Usable<'_>> = fixed.collect();
        sort_by_id(calibration, &mut fixed);
        (Self::with_fixed_parts(calibration, model, part, &usable, &fixed), unused)
    }

    /// Evidence of a part's own clues, and of what is fixed to it.
    fn with_fixed_parts(
        calibration: &Calibration,
        model: &PartsModel,
        part: Part,
        usable: &[Usable<'_>],
        fixed: &[Usable<'_>],
    ) -> Self {
        let mut evidence = Self::build(calibration, part, usable);
        if fixed.is_empty() {
            return evidence;
        }
        let (axis, n_own) = (evidence.axis, evidence.clues.len());
        for &(ix, reading) in fixed {
            let clue = &calibration.catalogue.clues[ix];
            let is_dated = matches!(clue.kind, ClueKind::Mark | ClueKind::Register);
            let own = calibration.blocks.iter().find(|block| block.part == clue.part && !is_dated);
            let weight = calibration
                .level_table(&clue.id)
                .map_or_else(|| own.map_or(1.0, |block| block.weight), |table| table.weight);
            evidence.clues.push(UsedClue {
                id: clue.id.clone(),
                reading: reading.text.clone(),
                weight,
                adjusts: clue.adjusts,
                misread: misread_of(clue.misread, reading),
            });
        }
        let order: Vec<usize> =
            PartsEvidence::order(calibration, model, fixed).into_iter().map(|place| n_own + place).collect();
        let parts = PartsEvidence::new(calibration, model, fixed);
        evidence.blocks.push(match part {
            Part::Head => EvidenceBlock::shaft_and_grip(axis, order, parts),
            _ => EvidenceBlock::grip(axis, order, parts),
        });
        evidence.sorted_by_id()
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
        for block in &mut self.blocks {
            for clue in &mut block.clues {
                *clue = place_of[*clue];
            }
        }
        self
    }

    pub(crate) fn build(calibration: &Calibration, part: Part, usable: &[Usable<'_>]) -> Self {
        let axis = calibration.catalogue.axis;
        let block = calibration.blocks.iter().find(|block| block.part == part);
        let mut clues = Vec::with_capacity(usable.len());
        let mut blocks = Vec::new();
        let mut measures: Vec<(usize, &Reading)> = Vec::new();
        let mut adjusters: Vec<(usize, &Reading)> = Vec::new();
        let (mut measure_places, mut adjuster_places) = (Vec::new(), Vec::new());
        for (place, &(ix, reading)) in usable.iter().enumerate() {
            let clue = &calibration.catalogue.clues[ix];
            let mut weight = block.map_or(1.0, |block| block.weight);
            if let Some(cases) = dated_cases(calibration, ix, reading) {
                weight = 1.0;
                blocks.push(EvidenceBlock::dated(axis, place, cases));
            } else if let Some(table) = calibration.level_table(&clue.id) {
                weight = table.weight;
                blocks.push(EvidenceBlock::level(axis, place, weight, table.cases(reading)));
            } else if let Some(j) = block.and_then(|block| block.clues.iter().position(|table| table.clue == clue.id)) {
                measures.push((j, reading));
                measure_places.push(place);
            } else if let Some(a) = block.and_then(|block| block.adjusters.iter().position(|a| a.clue == clue.id)) {
                adjusters.push((a, reading));
                adjuster_places.push(place);
            }
            clues.push(UsedClue {
                id: clue.id.clone(),
                reading: reading.text.clone(),
                weight,
                adjusts: clue.adjusts,
                misread: misread_of(clue.misread, reading),
            });
        }
        if let Some(block) = block.filter(|_| !(measures.is_empty() && adjusters.is_empty())) {
            let evidence = MeasuredEvidence::new(block, &measures, &adjusters);
            measure_places.extend(adjuster_places);
            blocks.push(EvidenceBlock::measured(axis, measure_places, block.weight, evidence));
        }
        Self { axis, clues, blocks }
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

    /// ln likelihood by year of each weighed group, before its exponent: level clues by their id, measures by `None`.
    #[must_use]
    pub fn ln_by_group(&self) -> Vec<(Option<&str>, Vec<f64>)> {
        let group = |block: &EvidenceBlock| {
            let is_level = block.is_level();
            let id = block.clues.first().filter(|_| is_level).map(|&clue| self.clues[clue].id.as_str());
            (id, block.ln_by_year((1 << block.n_clues()) - 1))
        };
        self.blocks.iter().filter(|block| block.is_level() || block.is_measured()).map(group).collect()
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

    /// Chance by year that each clue is misread, given all clues (for a level adjuster, its chance before they are known).
    #[must_use]
    pub fn misread_by_year(&self) -> Vec<Vec<f64>> {
        let mut all: Vec<Vec<f64>> = self.clues.iter().map(|clue| vec![clue.misread; self.axis.n_years()]).collect();
        for block in &self.blocks {
            for (&clue, by_year) in block.clues.iter().zip(block.misread_by_year()) {
                all[clue] = by_year;
            }
        }
        all
    }
}

/// The readings of a part that count, in the order of their ids, and why others do not.
pub(crate) fn usable_readings<'a>(
    calibration: &Calibration,
    club: &'a Club,
    part: Part,
    without: &[usize],
) -> (Vec<Usable<'a>>, Vec<UnusedClue>) {
    let mut unused = Vec::new();
    let mut usable = Vec::new();
    for (ix, clue) in calibration.catalogue.clues.iter().enumerate().filter(|(_, clue)| clue.part == part) {
        let cell = club.cells.get(ix).unwrap_or(&Cell::NotExamined);
        match why_unused(calibration, ix, cell, without) {
            Ok(reading) => usable.push((ix, reading)),
            Err(Some(why)) => unused.push(UnusedClue { clue: clue.id.clone(), why }),
            Err(None) => {}
        }
    }
    sort_by_id(calibration, &mut usable);
    (usable, unused)
}

pub(crate) fn sort_by_id(calibration: &Calibration, usable: &mut [Usable<'_>]) {
    usable.sort_by(|a, b| calibration.catalogue.clues[a.0].id.cmp(&calibration.catalogue.clues[b.0].id));
}

/// The two cases by year of a mark's or a register's reading; `None` for clues of other kinds.
fn dated_cases(calibration: &Calibration, ix: usize, reading: &Reading) -> Option<CasesByYear> {
    let (axis, clue) = (calibration.catalogue.axis, &calibration.catalogue.clues[ix]);
    match clue.kind {
        ClueKind::Mark => {
            let levels: Vec<String> = clue.levels.iter().map(|level| level.id.clone()).collect();
            Some(mark_cases(axis, &levels, &calibration.uses_of(&clue.id), clue.misread, reading))
        }
        ClueKind::Register => Some(register_cases(axis, clue.misread, reading)),
        ClueKind::Levels | ClueKind::Measured => None,
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
    let has_table = match (clue.kind, clue.adjusts) {
        (ClueKind::Levels, false) => calibration.level_table(&clue.id).is_some(),
        (ClueKind::Levels, true) => {
            calibration.blocks.iter().any(|b| b.part == clue.part && b.adjusters.iter().any(|a| a.clue == clue.id))
        }
        (ClueKind::Mark, _) => !calibration.uses_of(&clue.id).is_empty(),
        (ClueKind::Register, _) => true,
        (ClueKind::Measured, _) => calibration.measured_table(clue.part, &clue.id).is_some(),
    };
    if calibration.parts.as_ref().is_some_and(|parts| parts.sign(&clue.id).is_some()) {
        return Ok(reading);
    }
    if clue.adjusts && !has_table {
        return Err(Some(WhyUnused::Adjusts));
    }
    if has_table { Ok(reading) } else { Err(Some(WhyUnused::NoTable)) }
}
