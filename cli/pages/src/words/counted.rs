//! Numbers of things.

/// A number and what it counts.
#[must_use]
pub fn counted(n: usize, one: &str, several: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { several })
}
