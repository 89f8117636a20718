//! Chances in words.

/// A credible level: `1 in 2`, `4 in 5`, `19 in 20`.
#[must_use]
pub fn level_in_words(level: f64) -> &'static str {
    match (level * 100.0).round() {
        50.0 => "1 in 2",
        80.0 => "4 in 5",
        _ => "19 in 20",
    }
}

const CHANCES: [(f64, &str); 13] = [
    (0.05, "one chance in twenty"),
    (0.1, "one chance in ten"),
    (0.2, "one chance in five"),
    (0.25, "one chance in four"),
    (1.0 / 3.0, "one chance in three"),
    (0.4, "two chances in five"),
    (0.5, "an even chance"),
    (0.6, "three chances in five"),
    (2.0 / 3.0, "two chances in three"),
    (0.75, "three chances in four"),
    (0.8, "four chances in five"),
    (0.9, "nine chances in ten"),
    (0.95, "nineteen chances in twenty"),
];

/// The nearest plain fraction: `one chance in four`.
#[must_use]
pub fn chance_in_words(chance: f64) -> &'static str {
    let distance = |c: f64| (c - chance).abs();
    CHANCES.iter().min_by(|a, b| distance(a.0).total_cmp(&distance(b.0))).map_or("", |c| c.1)
}
