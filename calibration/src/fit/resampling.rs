//! Tables fitted again on resampled clubs: how far an answer hangs on which clubs were in the collection.

use crate::fit::date_narrowing::fit_narrowed;
use crate::smooth::kernels::Kernels;
use crate::tables::all_tables::TableFitError;
use crate::tables::fit_data::FitData;
use agewright_model::TableSet;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rayon::prelude::*;

/// As many sets of tables as `n`, each on as many clubs (or sets of clubs) as there are, drawn with replacement
/// (B. Efron, Bootstrap methods, 1979). A club drawn twice counts double rather than standing twice, so that it is
/// still left out whole when bandwidths are chosen. Exponents, adjusters and the catalogue are those of `whole`; a
/// clue that a draw cannot fit keeps its table.
///
/// # Errors
/// As [`fit_narrowed`].
pub(crate) fn draws(
    data: &FitData<'_>,
    kernels: &Kernels,
    whole: &TableSet,
    rounds: usize,
    n: usize,
    seed: u64,
) -> Result<Vec<TableSet>, TableFitError> {
    let draw = |ix: usize| {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        random.set_stream(ix as u64);
        let mut counts = vec![0.0; data.n_clubs()];
        for _ in 0..data.sets.len() {
            let set = &data.sets.all()[random.random_range(0..data.sets.len())];
            set.iter().for_each(|&club| counts[club] += 1.0);
        }
        let members: Vec<bool> = counts.iter().map(|count| *count > 0.0).collect();
        let tables = fit_narrowed(&resampled(data, &counts), kernels, &members, rounds)?;
        Ok(grafted(whole, &tables.set))
    };
    (0..n).into_par_iter().map(draw).collect()
}

fn resampled<'a>(data: &FitData<'a>, counts: &[f64]) -> FitData<'a> {
    let mut data = data.clone();
    for (worth, count) in data.worths.iter_mut().zip(counts) {
        *worth *= count;
    }
    data
}

/// The whole fit's tables with a draw's shares, means, spreads, correlations and prior in the place of their own.
fn grafted(whole: &TableSet, drawn: &TableSet) -> TableSet {
    let mut set = whole.clone();
    set.take_own_rows(drawn);
    for block in &mut set.blocks {
        let Some(other) = drawn.block(block.part) else { continue };
        for table in &mut block.clues {
            if let Some(other) = other.clues.iter().find(|other| other.clue == table.clue) {
                table.rows.clone_from(&other.rows);
            }
        }
        let same = block.clues.iter().map(|t| &t.clue).eq(other.clues.iter().map(|t| &t.clue));
        if same {
            block.correlation.clone_from(&other.correlation);
        }
    }
    for prior in &mut set.priors {
        if let Ok(other) = drawn.prior(&prior.name) {
            *prior = other.clone();
        }
    }
    set
}
