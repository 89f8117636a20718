//! The years and lags that clues leave, and what each clue is worth in them: how well it is borne out, whether it is
//! misread.

use crate::evidence::evidence::Evidence;
use crate::numbers::ln_sums::{ln_product, scaled_from_ln};
use crate::numbers::shared_lag::{LaggedWeights, moved, shifted};
use crate::tables::prior::Prior;

impl Evidence {
    /// How well the other clues bear one out, 0 to 1: its own likelihood averaged over the years and lags that they
    /// leave, as a share of its highest in any.
    pub(crate) fn support(&self, prior: &Prior, clue: usize) -> f64 {
        let plain = scaled_from_ln(&self.ln_alone(clue));
        let joined = self.joined.as_ref().filter(|joined| joined.places.contains(&clue));
        let joined = joined.map(|joined| joined.likelihood(joined.set_of(|place| place == clue)));
        let under = |ahead: i32| match &joined {
            Some(likelihood) => likelihood(ahead).to_vec(),
            None if self.is_fashion(clue) => shifted(&plain, ahead),
            None => plain.clone(),
        };
        let (mut mean, mut highest) = (0.0, 0.0_f64);
        for LaggedWeights { ahead, by_making } in self.lagged_years(prior, |other| other != clue) {
            for (p, likelihood) in by_making.iter().zip(under(ahead)) {
                mean += p * likelihood;
                highest = highest.max(likelihood);
            }
        }
        // Own clues are told of by their highest in any year, whether a lag reaches it or not.
        let highest = if joined.is_some() { highest } else { 1.0 };
        if highest > 0.0 { (mean / highest).clamp(0.0, 1.0) } else { 1.0 }
    }

    /// Probability of each lag and year of making together, given the clues that are kept.
    fn lagged_years(&self, prior: &Prior, keep: impl Fn(usize) -> bool) -> Vec<LaggedWeights> {
        let [fashion, making] = self.ln_sides(&keep);
        let weights = scaled_from_ln(&ln_product(&[prior.ln_by_year(), &making]));
        let lag = self.lag_with(keep);
        let mut together = lag.together(&weights, &scaled_from_ln(&fashion));
        let sum = |all: &[LaggedWeights]| all.iter().flat_map(|lagged| &lagged.by_making).sum::<f64>();
        // Likelihoods so far apart that all of their products underflow tell nothing of the lag.
        if sum(&together) <= 0.0 {
            together = self.lag.together(&weights, &vec![1.0; weights.len()]);
        }
        let total = sum(&together);
        together.iter_mut().flat_map(|lagged| &mut lagged.by_making).for_each(|weight| *weight /= total);
        together
    }

    /// Probability of each year of fashion, given the clues that are kept; where nothing lags, of each year.
    pub(crate) fn fashion_years(&self, prior: &Prior, keep: impl Fn(usize) -> bool) -> Vec<f64> {
        let mut years = vec![0.0; self.axis.n_years()];
        for LaggedWeights { ahead, by_making } in self.lagged_years(prior, keep) {
            by_making.iter().enumerate().for_each(|(year, p)| years[moved(year, ahead, by_making.len())] += p);
        }
        years
    }

    /// Chance that each clue is misread on a part of the axis's years, given all clues, averaged over the year and the
    /// lag that remain (for a level adjuster, its chance before they are known), in the order of [`Self::clue_ids`].
    #[must_use]
    pub fn misread(&self, prior: &Prior) -> Vec<f64> {
        let mut chances = vec![0.0; self.clues.len()];
        let of_joined = self.joined.as_ref().map(|joined| (&joined.places, joined.misread()));
        for LaggedWeights { ahead, by_making } in self.lagged_years(prior, |_| true) {
            let mut all = self.own_misread_by_year(ahead);
            if let Some((places, misread)) = &of_joined {
                places.iter().zip(misread(ahead)).for_each(|(&place, by_year)| all[place] = by_year);
            }
            for (chance, misread) in chances.iter_mut().zip(all) {
                *chance += by_making.iter().zip(&misread).map(|(p, m)| p * m).sum::<f64>();
            }
        }
        chances.iter().map(|chance| chance.clamp(0.0, 1.0)).collect()
    }

    /// The same on a part of after the axis, averaged over the years that it may copy.
    pub(crate) fn misread_after(&self, prior: &Prior) -> Vec<f64> {
        let mut chances = vec![0.0; self.clues.len()];
        for LaggedWeights { ahead, by_making } in self.copied_years(prior) {
            for (chance, misread) in chances.iter_mut().zip(self.own_misread_by_year(ahead)) {
                *chance += by_making.iter().zip(&misread).map(|(p, m)| p * m).sum::<f64>();
            }
        }
        let named = (0..self.clues.len()).filter_map(|place| Some((place, self.after_of(place)?.misread)));
        named.for_each(|(place, misread)| chances[place] = misread);
        if let Some(joined) = &self.joined {
            let all = joined.misread_after(&self.after.lags);
            joined.places.iter().zip(all).for_each(|(&place, misread)| chances[place] = misread);
        }
        chances.iter().map(|chance| chance.clamp(0.0, 1.0)).collect()
    }

    /// Probability of each lag and year that a part of after the axis copies, given its own clues.
    fn copied_years(&self, prior: &Prior) -> Vec<LaggedWeights> {
        let fixed = |place: &usize| self.joined.as_ref().is_some_and(|joined| joined.places.contains(place));
        let is_copied = |place: usize| !fixed(&place) && self.after_of(place).is_none();
        match &self.after.copies {
            Some(chances) => {
                vec![LaggedWeights { ahead: 0, by_making: self.copied(is_copied).years(chances) }]
            }
            None => self.lagged_years(prior, is_copied),
        }
    }

    /// Chance by the year of making that each of the part's own clues is misread, where fashion is so many years ahead.
    fn own_misread_by_year(&self, ahead: i32) -> Vec<Vec<f64>> {
        let mut all: Vec<Vec<f64>> = self.clues.iter().map(|clue| vec![clue.misread; self.axis.n_years()]).collect();
        self.blocks.iter().for_each(|block| block.misread_into(&mut all, ahead));
        all
    }
}
