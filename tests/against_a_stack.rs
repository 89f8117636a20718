//! The model against a stack of seven general-purpose learners (scikit-learn, NGBoost), on the same draws of two open
//! collections; and what readings hidden or misread at dating time cost (draws, scores and versions:
//! reference/SOURCES.md; the script that made them: reference/make_stack.py).
#![allow(clippy::print_stdout, reason = "what was measured is shown with --nocapture")]
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::{DatedClub, FitMethod, FitSettings, fit};
use agewright_model::{Calibration, Catalogue, Cell, Seen};
use external_checks::open_sets::OpenSet;
use external_checks::posterior;
use std::collections::BTreeMap;

const DRAWS: &str = include_str!("reference/stack_draws.csv");
const SCORES: &str = include_str!("reference/stack_scores.csv");

/// One draw: clubs to fit on, and others to date.
struct Draw {
    collection: String,
    n: usize,
    draw: usize,
    catalogue: Catalogue,
    train: Vec<DatedClub>,
    test: Vec<DatedClub>,
}

fn draws() -> Vec<Draw> {
    type Row = (String, usize, usize, String, String);
    let mut by_draw: BTreeMap<(String, usize, usize), Vec<(String, bool)>> = BTreeMap::new();
    for row in csv::Reader::from_reader(DRAWS.as_bytes()).deserialize::<Row>() {
        let (collection, n, draw, id, role) = row.unwrap();
        by_draw.entry((collection, n, draw)).or_default().push((id, role == "train"));
    }
    let draw = |((collection, n, draw), rows): ((String, usize, usize), Vec<(String, bool)>)| {
        let (catalogue, clubs) = match collection.as_str() {
            "skulls" => OpenSet { axis: [-4250, 500, 250], misread: 0.03 }.skulls(),
            _ => OpenSet { axis: [1970, 1983, 1], misread: 0.03 }.cars(),
        };
        let of = |train: bool| {
            let ids: Vec<&str> = rows.iter().filter(|row| row.1 == train).map(|row| row.0.as_str()).collect();
            clubs.iter().filter(|club| ids.contains(&club.club.id.as_str())).cloned().collect()
        };
        Draw { train: of(true), test: of(false), collection, n, draw, catalogue }
    };
    by_draw.into_iter().map(draw).collect()
}

/// Mean scores of a calibration on clubs.
#[derive(Debug, Clone, Copy, Default)]
struct Scores {
    ln: f64,
    crps: f64,
    in_80: f64,
    in_95: f64,
}

/// Sum over whole years of (F(y) - [y >= truth])^2: as the learners were scored.
fn crps(by_year: &[f64], truth: usize) -> f64 {
    let mut below = 0.0;
    let square = |(ix, p): (usize, &f64)| {
        below += p;
        (below - f64::from(ix >= truth)).powi(2)
    };
    by_year.iter().enumerate().map(square).sum()
}

fn scores(calibration: &Calibration, clubs: &[DatedClub]) -> Scores {
    let mut sum = Scores::default();
    let n = clubs.len() as f64;
    for club in clubs {
        let (year, answer) = (club.made_from(), posterior(calibration, &club.club, None));
        sum.ln += answer.probability_between(year, year).ln() / n;
        sum.crps += crps(answer.by_year(), answer.axis().year_ix(year).unwrap()) / n;
        sum.in_80 += f64::from(answer.band(0.8).contains(year)) / n;
        sum.in_95 += f64::from(answer.band(0.95).contains(year)) / n;
    }
    sum
}

fn fitted(draw: &Draw, shelf: bool) -> Calibration {
    let settings = FitSettings { method: FitMethod { shelf, ..FitMethod::default() }, ..FitSettings::default() };
    fit(&draw.catalogue, &draw.train, &settings).unwrap().calibration
}

/// CRPS of a learner in a draw.
fn of_learner(draw: &Draw, learner: &str) -> f64 {
    let reader = &mut csv::Reader::from_reader(SCORES.as_bytes());
    let mut rows = reader.deserialize::<BTreeMap<String, String>>().map(Result::unwrap);
    let own = |row: &BTreeMap<String, String>| {
        row["collection"] == draw.collection
            && row["n"] == draw.n.to_string()
            && row["draw"] == draw.draw.to_string()
            && row["learner"] == learner
    };
    rows.find(own).unwrap()["crps"].parse().unwrap()
}

