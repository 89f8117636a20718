//! A calibration as its file has it: numbers to six digits, shares summing to 1.

use crate::calibration::document::layout;
use crate::calibration::draws::DrawFile;
use crate::calibration::layout::{
    AdjusterFile, BlockFile, CalibrationFile, ExpectedFile, LevelFile, LevelRowFile, MarkFile, MeasuredFile,
    MeasuredRowFile, PriorFile, PriorRowFile, ShiftFile,
};
use crate::calibration::parts::parts_file;
use crate::calibration::reading::SCHEMA;
use crate::calibration::tidy::{by_level, tidy, tidy_shares};
use crate::catalogue::CatalogueFile;
use crate::problem::WritingError;
use agewright_model::tables::level_table::{LevelRow, LevelTable};
use agewright_model::tables::mark_use::MarkUse;
use agewright_model::tables::measured_block::{LevelAdjuster, MeasuredBlock, MeasuredTable};
use agewright_model::{Axis, Calibration, Clue, Prior};

fn to_file(calibration: &Calibration) -> CalibrationFile {
    let (catalogue, tables) = (calibration.catalogue(), calibration.tables());
    let axis = catalogue.axis();
    let own_priors = tables.priors.iter().filter(|prior| prior.name != Prior::FLAT);
    let level_tables =
        tables.levels.iter().filter_map(|table| Some(level_file(axis, table, catalogue.clue(&table.clue)?)));
    let measured = tables.blocks.iter().flat_map(|block| &block.clues);
    let measured = measured.filter_map(|table| Some(measured_file(axis, table, catalogue.clue(&table.clue)?)));
    let (parts, signs) = calibration
        .parts_model()
        .map(|model| parts_file(catalogue, model))
        .map_or((None, Vec::new()), |(parts, signs)| (Some(parts), signs));
    CalibrationFile {
        schema: SCHEMA,
        name: calibration.name().to_owned(),
        default_prior: calibration.default_prior().to_owned(),
        origin: calibration.origin().clone(),
        priors: own_priors.map(prior_file).collect(),
        level_tables: level_tables.collect(),
        blocks: tables.blocks.iter().map(block_file).collect(),
        measured: measured.collect(),
        adjusters: tables.blocks.iter().flat_map(|block| adjuster_files(calibration, block)).collect(),
        marks: calibration.marks().iter().map(mark_file).collect(),
        parts,
        signs,
        catalogue: CatalogueFile::of(catalogue),
        draws: calibration.draws().iter().map(DrawFile::of).collect(),
    }
}

fn prior_file(prior: &Prior) -> PriorFile {
    let row =
        |r: &agewright_model::tables::prior::PriorRow| PriorRowFile { from: r.from, to: r.to, mass: tidy(r.mass) };
    PriorFile {
        name: prior.name.clone(),
        spread: prior.spread.into(),
        about: prior.about.clone(),
        for_collections: prior.for_collections,
        rows: prior.rows.iter().map(row).collect(),
    }
}

fn level_file(axis: Axis, table: &LevelTable, clue: &Clue) -> LevelFile {
    LevelFile {
        clue: table.clue.clone(),
        clubs: table.clubs,
        bandwidth: tidy(table.bandwidth),
        misread: None,
        weight: tidy(table.weight),
        overall: tidy_shares(clue, &table.overall),
        rows: (0..).zip(&table.rows).map(|(r, row)| level_row(axis, r, row, clue)).collect(),
    }
}

fn block_file(block: &MeasuredBlock) -> BlockFile {
    BlockFile {
        part: block.part,
        degrees_of_freedom: block.degrees_of_freedom,
        weight: tidy(block.weight),
        clues: block.clues.iter().map(|table| table.clue.clone()).collect(),
        correlation: block.correlation.iter().map(|row| row.iter().map(|r| tidy(*r)).collect()).collect(),
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
    let catalogue = calibration.catalogue();
    let file = |adjuster: &LevelAdjuster| {
        let clue = catalogue.clue(&adjuster.clue)?;
        let numbers = |values: &[f64]| by_level(clue, values.iter().copied());
        let shifts = block.clues.iter().zip(&adjuster.shifts).zip(&adjuster.centred);
        let rows = adjuster.expected.iter().enumerate().map(|(row, shares)| {
            let (from, to) = catalogue.axis().row_years(row);
            ExpectedFile { from, to, shares: numbers(shares) }
        });
        Some(AdjusterFile {
            part: block.part,
            clue: adjuster.clue.clone(),
            shifts: shifts
                .map(|((table, by), &centred)| ShiftFile { on: table.clue.clone(), centred, by: numbers(by) })
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

fn measured_file(axis: Axis, table: &MeasuredTable, clue: &Clue) -> MeasuredFile {
    let scale = clue.scale;
    let rows = (0..).zip(&table.rows).map(|(row_ix, row)| {
        let (from, to) = axis.row_years(row_ix);
        MeasuredRowFile { from, to, clubs: tidy(row.clubs), mean: tidy(scale.measure(row.mean)), sd: tidy(row.sd) }
    });
    MeasuredFile {
        clue: table.clue.clone(),
        clubs: table.clubs,
        bandwidth: tidy(table.bandwidth),
        misread: None,
        overall_mean: tidy(scale.measure(table.overall_mean)),
        overall_sd: tidy(table.overall_sd),
        rows: rows.collect(),
    }
}

/// The text of a calibration file, which [`LoadedCalibration::read`] reads again.
///
/// [`LoadedCalibration::read`]: crate::LoadedCalibration::read
///
/// # Errors
/// [`WritingError`] where it cannot be written as TOML; there should be no such calibration.
///
/// ```
/// use agewright_files::{LoadedCalibration, SourceText, built_in, calibration_text};
///
/// let calibration = built_in().unwrap().calibration;
/// let text = calibration_text(&calibration).unwrap();
/// let again = LoadedCalibration::read(&SourceText::new("again.toml", &text)).unwrap();
/// assert_eq!(again.calibration, calibration);
/// ```
pub fn calibration_text(calibration: &Calibration) -> Result<String, WritingError> {
    let document = toml_edit::ser::to_document(&to_file(calibration))
        .map_err(|error| WritingError { what: "the calibration", why: error.to_string() })?;
    Ok(layout(document))
}
