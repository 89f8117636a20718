//! Linear between points, constant outside: the one interpolation of the house.

/// Two places that something stands between, and the share of the later one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Blend {
    /// Place at or before it.
    pub low: usize,
    /// Place after it (the same as `low` beyond the outer ones).
    pub high: usize,
    /// Share of `high`, 0 to 1; `low` has the rest.
    pub high_share: f64,
}

impl Blend {
    /// Just one place.
    #[must_use]
    pub fn at(place: usize) -> Self {
        Self { low: place, high: place, high_share: 0.0 }
    }

    /// Where `at` stands among places in rising order; `None` for no place.
    #[must_use]
    pub fn among(places: impl ExactSizeIterator<Item = f64> + Clone, at: f64) -> Option<Self> {
        let last = places.len().checked_sub(1)?;
        let Some(next) = places.clone().position(|place| place > at) else { return Some(Self::at(last)) };
        let Some(low) = next.checked_sub(1) else { return Some(Self::at(0)) };
        let mut two = places.skip(low);
        let (below, above) = two.next().zip(two.next())?;
        Some(Self { low, high: next, high_share: (at - below) / (above - below) })
    }

    /// Value there: (1 - share) value(low) + share value(high).
    #[must_use]
    pub fn of(&self, value: impl Fn(usize) -> f64) -> f64 {
        value(self.low) * (1.0 - self.high_share) + value(self.high) * self.high_share
    }
}

/// Value at a place, linear between points in rising order of their places and constant outside; `None` for no point.
///
/// ```
/// use agewright_model::numbers::between::between;
///
/// let points = [(1850.0, 0.5), (1900.0, 0.3)];
/// assert_eq!(between(&points, 1875.0, |chance| *chance), Some(0.4));
/// assert_eq!(between(&points, 1950.0, |chance| *chance), Some(0.3));
/// ```
#[must_use]
pub fn between<T>(points: &[(f64, T)], at: f64, value: impl Fn(&T) -> f64) -> Option<f64> {
    let blend = Blend::among(points.iter().map(|point| point.0), at)?;
    Some(blend.of(|ix| value(&points[ix].1)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_linear_between_points_and_constant_outside() {
        let points = [(0.0, 1.0), (10.0, 3.0), (14.0, 5.0)];
        let at = |place: f64| between(&points, place, |v| *v).unwrap();
        let got = [-5.0, 0.0, 5.0, 10.0, 11.0, 14.0, 99.0].map(at);
        let want = [1.0, 1.0, 2.0, 3.0, 3.5, 5.0, 5.0];
        assert!(got.iter().zip(want).all(|(g, w)| (g - w).abs() < 1e-12), "{got:?}");
        assert_eq!(between(&[], 1.0, |v: &f64| *v), None);
        assert_eq!(between(&[(3.0, 7.0)], 1.0, |v| *v), Some(7.0));
    }
}
