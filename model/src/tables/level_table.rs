//! What a level clue looks like through time.

use crate::reading::cell::{Reading, Seen};
use crate::reading::clue::TableForm;
use crate::reading::document_path::DocumentPath;
use crate::reading::misread::misread_of;
use crate::tables::calibration_error::CalibrationError;
use crate::tables::check::{BANDWIDTHS, CLUBS, Check, EXPONENTS, MISREAD, lies_within, shape};
use crate::tables::shares::{RowName, SharesMoved, normalise};

/// Shares of the levels among readings of clubs of one row of years, misread ones among them.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelRow {
    /// Effective number of dated clubs behind the row.
    pub clubs: f64,
    /// Share of each level, summing to 1.
    pub shares: Vec<f64>,
}

/// Table of a level clue: shares of its levels at each row.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelTable {
    /// The clue's id.
    pub clue: String,
    /// Number of dated clubs read for the clue.
    pub clubs: usize,
    /// Kernel width in years (weighted mean over the widths averaged).
    pub bandwidth: f64,
    /// Exponent of the clue in the posterior, 0 to 1.2.
    pub weight: f64,
    /// Share of each level over all years: what a misreading looks like.
    pub overall: Vec<f64>,
    /// One row for every `step` years.
    pub rows: Vec<LevelRow>,
}

impl LevelTable {
    /// Checks every number, and brings every row and the overall shares to a sum of 1; returns those that were off by
    /// more than rounding.
    pub(crate) fn check(
        &mut self,
        check: &mut Check<'_>,
        path: &DocumentPath,
    ) -> Result<Vec<SharesMoved>, CalibrationError> {
        let clue = check.clue(path, &self.clue, TableForm::Shares, None)?;
        check.once(path, &self.clue)?;
        check.rows(path, &self.clue, self.rows.len())?;
        for shares in self.rows.iter().map(|row| &row.shares).chain(std::iter::once(&self.overall)) {
            shape(path, &self.clue, "shares", shares.len(), clue.levels.len())?;
        }
        lies_within(path, &self.clue, "misread", clue.misread, MISREAD)?;
        lies_within(path, &self.clue, "weight", self.weight, EXPONENTS)?;
        lies_within(&path.clone().then("bandwidth"), &self.clue, "bandwidth", self.bandwidth, BANDWIDTHS)?;
        for (place, row) in self.rows.iter().enumerate() {
            let path = path.clone().then("rows").at(place).then("clubs");
            lies_within(&path, &self.clue, "clubs", row.clubs, CLUBS)?;
        }
        let axis = check.catalogue.axis();
        let mut moved = Vec::new();
        for (place, row) in self.rows.iter_mut().enumerate() {
            let (from, to) = axis.row_years(place);
            let one = normalise(&self.clue, RowName::Row(place, from, to), &mut row.shares);
            let path = || path.clone().then("rows").at(place).then("shares");
            moved.extend(one.map_err(|error| CalibrationError::at(path(), error))?);
        }
        let overall = normalise(&self.clue, RowName::Overall, &mut self.overall);
        moved.extend(overall.map_err(|error| CalibrationError::at(path.clone().then("overall"), error))?);
        Ok(moved)
    }

    /// Whether a draw's table is of the same clue and years.
    pub(crate) fn is_like(&self, drawn: &Self) -> bool {
        self.clue == drawn.clue && self.rows.len() == drawn.rows.len()
    }

    /// Probability of a reading at each row: (1 - e) s + e q, summed over the levels it names; s the true shares, q the
    /// overall ones, e the clue's chance of misreading, more for a doubtful reading. Of a reading beyond doubt it is
    /// the table's own share.
    #[must_use]
    pub fn likelihood_rows(&self, misread: f64, reading: &Reading) -> Vec<f64> {
        let (right, wrong) = self.cases(misread, reading);
        right.iter().map(|r| r + wrong).collect()
    }

