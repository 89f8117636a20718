//! What moved an opinion: readings, calibration, prior and the rest of what was asked, each with its share.

use crate::numbers::shapley::exact_shares;

/// Something that an answer is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ingredient {
    /// What was read.
    Readings,
    /// Tables and rules.
    Calibration,
    /// The prior that was chosen, by its name.
    Prior,
    /// Clues that were left out, and whether the club was taken to be from elsewhere.
    Question,
}

impl Ingredient {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Readings, Self::Calibration, Self::Prior, Self::Question];
}

/// The share that some ingredients have in a change, in years of the average year.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangeShare {
    /// The ingredients; several where they cannot be told apart.
    pub ingredients: Vec<Ingredient>,
    /// Their share.
    pub years: f64,
}

/// Shares of the change from `mean(none new)` to `mean(all new)`: the Shapley value of each ingredient that changed,
/// its effect averaged over all orders in which old ones could have been exchanged for new. They add up to the change.
///
/// `mean` gives the average year with these ingredients new and the others old. Where a mixture cannot be asked (a
/// reading that one calibration does not know), those that cannot be parted have one share, as few of them as can be.
///
/// # Errors
/// What `mean` says of the old answer, or of the new one.
///
/// ```
/// use agewright_model::questions::opinion_change::{Ingredient, shares_of_change};
///
/// // Two that help each other share what they bring together.
/// let mean = |new: &[Ingredient]| match new.len() { 2 => Ok(1890.0), 0 => Ok(1880.0), _ => Ok::<f64, ()>(1883.0) };
/// let shares = shares_of_change(&[Ingredient::Readings, Ingredient::Prior], mean).unwrap();
/// assert_eq!(shares.iter().map(|share| share.years).collect::<Vec<_>>(), [5.0, 5.0]);
/// ```
pub fn shares_of_change<E>(
    changed: &[Ingredient],
    mean: impl Fn(&[Ingredient]) -> Result<f64, E>,
) -> Result<Vec<ChangeShare>, E> {
    let n = changed.len();
    if n == 0 {
        return Ok(Vec::new());
    }
    let of = |set: usize| -> Vec<Ingredient> {
        let own = changed.iter().enumerate().filter(|(place, _)| set & (1 << place) != 0);
        own.map(|(_, ingredient)| *ingredient).collect()
    };
    let all = (1_usize << n) - 1;
    let mut means: Vec<Option<f64>> = (0..=all).map(|set| mean(&of(set)).ok()).collect();
    // What the two answers themselves say is an error.
    (means[0], means[all]) = (Some(mean(&[])?), Some(mean(&of(all))?));
    let mut best: Option<Vec<ChangeShare>> = None;
    for groups in partitions(n) {
        let union = |set: usize| -> usize {
            groups.iter().zip(0..).filter(|(_, at)| set & (1 << at) != 0).map(|(own, _)| own).sum()
        };
        let of_groups: Option<Vec<f64>> = (0..1_usize << groups.len()).map(|set| means[union(set)]).collect();
        let Some(of_groups) = of_groups.filter(|_| best.as_ref().is_none_or(|best| groups.len() > best.len())) else {
            continue;
        };
        let shares = exact_shares(groups.len(), &of_groups).into_iter();
        best =
            Some(groups.iter().zip(shares).map(|(set, years)| ChangeShare { ingredients: of(*set), years }).collect());
    }
    Ok(best.unwrap_or_default())
}

/// All ways to put so many things into groups, each group as a set; the groups in the order of their first member.
fn partitions(n: usize) -> Vec<Vec<usize>> {
    (0..n).fold(vec![Vec::new()], |ways: Vec<Vec<usize>>, thing| {
        let with = |way: &Vec<usize>| {
            let joined = (0..way.len()).map(|group| {
                let mut way = way.clone();
                way[group] |= 1 << thing;
                way
            });
            joined.chain(std::iter::once([&way[..], &[1 << thing]].concat())).collect::<Vec<_>>()
        };
        ways.iter().flat_map(with).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_few_as_can_be_are_told_together() {
        use Ingredient::{Calibration, Prior, Question, Readings};
        // The new prior is none of the old calibration.
        let mean = |new: &[Ingredient]| {
            let has = |one| new.contains(&one);
            let known = has(Calibration) || !has(Prior);
            let sum = f64::from(u8::from(has(Readings))) * 4.0 + f64::from(u8::from(has(Calibration))) * 2.0;
            known.then_some(1880.0 + sum + f64::from(u8::from(has(Prior)))).ok_or(())
        };
        let shares = shares_of_change(&[Readings, Calibration, Prior], mean).unwrap();
        let told: Vec<_> = shares.iter().map(|share| (share.ingredients.clone(), share.years)).collect();
        assert_eq!(told, [(vec![Readings], 4.0), (vec![Calibration, Prior], 3.0)]);
        // Nothing but all or none can be asked.
        let ends = |new: &[Ingredient]| [0, 4].contains(&new.len()).then_some(new.len() as f64).ok_or(());
        let shares = shares_of_change(&[Readings, Calibration, Prior, Question], ends).unwrap();
        assert_eq!((shares.len(), shares[0].ingredients.len(), shares[0].years), (1, 4, 4.0));
        assert!(shares_of_change(&[Readings], |new: &[Ingredient]| new.is_empty().then_some(1.0).ok_or(())).is_err());
        // The Bell numbers: 1, 2, 5, 15 (OEIS A000110, from memory).
        assert_eq!([1, 2, 3, 4].map(|n| partitions(n).len()), [1, 2, 5, 15]);
    }
}
