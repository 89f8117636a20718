//! The arms of a part's own evidence: one clue by year, the measures together.
//!
//! A kind of evidence that looks at all clues of a part at once would be another arm, over the places of all.

use crate::evidence::measures::Measures;
use crate::evidence::one_clue::OneClue;
use crate::evidence::weighed::{AfterTheAxis, BySet};

/// One piece of evidence.
#[derive(Debug, Clone)]
pub(crate) enum Block {
    OneClue(OneClue),
    Measures(Measures),
}

impl Block {
    fn source(&self) -> &dyn BySet {
        match self {
            Self::OneClue(one) => one,
            Self::Measures(measures) => measures,
        }
    }
}

impl BySet for Block {
    fn n_years(&self) -> usize {
        self.source().n_years()
    }

    fn ln_by_year(&self, set: usize) -> Vec<f64> {
        self.source().ln_by_year(set)
    }

    fn add_ln(&self, set: usize, weight: f64, total: &mut [f64]) {
        self.source().add_ln(set, weight, total);
    }

    fn ln_of_all_sets(&self, n_clues: usize) -> Box<dyn Iterator<Item = Vec<f64>> + '_> {
        self.source().ln_of_all_sets(n_clues)
    }

    fn first_absurd(&self, n_clues: usize) -> Option<usize> {
        self.source().first_absurd(n_clues)
    }

    fn misread_by_year(&self) -> Vec<Vec<f64>> {
        self.source().misread_by_year()
    }

    fn after(&self) -> Option<AfterTheAxis> {
        self.source().after()
    }

    fn is_fashion(&self) -> bool {
        self.source().is_fashion()
    }
}