    /// Share of each level among clubs at a row: s = max(0, P - e q)/(1 - e), brought to a sum of 1. The table's own
    /// shares P are those of readings, misread ones among them at the clue's rate e; q is what these look like.
    #[must_use]
    pub fn true_shares(&self, misread: f64, row: &LevelRow) -> Vec<f64> {
        let taken_out =
            row.shares.iter().zip(&self.overall).map(|(share, overall)| (share - misread * overall).max(0.0));
        let shares: Vec<f64> = taken_out.collect();
        // P sums to 1 and e q to e below 1: something is left.
        let sum: f64 = shares.iter().sum();
        shares.iter().map(|share| share / sum).collect()
    }

    /// The two cases at each row: read right, (1 - e) s, by row; and misread, e q, the same in all rows.
    pub(crate) fn cases(&self, usual_misread: f64, reading: &Reading) -> (Vec<f64>, f64) {
        let Seen::Levels(levels) = &reading.seen else {
            return (vec![0.0; self.rows.len()], 1.0);
        };
        let misread = misread_of(usual_misread, reading);
        let seen = |shares: &[f64]| levels.iter().map(|&k| shares[k]).sum::<f64>();
        let right = |row: &LevelRow| (1.0 - misread) * seen(&self.true_shares(usual_misread, row));
        (self.rows.iter().map(right).collect(), misread * seen(&self.overall))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(shares: Vec<f64>) -> LevelTable {
        LevelTable {
            clue: "pin".into(),
            clubs: 10,
            bandwidth: 10.0,
            weight: 1.0,
            overall: vec![0.5, 0.5],
            rows: vec![LevelRow { clubs: 3.0, shares: shares.clone() }, LevelRow { clubs: 3.0, shares }],
        }
    }

    /// A level never seen in a row is unlikely there, and no veto.
    #[test]
    fn no_share_is_nothing() {
        let clue = crate::Clue {
            levels: vec![crate::Level::plain("front_back"), crate::Level::plain("side_side")],
            ..crate::Clue::new("pin", crate::ClueKind::Levels, crate::Part::Head)
        };
        let axis = crate::Axis::new(1850, 1870, 10).unwrap();
        let catalogue = crate::Catalogue::new("small", axis, vec![clue]).unwrap();
        let mut table = table(vec![0.0, 1.0]);
        let moved = table.check(&mut Check::new(&catalogue), &DocumentPath::key("levels").at(0)).unwrap();
        assert!(moved.is_empty() && table.rows[0].shares[0] > 0.0 && table.rows[0].shares[0] < 1e-8);
        let reading = Reading { text: String::new(), seen: Seen::Levels(vec![0]), doubtful: false };
        assert!(table.likelihood_rows(0.0, &reading)[0].ln().is_finite());
    }

    #[test]
    fn a_reading_of_either_level_is_certain_and_a_misreading_looks_like_the_rest() {
        let table = table(vec![0.2, 0.8]);
        let reading =
            |levels: Vec<usize>, doubtful| Reading { text: String::new(), seen: Seen::Levels(levels), doubtful };
        let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} is not {b}");
        near(table.likelihood_rows(0.1, &reading(vec![0, 1], false))[0], 1.0);
        // The table's share is that of readings; among clubs it is (0.2 - 0.1 x 0.5)/0.9 = 1/6.
        near(table.likelihood_rows(0.1, &reading(vec![0], false))[0], 0.2);
        near(table.likelihood_rows(0.1, &reading(vec![0], true))[0], 0.7 / 6.0 + 0.3 * 0.5);
        near(table.true_shares(0.1, &table.rows[0])[1], 5.0 / 6.0);
        // A level rarer than its misreadings is never right.
        near(table.true_shares(0.5, &table.rows[0])[0], 0.0);
        near(table.likelihood_rows(0.5, &reading(vec![0], false))[0], 0.5 * 0.5);
    }
}
