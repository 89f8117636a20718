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
/// reading that one calibration does not know), all that changed has one share.
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
    let of = |set: usize| -> Vec<Ingredient> {
        let own = changed.iter().enumerate().filter(|(place, _)| set & (1 << place) != 0);
        own.map(|(_, ingredient)| *ingredient).collect()
    };
    if changed.is_empty() {
        return Ok(Vec::new());
    }
    let all = (1_usize << changed.len()) - 1;
    let mixtures: Result<Vec<f64>, E> = (0..=all).map(|set| mean(&of(set))).collect();
    let Ok(means) = mixtures else {
        let years = mean(&of(all))? - mean(&[])?;
        return Ok(vec![ChangeShare { ingredients: changed.to_vec(), years }]);
    };
    let shares = exact_shares(changed.len(), &means).into_iter();
    Ok(changed.iter().zip(shares).map(|(one, years)| ChangeShare { ingredients: vec![*one], years }).collect())
}
