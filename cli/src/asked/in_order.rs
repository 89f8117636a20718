//! Work on many clubs on all cores, its results in the order of the clubs.

use rayon::prelude::*;

/// So many are worked on before the first of them is passed on: what waits in memory is that much.
const AT_A_TIME: usize = 512;

/// What `work` makes of each, one after another: the same whatever the number of threads.
pub fn in_order<'a, T: Sync, R: Send + 'a>(
    items: &'a [T],
    work: impl Fn(&'a T) -> R + Sync + 'a,
) -> impl Iterator<Item = R> + 'a {
    items.chunks(AT_A_TIME).flat_map(move |some| some.par_iter().map(&work).collect::<Vec<R>>())
}
