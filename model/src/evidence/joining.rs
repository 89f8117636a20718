//! How a part is joined to what it is fixed to: its own from the first, or a later one.

/// Years between a head and its own shaft, or a shaft and its own grip, with their chances: parts lie in stock.
const OWN_LAG: [f64; 3] = [0.7, 0.2, 0.1];
/// Share of replacements that are of any year whatever: an old shaft put into a newer head, a part from another club.
const ANY_YEAR: f64 = 0.03;

/// From the year of a part to that of the part fixed to it: (1 - pi) own + pi later, with the signs' likelihoods on
/// either side.
#[derive(Debug, Clone)]
pub(crate) struct Joining {
    /// pi by the year of what it is fixed to.
    pub replaced: Vec<f64>,
}

/// A joining's two ways, each the sum over years of the fixed part of its chance times something by year.
pub(crate) struct TwoWays {
    /// (1 - pi(y)) sum over own years.
    pub own: Vec<f64>,
    /// pi(y) sum over later years.
    pub later: Vec<f64>,
}

impl Joining {
    /// Sums `value` over the years of the fixed part, for each year of what it is fixed to.
    #[expect(clippy::cast_precision_loss, reason = "years are few")]
    pub fn sums(&self, value: &[f64]) -> TwoWays {
        let n = value.len();
        let total: f64 = value.iter().sum::<f64>() / n as f64;
        let mut after = vec![0.0; n + 1];
        for y in (0..n).rev() {
            after[y] = after[y + 1] + value[y];
        }
        let own = |y: usize| {
            let lags = OWN_LAG.iter().enumerate().filter(|(lag, _)| y + lag < n);
            let (sum, share) = lags.fold((0.0, 0.0), |(s, w), (lag, p)| (s + p * value[y + lag], w + p));
            sum / share
        };
        let later = |y: usize| {
            let from = (y + OWN_LAG.len()).min(n - 1);
            (1.0 - ANY_YEAR) * after[from] / (n - from) as f64 + ANY_YEAR * total
        };
        TwoWays {
            own: (0..n).map(|y| (1.0 - self.replaced[y]) * own(y)).collect(),
            later: (0..n).map(|y| self.replaced[y] * later(y)).collect(),
        }
    }

    /// The other direction: weights by the year of what it is fixed to, carried to the years of the fixed part, each
    /// way.
    #[expect(clippy::cast_precision_loss, reason = "years are few")]
    pub fn carried(&self, weight: &[f64], signs: [f64; 2]) -> Vec<f64> {
        let n = weight.len();
        let mut carried = vec![0.0; n];
        let (mut anywhere, mut running) = (0.0, vec![0.0; n + 1]);
        for (y, w) in weight.iter().enumerate() {
            let own = signs[0] * w * (1.0 - self.replaced[y]);
            let share: f64 = OWN_LAG.iter().enumerate().filter(|(lag, _)| y + lag < n).map(|(_, p)| p).sum();
            for (lag, p) in OWN_LAG.iter().enumerate().filter(|(lag, _)| y + lag < n) {
                carried[y + lag] += own * p / share;
            }
            let later = signs[1] * w * self.replaced[y];
            let from = (y + OWN_LAG.len()).min(n - 1);
            running[from] += (1.0 - ANY_YEAR) * later / (n - from) as f64;
            anywhere += ANY_YEAR * later / n as f64;
        }
        let mut sum = 0.0;
        for (place, value) in carried.iter_mut().enumerate() {
            sum += running[place];
            *value += sum + anywhere;
        }
        carried
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn joining() -> Joining {
        Joining { replaced: vec![0.3; 20] }
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
