//! Numbered registers: from a number, some of its digits perhaps unread, to the years it may have been registered in.

use serde::{Deserialize, Serialize};
use statrs::function::erf::erfc;
use std::f64::consts::SQRT_2;
use std::sync::LazyLock;
use thiserror::Error;

/// A register of numbers.
/// ```
/// use agewright_model::Register;
///
/// let years = Register::UkDesigns.years("Rd 351202").unwrap();
/// assert_eq!((years.len(), years[0].year), (1, 1900));
/// // A digit that cannot be read leaves several years open, each with its share.
/// let open = Register::UkDesigns.years("3?1202").unwrap();
/// assert!(open.len() > 1 && (open.iter().map(|year| year.share).sum::<f64>() - 1.0).abs() < 1e-12);
/// assert!(Register::UkDesigns.years("anchor").is_err());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Register {
    /// Registered designs of the United Kingdom, 1884 on.
    UkDesigns,
    /// Utility patents of the United States, 1836 on.
    UsPatents,
    /// Patents of the United Kingdom: number and year, since numbers began again every year from 1852 to 1915.
    GbPatents,
}

/// A year of registration that a number allows, with its share of the numbers that fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RegisteredIn {
    /// The year.
    pub year: i32,
    /// Share, all together 1.
    pub share: f64,
}

/// Why a number is refused.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum RegisterError {
    /// Something that is no number.
    #[error(
        "\"{0}\" is no number; write its digits, with ? for one that cannot be read, and (?) behind a doubtful one"
    )]
    NotANumber(String),
    /// A letter where a digit belongs.
    #[error(
        "\"{number}\" has a letter, {letter}, among its digits; write the digit that it is, or ? where it cannot be \
         read"
    )]
    Letter {
        /// The number.
        number: String,
        /// The letter.
        letter: char,
    },
    /// Too many unread digits.
    #[error("\"{0}\" has more than four unread digits and says nothing")]
    Unread(String),
    /// A number that the register never gave, as far as its table goes.
    #[error("no number of the {register} fits \"{number}\" (the table goes to {last})")]
    NoSuch {
        /// The register.
        register: &'static str,
        /// The number.
        number: String,
        /// Last year of the table.
        last: i32,
    },
    /// A British patent number without its year.
    #[error("\"{0}\": British patent numbers began again every year until 1915; write the year too, as 10811/97")]
    Year(String),
}

const UK_DESIGNS: &str = include_str!("registers/uk_designs.csv");
const US_PATENTS: &str = include_str!("registers/us_patents.csv");
/// British patents: restarts each year from 1852 to 1915, one series from 100 001 from 1916 on (UK Patent Office).
const GB_RESTARTS: (i32, i32) = (1852, 1915);
const GB_MOST_A_YEAR: u64 = 40_000;
const MOST_UNREAD: usize = 4;

static UK: LazyLock<Vec<(i32, u64)>> = LazyLock::new(|| first_numbers(UK_DESIGNS));
static US: LazyLock<Vec<(i32, u64)>> = LazyLock::new(|| first_numbers(US_PATENTS));

fn first_numbers(csv: &str) -> Vec<(i32, u64)> {
    let row = |line: &str| {
        let mut cells = line.split(',');
        Some((cells.next()?.parse().ok()?, cells.next()?.parse().ok()?))
    };
    csv.lines().skip(1).filter_map(row).collect()
}

impl Register {
    /// All registers.
    pub const ALL: [Self; 3] = [Self::UkDesigns, Self::UsPatents, Self::GbPatents];

