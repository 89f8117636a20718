//! The years and lags that clues leave, and what each clue is worth in them: how well it is borne out, whether it is
//! misread.

use crate::evidence::evidence::Evidence;
use crate::evidence::own_years::OwnYears;
use crate::numbers::ln_sums::{ln_product, scaled_from_ln};
use crate::numbers::shared_lag::{LaggedWeights, SharedLag};
use crate::tables::prior::Prior;
use std::borrow::Cow;

/// What some clues leave open: how likely each year of making is, each year of fashion, and the lag from one to the
/// other.
struct Remaining<'a> {
    making: Vec<f64>,
    fashion: Vec<f64>,
    lag: Cow<'a, SharedLag>,
}

impl<'a> Remaining<'a> {
    fn of(evidence: &'a Evidence, prior: &Prior, keep: impl Fn(usize) -> bool) -> Self {
        let [fashion, making] = evidence.ln_sides(&keep);
        let making = scaled_from_ln(&ln_product(&[prior.ln_by_year(), &making]));
        let of_all = Self { making, fashion: scaled_from_ln(&fashion), lag: evidence.lag_with(keep) };
        if of_all.by_making().iter().sum::<f64>() > 0.0 {
            return of_all;
        }
        // Likelihoods so far apart that all of their products underflow tell nothing of the lag.
        let fashion = vec![1.0; of_all.making.len()];
        Self { fashion, lag: Cow::Borrowed(&evidence.lag), ..of_all }
    }

    /// Probability of each year of making.
    fn by_making(&self) -> Vec<f64> {
        let mut sums = vec![0.0; self.making.len()];
        self.lag.blur(&self.fashion, &mut Vec::new(), &mut sums);
        normalised(sums.iter().zip(&self.making).map(|(sum, weight)| sum * weight).collect())
    }

    /// Probability of each year of fashion.
    fn by_fashion(&self) -> Vec<f64> {
        normalised(self.lag.by_fashion(&self.making, &self.fashion))
    }

    /// Probability of each lag and year of making together.
    fn together(&self) -> Vec<LaggedWeights> {
        let mut together = self.lag.together(&self.making, &self.fashion);
        let total: f64 = together.iter().flat_map(|lagged| &lagged.by_making).sum();
        together.iter_mut().flat_map(|lagged| &mut lagged.by_making).for_each(|weight| *weight /= total);
        together
    }

    /// The years that the part's own clues speak of.
    fn own_years(&self) -> OwnYears {
        OwnYears { fashion: self.by_fashion(), making: self.by_making(), cell: 0.0 }
    }
}

/// In proportion, to a sum of 1; zeros where there is nothing.
fn normalised(mut weights: Vec<f64>) -> Vec<f64> {
    let total: f64 = weights.iter().sum();
    if total > 0.0 {
        weights.iter_mut().for_each(|weight| *weight /= total);
    }
    weights
}

impl Evidence {
    /// How well the other clues bear one out, 0 to 1: its own likelihood averaged over the years and lags that they
    /// leave, as a share of its highest in any.
    pub(crate) fn support(&self, prior: &Prior, clue: usize) -> f64 {
        let rest = Remaining::of(self, prior, |other| other != clue);
        if let Some(joined) = self.joined.as_ref().filter(|joined| joined.places.contains(&clue)) {
            let likelihood = joined.likelihood(joined.set_of(|place| place == clue));
            let (mut mean, mut highest) = (0.0, 0.0_f64);
            for LaggedWeights { ahead, by_making } in rest.together() {
                for (p, likelihood) in by_making.iter().zip(likelihood(ahead).iter()) {
                    mean += p * likelihood;
                    highest = highest.max(*likelihood);
                }
            }
            return if highest > 0.0 { (mean / highest).clamp(0.0, 1.0) } else { 1.0 };
        }
        // Own clues are told of by their highest in any year, whether a lag reaches it or not.
        let plain = scaled_from_ln(&self.ln_alone(clue));
        let years = if self.is_fashion(clue) { rest.by_fashion() } else { rest.by_making() };
        years.iter().zip(&plain).map(|(p, likelihood)| p * likelihood).sum::<f64>().clamp(0.0, 1.0)
    }

    /// Probability of each year of fashion, given the clues that are kept; where nothing lags, of each year.
    pub(crate) fn fashion_years(&self, prior: &Prior, keep: impl Fn(usize) -> bool) -> Vec<f64> {
        Remaining::of(self, prior, keep).by_fashion()
    }

    /// Chance that each clue is misread on a part of the axis's years, given all clues, averaged over the year and the
    /// lag that remain (for a level adjuster, its chance before they are known), in the order of [`Self::clue_ids`].
    #[must_use]
    pub fn misread(&self, prior: &Prior) -> Vec<f64> {
        let remaining = Remaining::of(self, prior, |_| true);
        let mut chances = self.own_misread(&remaining.own_years());
        if let Some(joined) = &self.joined {
            let all = joined.misread(&remaining.together());
            joined.places.iter().zip(all).for_each(|(&place, misread)| chances[place] = misread);
        }
        chances.iter().map(|chance| chance.clamp(0.0, 1.0)).collect()
    }

    /// The same on a part of after the axis, averaged over the years that it may copy.
    pub(crate) fn misread_after(&self, prior: &Prior) -> Vec<f64> {
        let mut chances = self.own_misread(&self.copied_years(prior));
        let named = (0..self.clues.len()).filter_map(|place| Some((place, self.after_of(place)?.misread)));
        named.for_each(|(place, misread)| chances[place] = misread);
        if let Some(joined) = &self.joined {
            let all = joined.misread_after(&self.after.lags);
            joined.places.iter().zip(all).for_each(|(&place, misread)| chances[place] = misread);
        }
        chances.iter().map(|chance| chance.clamp(0.0, 1.0)).collect()
    }

    /// The years that a part of after the axis copies, given its own clues.
    fn copied_years(&self, prior: &Prior) -> OwnYears {
        let fixed = |place: &usize| self.joined.as_ref().is_some_and(|joined| joined.places.contains(place));
        let is_copied = |place: usize| !fixed(&place) && self.after_of(place).is_none();
        match &self.after.copies {
            Some(chances) => OwnYears::of_years(self.copied(is_copied).years(chances)),
            None => Remaining::of(self, prior, is_copied).own_years(),
        }
    }

    /// Chance that each of the part's own clues is misread, averaged over years.
    fn own_misread(&self, years: &OwnYears) -> Vec<f64> {
        let mut all: Vec<f64> = self.clues.iter().map(|clue| clue.misread).collect();
        self.blocks.iter().for_each(|block| block.misread_into(&mut all, years));
        all
    }
}
