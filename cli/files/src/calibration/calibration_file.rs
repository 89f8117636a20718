//! All that stands in a calibration file. A new form of table has a file of its own beside this one, and its lines
//! here.

use crate::calibration::block_form::{AdjusterFile, BlockFile, BlockFiles, adjuster_files, block_files, blocks};
use crate::calibration::block_form::{Correlations, drawn_correlations, put_correlations};
use crate::calibration::level_form::{DrawnShares, LevelFile, drawn_shares, level_files, level_tables, put_shares};
use crate::calibration::mark_form::{MarkFile, mark_file, mark_use};
use crate::calibration::measured_form::{ByClue, DrawnMeasures, MeasuredFile};
use crate::calibration::measured_form::{drawn_measures, measured_files, put_measures};
use crate::calibration::parts::{AfterFile, PartsFile, PartsProblem, SignFile, parts_file, parts_model};
use crate::calibration::placed::{FileProblem, Placed, Read, placed};
use crate::calibration::prior_form::{Masses, PriorFile, drawn_masses, prior_files, priors, put_masses};
use crate::calibration::shelf_form::{ShelfFile, shelf, shelf_file};
use crate::catalogue::CatalogueFile;
use agewright_model::reading::document_path::DocumentPath;
use agewright_model::{Axis, Calibration, CalibrationContents, Catalogue, Origin, TableSet};
use indexmap::IndexMap;
use serde::{Deserialize, Serialize};

/// Version of the file's layout.
pub const SCHEMA: u32 = 1;

/// What stands in a calibration file, as serde reads and writes it.
#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CalibrationFile {
    pub schema: u32,
    pub name: String,
    pub default_prior: String,
    /// Standard deviation in years of the lead or lag that clues of fashion share.
    #[serde(default)]
    pub shared_lag: f64,
    /// Exponent of the signs of a later shaft or grip; 1 in files of earlier versions.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sign_weight: Option<f64>,
    pub origin: Origin,
    #[serde(rename = "prior", default)]
    pub priors: Vec<PriorFile>,
    #[serde(rename = "levels", default)]
    pub level_tables: Vec<LevelFile>,
    #[serde(rename = "block", default)]
    pub blocks: Vec<BlockFile>,
    #[serde(rename = "measured", default)]
    pub measured: Vec<MeasuredFile>,
    #[serde(rename = "adjuster", default)]
    pub adjusters: Vec<AdjusterFile>,
    #[serde(rename = "mark", default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<MarkFile>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub parts: Option<PartsFile>,
    #[serde(rename = "sign", default, skip_serializing_if = "Vec::is_empty")]
    pub signs: Vec<SignFile>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<AfterFile>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shelf: Option<ShelfFile>,
    pub catalogue: CatalogueFile,
    #[serde(rename = "draw", default, skip_serializing_if = "Vec::is_empty")]
    pub draws: Vec<DrawFile>,
}

/// Tables fitted on resampled clubs: only what differs from the tables before them.
#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct DrawFile {
    shares: DrawnShares,
    means: ByClue,
    spreads: ByClue,
    clubs: ByClue,
    correlations: Correlations,
    priors: Masses,
}

impl DrawFile {
    fn of(draw: &TableSet) -> Self {
        let DrawnMeasures { means, spreads, clubs } = drawn_measures(draw);
        Self {
            shares: drawn_shares(draw),
            means,
            spreads,
            clubs,
            correlations: drawn_correlations(draw),
            priors: drawn_masses(draw),
        }
    }

    /// The tables that this draw makes of those of the whole fit; what it lacks is `Err` with the clue's, part's or
    /// prior's name.
    fn applied_to(&self, axis: Axis, whole: &TableSet) -> Result<TableSet, String> {
        let mut draw = whole.clone();
        put_shares(&self.shares, &mut draw)?;
        put_measures([&self.means, &self.spreads, &self.clubs], &mut draw)?;
        put_correlations(&self.correlations, &mut draw)?;
        put_masses(axis, &self.priors, &mut draw)?;
        Ok(draw)
    }
}

