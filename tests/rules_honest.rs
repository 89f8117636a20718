//! What the starter rules alone say of clubs drawn from themselves, with what rules do not know: a lead or lag that all
//! clues of a club share, and a budget grade finished the old way.
//!
//! Twelve cells: a lag of 8 and of 12 years, a budget grade of 15 and of 30 in 100, 4, 8 and 16 clues read. The
//! exponent and the lag allowed for are those of the highest mean log score over all cells; what the bands hold is
//! looked at after. How a budget line differs is common practice, no source, its years a judgement.
#![allow(clippy::print_stdout, reason = "what was measured is shown with --nocapture")]
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::draw_club_by;
use agewright_model::{Asked, Calibration, Cell, Club, Clue, Part, Posterior};
use external_checks::{STARTER, changed};
use rand::seq::SliceRandom as _;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution as _, Normal};
use std::sync::LazyLock;

const CLUBS: usize = 400;

/// A drawn club with its true year.
type Drawn = (i32, Club);

/// Clubs of one cell.
struct CellOfClubs {
    name: String,
    clubs: Vec<Drawn>,
}

static CELLS: LazyLock<Vec<CellOfClubs>> = LazyLock::new(|| {
    let mut cells = Vec::new();
    for lag in [8.0, 12.0] {
        for budget in [0.15, 0.3] {
            for n in [4, 8, 16] {
                let mut random = ChaCha8Rng::seed_from_u64(cells.len() as u64 + 1);
                let clubs = (0..CLUBS).map(|_| draw(lag, budget, n, &mut random)).collect();
                cells.push(CellOfClubs { name: format!("lag {lag}, budget {budget}, {n} clues"), clubs });
            }
        }
    }
    cells
});

/// Years by which a budget line keeps to the old way of finishing, and leaves off marks.
fn behind(clue: &Clue) -> i32 {
    match clue.id.as_str() {
        "marks_on_head" => 40,
        "nicking_coarseness" | "nicking_regularity" | "nicking_depth" | "tine_finish" | "hammer_weld"
        | "face_scoring" | "scoring_regularity" | "back_design" | "name_or_number" | "stamping_method"
        | "country_wording" | "quality_wording" | "head_finish" => 12,
        _ => 0,
    }
}

/// A club of a year from the default prior, read for so many clues of its head.
fn draw(lag: f64, budget: f64, n_clues: usize, random: &mut ChaCha8Rng) -> Drawn {
    let axis = STARTER.catalogue().axis();
    let mut left: f64 = random.random();
    let shares = STARTER.prior(None).unwrap().ln_by_year().iter().map(|ln| ln.exp());
    let place = shares
        .take_while(|share| {
            left -= share;
            left > 0.0
        })
        .count();
    let year = axis.year_at(place.min(axis.n_years() - 1));
    let lag: f64 = Normal::new(0.0, lag).unwrap().sample(random);
    let (fashion, is_budget) = (year + lag.round() as i32, random.random_bool(budget));
    let own = |clue: &Clue| fashion - if is_budget { behind(clue) } else { 0 };
    let mut club = draw_club_by(&STARTER, own, random);
    let of_head = |ix: &usize| STARTER.catalogue().clues()[*ix].part == Part::Head;
    let (mut head, rest): (Vec<usize>, Vec<usize>) = (0..club.cells.len()).partition(of_head);
    head.retain(|&ix| club.cells[ix].reading().is_some());
    head.shuffle(random);
    rest.iter().chain(&head[n_clues..]).for_each(|&ix| club.cells[ix] = Cell::NotExamined);
    (year, club)
}

/// The starter rules with another exponent and lag.
fn with(weight: f64, lag: f64) -> Calibration {
    changed(&STARTER, |contents| {
        contents.shared_lag = lag;
        contents.tables.own_weights_mut().for_each(|(_, own)| *own = weight);
        contents.tables.blocks.iter_mut().for_each(|block| block.weight = weight);
    })
}

