//! Periods as people write them.

/// First and last year of `1850s`, `1850-65`, `1850-1865` or `1893`; `None` for anything else.
#[must_use]
pub fn read_period(text: &str) -> Option<(i32, i32)> {
    let text = text.trim();
    if let Some(decade) = text.strip_suffix('s') {
        let from: i32 = decade.parse().ok().filter(|year| year % 10 == 0 && *year > 0)?;
        return Some((from, from + 9));
    }
    let Some((from, to)) = text.split_once(['-', '\u{2013}']) else {
        let year = text.parse().ok()?;
        return Some((year, year));
    };
    let (from, to) = (from.trim(), to.trim());
    let first: i32 = from.parse().ok()?;
    let mut last: i32 = to.parse().ok()?;
    // "1850-65": the century is that of the first year.
    if to.len() < from.len() {
        let unit = 10_i32.checked_pow(u32::try_from(to.len()).ok()?)?;
        last += first / unit * unit;
    }
    (first <= last).then_some((first, last))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decades_spans_and_years_are_read_and_nothing_else() {
        assert_eq!(read_period("1850s"), Some((1850, 1859)));
        assert_eq!(read_period("1850-65"), Some((1850, 1865)));
        assert_eq!(read_period(" 1895 \u{2013} 1902 "), Some((1895, 1902)));
        assert_eq!(read_period("1893"), Some((1893, 1893)));
        for wrong in ["", "1855s", "early", "1870-60", "1850-", "-", "18500000000"] {
            assert_eq!(read_period(wrong), None, "{wrong}");
        }
    }
}
