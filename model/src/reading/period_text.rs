//! Periods as people write them: `1897`, `1890-95`, `1890s`, `c. 1890`, `before 1850`, `late 19th century`.

use crate::numbers::axis::Axis;

/// Years on either side of a `c.` (a judgement: no source says how far a "circa" reaches).
pub const ABOUT: i32 = 5;

/// Reigns that a time is called by, from accession to death (general history, from memory); the Georges count as one.
const REIGNS: [(&str, (i32, i32)); 4] =
    [("georgian", (1714, 1837)), ("regency", (1811, 1820)), ("victorian", (1837, 1901)), ("edwardian", (1901, 1910))];

/// A side of a period that nothing is said of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OpenSide {
    /// `before 1850`.
    Earlier,
    /// `after 1900`.
    Later,
}

/// Years from one to another, both inclusive, as a text names them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Period {
    /// First year.
    pub from: i32,
    /// Last year, inclusive.
    pub to: i32,
    /// Whether the text is a lone year and nothing else.
    pub is_year: bool,
    /// Whether its words are those of an opinion: `c.`, `before`, `early`, a century, a year with a `?`, `+` or `±`.
    pub is_vague: bool,
    /// The side on which the text leaves it open (`before 1850`), so that the axis alone ends it there.
    pub open: Option<OpenSide>,
    /// Whether it says `1800s`, which is a decade here and a century to many.
    pub is_decade_or_century: bool,
}

impl Period {
    /// Reads a period; what a text leaves open (`before 1850`, `c. 1782`) ends with the axis. `None` for anything else.
    ///
    /// ```
    /// use agewright_model::Axis;
    /// use agewright_model::reading::period_text::Period;
    ///
    /// let axis = Axis::new(1750, 1940, 10).unwrap();
    /// let years = |text| Period::read(text, axis).map(|period| (period.from, period.to));
    /// assert_eq!(years("c. 1890"), Some((1885, 1895)));
    /// assert_eq!(years("before 1850"), Some((1750, 1849)));
    /// assert_eq!(years("1885-90"), Some((1885, 1890)));
    /// assert_eq!(years("old"), None);
    /// ```
    #[must_use]
    pub fn read(text: &str, axis: Axis) -> Option<Self> {
        let text = text.trim().to_lowercase().replace(['\u{2013}', '\u{2012}', '\u{a0}'], "-");
        if let Some(year) = whole_year(&text) {
            let (from, to) = (year, year);
            return Some(Self { from, to, is_year: true, is_vague: false, open: None, is_decade_or_century: false });
        }
        // A doubtful or inferred date is one of about that time; `189?` leaves its own figure open.
        let bare = bare_of_doubt(&text);
        let doubted = bare.map(|bare| match bare {
            _ if ends_in_open_figures(&text) => text.clone(),
            _ if bare.starts_with('c') || open_ended(bare, axis).is_some() => bare.to_owned(),
            _ => format!("c. {bare}"),
        });
        let is_doubted = doubted.is_some();
        let text = doubted.unwrap_or(text);
        let opened = open_ended(&text, axis);
        let ((from, to), open) =
            opened.or_else(|| Some((about(&text, axis).or_else(|| closed(&text, axis))?, None)))?;
        let is_word = |c: char| c.is_alphabetic() || ['+', '\u{b1}', '?'].contains(&c);
        let is_vague = is_doubted || (without_joints(&text).contains(is_word) && !is_decade(&text));
        let is_decade_or_century = text.contains("00s") || text.contains("00's");
        (from <= to).then_some(Self { from, to, is_year: false, is_vague, open, is_decade_or_century })
    }
}

/// What stands before a `?`, in brackets, or before words that say the same.
fn bare_of_doubt(text: &str) -> Option<&str> {
    let in_brackets = || text.strip_prefix('[')?.strip_suffix(']');
    let said = || [" or so", " or thereabouts", "-ish", "ish"].iter().find_map(|words| text.strip_suffix(words));
    text.strip_suffix('?').or_else(in_brackets).or_else(said).map(str::trim)
}

/// Whether the `?` at its end stands for a figure.
fn ends_in_open_figures(text: &str) -> bool {
    text.ends_with('?') && text.rsplit([' ', '-', '/']).next().is_some_and(|word| figures_left_open(word).is_some())
}

