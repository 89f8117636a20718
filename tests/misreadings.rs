//! Readings that are wrong at the catalogue's rates, in the collection and on the clubs to be dated: the chance that a
//! reading is misread is what it is said to be.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::audit::scores::log_score;
use agewright_calibration::{DatedClub, FitSettings, fit};
use agewright_model::{Axis, Catalogue, Cell, Club, Clue, ClueKind, KnownDate, Level, Part, Reading, Seen};
use external_checks::date;
use rand::{Rng, RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution as _, StandardNormal, StudentT};

const N_LEVEL_CLUES: usize = 5;
const N_MEASURES: usize = 4;
const MISREAD_LEVEL: f64 = 0.15;
const MISREAD_MEASURE: f64 = 0.05;

fn small() -> Catalogue {
    let levels = ["early", "middle", "late"].map(Level::plain).to_vec();
    let level = |k| Clue {
        levels: levels.clone(),
        misread: MISREAD_LEVEL,
        ..Clue::new(&format!("level_{k}"), ClueKind::Levels, Part::Head)
    };
    let measure =
        |k| Clue { misread: MISREAD_MEASURE, ..Clue::new(&format!("measure_{k}"), ClueKind::Measured, Part::Head) };
    let clues = (0..N_LEVEL_CLUES).map(level).chain((0..N_MEASURES).map(measure)).collect();
    Catalogue::new("small", Axis::new(1800, 1900, 10).unwrap(), clues).unwrap()
}

/// True shares of a level clue's levels in a year: softmax of straight lines.
fn shares(clue: usize, year: i32) -> [f64; 3] {
    let x = f64::from(year - 1850) / (18.0 + 4.0 * clue as f64);
    let weights = [(-x).exp(), 1.0, x.exp()];
    weights.map(|w| w / weights.iter().sum::<f64>())
}

/// Shares over all years: what a misreading looks like.
fn overall(clue: usize) -> [f64; 3] {
    let mut sum = [0.0; 3];
    for year in 1800..1900 {
        sum.iter_mut().zip(shares(clue, year)).for_each(|(sum, share)| *sum += share / 100.0);
    }
    sum
}

fn draw(shares: [f64; 3], random: &mut impl Rng) -> usize {
    let mut rest = random.random::<f64>();
    shares
        .iter()
        .position(|share| {
            rest -= share;
            rest < 0.0
        })
        .unwrap_or(2)
}

/// A club of a year, and which of its readings are wrong.
fn club(id: String, year: i32, random: &mut impl Rng) -> (Club, Vec<bool>) {
    let mut wrong = Vec::new();
    let mut cells = Vec::new();
    let read = |seen| Cell::Read(Reading { text: "drawn".into(), seen, doubtful: false });
    for clue in 0..N_LEVEL_CLUES {
        let misread = random.random::<f64>() < MISREAD_LEVEL;
        wrong.push(misread);
        let level = draw(if misread { overall(clue) } else { shares(clue, year) }, random);
        cells.push(read(Seen::Levels(vec![level])));
    }
    for clue in 0..N_MEASURES {
        let spread = 0.4 + 0.2 * clue as f64;
        let drift = |year: i32| f64::from(year - 1850) / 25.0;
        let misread = random.random::<f64>() < MISREAD_MEASURE;
        wrong.push(misread);
        let noise: f64 = StandardNormal.sample(random);
        // Misread, it lies anywhere: over all years drift and spread make a standard deviation of about 1.25.
        let wild = 1.5 * (1.155_f64.powi(2) + spread * spread).sqrt() * StudentT::new(3.0).unwrap().sample(random);
        let value = if misread { wild } else { drift(year) + spread * noise };
        cells.push(read(Seen::Measure { value, tolerance: None }));
    }
    (Club { id, cells, ..Club::default() }, wrong)
}

#[test]
fn chances_of_misreading_are_what_they_say() {
    let catalogue = small();
    // By kind and bin: readings, sum of what was said, wrong ones.
    let mut bins = [[(0_u32, 0.0, 0.0); 4]; 2];
    let (mut score, mut n) = (0.0, 0.0);
    for seed in 0..10 {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let mut drawn = |id: String| {
            let year = random.random_range(1800..1900);
            (year, club(id, year, &mut random))
        };
        let dated = |(year, (club, _)): (i32, (Club, Vec<bool>))| {
            DatedClub::new(club, KnownDate::new(catalogue.axis(), year, year, Default::default()).unwrap())
        };
        let clubs: Vec<DatedClub> = (0..200).map(|k| dated(drawn(format!("{k:03}")))).collect();
        let fitted = fit(&catalogue, &clubs, &FitSettings::default()).unwrap().calibration;
        for _ in 0..200 {
            let (year, (club, wrong)) = drawn("new".into());
            let answer = date(&fitted, &club, None);
            score += log_score(&answer.posterior, year, year);
            n += 1.0;
            for entry in &answer.clues {
                let ix = catalogue.clue_ix(&entry.clue).unwrap();
                let bin = [0.1, 0.3, 0.6].iter().filter(|edge| entry.misread >= **edge).count();
                let of = &mut bins[usize::from(ix >= N_LEVEL_CLUES)][bin];
                *of = (of.0 + 1, of.1 + entry.misread, of.2 + f64::from(u8::from(wrong[ix])));
            }
        }
    }
    // With shares of readings taken for true ones, and misread measures in the spread, it was -3.345 here.
    assert!(score / n > -3.355, "log score {}", score / n);
    for (kind, bins) in ["levels", "measures"].iter().zip(&bins) {
        for (bin, &(n, said, wrong)) in bins.iter().enumerate() {
            println!(
                "{kind} bin {bin}: {n} readings, said {:.3}, true {:.3}",
                said / f64::from(n),
                wrong / f64::from(n)
            );
            if n >= 30 {
                assert!((said - wrong).abs() / f64::from(n) < 0.1, "{kind}, bin {bin}");
            }
        }
    }
}

/// A measure that is marked doubtful counts for less in the spread than a sure one, and so do pairs of it in the
/// correlation.
#[test]
fn doubtful_measures_count_for_less_in_the_fit() {
    let catalogue = small();
    let mut random = ChaCha8Rng::seed_from_u64(3);
    let with_doubt = |doubtful: &dyn Fn(usize) -> bool, random: &mut ChaCha8Rng| {
        let clubs: Vec<DatedClub> = (0..60)
            .map(|k| {
                let year = 1800 + (k as i32 * 37) % 100;
                let (mut club, _) = club(format!("{k:02}"), year, random);
                // Every third club lies far off in its measures, all of them together.
                for cell in &mut club.cells[N_LEVEL_CLUES..] {
                    if let Cell::Read(reading) = cell {
                        let off = if k % 3 == 0 { 1.5 } else { 0.0 };
                        let value = f64::from(year - 1850) / 25.0 + off + 0.1 * f64::from(k as i32 % 7 - 3);
                        reading.seen = Seen::Measure { value, tolerance: None };
                        reading.doubtful = doubtful(k);
                    }
                }
                DatedClub::new(club, KnownDate::new(catalogue.axis(), year, year, Default::default()).unwrap())
            })
            .collect();
        let fitted = fit(&catalogue, &clubs, &FitSettings::default()).unwrap().calibration;
        let block = &fitted.tables().blocks[0];
        block.clues[0].rows[5].sd
    };
    let sure = with_doubt(&|_| false, &mut random);
    let doubted = with_doubt(&|k| k % 3 == 0, &mut random);
    assert!(doubted < 0.97 * sure, "{doubted} and {sure}");
}
