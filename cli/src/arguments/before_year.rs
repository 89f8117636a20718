//! The year that `--before` asks about: `1947`, or `today-100`.

use std::fmt;
use std::str::FromStr;

/// The most years before today that can be meant.
const MOST_YEARS: i32 = 9999;

/// A year, as it was asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BeforeYear {
    /// A year itself.
    Year(i32),
    /// So many years before that of today.
    YearsAgo(i32),
}

impl BeforeYear {
    /// The year meant, where today lies in this one.
    pub fn year(self, this_year: i32) -> i32 {
        match self {
            Self::Year(year) => year,
            Self::YearsAgo(years) => this_year - years,
        }
    }
}

/// What no year to ask about looks like.
#[derive(Debug)]
pub struct NoYear;

impl fmt::Display for NoYear {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "a year is written 1947; for what is older than a hundred years, today-100")
    }
}

impl std::error::Error for NoYear {}

impl FromStr for BeforeYear {
    type Err = NoYear;

    fn from_str(text: &str) -> Result<Self, NoYear> {
        let ago = text.strip_prefix("today").map(|rest| rest.trim_start().strip_prefix('-'));
        match ago {
            Some(years) => {
                let years: i32 = years.and_then(|years| years.trim().parse().ok()).ok_or(NoYear)?;
                if (0..=MOST_YEARS).contains(&years) { Ok(Self::YearsAgo(years)) } else { Err(NoYear) }
            }
            None => text.parse().map(Self::Year).map_err(|_| NoYear),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_year_or_so_many_years_ago() {
        let year = |text: &str| text.parse::<BeforeYear>().ok().map(|before| before.year(2026));
        assert_eq!(
            ["1947", "today-100", "today - 100", "-43"].map(year),
            [Some(1947), Some(1926), Some(1926), Some(-43)]
        );
        assert_eq!(["today", "today100", "today--5", "3 March 1947", "today-1e9", ""].map(year), [None; 6]);
    }
}
