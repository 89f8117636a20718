//! Clubs that belong together: of one set, one maker's lot, one find.

use crate::dated::dated_club::DatedClub;
use std::collections::BTreeMap;

/// Which clubs belong together. They repeat one another, so that none says how well another is dated: what leaves a
/// club out leaves out its whole set. A club of no set is one by itself.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sets {
    /// Set of each club.
    of: Vec<usize>,
    /// Clubs of each set, sets in the order of their first clubs.
    clubs: Vec<Vec<usize>>,
}

impl Sets {
    /// The sets of some clubs, by the names that these give.
    ///
    /// ```
    /// use agewright_calibration::DatedClub;
    /// use agewright_calibration::dated::sets::Sets;
    /// use agewright_model::{Axis, Club, KnownDate};
    ///
    /// let date = KnownDate::new(Axis::new(1800, 1900, 10).unwrap(), 1850, 1850, Default::default()).unwrap();
    /// let lone = DatedClub::new(Club::default(), date);
    /// let clubs = [lone.clone().of_set("lot 4"), lone.clone(), lone.clone().of_set("lot 4"), lone];
    /// let sets = Sets::of(clubs.iter());
    /// assert_eq!((sets.len(), sets.mates(2)), (3, &[0, 2][..]));
    /// assert_eq!((sets.of_several(), sets.clubs_of_several()), (1, 2));
    /// ```
    #[must_use]
    pub fn of<'a>(clubs: impl Iterator<Item = &'a DatedClub>) -> Self {
        let mut sets = Self::default();
        let mut named: BTreeMap<&str, usize> = BTreeMap::new();
        for (place, club) in clubs.enumerate() {
            let new = sets.clubs.len();
            let own = club.set.as_deref().map_or(new, |name| *named.entry(name).or_insert(new));
            if own == new {
                sets.clubs.push(Vec::new());
            }
            sets.clubs[own].push(place);
            sets.of.push(own);
        }
        sets
    }

    /// So many clubs, each by itself.
    #[must_use]
    pub fn single(n_clubs: usize) -> Self {
        Self { of: (0..n_clubs).collect(), clubs: (0..n_clubs).map(|club| vec![club]).collect() }
    }

    /// Number of sets, those of one club among them.
    #[must_use]
    pub fn len(&self) -> usize {
        self.clubs.len()
    }

    /// Whether there is no club.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.clubs.is_empty()
    }

    /// Set of a club.
    ///
    /// # Panics
    /// For a club that is not there.
    #[must_use]
    pub fn set_of(&self, club: usize) -> usize {
        self.of[club]
    }

    /// Clubs of a club's set, itself among them, in order.
    ///
    /// # Panics
    /// For a club that is not there.
    #[must_use]
    pub fn mates(&self, club: usize) -> &[usize] {
        &self.clubs[self.of[club]]
    }

    /// The sets, each as its clubs.
    #[must_use]
    pub fn all(&self) -> &[Vec<usize>] {
        &self.clubs
    }

    /// Number of sets of two clubs or more.
    #[must_use]
    pub fn of_several(&self) -> usize {
        self.clubs.iter().filter(|clubs| clubs.len() > 1).count()
    }

    /// Number of clubs in sets of two or more.
    #[must_use]
    pub fn clubs_of_several(&self) -> usize {
        self.clubs.iter().filter(|clubs| clubs.len() > 1).map(Vec::len).sum()
    }
}

/// Sets by number, for tests.
#[cfg(test)]
pub(crate) fn sets_of(numbers: &[usize]) -> Sets {
    let n_sets = numbers.iter().max().map_or(0, |last| last + 1);
    let of_set = |set| (0..numbers.len()).filter(|&club| numbers[club] == set).collect();
    Sets { of: numbers.to_vec(), clubs: (0..n_sets).map(of_set).collect() }
}