    /// Its name for people.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::UkDesigns => "UK registered designs",
            Self::UsPatents => "US patents",
            Self::GbPatents => "British patents",
        }
    }

    /// Years of registration that a number allows; `?` stands for a digit that cannot be read. Letters before the
    /// digits, spaces, points and commas are passed over, letters behind them where a space parts them; a British
    /// patent has its year behind a stroke.
    ///
    /// # Errors
    /// [`RegisterError`] for what is no number of the register.
    pub fn years(self, text: &str) -> Result<Vec<RegisteredIn>, RegisterError> {
        // A spreadsheet writes a whole number with .0 behind it.
        let text = text.strip_suffix(".0").unwrap_or(text);
        if is_dated(text) || has_fraction(text) {
            return Err(RegisterError::NotANumber(text.to_owned()));
        }
        let (body, year) = match text.split_once('/') {
            Some((body, year)) => (body, Some(year.trim())),
            None => (text, None),
        };
        let digits: String = body.chars().filter(|c| c.is_ascii_digit() || *c == '?').collect();
        let odd = |c: char| !(c.is_ascii_alphanumeric() || matches!(c, '?' | ' ' | '.' | ',' | '\u{a0}'));
        let is_number = digits.chars().any(|c| c.is_ascii_digit()) && digits.len() <= 8;
        if !is_number || body.contains(odd) {
            return Err(RegisterError::NotANumber(text.to_owned()));
        }
        if let Some(letter) = letter_among_digits(body) {
            return Err(RegisterError::Letter { number: text.to_owned(), letter });
        }
        if digits.matches('?').count() > MOST_UNREAD {
            return Err(RegisterError::Unread(text.to_owned()));
        }
        match (self, year) {
            (Self::GbPatents, year) => british(text, &digits, year),
            (_, Some(_)) => Err(RegisterError::NotANumber(text.to_owned())),
            (Self::UkDesigns, None) => self.of_table(&UK, &digits),
            (Self::UsPatents, None) => self.of_table(&US, &digits),
        }
    }

    fn of_table(self, table: &[(i32, u64)], digits: &str) -> Result<Vec<RegisteredIn>, RegisterError> {
        let mut counts: Vec<(i32, u64)> = Vec::new();
        let last_first = table.last().map_or(0, |row| row.1);
        let before_last = table.len().checked_sub(2).map_or(0, |ix| table[ix].1);
        let end = last_first + (last_first - before_last);
        for number in fitting(digits).into_iter().filter(|number| *number >= 1 && *number < end) {
            let ix = table.partition_point(|row| row.1 <= number);
            let Some(&(year, _)) = ix.checked_sub(1).and_then(|ix| table.get(ix)) else { continue };
            match counts.iter_mut().find(|count| count.0 == year) {
                Some(count) => count.1 += 1,
                None => counts.push((year, 1)),
            }
        }
        counts.sort_unstable();
        if counts.is_empty() {
            let last = table.last().map_or(0, |row| row.0);
            return Err(RegisterError::NoSuch { register: self.name(), number: digits.to_owned(), last });
        }
        Ok(shares(&counts))
    }
}

/// Whether a month is named: patents are stamped with their dates too.
fn is_dated(text: &str) -> bool {
    const MONTHS: [&str; 12] = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
    let lower = text.to_lowercase();
    let mut words = lower.split(|c: char| !c.is_alphabetic());
    words.any(|word| MONTHS.iter().any(|month| word.starts_with(month)))
}

/// Whether digits stand behind a point that does not part thousands.
fn has_fraction(text: &str) -> bool {
    text.rsplit_once('.').is_some_and(|(before, after)| {
        let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
        digits(after) && after.len() != 3 && before.ends_with(|c: char| c.is_ascii_digit())
    })
}

/// A letter that touches a digit and is no word, or has digits on both sides: an O for a 0, an I for a 1.
fn letter_among_digits(body: &str) -> Option<char> {
    let is_digit = |c: char| c.is_ascii_digit() || c == '?';
    let (first_digit, last_digit) = (body.find(is_digit)?, body.rfind(is_digit)?);
    // One capital right before the digits is as likely a digit misread: S51202. Words and abbreviations stand there
    // too.
    let mut letters = body[..first_digit].chars().rev().take_while(char::is_ascii_alphabetic);
    if let (Some(letter), None) = (letters.next(), letters.next()) {
        return Some(letter);
    }
    let mut before = None;
    for (at, c) in body.char_indices() {
        let follows_digit = before.is_some_and(is_digit);
        let is_between = at < last_digit && body[..at].contains(is_digit);
        if c.is_ascii_alphabetic() && (follows_digit || is_between) {
            return Some(c);
        }
        before = Some(c);
    }
    None
}

#[expect(clippy::cast_precision_loss, reason = "at most ten thousand numbers fit")]
fn shares(counts: &[(i32, u64)]) -> Vec<RegisteredIn> {
    let total: u64 = counts.iter().map(|count| count.1).sum();
    counts.iter().map(|&(year, n)| RegisteredIn { year, share: n as f64 / total as f64 }).collect()
}

