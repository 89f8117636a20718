//! Evidence that shares one exponent, and what every kind of it can be asked.

use crate::evidence::own_years::OwnYears;

/// A piece of evidence over some clues: a likelihood by year for every set of them.
///
/// A set is a bit mask over the clues of the piece, in an order of its own.
pub(crate) trait BySet {
    /// Years of the axis.
    fn n_years(&self) -> usize;

    /// ln likelihood by year of a set that is not empty, before the exponent.
    fn ln_by_year(&self, set: usize) -> Vec<f64>;

    /// Adds the ln likelihood by year of a set that is not empty, times the exponent, to a sum by year.
    fn add_ln(&self, set: usize, weight: f64, total: &mut [f64]) {
        total.iter_mut().zip(self.ln_by_year(set)).for_each(|(sum, ln)| *sum += weight * ln);
    }

    /// The same of all 2^n sets, in the order of their masks; the empty set says nothing.
    fn ln_of_all_sets(&self, n_clues: usize) -> Box<dyn Iterator<Item = Vec<f64>> + '_> {
        let nothing = vec![0.0; self.n_years()];
        Box::new(std::iter::once(nothing).chain((1..1_usize << n_clues).map(|set| self.ln_by_year(set))))
    }

    /// The first clue of a piece of so many whose evidence is no number, or holds every year for impossible; only
    /// tables of absurd numbers make such.
    fn first_absurd(&self, n_clues: usize) -> Option<usize> {
        let ln = self.ln_by_year((1 << n_clues) - 1);
        let is_absurd = ln.iter().any(|v| v.is_nan() || *v == f64::INFINITY) || ln.iter().all(|v| v.is_infinite());
        is_absurd.then_some(0)
    }

    /// Chance by year that each clue is misread, given all of them, in the order of the mask; clues that the list does
    /// not reach keep their chance before anything is known.
    fn misread_by_year(&self) -> Vec<Vec<f64>>;

    /// ln likelihood, before the exponent, on a part made after the axis ends, and the chance of a misreading there,
    /// where the rules say how that looks; a piece of one clue alone can have it.
    fn after(&self) -> Option<AfterTheAxis> {
        None
    }

    /// Whether it speaks of the year of fashion, which leads or lags with the club's other clues; a mark and a number
    /// speak of the year of making.
    fn is_fashion(&self) -> bool {
        true
    }
}

/// What a clue says on a part made after the axis ends.
#[derive(Debug, Clone, Copy)]
pub(crate) struct AfterTheAxis {
    pub ln: f64,
    pub misread: f64,
}

/// The set, as a bit mask over `places`, of those for which `keep` holds.
pub(crate) fn set_of(places: &[usize], keep: impl Fn(usize) -> bool) -> usize {
    let own = places.iter().enumerate().filter(|&(_, &place)| keep(place));
    own.fold(0, |set, (clue, _)| set | (1 << clue))
}

/// A piece of evidence with its exponent, and where its clues stand among all that count.
#[derive(Debug, Clone)]
pub(crate) struct Weighed<E> {
    /// Places of the piece's clues among all clues that count, in the order of its mask.
    pub places: Vec<usize>,
    /// Exponent in the posterior.
    pub weight: f64,
    pub evidence: E,
}

impl<E: BySet> Weighed<E> {
    /// The set of the piece's clues for which `keep` holds, by their places among all.
    pub fn set_of(&self, keep: impl Fn(usize) -> bool) -> usize {
        set_of(&self.places, keep)
    }

    /// The set of all of its clues.
    pub fn all(&self) -> usize {
        (1 << self.places.len()) - 1
    }

    /// ln likelihood by year of a set, before the exponent; zeros for the empty set.
    pub fn ln_by_year(&self, set: usize) -> Vec<f64> {
        if set == 0 { vec![0.0; self.evidence.n_years()] } else { self.evidence.ln_by_year(set) }
    }

    /// Adds the tempered ln likelihood of the clues that are kept to its own side of two sums by year: of fashion, of
    /// making.
    pub fn add_to_side(&self, [fashion, making]: &mut [Vec<f64>; 2], keep: impl Fn(usize) -> bool) {
        self.add_to(if self.evidence.is_fashion() { fashion } else { making }, keep);
    }

    /// Whether the rules say how it looks on a part made after the axis ends.
    pub fn is_named(&self) -> bool {
        self.evidence.after().is_some()
    }

    /// Adds the tempered ln likelihood of the clues that are kept to a sum by year.
    pub fn add_to(&self, total: &mut [f64], keep: impl Fn(usize) -> bool) {
        let set = self.set_of(keep);
        if set != 0 {
            self.evidence.add_ln(set, self.weight, total);
        }
    }

    /// Puts the chances of misreading in their places, summed over weights of the part's years.
    pub fn misread_into(&self, all: &mut [f64], years: &OwnYears) {
        for (&place, by_year) in self.places.iter().zip(self.evidence.misread_by_year()) {
            all[place] = years.sum(self.evidence.is_fashion(), &by_year);
        }
    }

    /// The factors that each set multiplies the posterior by, in the order of the masks.
    pub fn factors(&self) -> impl Iterator<Item = Factor> + '_ {
        self.evidence.ln_of_all_sets(self.places.len()).map(|ln| Factor::new(&ln, self.weight))
    }
}

/// A tempered likelihood by year: its ln, shifted so that the highest is 0, and the exponential of that.
#[derive(Debug, Clone)]
pub(crate) struct Factor {
    pub ln: Vec<f64>,
    pub plain: Vec<f64>,
}

impl Factor {
    pub fn new(ln_years: &[f64], weight: f64) -> Self {
        let top = ln_years.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let ln: Vec<f64> = ln_years.iter().map(|v| weight * (v - top)).collect();
        let plain = ln.iter().map(|v| v.exp()).collect();
        Self { ln, plain }
    }
}
