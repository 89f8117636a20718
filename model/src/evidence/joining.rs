//! How a part is joined to what it is fixed to: its own from the first, or a later one.

/// Years between a head and its own shaft, or a shaft and its own grip, with their chances: parts lie in stock.
const OWN_LAG: [f64; 3] = [0.7, 0.2, 0.1];
/// Share of replacements that are of any year whatever: an old shaft put into a newer head, a part from another club.
const ANY_YEAR: f64 = 0.03;

/// From the year of a part to that of the part fixed to it: (1 - pi) own + pi later, with the signs' likelihoods on
/// either side.
///
/// Lists by year have one more value than there are years: that of the cell after the axis. A later part is of that
/// cell with a chance of its own; what belongs to a part of the cell is of the cell itself.
#[derive(Debug, Clone)]
pub(crate) struct Joining {
    /// pi by the year of what it is fixed to; of the cell that of the last year.
    replaced: Vec<f64>,
    /// Of later parts the share that is of the cell, by the year of what they are fixed to; of the cell 1.
    after: Vec<f64>,
}

/// A joining's two ways, each the sum over years of the fixed part of its chance times something by year.
pub(crate) struct TwoWays {
    /// (1 - pi(y)) sum over own years.
    pub own: Vec<f64>,
    /// pi(y) sum over later years.
    pub later: Vec<f64>,
}

impl Joining {
    /// From the chances of a later part, and of one that is of after the axis, by the years of the axis.
    pub fn new(mut replaced: Vec<f64>, mut after: Vec<f64>) -> Self {
        replaced.push(replaced.last().copied().unwrap_or(0.5));
        after.push(1.0);
        Self { replaced, after }
    }

    /// Sums `value` over the years of the fixed part and the cell, for each year of what it is fixed to and the cell.
    #[expect(clippy::cast_precision_loss, reason = "years are few")]
    pub fn sums(&self, value: &[f64]) -> TwoWays {
        let (years, cell) = value.split_at(value.len() - 1);
        let (n, cell) = (years.len(), cell[0]);
        let total: f64 = years.iter().sum::<f64>() / n as f64;
        let mut behind = vec![0.0; n + 1];
        for y in (0..n).rev() {
            behind[y] = behind[y + 1] + years[y];
        }
        let own = |y: usize| {
            let lags = OWN_LAG.iter().enumerate().filter(|(lag, _)| y + lag < n);
            let (sum, share) = lags.fold((0.0, 0.0), |(s, w), (lag, p)| (s + p * years[y + lag], w + p));
            if y < n { sum / share } else { cell }
        };
        let later = |y: usize| {
            let from = (y + OWN_LAG.len()).min(n - 1);
            let on_axis = if y < n { behind[from] / (n - from) as f64 } else { 0.0 };
            let later = (1.0 - self.after[y]) * on_axis + self.after[y] * cell;
            (1.0 - ANY_YEAR) * later + ANY_YEAR * total
        };
        TwoWays {
            own: (0..=n).map(|y| (1.0 - self.replaced[y]) * own(y)).collect(),
            later: (0..=n).map(|y| self.replaced[y] * later(y)).collect(),
        }
    }

    /// The other direction: weights by the year of what it is fixed to, carried to the years of the fixed part, each
    /// way.
    #[expect(clippy::cast_precision_loss, reason = "years are few")]
    pub fn carried(&self, weight: &[f64], signs: [f64; 2]) -> Vec<f64> {
        let n = weight.len() - 1;
        let mut carried = vec![0.0; n + 1];
        let (mut anywhere, mut cell, mut running) = (0.0, 0.0, vec![0.0; n + 1]);
        for (y, w) in weight.iter().enumerate() {
            let own = signs[0] * w * (1.0 - self.replaced[y]);
            let later = signs[1] * w * self.replaced[y];
            if y < n {
                let lags = || OWN_LAG.iter().enumerate().filter(|(lag, _)| y + lag < n);
                let share: f64 = lags().map(|(_, p)| p).sum();
                lags().for_each(|(lag, p)| carried[y + lag] += own * p / share);
                let from = (y + OWN_LAG.len()).min(n - 1);
                running[from] += (1.0 - ANY_YEAR) * (1.0 - self.after[y]) * later / (n - from) as f64;
            } else {
                cell += own;
            }
            cell += (1.0 - ANY_YEAR) * self.after[y] * later;
            anywhere += ANY_YEAR * later / n as f64;
        }
        let mut sum = 0.0;
        for (place, value) in carried.iter_mut().take(n).enumerate() {
            sum += running[place];
            *value += sum + anywhere;
        }
        carried[n] = cell;
        carried
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn joining() -> Joining {
        Joining::new(vec![0.3; 19], (0..19).map(|y| f64::from(y) / 20.0).collect())
    }

    #[test]
    fn what_is_fixed_has_some_year() {
        let ways = joining().sums(&[1.0; 20]);
        for (own, later) in ways.own.iter().zip(&ways.later) {
            assert!((own - 0.7).abs() < 1e-12 && (later - 0.3).abs() < 1e-12);
        }
    }

    #[test]
    fn both_directions_are_one_matrix() {
        let (a, b): (Vec<f64>, Vec<f64>) =
            ((0..20).map(|y| f64::from(y % 7)).collect(), (0..20).map(|y| f64::from((y * 3) % 5)).collect());
        let ways = joining().sums(&b);
        let there: f64 =
            a.iter().zip(ways.own.iter().zip(&ways.later)).map(|(a, (o, l))| a * (2.0 * o + 0.5 * l)).sum();
        let back: f64 = joining().carried(&a, [2.0, 0.5]).iter().zip(&b).map(|(c, b)| c * b).sum();
        assert!((there - back).abs() < 1e-9, "{there} and {back}");
    }
}
