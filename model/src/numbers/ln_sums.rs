//! Sums of quantities that are kept as natural logarithms.

/// ln(exp(a) + exp(b)) without overflow; either may be minus infinity.
#[must_use]
pub fn ln_add(a: f64, b: f64) -> f64 {
    let (high, low) = if a >= b { (a, b) } else { (b, a) };
    if high == f64::NEG_INFINITY { high } else { high + (low - high).exp().ln_1p() }
}

/// ln of the sum of exp(values); minus infinity for none.
#[must_use]
pub fn ln_sum(values: &[f64]) -> f64 {
    let top = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if top == f64::NEG_INFINITY {
        return top;
    }
    top + values.iter().map(|v| (v - top).exp()).sum::<f64>().ln()
}

/// Terms in ln, added place by place: a prior and likelihoods over the same years.
///
/// # Panics
/// When the terms differ in length.
#[must_use]
pub fn ln_product(terms: &[&[f64]]) -> Vec<f64> {
    let mut total = vec![0.0; terms.first().map_or(0, |term| term.len())];
    for term in terms {
        assert_eq!(term.len(), total.len(), "one value for each year");
        for (sum, value) in total.iter_mut().zip(*term) {
            *sum += value;
        }
    }
    total
}

/// exp(values) in proportion, the highest 1; nothing but zeros where every value is minus infinity.
#[must_use]
pub fn scaled_from_ln(values: &[f64]) -> Vec<f64> {
    let top = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if top == f64::NEG_INFINITY {
        return vec![0.0; values.len()];
    }
    values.iter().map(|v| (v - top).exp()).collect()
}

/// Probabilities proportional to exp(values), summing to 1; even shares where every value is minus infinity.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "lengths of an axis are small")]
pub fn normalised_from_ln(values: &[f64]) -> Vec<f64> {
    let top = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if !top.is_finite() {
        return vec![1.0 / values.len() as f64; values.len()];
    }
    let raw = scaled_from_ln(values);
    let total: f64 = raw.iter().sum();
    raw.iter().map(|v| v / total).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_survive_values_far_below_the_smallest_number() {
        assert!((ln_add(-2000.0, -2000.0) - (-2000.0 + 2_f64.ln())).abs() < 1e-12);
        assert!((ln_sum(&[-2000.0, -2000.0, f64::NEG_INFINITY]) - (-2000.0 + 2_f64.ln())).abs() < 1e-12);
        let impossible = |ln: f64| ln.is_infinite() && ln < 0.0;
        assert!(impossible(ln_add(f64::NEG_INFINITY, f64::NEG_INFINITY)));
        assert!(impossible(ln_sum(&[])));
    }

    #[test]
    fn all_impossible_is_no_information_rather_than_not_a_number() {
        assert_eq!(normalised_from_ln(&[f64::NEG_INFINITY; 4]), vec![0.25; 4]);
    }
}