/// `189?` and `18??`: the years whose last figures nobody gave.
fn figures_left_open(text: &str) -> Option<(i32, i32)> {
    let known = text.trim_end_matches('?');
    let open = u32::try_from(text.len() - known.len()).ok().filter(|open| *open > 0)?;
    let years = 10_i32.checked_pow(open).filter(|_| text.len() == 4)?;
    let from = whole_year(known)? * years;
    Some((from, from + years - 1))
}

/// `1890 to 1900` and `between 1890 and 1900` are as plain as `1890-1900`.
fn without_joints(text: &str) -> String {
    let text = text.trim_start_matches("between ").trim_start_matches("from ");
    [" to ", " and ", " until "].into_iter().fold(text.to_owned(), |text, joint| text.replace(joint, "-"))
}

/// `1890s` is as plain as `1890-99`.
fn is_decade(text: &str) -> bool {
    text.strip_suffix('s').is_some_and(|decade| whole_year(decade.trim_end_matches('\'')).is_some())
}

/// A year by itself; of more digits than years have is none.
fn whole_year(text: &str) -> Option<i32> {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let is_plain = (1..=4).contains(&digits.len()) && digits.bytes().all(|b| b.is_ascii_digit());
    is_plain.then(|| text.parse().ok())?
}

/// What stands behind one of these words.
fn behind<'a>(text: &'a str, words: &[&str]) -> Option<&'a str> {
    let word = words.iter().find(|word| text.starts_with(**word))?;
    let rest = text[word.len()..].trim_start_matches(['.', ' ']);
    // "after" and "c" are words of their own, not the beginning of another.
    let is_apart = rest.len() < text.len() - word.len() || rest.starts_with(|c: char| c.is_ascii_digit());
    is_apart.then_some(rest)
}

fn open_ended(text: &str, axis: Axis) -> Option<((i32, i32), Option<OpenSide>)> {
    let until = |to: i32| ((axis.from(), to), Some(OpenSide::Earlier));
    let since = |from: i32| ((from, axis.last()), Some(OpenSide::Later));
    // What says that a side is not so comes before the word that it denies.
    if let Some(rest) = behind(text, &["not after", "not later than", "no later than", "by", "until", "up to"]) {
        return Some(until(closed(rest, axis)?.1));
    }
    if let Some(rest) = behind(text, &["not before", "not earlier than", "no earlier than", "since"]) {
        return Some(since(closed(rest, axis)?.0));
    }
    if let Some(rest) = behind(text, &["before", "pre-", "pre", "prior to", "earlier than"]) {
        let (from, _) = about(rest, axis).or_else(|| closed(rest, axis))?;
        return Some(until(from - 1));
    }
    if let Some(rest) = behind(text, &["after", "post-", "post", "later than"]) {
        let (_, to) = about(rest, axis).or_else(|| closed(rest, axis))?;
        return Some(since(to + 1));
    }
    if let Some(year) = text.strip_suffix('+') {
        return Some(since(whole_year(year.trim())?));
    }
    if let Some(year) = text.strip_suffix(" or earlier") {
        return Some(until(whole_year(year.trim())?));
    }
    Some(since(whole_year(text.strip_suffix(" or later")?.trim())?))
}

/// About a year is some years on either side of it; about a decade or a span is that with its edges unsure.
fn about(text: &str, axis: Axis) -> Option<(i32, i32)> {
    let (from, to) = closed(behind(text, &["circa", "about", "around", "ca", "c", "~"])?, axis)?;
    Some(((from - ABOUT).max(axis.from()), (to + ABOUT).min(axis.last())))
}

