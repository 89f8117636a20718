//! Orders of the clues for the ledger of a club with too many clues for all sets.

use rand::seq::SliceRandom as _;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng as _;
use sha2::{Digest as _, Sha256};

/// Number of orders; each is taken forwards and backwards, which halves the error at no cost in balance.
const ORDERS: usize = 400;

/// Orders seeded by the sorted ids of the clues: the same clues always get the same orders.
#[must_use]
pub fn clue_orders(sorted_ids: &[&str]) -> Vec<Vec<usize>> {
    let mut random = ChaCha8Rng::from_seed(Sha256::digest(sorted_ids.join("\n")).into());
    let mut orders = Vec::with_capacity(ORDERS);
    for _ in 0..ORDERS / 2 {
        let mut order: Vec<usize> = (0..sorted_ids.len()).collect();
        order.shuffle(&mut random);
        let backwards: Vec<usize> = order.iter().rev().copied().collect();
        orders.push(order);
        orders.push(backwards);
    }
    orders
}
