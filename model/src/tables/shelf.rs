//! The shelf: the dated clubs themselves, kept beside the tables, and how they are laid beside another club.

use crate::numbers::axis::Axis;
use crate::reading::club::Club;
use crate::reading::part::Part;
use crate::tables::shelf_scale::ShelfScale;

/// The dated clubs that a calibration was fitted on, and for each part how alike two of them are.
#[derive(Debug, Clone, PartialEq)]
pub struct Shelf {
    /// Whether the clubs have lost their ids: then one is known by its readings alone.
    pub anonymous: bool,
    /// The clubs, with their readings alone.
    pub clubs: Vec<ShelfClub>,
    /// How they are laid beside another one, by the clues of a part.
    pub parts: Vec<PartShelf>,
}

/// A dated club on the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfClub {
    /// Its id and its readings, in the order of the catalogue; no note and no text.
    pub club: Club,
    /// First year that it may have been made in.
    pub from: i32,
    /// Last year that it may have been made in.
    pub to: i32,
    /// Worth in clubs, by the grade of its date.
    pub worth: f64,
}

/// How dated clubs are laid beside another one by the clues of one part, and what their votes count.
///
/// The weight of club i beside club x is its worth times exp(-(1/2) sum over the clues that x has, and their rows, of
/// relevance times distance); its vote is a normal one of `width` at z_i + `allowance` s_i, z the quantiles of the
/// prior as collected and s_i the sum over the clues that x has of slope times (phi(x) - phi(x_i)).
#[derive(Debug, Clone, PartialEq)]
pub struct PartShelf {
    /// The part.
    pub part: Part,
    /// Its clues, in the order of their ids.
    pub clues: Vec<ShelfClue>,
    /// Share, 0 to 1, of what clubs differ by that their votes are moved by.
    pub allowance: f64,
    /// Width of a vote, in standard deviations of the prior as collected.
    pub width: f64,
    /// Exponent in the posterior.
    pub weight: f64,
    /// Mean distance to the nearest dated club, by relevance of how far readings are apart, that one in a hundred dated
    /// clubs has or passes; whether readings are the same is no part of it.
    pub reach: f64,
}

/// One clue of a shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfClue {
    /// The clue's id.
    pub clue: String,
    /// How its readings are placed and compared.
    pub scale: ShelfScale,
    /// Relevance of each of its rows of distances.
    pub relevance: Vec<f64>,
    /// What each of its features is worth in z: a measure's place, or each level's indicator.
    pub slopes: Vec<f64>,
}

/// Share of every vote that is the prior's: no year is impossible because no club of the shelf is of it.
pub const PRIOR_SHARE: f64 = 0.05;
/// Years that the date of one club is spread over, at the most.
pub const MOST_YEARS: usize = 5;

impl ShelfClub {
    /// Years, equally spaced, that stand for the date: every one up to five of them; of more, the middles of five equal
    /// parts.
    #[must_use]
    #[expect(clippy::cast_possible_truncation, clippy::cast_precision_loss, reason = "five years of an axis")]
    pub fn years(&self) -> Vec<i32> {
        let n = f64::from(self.to - self.from + 1);
        if n <= MOST_YEARS as f64 {
            return (self.from..=self.to).collect();
        }
        let middle = |k: usize| ((k as f64 + 0.5) * n / MOST_YEARS as f64).floor() as i32;
        (0..MOST_YEARS).map(|k| self.from + middle(k)).collect()
    }

    /// Whether its date is on the axis, in order.
    #[must_use]
    pub fn is_on(&self, axis: Axis) -> bool {
        self.from <= self.to && axis.contains(self.from) && axis.contains(self.to)
    }
}

impl Shelf {
    /// How clubs are laid beside another one by the clues of a part.
    #[must_use]
    pub fn part(&self, part: Part) -> Option<&PartShelf> {
        self.parts.iter().find(|own| own.part == part)
    }
}

impl ShelfClue {
    /// Relevance of how far apart two readings are, which is the last of its rows.
    #[must_use]
    pub fn how_far(&self) -> f64 {
        self.relevance.last().copied().unwrap_or(0.0)
    }
}

impl PartShelf {
    /// A clue of it by its id.
    #[must_use]
    pub fn clue(&self, clue: &str) -> Option<&ShelfClue> {
        self.clues.iter().find(|own| own.clue == clue)
    }
}