/// Every number that unread digits leave open.
fn fitting(digits: &str) -> Vec<u64> {
    digits.chars().fold(vec![0], |numbers, c| {
        let choices: Vec<u64> = c.to_digit(10).map_or_else(|| (0..10).collect(), |d| vec![u64::from(d)]);
        numbers.iter().flat_map(|number| choices.iter().map(move |digit| number * 10 + digit)).collect()
    })
}

/// A British patent by its number and the year behind the stroke, `97` or `1897`.
fn british(text: &str, digits: &str, year: Option<&str>) -> Result<Vec<RegisteredIn>, RegisterError> {
    let wrong = || RegisterError::Year(text.to_owned());
    let written = year.ok_or_else(wrong)?;
    if !written.bytes().all(|b| b.is_ascii_digit()) {
        return Err(wrong());
    }
    let number: i32 = written.parse().map_err(|_| wrong())?;
    let year = match written.len() {
        2 if number >= GB_RESTARTS.0 % 100 => 1800 + number,
        2 => 1900 + number,
        4 => number,
        _ => return Err(wrong()),
    };
    let fits = fitting(digits).into_iter().any(|number| (1..=GB_MOST_A_YEAR).contains(&number));
    if (GB_RESTARTS.0..=GB_RESTARTS.1).contains(&year) && fits {
        return Ok(vec![RegisteredIn { year, share: 1.0 }]);
    }
    Err(RegisterError::NoSuch { register: Register::GbPatents.name(), number: text.to_owned(), last: GB_RESTARTS.1 })
}

/// Middle and spread of the logarithm of the lag from registration to making, in years: half within 3, nine tenths
/// within 12 (a judgement of the trade). Lognormal: ln 3, and (ln 12 - ln 3)/z, z the normal's nine-tenths point.
const LAG_MEDIAN: f64 = 3.0;
const LAG_SPREAD: f64 = 1.081_731_237_658_610_1;

/// Chance that a thing is made so many whole years after its number was registered: lognormal with half within 3 years
/// and nine tenths within 12; none before.
#[must_use]
pub fn lag_chance(years: i32) -> f64 {
    if years < 0 {
        return 0.0;
    }
    let by = |t: f64| if t > 0.0 { 0.5 * erfc(-(t / LAG_MEDIAN).ln() / (LAG_SPREAD * SQRT_2)) } else { 0.0 };
    by(f64::from(years) + 1.0) - by(f64::from(years))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_is_made_within_three_years_and_nine_tenths_within_twelve() {
        let within = |years: i32| (0..years).map(lag_chance).sum::<f64>();
        assert!((within(3) - 0.5).abs() < 1e-9 && (within(12) - 0.9).abs() < 1e-9, "{} {}", within(3), within(12));
        assert!((within(4000) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn unread_digits_give_every_year_that_fits_in_their_shares() {
        let years = Register::UkDesigns.years("Rd No 4?8640").unwrap();
        assert!(years.len() > 3 && years.iter().all(|y| (1902..=1909).contains(&y.year)), "{years:?}");
        assert!((years.iter().map(|y| y.share).sum::<f64>() - 1.0).abs() < 1e-12);
        assert_eq!(Register::GbPatents.years("10,811/97").unwrap(), [RegisteredIn { year: 1897, share: 1.0 }]);
        assert_eq!(Register::GbPatents.years("214/03").unwrap()[0].year, 1903);
    }

    #[test]
    fn what_is_no_number_is_refused() {
        for wrong in ["", "abc", "12-3", "?????", "99999999", "0"] {
            assert!(Register::UkDesigns.years(wrong).is_err(), "{wrong}");
        }
        assert!(matches!(Register::UkDesigns.years("1?????"), Err(RegisterError::Unread(_))));
        for (wrong, letter) in
            [("4O8640", 'O'), ("4864O", 'O'), ("4 l 8640", 'l'), ("Rd 35I202", 'I'), ("48640B", 'B'), ("S51202", 'S')]
        {
            let refused = Register::UkDesigns.years(wrong).unwrap_err();
            assert_eq!(refused, RegisterError::Letter { number: wrong.to_owned(), letter });
        }
        for right in ["Rd351202", "Rd. No. 351,202", "REGD DESIGN 351202", "351202 UK"] {
            assert_eq!(Register::UkDesigns.years(right).unwrap()[0].year, 1900, "{right}");
        }
        for wrong in ["10811", "10811/1951", "1/x", "999999/97"] {
            assert!(Register::GbPatents.years(wrong).is_err(), "{wrong}");
        }
    }
}
