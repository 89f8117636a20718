//! What goes into a calibration, before it is checked.

use crate::reading::catalogue::Catalogue;
use crate::tables::mark_use::MarkUse;
use crate::tables::origin::Origin;
use crate::tables::replacement::PartsModel;
use crate::tables::shelf::Shelf;
use crate::tables::table_set::TableSet;

/// All that a calibration is made of, to be filled and changed freely; [`Calibration::new`] checks it.
///
/// [`Calibration::new`]: crate::Calibration::new
#[derive(Debug, Clone, PartialEq)]
pub struct CalibrationContents {
    /// Name, shown with every answer.
    pub name: String,
    /// The catalogue it was fitted with.
    pub catalogue: Catalogue,
    /// Where it came from.
    pub origin: Origin,
    /// The fitted tables; `flat` is added to the priors where it is not among them.
    pub tables: TableSet,
    /// The dated clubs themselves, where they are kept beside the tables.
    pub shelf: Option<Shelf>,
    /// Years of use of the marks.
    pub marks: Vec<MarkUse>,
    /// How shaft and grip belong to the head, where rules say it; without it each part is dated by itself.
    pub parts: Option<PartsModel>,
    /// Standard deviation in years of the lead or lag that all clues of fashion of a club share; 0 for none.
    pub shared_lag: f64,
    /// Name of the prior that is used when none is asked for.
    pub default_prior: String,
    /// The tables fitted on resampled clubs; often none.
    pub draws: Vec<TableSet>,
}