/// A year, a decade, a century, a part of one, or a span from one to another.
fn closed(text: &str, axis: Axis) -> Option<(i32, i32)> {
    if let Some((year, spread)) = ["\u{b1}", "+/-"].iter().find_map(|sign| text.split_once(sign)) {
        let (year, spread) = (whole_year(year.trim())?, whole_year(spread.trim())?);
        return Some(((year - spread).max(axis.from()), (year + spread).min(axis.last())));
    }
    let span = behind(text, &["between", "from"]);
    let text = behind(span.unwrap_or(text), &["the"]).or(span).unwrap_or(text).trim();
    // "from 1890" has no end, and "between 1890" no other.
    if let Some(found) = named(text, axis).filter(|_| span.is_none()) {
        return Some(found);
    }
    for apart in [" to ", " and ", " until ", "-", "/"] {
        let Some((from, to)) = text.split_once(apart) else { continue };
        let (from, to) = (from.trim(), to.trim());
        let first = named(from, axis)?;
        // "1850-65": the century is that of the first year.
        if let (Some(year), Some(short)) = (whole_year(from), whole_year(to).filter(|_| to.len() < from.len())) {
            let unit = 10_i32.checked_pow(u32::try_from(to.len()).ok()?)?;
            return Some((year, year.div_euclid(unit) * unit + short));
        }
        return Some((first.0, named(to, axis)?.1));
    }
    None
}

