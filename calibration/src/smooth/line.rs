//! Weighted straight lines, and the same line with one point left out.

/// A straight line: value = at_zero + slope * place.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Line {
    /// Value at place 0.
    pub at_zero: f64,
    /// Change for one unit of place.
    pub slope: f64,
}

impl Line {
    /// Value at a place.
    #[must_use]
    pub fn at(&self, place: f64) -> f64 {
        self.at_zero + self.slope * place
    }
}

/// Weighted sums of points, about a fixed origin, from which a line follows; one point can be taken out again.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct LineSums {
    weight: f64,
    x: f64,
    y: f64,
    xx: f64,
    xy: f64,
}

/// Below this share of the spread of places (about their origin) the places are one.
const LEAST_SPREAD: f64 = 1e-9;

impl LineSums {
    pub fn add(&mut self, x: f64, y: f64, weight: f64) {
        self.weight += weight;
        self.x += weight * x;
        self.y += weight * y;
        self.xx += weight * x * x;
        self.xy += weight * x * y;
    }

    pub fn without(&self, x: f64, y: f64, weight: f64) -> Self {
        let mut left = *self;
        left.add(x, y, -weight);
        left
    }

    /// Least squares; level where all places are one.
    pub fn line(&self) -> Line {
        if self.weight <= 0.0 {
            return Line::default();
        }
        let (mean_x, mean_y) = (self.x / self.weight, self.y / self.weight);
        let spread = self.xx - self.weight * mean_x * mean_x;
        let slope = if spread > LEAST_SPREAD * self.xx.max(self.weight) {
            (self.xy - self.weight * mean_x * mean_y) / spread
        } else {
            0.0
        };
        Line { at_zero: mean_y - slope * mean_x, slope }
    }
}