/// On average ahead of the stack by a twentieth, and never by a hundredth behind the tables alone.
#[test]
fn the_model_is_ahead_of_a_stack_of_learners() {
    let mut ratios = Vec::new();
    for draw in draws() {
        let (both, tables) = (scores(&fitted(&draw, true), &draw.test), scores(&fitted(&draw, false), &draw.test));
        let (stack, best) = (of_learner(&draw, "stack"), of_learner(&draw, "best_of_seven_by_crps"));
        println!(
            "{} {} {}: CRPS {:.3}, to tables {:.3}, to the stack {:.3}, to the best {:.3}; ln {:.3} ({:.3}); \
             {:.3} {:.3}",
            draw.collection,
            draw.n,
            draw.draw,
            both.crps,
            both.crps / tables.crps,
            both.crps / stack,
            both.crps / best,
            both.ln,
            tables.ln,
            both.in_80,
            both.in_95
        );
        ratios.push((draw.collection.clone(), both.crps / stack, both.crps / tables.crps));
    }
    let mean = |name: &str, of: &dyn Fn(&(String, f64, f64)) -> f64| {
        let own: Vec<f64> = ratios.iter().filter(|ratio| ratio.0 == name).map(of).collect();
        (own.iter().map(|ratio| ratio.ln()).sum::<f64>() / own.len() as f64).exp()
    };
    for name in ["cars", "skulls"] {
        let (stack, tables) = (mean(name, &|ratio| ratio.1), mean(name, &|ratio| ratio.2));
        println!("{name}: to the stack {stack:.3}, to the tables alone {tables:.3}");
        assert!(tables < 1.01, "{name}: {tables} of the tables alone");
    }
    assert!(mean("cars", &|ratio| ratio.1) < 0.97 && mean("skulls", &|ratio| ratio.1) < 0.98);
}

/// Cars to be dated with half or three quarters of their readings hidden, or one measure in three of ten clubs misread
/// by 4 to 15 standard deviations: the second witness costs the first nothing, and the bands hold.
#[test]
fn hidden_and_misread_readings_are_borne() {
    type Spoil = fn(usize, usize, Cell) -> Cell;
    let half: Spoil = |n, clue, cell| if (n * 7 + clue * 5) % 2 == 0 { cell } else { Cell::NotExamined };
    let quarter: Spoil = |n, clue, cell| if (n * 3 + clue * 5) % 4 == 0 { cell } else { Cell::NotExamined };
    let misread: Spoil = |n, clue, cell| {
        // Standard deviations of the cars' measures, in ln.
        let sd = [0.33, 0.51, 0.35, 0.28, 0.18][clue % 5];
        let Cell::Read(mut reading) = cell else { return cell };
        if let (true, Seen::Measure { value, .. }) = (n % 10 < 3 && n % 5 == clue, &mut reading.seen) {
            let off = 4.0 + (n % 12) as f64;
            let sign = if n % 2 == 0 { 1.0 } else { -1.0 };
            *value *= (sign * off * sd).exp();
        }
        Cell::Read(reading)
    };
    for (name, spoil) in [("half hidden", half), ("three quarters hidden", quarter), ("misread", misread)] {
        let (mut both, mut tables) = (Scores::default(), Scores::default());
        let mut n_draws = 0.0;
        for draw in draws().iter().filter(|draw| draw.collection == "cars" && draw.n >= 100) {
            let spoilt = |(n, club): (usize, &DatedClub)| {
                let mut club = club.clone();
                let cells = std::mem::take(&mut club.club.cells);
                let spoil = |(clue, cell)| spoil(n, clue, cell);
                club.club.cells = cells.into_iter().enumerate().map(spoil).collect();
                club
            };
            let test: Vec<DatedClub> = draw.test.iter().enumerate().map(spoilt).collect();
            for (sum, shelf) in [(&mut both, true), (&mut tables, false)] {
                let own = scores(&fitted(draw, shelf), &test);
                sum.crps += own.crps;
                sum.in_80 += own.in_80;
                sum.in_95 += own.in_95;
            }
            n_draws += 1.0;
        }
        let (ratio, in_95) = (both.crps / tables.crps, both.in_95 / n_draws);
        println!(
            "{name}: CRPS {:.3}, to the tables alone {ratio:.3}; bands hold {:.3} and {in_95:.3} (tables {:.3}, {:.3})",
            both.crps / n_draws,
            both.in_80 / n_draws,
            tables.in_80 / n_draws,
            tables.in_95 / n_draws
        );
        assert!(ratio < 1.0 && (0.92..0.99).contains(&in_95), "{name}: {ratio} of the tables, 95 % band {in_95}");
    }
}
