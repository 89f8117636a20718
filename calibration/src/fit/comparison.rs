//! What changed from one calibration to another, clue by clue, and how the dates of clubs move.

use agewright_model::{Asked, Calibration, Cell, Club, Clue, Posterior, ShortAnswer};

/// What changed between two calibrations.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// One for each clue of either, in the order of the new catalogue, then those that are gone.
    pub clues: Vec<ClueChange>,
    /// One for each club, the largest change of the median first.
    pub dates: Vec<DateChange>,
}

/// One clue, old and new; `None` where it has no table.
#[derive(Debug, Clone, PartialEq)]
pub struct ClueChange {
    /// The clue's id.
    pub clue: String,
    /// Dated clubs read for it.
    pub clubs: (Option<usize>, Option<usize>),
    /// Its exponent.
    pub weight: (Option<f64>, Option<f64>),
    /// The row that changed most.
    pub largest: Option<RowChange>,
}

/// A row of a table, old and new.
#[derive(Debug, Clone, PartialEq)]
pub struct RowChange {
    /// First year.
    pub from: i32,
    /// Last year.
    pub to: i32,
    /// The level whose share changed; `None` for a mean.
    pub level: Option<String>,
    /// Share, or mean in the clue's unit, before.
    pub old: f64,
    /// After.
    pub new: f64,
}

/// The answer for a club, old and new.
#[derive(Debug, Clone, PartialEq)]
pub struct DateChange {
    /// The club's id.
    pub id: String,
    /// Before.
    pub old: ShortAnswer,
    /// After.
    pub new: ShortAnswer,
}

/// Compares two calibrations; `clubs` are read by the new catalogue and dated by both, each with its own prior. A club
/// that was read by another catalogue is passed over.
#[must_use]
pub fn compare(old: &Calibration, new: &Calibration, clubs: &[Club]) -> Comparison {
    let mut ids: Vec<&str> = new.catalogue().clues().iter().map(|clue| clue.id.as_str()).collect();
    let before = old.catalogue().clues().iter().map(|clue| clue.id.as_str());
    ids.extend(before.filter(|id| new.catalogue().clue_ix(id).is_none()));
    let clues = ids.into_iter().filter_map(|id| clue_change(old, new, id)).collect();
    let mut dates: Vec<DateChange> = clubs
        .iter()
        .filter_map(|club| {
            let (before, after) = (dated(old, &translated(old, new, club))?, dated(new, club)?);
            Some(DateChange { id: club.id.clone(), old: before, new: after })
        })
        .collect();
    dates.sort_by_key(|change| std::cmp::Reverse(change.old.median.abs_diff(change.new.median)));
    Comparison { clues, dates }
}

fn tabled(calibration: &Calibration, id: &str) -> Option<(usize, f64)> {
    if let Some(table) = calibration.tables().own_tables().find(|table| table.clue == id) {
        return Some((table.clubs, table.weight));
    }
    let blocks = calibration.tables().blocks.iter();
    blocks
        .flat_map(|block| block.clues.iter().map(|t| (t, block.weight)))
        .find(|(t, _)| t.clue == id)
        .map(|(t, w)| (t.clubs, w))
}

fn clue_change(old: &Calibration, new: &Calibration, id: &str) -> Option<ClueChange> {
    let (before, after) = (tabled(old, id), tabled(new, id));
    if before.is_none() && after.is_none() {
        return None;
    }
    let same_axis = old.catalogue().axis() == new.catalogue().axis();
    Some(ClueChange {
        clue: id.to_owned(),
        clubs: (before.map(|b| b.0), after.map(|a| a.0)),
        weight: (before.map(|b| b.1), after.map(|a| a.1)),
        largest: if same_axis { level_change(old, new, id).or_else(|| mean_change(old, new, id)) } else { None },
    })
}

fn level_change(old: &Calibration, new: &Calibration, id: &str) -> Option<RowChange> {
    let (before, after) = (old.tables().level_table(id)?, new.tables().level_table(id)?);
    let levels = |calibration: &Calibration| calibration.catalogue().clue(id).map(|clue| clue.levels.clone());
    let (levels, old_levels) = (levels(new)?, levels(old)?);
    let mut largest: Option<RowChange> = None;
    for (row, (a, b)) in before.rows.iter().zip(&after.rows).enumerate() {
        for (k, level) in levels.iter().enumerate() {
            let Some(k_old) = old_levels.iter().position(|other| other.id == level.id) else { continue };
            let (from, to) = new.catalogue().axis().row_years(row);
            let change = RowChange { from, to, level: Some(level.id.clone()), old: a.shares[k_old], new: b.shares[k] };
            if largest.as_ref().is_none_or(|most| (change.new - change.old).abs() > (most.new - most.old).abs()) {
                largest = Some(change);
            }
        }
    }
    largest
}

fn mean_change(old: &Calibration, new: &Calibration, id: &str) -> Option<RowChange> {
    let (before, after) = (old.tables().means(id)?, new.tables().means(id)?);
    let size = |row: usize| (after[row] - before[row]).abs();
    let row = (0..after.len()).max_by(|a, b| size(*a).total_cmp(&size(*b)))?;
    let (from, to) = new.catalogue().axis().row_years(row);
    let measure = |calibration: &Calibration, mean: f64| Some(calibration.catalogue().clue(id)?.scale.measure(mean));
    let (old, new) = (measure(old, before[row])?, measure(new, after[row])?);
    Some(RowChange { from, to, level: None, old, new })
}

/// The club's cells in the order of the old catalogue; a clue that is not the same there stays blank.
fn translated(old: &Calibration, new: &Calibration, club: &Club) -> Club {
    let same_levels = |a: &Clue, b: &Clue| a.levels.iter().map(|level| &level.id).eq(b.levels.iter().map(|l| &l.id));
    let cell = |clue: &Clue| {
        let ix = new.catalogue().clue_ix(&clue.id)?;
        let other = &new.catalogue().clues()[ix];
        let same = other.kind == clue.kind && other.unit == clue.unit && same_levels(other, clue);
        same.then(|| club.cells.get(ix).cloned()).flatten()
    };
    let cells = old.catalogue().clues().iter().map(|clue| cell(clue).unwrap_or(Cell::NotExamined)).collect();
    Club { cells, ..club.clone() }
}

fn dated(calibration: &Calibration, club: &Club) -> Option<ShortAnswer> {
    let asked = Asked::new(calibration, club, calibration.main_part(), None, &[]).ok()?;
    // Clubs of known date are of the years of the axis.
    Some(ShortAnswer::of(&Posterior::of(asked.evidence(), asked.prior(), |_| true).within_the_axis()))
}