impl CalibrationFile {
    /// A calibration as its file has it: numbers to six digits, shares summing to 1.
    pub fn of(calibration: &Calibration) -> Self {
        let (catalogue, tables) = (calibration.catalogue(), calibration.tables());
        let parts = calibration.parts_model().map(|model| parts_file(catalogue, model));
        let (parts, signs, after) =
            parts.map_or((None, Vec::new(), None), |(parts, signs, after)| (Some(parts), signs, after));
        Self {
            schema: SCHEMA,
            name: calibration.name().to_owned(),
            default_prior: calibration.default_prior().to_owned(),
            shared_lag: calibration.shared_lag(),
            sign_weight: calibration.parts_model().map(|model| model.sign_weight),
            origin: calibration.origin().clone(),
            priors: prior_files(tables),
            level_tables: level_files(catalogue, tables),
            blocks: block_files(tables),
            measured: measured_files(catalogue, tables),
            adjusters: adjuster_files(catalogue, tables),
            marks: calibration.marks().iter().map(mark_file).collect(),
            parts,
            signs,
            after,
            shelf: calibration.shelf().map(|shelf| shelf_file(catalogue, shelf)),
            catalogue: CatalogueFile::of(catalogue),
            draws: calibration.draws().iter().map(DrawFile::of).collect(),
        }
    }

    /// The lists that blocks are made of.
    pub fn block_files(&self) -> BlockFiles<'_> {
        BlockFiles { blocks: &self.blocks, measured: &self.measured, adjusters: &self.adjusters }
    }

    /// Whether tables give chances of misreading of their own, as those of earlier versions do.
    pub fn is_of_older_layout(&self) -> bool {
        let tables = self.level_tables.iter().map(|table| table.misread);
        tables.chain(self.measured.iter().map(|table| table.misread)).any(|misread| misread.is_some())
    }

    /// What the file says, before it is checked as a whole.
    pub fn contents(self) -> Read<CalibrationContents> {
        let catalogue = self.catalogue.clone().catalogue().map_err(|error| Placed {
            message: error.to_string(),
            path: error.path.within(DocumentPath::key("catalogue")),
        })?;
        let catalogue = self.with_misread_of_tables(catalogue)?;
        let tables = TableSet {
            levels: level_tables(&catalogue, &self.level_tables)?,
            blocks: blocks(&catalogue, &self.block_files())?,
            priors: priors(&catalogue, &self.priors)?,
        };
        let refused = |path: DocumentPath, problem: &PartsProblem| Placed { path, message: problem.to_string() };
        let parts = self
            .parts
            .as_ref()
            .map(|parts| parts_model(&catalogue, parts, &self.signs, self.after.as_ref()))
            .transpose();
        let mut parts = parts.map_err(|error| refused(error.path, &error.problem))?;
        if let Some((parts, weight)) = parts.as_mut().zip(self.sign_weight) {
            parts.sign_weight = weight;
        }
        if parts.is_none() && self.after.is_some() {
            return Err(placed(DocumentPath::key("after"), FileProblem::LoneAfter));
        }
        if parts.is_none() && !self.signs.is_empty() {
            return Err(placed(DocumentPath::key("sign").at(0), FileProblem::LoneSigns));
        }
        let draw = |(place, draw): (usize, &DrawFile)| {
            let path = DocumentPath::key("draw").at(place);
            draw.applied_to(catalogue.axis(), &tables).map_err(|what| placed(path, FileProblem::Draw(what)))
        };
        Ok(CalibrationContents {
            draws: self.draws.iter().enumerate().map(draw).collect::<Read<_>>()?,
            name: self.name,
            origin: self.origin,
            default_prior: self.default_prior,
            shared_lag: self.shared_lag,
            marks: self.marks.into_iter().map(mark_use).collect(),
            parts,
            shelf: self.shelf.as_ref().map(|file| shelf(&catalogue, file)).transpose()?,
            catalogue,
            tables,
        })
    }

    /// Files of earlier versions give each table a chance of misreading of its own, which then counts.
    fn with_misread_of_tables(&self, catalogue: Catalogue) -> Read<Catalogue> {
        let levels = self.level_tables.iter().enumerate().map(|(ix, table)| ("levels", ix, &table.clue, table.misread));
        let measured = self.measured.iter().enumerate().map(|(ix, table)| ("measured", ix, &table.clue, table.misread));
        let mut given: IndexMap<&str, f64> = IndexMap::new();
        for (list, ix, clue, misread) in levels.chain(measured) {
            let Some(misread) = misread else { continue };
            if !(0.0..1.0).contains(&misread) {
                let path = DocumentPath::key(list).at(ix).then("misread");
                return Err(placed(path, FileProblem::Misread { clue: clue.clone(), misread }));
            }
            given.insert(clue, misread);
        }
        let changed = catalogue.with_misread(|clue| given.get(clue.id.as_str()).copied().unwrap_or(clue.misread));
        changed.map_err(|error| Placed {
            message: error.to_string(),
            path: error.path.within(DocumentPath::key("catalogue")),
        })
    }
}
