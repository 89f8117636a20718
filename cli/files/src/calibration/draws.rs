//! Fits on resampled clubs, kept at the end of a calibration file: only what differs from the tables before them.

use crate::calibration::tidy::tidy;
use agewright_model::tables::prior::{PriorRow, Spread};
use agewright_model::{Axis, Part, Prior, TableSet};
use indexmap::IndexMap;
use serde::{Deserialize, Serialize};

/// One draw: by clue its shares (a list for each row), means on the clue's own scale, spreads; by part correlations; by
/// prior its masses.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DrawFile {
    shares: IndexMap<String, Vec<Vec<f64>>>,
    means: IndexMap<String, Vec<f64>>,
    spreads: IndexMap<String, Vec<f64>>,
    clubs: IndexMap<String, Vec<f64>>,
    correlations: IndexMap<String, Vec<Vec<f64>>>,
    priors: IndexMap<String, Vec<f64>>,
}

fn numbers(values: impl Iterator<Item = f64>) -> Vec<f64> {
    values.map(tidy).collect()
}

impl DrawFile {
    pub fn of(draw: &TableSet) -> Self {
        let tables = || draw.blocks.iter().flat_map(|block| &block.clues);
        let levels = draw.levels.iter();
        let linear = draw.priors.iter().filter(|prior| prior.spread == Spread::Linear);
        Self {
            shares: levels
                .map(|t| (t.clue.clone(), t.rows.iter().map(|row| numbers(row.shares.iter().copied())).collect()))
                .collect(),
            means: tables().map(|t| (t.clue.clone(), numbers(t.rows.iter().map(|row| row.mean)))).collect(),
            spreads: tables().map(|t| (t.clue.clone(), numbers(t.rows.iter().map(|row| row.sd)))).collect(),
            clubs: tables().map(|t| (t.clue.clone(), numbers(t.rows.iter().map(|row| row.clubs)))).collect(),
            correlations: draw
                .blocks
                .iter()
                .map(|block| {
                    let rows = block.correlation.iter().map(|row| numbers(row.iter().copied())).collect();
                    (block.part.word().to_owned(), rows)
                })
                .collect(),
            priors: linear.map(|p| (p.name.clone(), numbers(p.rows.iter().map(|row| row.mass)))).collect(),
        }
    }

    /// The tables that this draw makes of those of the whole fit; what it lacks is `Err` with the clue's or part's
    /// name.
    pub fn applied_to(&self, axis: Axis, whole: &TableSet) -> Result<TableSet, String> {
        let mut draw = whole.clone();
        for table in &mut draw.levels {
            let rows = self.shares.get(&table.clue).filter(|rows| rows.len() == table.rows.len());
            let rows = rows.ok_or_else(|| table.clue.clone())?;
            for (row, shares) in table.rows.iter_mut().zip(rows) {
                row.shares.clone_from(shares);
                // Rounding to six digits is no edit.
                let sum: f64 = row.shares.iter().sum();
                if (sum - 1.0).abs() < 1e-4 {
                    row.shares.iter_mut().for_each(|share| *share /= sum);
                }
            }
        }
        for block in &mut draw.blocks {
            for table in &mut block.clues {
                let of = |numbers: &IndexMap<String, Vec<f64>>| {
                    let rows = numbers.get(&table.clue).filter(|rows| rows.len() == table.rows.len());
                    rows.cloned().ok_or_else(|| table.clue.clone())
                };
                let (means, spreads, clubs) = (of(&self.means)?, of(&self.spreads)?, of(&self.clubs)?);
                for (r, row) in table.rows.iter_mut().enumerate() {
                    (row.mean, row.sd, row.clubs) = (means[r], spreads[r], clubs[r]);
                }
            }
            block.correlation = self.correlation(block.part)?;
        }
        for prior in &mut draw.priors {
            if let Some(masses) = self.priors.get(&prior.name).filter(|masses| masses.len() == prior.rows.len()) {
                let rows = prior.rows.iter().zip(masses).map(|(row, &mass)| PriorRow { mass, ..*row }).collect();
                let drawn = Prior::from_rows(axis, &prior.name, prior.spread, rows).map_err(|_| prior.name.clone())?;
                *prior = drawn.described(&prior.about, prior.for_collections);
            }
        }
        Ok(draw)
    }

    fn correlation(&self, part: Part) -> Result<Vec<Vec<f64>>, String> {
        self.correlations.get(part.word()).cloned().ok_or_else(|| part.word().to_owned())
    }
}
