//! Numbers of things.

/// A number and what it counts.
#[must_use]
pub fn counted(n: usize, one: &str, several: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { several })
}

/// `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn in_a_row(told: &[String]) -> String {
    match told.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => told.concat(),
    }
}
