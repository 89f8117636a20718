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

/// A club counts for more than this, whatever its grade.
const LEAST_WEIGHT: f64 = 1e-9;
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
        // What is left of a weight by rounding is none.
        if self.weight <= LEAST_WEIGHT {
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

#[cfg(test)]
mod tests {
    use super::*;

    const POINTS: [(f64, f64, f64); 5] =
        [(0.0, 1.0, 1.0), (1.0, 2.5, 0.5), (2.0, 2.0, 2.0), (4.0, 5.5, 1.0), (7.0, 6.0, 0.3)];

    fn sums(points: &[(f64, f64, f64)]) -> LineSums {
        let mut sums = LineSums::default();
        points.iter().for_each(|(x, y, w)| sums.add(*x, *y, *w));
        sums
    }

    /// Against the normal equations as a general-purpose library solves them.
    #[test]
    fn a_line_is_the_weighted_least_squares_of_nalgebra() {
        let line = sums(&POINTS).line();
        let root = |k: usize| POINTS[k].2.sqrt();
        let x = nalgebra::DMatrix::from_fn(5, 2, |k, j| root(k) * if j == 0 { 1.0 } else { POINTS[k].0 });
        let y = nalgebra::DVector::from_fn(5, |k, _| root(k) * POINTS[k].1);
        let solved = x.svd(true, true).solve(&y, 1e-14).unwrap();
        assert!(
            (line.at_zero - solved[0]).abs() < 1e-12 && (line.slope - solved[1]).abs() < 1e-12,
            "{line:?} {solved}"
        );
    }

    #[test]
    fn a_point_taken_out_was_never_there() {
        for (out, (x, y, w)) in POINTS.into_iter().enumerate() {
            let rest: Vec<_> = POINTS.iter().copied().enumerate().filter(|(k, _)| *k != out).map(|(_, p)| p).collect();
            let (taken, afresh) = (sums(&POINTS).without(x, y, w).line(), sums(&rest).line());
            assert!((taken.at_zero - afresh.at_zero).abs() < 1e-12 && (taken.slope - afresh.slope).abs() < 1e-12);
        }
    }

    #[test]
    fn one_place_has_no_slope_and_no_point_no_line() {
        let same = sums(&[(3.0, 1.0, 1.0), (3.0, 5.0, 3.0)]).line();
        assert!(same.slope == 0.0 && (same.at(10.0) - 4.0).abs() < 1e-12);
        assert_eq!(LineSums::default().line(), Line::default());
    }
}
