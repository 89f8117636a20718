//! Shapley values: what each player adds, averaged over all orders of joining.

/// Shares by the exact formula over all 2^n sets.
///
/// `value[S]` is the worth of the set S (bit i: player i). Player i's share is the sum over sets S without i of
/// |S|! (n - |S| - 1)! / n! (value(S + i) - value(S)). The shares sum to `value(all) - value(none)`.
/// Source: L. S. Shapley, A value for n-person games, 1953, p. 311 (formula from memory).
///
/// # Panics
/// When `value` has not 2^n entries.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "n is at most 20")]
pub fn exact_shares(n_players: usize, value: &[f64]) -> Vec<f64> {
    assert_eq!(value.len(), 1 << n_players, "one value for each set of players");
    let n = n_players as f64;
    // 1 / (n C(n-1, s)), by C(n-1, s+1) = C(n-1, s) (n-1-s)/(s+1).
    let mut weights = Vec::with_capacity(n_players);
    let mut choose = 1.0;
    for size in 0..n_players {
        weights.push(1.0 / (n * choose));
        choose *= (n - 1.0 - size as f64) / (size as f64 + 1.0);
    }
    (0..n_players)
        .map(|player| {
            let bit = 1 << player;
            (0..value.len())
                .filter(|set| set & bit == 0)
                .map(|set| weights[set.count_ones() as usize] * (value[set | bit] - value[set]))
                .sum()
        })
        .collect()
}

/// Shares averaged over given orders, with their standard errors.
#[derive(Debug, Clone, PartialEq)]
pub struct OrderedShares {
    /// Mean over the orders of what each player adds, for each of the two values.
    pub shares: Vec<[f64; 2]>,
    /// Standard error of each mean.
    pub standard_errors: Vec<[f64; 2]>,
}

/// Shares over the orders given, for two values of a set at once; they sum to value(all) - value(none) in every order.
///
/// # Panics
/// When an order does not hold every player once.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "orders are counted in thousands")]
pub fn ordered_shares(n_players: usize, orders: &[Vec<usize>], value: impl Fn(&[bool]) -> [f64; 2]) -> OrderedShares {
    let mut sums = vec![[0.0; 2]; n_players];
    let mut squares = vec![[0.0; 2]; n_players];
    for order in orders {
        assert_eq!(order.len(), n_players, "each order holds every player once");
        let mut joined = vec![false; n_players];
        let mut before = value(&joined);
        for &player in order {
            assert!(!joined[player], "each order holds every player once");
            joined[player] = true;
            let after = value(&joined);
            for k in 0..2 {
                let added = after[k] - before[k];
                sums[player][k] += added;
                squares[player][k] += added * added;
            }
            before = after;
        }
    }
    let n = orders.len().max(1) as f64;
    let shares: Vec<[f64; 2]> = sums.iter().map(|s| s.map(|v| v / n)).collect();
    let error = |mean: f64, square: f64| ((square / n - mean * mean).max(0.0) / (n - 1.0).max(1.0)).sqrt();
    let standard_errors = shares.iter().zip(&squares).map(|(m, s)| [error(m[0], s[0]), error(m[1], s[1])]).collect();
    OrderedShares { shares, standard_errors }
}
