//! A club of known date.

use agewright_model::{Cell, Club, KnownDate};

/// A club, and when it was made.
///
/// ```
/// use agewright_calibration::DatedClub;
/// use agewright_model::{Axis, Club, KnownDate};
///
/// let axis = Axis::new(1780, 1940, 10).unwrap();
/// let date = KnownDate::new(axis, 1897, 1897, Default::default()).unwrap();
/// let dated = DatedClub::new(Club { id: "K-7".into(), ..Club::default() }, date);
/// assert_eq!((dated.made_from(), dated.made_to(), dated.worth()), (1897, 1897, 1.0));
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct DatedClub {
    /// The club as it was read.
    pub club: Club,
    /// When it was made, and how well that is known.
    pub date: KnownDate,
    /// The set, maker's lot or find that it belongs to, if it belongs to one.
    pub set: Option<String>,
}

impl DatedClub {
    /// A dated club that belongs to no set.
    #[must_use]
    pub fn new(club: Club, date: KnownDate) -> Self {
        Self { club, date, set: None }
    }

    /// The same club as one of a set.
    #[must_use]
    pub fn of_set(mut self, set: &str) -> Self {
        self.set = Some(set.to_owned());
        self
    }

    /// The same club with another cell for one clue, by its place in the catalogue.
    #[must_use]
    pub fn with_cell(&self, clue: usize, cell: Cell) -> Self {
        let mut other = self.clone();
        if other.club.cells.len() <= clue {
            other.club.cells.resize(clue + 1, Cell::NotExamined);
        }
        other.club.cells[clue] = cell;
        other
    }

    /// First year it may have been made in.
    #[must_use]
    pub fn made_from(&self) -> i32 {
        self.date.from()
    }

    /// Last year it may have been made in.
    #[must_use]
    pub fn made_to(&self) -> i32 {
        self.date.to()
    }

    /// Worth in clubs when tables are fitted.
    #[must_use]
    pub fn worth(&self) -> f64 {
        self.date.worth()
    }
}
