//! How tables are fitted: the model's own way, or plainer ones to check it against textbooks.

/// Choices of a fit that are not data. The default is the model; change it only to compare.
#[derive(Debug, Clone, PartialEq)]
pub struct FitMethod {
    /// Kernel widths averaged over, in steps of the axis.
    pub bandwidths: Vec<f64>,
    /// Clubs that the straight line of a measured clue counts for beside the residuals near a row.
    pub line_worth: f64,
    /// Measured clues as textbooks have them: residuals of the sample itself, correlation as it comes, tables taken as
    /// known exactly, normal in place of t.
    pub plug_in: bool,
    /// Exponent of every clue, in place of fitted ones.
    pub weights: Option<f64>,
    /// Standard deviation in years of the lead or lag that the clues of fashion of a club share, in place of the fitted
    /// one; where `weights` is given and this is not, none.
    pub lag: Option<f64>,
    /// Whether the dated clubs are kept as a shelf, and vote beside the tables; where `weights` is given they do not.
    pub shelf: bool,
    /// Beside a shelf exponents are fitted on the evidence on so many clubs at the most, evenly spaced in the order of
    /// their dates: each hears the votes of all others.
    pub most_weighed: usize,
    /// Share of the prior as collected that is spread over all years alike, 0 to 1: a club that is no club of the
    /// collection may be of any year.
    pub flat_share: f64,
    /// Least chance of misreading.
    pub least_misread: f64,
}

impl Default for FitMethod {
    fn default() -> Self {
        Self {
            bandwidths: vec![0.5, 1.0, 1.5, 2.5, 4.0, 6.5, 15.0],
            line_worth: 8.0,
            plug_in: false,
            weights: None,
            lag: None,
            shelf: true,
            most_weighed: 5000,
            flat_share: 0.2,
            least_misread: agewright_model::reading::misread::LEAST_MISREAD,
        }
    }
}

impl FitMethod {
    /// Whether a fit on clubs keeps them as a shelf.
    #[must_use]
    pub fn keeps_shelf(&self) -> bool {
        self.shelf && self.weights.is_none()
    }

    /// Discriminant analysis with one normal class a row: no smoothing over years, no line, no shrinkage, no
    /// misreading, exponents 1.
    #[must_use]
    pub fn discriminant_analysis() -> Self {
        Self {
            bandwidths: vec![1e-3],
            line_worth: 0.0,
            plug_in: true,
            weights: Some(1.0),
            lag: Some(0.0),
            shelf: false,
            most_weighed: 0,
            flat_share: 0.0,
            least_misread: 0.0,
        }
    }
}
