//! How many of a collection's clubs were made in a decade.

use crate::numbers::axis::Axis;

/// A number of clubs that is not known for sure.
///
/// ```
/// use agewright_model::questions::counts_by_decade::UncertainCount;
///
/// // Two clubs, each as likely as not: none, one or both in 1, 2 and 1 of 4 cases.
/// assert_eq!(UncertainCount::of([0.5, 0.5]).chance, [0.25, 0.5, 0.25]);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct UncertainCount {
    /// Chance of each number, from 0 to the number of clubs; sums to 1.
    pub chance: Vec<f64>,
}

impl UncertainCount {
    /// The number of successes among independent trials of these chances (the Poisson-binomial distribution), by adding
    /// one trial at a time.
    ///
    /// Source: Y. H. Wang, On the number of successes in independent trials, 1993 (definition; from memory).
    #[must_use]
    pub fn of(chances: impl IntoIterator<Item = f64>) -> Self {
        let mut chance = vec![1.0];
        for p in chances {
            let p = p.clamp(0.0, 1.0);
            chance.push(0.0);
            for k in (0..chance.len()).rev() {
                chance[k] = chance[k] * (1.0 - p) + if k > 0 { chance[k - 1] * p } else { 0.0 };
            }
        }
        Self { chance }
    }

    /// Mean number.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "clubs are counted in thousands")]
    pub fn mean(&self) -> f64 {
        self.chance.iter().enumerate().map(|(k, p)| k as f64 * p).sum()
    }

    /// The shortest run of numbers with at least `level` of the chance; of several the lowest.
    #[must_use]
    pub fn band(&self, level: f64) -> (usize, usize) {
        let mut best = (0, self.chance.len() - 1);
        let (mut from, mut sum) = (0, 0.0);
        for (to, p) in self.chance.iter().enumerate() {
            sum += p;
            while sum - self.chance[from] >= level - 1e-12 && from < to {
                sum -= self.chance[from];
                from += 1;
            }
            if sum >= level - 1e-12 && to - from < best.1 - best.0 {
                best = (from, to);
            }
        }
        best
    }

    /// Chance of one or more.
    #[must_use]
    pub fn at_least_one(&self) -> f64 {
        (1.0 - self.chance[0]).clamp(0.0, 1.0)
    }
}

/// Number of clubs made in one row of years.
#[derive(Debug, Clone, PartialEq)]
pub struct RowCount {
    /// First year of the row.
    pub from: i32,
    /// Last year of the row.
    pub to: i32,
    /// The number.
    pub count: UncertainCount,
}

/// Number of clubs made in each row of an axis, from each club's probabilities by year, taken as independent.
#[must_use]
pub fn counts_by_row(axis: Axis, probabilities: &[Vec<f64>]) -> Vec<RowCount> {
    let row = |row: usize| {
        let (from, to) = axis.row_years(row);
        let years = axis.year_ix(from).zip(axis.year_ix(to));
        let chance = |by_year: &Vec<f64>| years.map_or(0.0, |(a, b)| by_year[a..=b].iter().sum());
        RowCount { from, to, count: UncertainCount::of(probabilities.iter().map(chance)) }
    };
    (0..axis.n_rows()).map(row).collect()
}

/// A row within a collection's span that holds no club with at least this chance is thin.
pub const THIN_CHANCE: f64 = 0.2;

/// Places of the thin rows: between the first and the last row that hold a club more likely than not, those with a
/// chance of at least [`THIN_CHANCE`] to hold none.
#[must_use]
pub fn thin_rows(rows: &[RowCount]) -> Vec<usize> {
    let holds = |row: &RowCount| row.count.at_least_one() > 0.5;
    let first = rows.iter().position(holds).unwrap_or(rows.len());
    let end = rows.iter().rposition(holds).map_or(0, |last| last + 1);
    (first..end).filter(|&ix| 1.0 - rows[ix].count.at_least_one() >= THIN_CHANCE).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_even_chances_are_a_binomial() {
        let count = UncertainCount::of([0.5; 3]);
        for (got, want) in count.chance.iter().zip([0.125, 0.375, 0.375, 0.125]) {
            assert!((got - want).abs() < 1e-15);
        }
        assert!((count.mean() - 1.5).abs() < 1e-15);
        assert_eq!((count.band(0.7), count.band(0.8)), ((1, 2), (0, 2)));
    }

    #[test]
    fn sure_clubs_are_counted_and_none_is_none() {
        assert_eq!(UncertainCount::of([1.0, 1.0, 0.0]).band(0.8), (2, 2));
        let none = UncertainCount::of([]);
        assert_eq!((none.band(0.95), none.at_least_one()), ((0, 0), 0.0));
    }

    #[test]
    fn a_gap_between_clubs_is_thin_and_the_years_beyond_them_are_not() {
        let axis = Axis::new(1800, 1850, 10).unwrap();
        let sure = |year: i32| axis.years().map(|y| f64::from(u8::from(y == year))).collect::<Vec<f64>>();
        let rows = counts_by_row(axis, &[sure(1812), sure(1835), sure(1838)]);
        assert_eq!(rows.iter().map(|row| row.count.band(0.8).0).collect::<Vec<_>>(), [0, 1, 0, 2, 0]);
        assert_eq!(thin_rows(&rows), [2]);
    }
}
