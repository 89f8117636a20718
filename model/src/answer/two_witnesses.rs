//! Tables against shelf: where the two witnesses speak for different times.

use crate::answer::band::Band;
use crate::evidence::evidence::Evidence;
use crate::numbers::ln_sums::{ln_product, normalised_from_ln};
use crate::tables::prior::Prior;

/// Two witnesses that agree on less than this share of what each says by itself are apart: they read the same clues,
/// and differ by less than two kinds of clue do.
pub const WITNESSES_OVERLAP: f64 = 0.3;
/// A shelf that counts for less is no witness to be heard against the tables.
const LEAST_WEIGHT: f64 = 0.2;

/// Tables and dated clubs that speak for different times.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WitnessesApart {
    /// First and last year of the 80 % band by the tables alone.
    pub tables: (i32, i32),
    /// The same by the votes of the dated clubs alone.
    pub shelf: (i32, i32),
    /// Shared probability of the two, 0 to 1: the sum over years of the lesser.
    pub overlap: f64,
}

/// The two witnesses apart, if they are: the sum over years of min(p, q) below [`WITNESSES_OVERLAP`], p the prior times
/// the tempered likelihood of the tables, q the prior times W_S/W_A, by the year of fashion, each normalised by itself.
#[must_use]
pub fn witnesses_apart(evidence: &Evidence, prior: &Prior) -> Option<WitnessesApart> {
    let shelf = evidence.shelf.as_ref().filter(|shelf| shelf.weight >= LEAST_WEIGHT)?;
    let shelf = shelf.ln_by_year(shelf.all());
    let by = |ln: &[f64]| normalised_from_ln(&ln_product(&[ln, prior.ln_by_year()]));
    let (p, q) = (by(&evidence.ln_by_fashion(|_| true)), by(&shelf));
    let overlap: f64 = p.iter().zip(&q).map(|(p, q)| p.min(*q)).sum();
    let band = |probability: &[f64]| {
        let band = Band::shortest(evidence.axis, probability, None, 0.8);
        (band.from(), band.to())
    };
    (overlap < WITNESSES_OVERLAP).then(|| WitnessesApart { tables: band(&p), shelf: band(&q), overlap })
}