/// What a cell's clubs get: mean log score, and the shares that the 80 and 95 % bands hold.
struct Held {
    log_score: f64,
    bands: [f64; 2],
}

#[expect(clippy::cast_precision_loss, reason = "clubs are few")]
fn held(calibration: &Calibration, clubs: &[Drawn]) -> Held {
    let mut held = Held { log_score: 0.0, bands: [0.0; 2] };
    for (year, club) in clubs {
        let asked = Asked::new(calibration, club, Part::Head, None, &[]).unwrap();
        let posterior = Posterior::of(asked.evidence(), asked.prior(), |_| true);
        held.log_score += posterior.by_year()[posterior.axis().year_ix(*year).unwrap()].ln() / clubs.len() as f64;
        for (sum, level) in held.bands.iter_mut().zip([0.8, 0.95]) {
            *sum += f64::from(u8::from(posterior.band(level).contains(*year))) / clubs.len() as f64;
        }
    }
    held
}

fn mean_log_score(weight: f64, lag: f64) -> f64 {
    let calibration = with(weight, lag);
    CELLS.iter().map(|cell| held(&calibration, &cell.clubs).log_score).sum::<f64>() / 12.0
}

fn chosen() -> (f64, f64) {
    (STARTER.tables().own_tables().next().unwrap().weight, STARTER.shared_lag())
}

/// The built-in exponent and lag are the best of all that were tried. Where this fails after a change of the rules, the
/// message names the better pair, to be put in the place of RULES_WEIGHT and RULES_LAG.
#[test]
fn no_neighbouring_exponent_or_lag_scores_better() {
    let (weight, lag) = chosen();
    let best = mean_log_score(weight, lag);
    for (w, s) in [(-0.1, 0.0), (0.1, 0.0), (0.0, -2.0), (0.0, 2.0), (0.1, 2.0), (-0.1, -2.0), (0.1, -2.0), (-0.1, 2.0)]
    {
        let other = mean_log_score(weight + w, lag + s);
        assert!(
            other <= best,
            "exponent {} with a lag of {} scores {other}, {weight} with {lag} {best}",
            weight + w,
            lag + s
        );
    }
}

/// The whole grid: run with --ignored --nocapture.
#[test]
#[ignore = "a minute; the neighbours are tried every time"]
fn the_whole_grid() {
    let mut best = (f64::NEG_INFINITY, 0.0, 0.0);
    for weight in [0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1] {
        for lag in [0.0, 4.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.0] {
            let score = mean_log_score(weight, lag);
            println!("exponent {weight}, lag {lag}: {score:.4}");
            best = if score > best.0 { (score, weight, lag) } else { best };
        }
    }
    let (weight, lag) = chosen();
    assert!((best.1 - weight).abs() < 1e-9 && (best.2 - lag).abs() < 1e-9, "{best:?}");
}

/// Over all cells about four in five and nineteen in twenty, and no cell far from it. Each clue taken at 0.6 and no
/// lag, as before, holds 70 and 89 in the worst.
#[test]
fn the_bands_hold_what_they_say_in_every_cell() {
    let bands: Vec<[f64; 2]> = CELLS
        .iter()
        .map(|cell| {
            let bands = held(&STARTER, &cell.clubs).bands;
            println!("{}: {:.1} and {:.1} %", cell.name, 100.0 * bands[0], 100.0 * bands[1]);
            assert!(bands[0] >= 0.72 && bands[1] >= 0.91, "{}: {bands:?}", cell.name);
            bands
        })
        .collect();
    let mean = |k: usize| bands.iter().map(|own| own[k]).sum::<f64>() / 12.0;
    println!("mean: {:.1} and {:.1} %", 100.0 * mean(0), 100.0 * mean(1));
    assert!((0.78..=0.84).contains(&mean(0)) && (0.94..=0.97).contains(&mean(1)), "{} {}", mean(0), mean(1));
}
