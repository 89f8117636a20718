//! Invents the dated irons of the demo collection. Nothing in it is real.
//!
//! `cargo run --release -p invented-irons > demo-data/wrackness.csv` writes the committed file again, byte for byte;
//! `-- 40` behind it one of forty times as many clubs, to time by.
//! The scenario and what is built into the data are told in `demo-data/README.md`.

mod invented_club;
mod looks_by_period;

use invented_club::{COLUMNS, invent};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::SeedableRng;
use std::io::Write;

const SEED: u64 = 1907;

/// Clubs made in each run of years: few survive from before the boom of the 1890s.
const CLUBS: [(i32, i32, usize); 11] = [
    (1790, 1819, 4),
    (1820, 1839, 4),
    (1840, 1849, 3),
    (1850, 1859, 3),
    (1860, 1869, 4),
    (1870, 1879, 5),
    (1880, 1889, 9),
    (1890, 1899, 25),
    (1900, 1909, 29),
    (1910, 1919, 22),
    (1920, 1934, 16),
];

/// Writes the whole collection as CSV, or one of so many times as many clubs.
///
/// # Errors
/// When `out` cannot be written.
pub fn write_collection(out: impl Write, times: usize) -> Result<(), csv::Error> {
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let mut out = csv::Writer::from_writer(out);
    out.write_record(COLUMNS)?;
    let mut number = 0;
    for (from, to, clubs) in CLUBS {
        for _ in 0..clubs * times {
            number += 1;
            out.write_record(invent(&mut random, number, (from, to)))?;
        }
    }
    out.flush()?;
    Ok(())
}