/// A year, a decade (`1890s`, `early 1890s`) or a century (`19th century`, `late 19th century`).
fn named(text: &str, axis: Axis) -> Option<(i32, i32)> {
    if let Some(year) = whole_year(text) {
        return Some((year, year));
    }
    if let Some((from, to)) = figures_left_open(text) {
        return Some((from.max(axis.from()), to.min(axis.last()))).filter(|(from, to)| from <= to);
    }
    let (part, rest) = match text.split_once([' ', '-']) {
        Some((part @ ("early" | "mid" | "late"), rest)) => (part, rest.trim()),
        _ => ("", text),
    };
    // Of a reign or a century the axis may hold a part.
    let on_axis = |(from, to): (i32, i32)| (from.max(axis.from()), to.min(axis.last()));
    let part_of = |(from, to): (i32, i32)| match (part, (to - from + 1) / 3) {
        ("early", third) => (from, from + third),
        ("mid", third) => (from + third, to - third),
        ("late", third) => (to - third, to),
        _ => (from, to),
    };
    if let Some((_, reign)) = REIGNS.iter().find(|(word, _)| *word == rest.trim_end_matches(" period")) {
        return Some(on_axis(part_of(*reign))).filter(|(from, to)| from <= to);
    }
    if let Some(decade) = rest.strip_suffix('s').map(|decade| decade.trim_end_matches('\'')) {
        let from = whole_year(decade).filter(|year| year % 10 == 0 && *year > 0)?;
        return Some(match part {
            "early" => (from, from + 4),
            "mid" => (from + 3, from + 6),
            "late" => (from + 5, from + 9),
            _ => (from, from + 9),
        });
    }
    let word = ["century", "cent.", "cent", "c.", "c"].iter().find_map(|word| rest.strip_suffix(word));
    // "mid 19th" leaves its word out.
    let number = word.or(Some(rest).filter(|_| !part.is_empty()))?.trim();
    let number = ["st", "nd", "rd", "th"].iter().find_map(|ending| number.strip_suffix(ending))?;
    let from = (whole_year(number).filter(|number| (1..=99).contains(number))? - 1) * 100;
    Some(on_axis(part_of((from, from + 99)))).filter(|(first, last)| first <= last)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn open_and_other_periods_are_read_too() {
        let axis = Axis::new(1750, 1940, 10).unwrap();
        let periods = [
            ("1895 \u{b1} 5", (1890, 1900)),
            ("by 1895", (1750, 1895)),
            ("not after 1895", (1750, 1895)),
            ("no later than 1890", (1750, 1890)),
            ("not before 1900", (1900, 1939)),
            ("since 1900", (1900, 1939)),
            ("1900+", (1900, 1939)),
            ("before c. 1850", (1750, 1844)),
            ("19th C", (1800, 1899)),
            ("late 19th C", (1866, 1899)),
            ("mid 19th", (1833, 1866)),
            ("189?", (1890, 1899)),
            ("18??", (1800, 1899)),
            ("17??", (1750, 1799)),
            ("before 1850?", (1750, 1849)),
            ("before 189?", (1750, 1889)),
            ("189?-1902", (1890, 1902)),
            ("1900+?", (1900, 1939)),
            ("1895 or so", (1890, 1900)),
            ("1910-ish", (1905, 1915)),
            ("1910ish", (1905, 1915)),
            ("Victorian", (1837, 1901)),
            ("early Victorian", (1837, 1858)),
            ("mid-Victorian", (1858, 1880)),
            ("late Victorian", (1880, 1901)),
            ("Georgian", (1750, 1837)),
            ("Edwardian?", (1896, 1915)),
            ("Victorian to Edwardian", (1837, 1910)),
        ];
        for (text, years) in periods {
            assert_eq!(Period::read(text, axis).map(|period| (period.from, period.to)), Some(years), "{text}");
        }
        let open = |text: &str| Period::read(text, axis).unwrap().open;
        assert_eq!([open("by 1895"), open("1900+")], [Some(OpenSide::Earlier), Some(OpenSide::Later)]);
        assert_eq!([open("1895 \u{b1} 5"), open("19th C")], [None, None]);
    }

    #[test]
    fn what_is_no_period_is_not_read_as_one() {
        let axis = Axis::new(1750, 1940, 10).unwrap();
        let read = |text: &str| Period::read(text, axis).map(|period| (period.from, period.to));
        for wrong in [
            "",
            "1855s",
            "early",
            "1870-60",
            "1850-",
            "-",
            "18500000000",
            "cleek",
            "c",
            "before",
            "after noon",
            "prewar",
            "century",
            "0th century",
            "16th century",
            "1890 1895",
            "carved 1890",
            "from 1890",
            "between 1890",
            "?",
            "[]",
            "????",
            "1?9?",
            "18?",
            "Tudor",
            "ish",
            "mid 1890",
        ] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn periods_are_read_as_people_write_them() {
        let axis = Axis::new(1750, 1940, 10).unwrap();
        let read = |text: &str| Period::read(text, axis).map(|period| (period.from, period.to));
        let periods = [
            ("1893", (1893, 1893)),
            ("1850s", (1850, 1859)),
            ("1850's", (1850, 1859)),
            ("early 1890s", (1890, 1894)),
            ("late 1890s", (1895, 1899)),
            ("1850-65", (1850, 1865)),
            ("1895-1902", (1895, 1902)),
            (" 1895 \u{2013} 1902 ", (1895, 1902)),
            ("1898-02", (1898, 1802)),
            ("1880 to 1890", (1880, 1890)),
            ("between 1880 and 1890", (1880, 1890)),
            ("1880s-1890s", (1880, 1899)),
            ("c.1870", (1865, 1875)),
            ("c 1870", (1865, 1875)),
            ("ca. 1870", (1865, 1875)),
            ("Circa 1870", (1865, 1875)),
            ("about 1870", (1865, 1875)),
            ("c. 1870-80", (1865, 1885)),
            ("c. 1752", (1750, 1757)),
            ("before 1850", (1750, 1849)),
            ("pre-1850", (1750, 1849)),
            ("before the 1850s", (1750, 1849)),
            ("after 1900", (1901, 1939)),
            ("1900 or later", (1900, 1939)),
            ("1850 or earlier", (1750, 1850)),
            ("19th century", (1800, 1899)),
            ("late 19th century", (1866, 1899)),
            ("mid-19th century", (1833, 1866)),
            ("18th century", (1750, 1799)),
            ("19th c.", (1800, 1899)),
            ("1890?", (1885, 1895)),
            ("c. 1890?", (1885, 1895)),
            ("[1890]", (1885, 1895)),
            ("1890s?", (1885, 1904)),
        ];
        for (text, years) in periods {
            let years = Some(years).filter(|(from, to)| from <= to);
            assert_eq!(read(text), years, "{text}");
        }
        assert!(Period::read("1893", axis).is_some_and(|period| period.is_year));
        assert!(Period::read("c. 1893", axis).is_some_and(|period| !period.is_year));
        let vague = |text: &str| Period::read(text, axis).is_some_and(|period| period.is_vague);
        let all = [
            "c. 1890",
            "before 1850",
            "late 1890s",
            "19th century",
            "1890?",
            "189?",
            "before 1850?",
            "1910-ish",
            "Victorian",
        ];
        assert!(all.into_iter().all(vague));
        assert!(!["1890", "1890-95", "1890s", "1880 - 1890"].into_iter().any(vague));
        assert!(!["1890 to 1900", "between 1890 and 1900", "from 1890 until 1900"].into_iter().any(vague));
    }
}
