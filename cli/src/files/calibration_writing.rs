//! A calibration as its file has it: numbers to six digits, shares summing to 1.

use super::calibration_document::layout;
use super::calibration_file::{
    AdjusterFile, BlockFile, CalibrationFile, ExpectedFile, LevelFile, LevelRowFile, MarkFile, MeasuredFile,
    MeasuredRowFile, PriorFile, PriorRowFile, ShiftFile, SpreadFile,
};
use super::calibration_toml::SCHEMA;
use super::draw_toml::DrawFile;
use super::parts_toml::parts_file;
use crate::failure::Failure;
use agewright_model::{
    Axis, Calibration, Clue, LevelAdjuster, LevelRow, MarkUse, MeasuredBlock, MeasuredTable, Prior, Scale, Spread,
};
use indexmap::IndexMap;

/// A number to six significant digits.
pub fn tidy(value: f64) -> f64 {
    format!("{value:.5e}").parse().unwrap_or(value)
}

/// Shares to six significant digits, by level id in catalogue order; the largest takes the rounding, so that the sum is 1.
fn tidy_shares(clue: &Clue, shares: &[f64]) -> IndexMap<String, f64> {
    let mut tidied: Vec<f64> = shares.iter().map(|share| tidy(*share)).collect();
    let largest = (0..tidied.len()).max_by(|a, b| tidied[*a].total_cmp(&tidied[*b])).unwrap_or(0);
    let others: f64 = tidied.iter().enumerate().filter(|(k, _)| *k != largest).map(|(_, share)| share).sum();
    tidied[largest] = ((1.0 - others) * 1e9).round() / 1e9;
    clue.levels.iter().map(|level| level.id.clone()).zip(tidied).collect()
}

fn to_file(calibration: &Calibration) -> CalibrationFile {
    let axis = calibration.catalogue.axis;
    let clue = |id: &str| calibration.catalogue.clues.iter().find(|clue| clue.id == id);
    let priors = calibration.priors.iter().filter(|prior| prior.name != Prior::FLAT).map(|prior| PriorFile {
        name: prior.name.clone(),
        spread: match prior.spread {
            Spread::Even => SpreadFile::Even,
            Spread::Linear => SpreadFile::Linear,
            Spread::Smooth => SpreadFile::Smooth,
        },
        rows: prior.rows.iter().map(|r| PriorRowFile { from: r.from, to: r.to, mass: tidy(r.mass) }).collect(),
    });
    let level_tables = calibration.level_tables.iter().filter_map(|table| Some((table, clue(&table.clue)?)));
    let level_tables = level_tables.map(|(table, clue)| LevelFile {
        clue: table.clue.clone(),
        clubs: table.clubs,
        bandwidth: tidy(table.bandwidth),
        misread: table.misread,
        weight: tidy(table.weight),
        overall: tidy_shares(clue, &table.overall),
        rows: (0..).zip(&table.rows).map(|(r, row)| level_row(axis, r, row, clue)).collect(),
    });
    let tables = calibration.blocks.iter().flat_map(|block| &block.clues);
    let blocks = calibration.blocks.iter().map(|block| BlockFile {
        part: block.part,
        degrees_of_freedom: block.degrees_of_freedom,
        weight: tidy(block.weight),
        clues: block.clues.iter().map(|table| table.clue.clone()).collect(),
        correlation: block.correlation.iter().map(|row| row.iter().map(|r| tidy(*r)).collect()).collect(),
    });
    let (parts, signs) = calibration
        .parts
        .as_ref()
        .map(|model| parts_file(&calibration.catalogue, model))
        .map_or((None, Vec::new()), |(parts, signs)| (Some(parts), signs));
    CalibrationFile {
        schema: SCHEMA,
        name: calibration.name.clone(),
        default_prior: calibration.default_prior.clone(),
        origin: calibration.origin.clone(),
        priors: priors.collect(),
        level_tables: level_tables.collect(),
        blocks: blocks.collect(),
        measured: tables.map(|table| measured_file(axis, table)).collect(),
        adjusters: calibration.blocks.iter().flat_map(|block| adjuster_files(calibration, block)).collect(),
        marks: calibration.marks.iter().map(mark_file).collect(),
        parts,
        signs,
        catalogue: calibration.catalogue.clone(),
        draws: calibration.draws.iter().map(DrawFile::of).collect(),
    }
}

fn mark_file(mark: &MarkUse) -> MarkFile {
    MarkFile {
        clue: mark.clue.clone(),
        mark: mark.mark.clone(),
        used_from: mark.used_from,
        used_to: mark.used_to,
        fade: mark.fade,
        leak: mark.leak,
        source: mark.source.clone(),
        standing: mark.standing.clone(),
    }
}

fn adjuster_files(calibration: &Calibration, block: &MeasuredBlock) -> Vec<AdjusterFile> {
    let axis = calibration.catalogue.axis;
    let numbers = |clue: &Clue, values: &[f64]| -> IndexMap<String, f64> {
        clue.levels.iter().map(|level| level.id.clone()).zip(values.iter().map(|v| tidy(*v))).collect()
    };
    let file = |adjuster: &LevelAdjuster| {
        let clue = calibration.catalogue.clues.iter().find(|clue| clue.id == adjuster.clue)?;
        let shifts = block.clues.iter().zip(&adjuster.shifts).zip(&adjuster.centred);
        let rows = adjuster.expected.iter().enumerate().map(|(row, shares)| {
            let (from, to) = axis.row_years(row);
            ExpectedFile { from, to, shares: numbers(clue, shares) }
        });
        Some(AdjusterFile {
            part: block.part,
            clue: adjuster.clue.clone(),
            shifts: shifts
                .map(|((table, by), &centred)| ShiftFile { on: table.clue.clone(), centred, by: numbers(clue, by) })
                .collect(),
            rows: rows.collect(),
        })
    };
    block.adjusters.iter().filter_map(file).collect()
}

fn level_row(axis: Axis, row_ix: usize, row: &LevelRow, clue: &Clue) -> LevelRowFile {
    let (from, to) = axis.row_years(row_ix);
    LevelRowFile { from, to, clubs: tidy(row.clubs), shares: tidy_shares(clue, &row.shares) }
}

fn measured_file(axis: Axis, table: &MeasuredTable) -> MeasuredFile {
    let scale: Scale = table.scale;
    let rows = (0..).zip(&table.rows).map(|(row_ix, row)| {
        let (from, to) = axis.row_years(row_ix);
        MeasuredRowFile { from, to, clubs: tidy(row.clubs), mean: tidy(scale.measure(row.mean)), sd: tidy(row.sd) }
    });
    MeasuredFile {
        clue: table.clue.clone(),
        clubs: table.clubs,
        bandwidth: tidy(table.bandwidth),
        misread: table.misread,
        overall_mean: tidy(scale.measure(table.overall_mean)),
        overall_sd: tidy(table.overall_sd),
        rows: rows.collect(),
    }
}

/// The text of a calibration file.
pub fn calibration_text(calibration: &Calibration) -> Result<String, Failure> {
    let document = toml_edit::ser::to_document(&to_file(calibration))
        .map_err(|error| Failure::Failed(format!("the calibration cannot be written as TOML: {error}")))?;
    Ok(layout(document))
}
