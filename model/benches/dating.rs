//! Time to date one club, ledger and all, by the number of clues: half measured together, half levels.

use agewright_model::tables::level_table::{LevelRow, LevelTable};
use agewright_model::tables::measured_block::{MeasuredBlock, MeasuredRow, MeasuredTable};
use agewright_model::tables::prior::{PriorRow, Spread};
use agewright_model::tables::shelf::{PartShelf, Shelf, ShelfClub, ShelfClue};
use agewright_model::tables::shelf_scale::ShelfScale;
use agewright_model::{
    Accounting, Asked, Axis, Calibration, CalibrationContents, Catalogue, Club, Clue, ClueKind, Dating, Ledger, Level,
    Origin, Part, Prior, TableSet,
};
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};

const N_ROWS: usize = 16;

fn clue(place: usize, measured: bool) -> Clue {
    let (id, misread) = (format!("c{place:02}"), 0.05);
    if measured {
        return Clue { misread, ..Clue::new(&id, ClueKind::Measured, Part::Head) };
    }
    let levels = ["a", "b", "c"].map(Level::plain).to_vec();
    Clue { levels, misread, ..Clue::new(&id, ClueKind::Levels, Part::Head) }
}

#[expect(clippy::cast_precision_loss, reason = "counts are small")]
fn measured_table(place: usize) -> MeasuredTable {
    let mean = |row: usize| 0.1 * row as f64 * (1.0 + place as f64 / 8.0);
    MeasuredTable {
        clue: format!("c{place:02}"),
        clubs: 100,
        bandwidth: 20.0,
        overall_mean: 0.0,
        overall_sd: 1.5,
        rows: (0..N_ROWS).map(|row| MeasuredRow { clubs: 6.0, mean: mean(row), sd: 1.0 }).collect(),
    }
}

#[expect(clippy::cast_precision_loss, reason = "counts are small")]
fn level_table(place: usize) -> LevelTable {
    let share = |row: usize| (0.1 + 0.04 * row as f64 + 0.01 * place as f64).min(0.9);
    let shares = |row| vec![share(row), (1.0 - share(row)) / 2.0, (1.0 - share(row)) / 2.0];
    LevelTable {
        clue: format!("c{place:02}"),
        clubs: 100,
        bandwidth: 20.0,
        weight: 0.8,
        overall: vec![0.4, 0.3, 0.3],
        rows: (0..N_ROWS).map(|row| LevelRow { clubs: 6.0, shares: shares(row) }).collect(),
    }
}

/// Dated clubs whose readings drift with their years, somewhat apart from one another.
#[expect(clippy::unwrap_used, clippy::cast_precision_loss, clippy::cast_possible_wrap, reason = "made-up clubs")]
fn shelf(catalogue: &Catalogue, n: usize) -> Shelf {
    let n_measured = catalogue.clues().len() / 2;
    let club = |k: usize| {
        let year = 1780 + (k * 37 % 160) as i32;
        let text = |place: usize| match place < n_measured {
            true => format!("{:.2}", 0.01 * f64::from(year - 1780) + 0.3 * ((k * 13 + place * 7) % 11) as f64 / 11.0),
            false => ["a", "b", "c"][(k / 5 + place) % 3].to_owned(),
        };
        let texts: Vec<String> = (0..catalogue.clues().len()).map(text).collect();
        let readings: Vec<_> = catalogue.clues().iter().zip(&texts).map(|(c, t)| (c.id.as_str(), t.as_str())).collect();
        ShelfClub { club: catalogue.club(&format!("k{k}"), &readings).unwrap(), from: year, to: year, worth: 1.0 }
    };
    let measured = ShelfScale::Measured { centre: 0.8, spread: 0.5, repeats: false };
    let levels = ShelfScale::Levels { shares: vec![1.0 / 3.0; 3] };
    let clue = |(place, clue): (usize, &Clue)| ShelfClue {
        clue: clue.id.clone(),
        scale: if place < n_measured { measured.clone() } else { levels.clone() },
        relevance: vec![0.3],
        slopes: if place < n_measured { vec![0.1] } else { vec![0.1, 0.0, -0.1] },
    };
    let clues = catalogue.clues().iter().enumerate().map(clue).collect();
    let part = PartShelf { part: Part::Head, clues, allowance: 0.5, width: 0.18, weight: 0.6, reach: 1.0 };
    Shelf { anonymous: false, clubs: (0..n).map(club).collect(), parts: vec![part] }
}

#[expect(clippy::unwrap_used, reason = "the made-up tables are sound")]
fn calibration(n_clues: usize, shared_lag: f64, n_shelf: usize) -> Calibration {
    let axis = Axis::new(1780, 1940, 10).unwrap();
    let n_measured = n_clues / 2;
    let clues = (0..n_clues).map(|place| clue(place, place < n_measured)).collect();
    let catalogue = Catalogue::new("bench", axis, clues).unwrap();
    let rows = (0..16).map(|row| PriorRow { from: 1780 + 10 * row, to: 1789 + 10 * row, mass: 1.0 + f64::from(row) });
    let as_collected = Prior::from_rows(axis, Prior::AS_COLLECTED, Spread::Even, rows.collect()).unwrap();
    let correlation = |i: usize, j: usize| if i == j { 1.0 } else { 0.3 };
    let block = MeasuredBlock {
        part: Part::Head,
        degrees_of_freedom: 10.0,
        weight: 0.8,
        clues: (0..n_measured).map(measured_table).collect(),
        adjusters: Vec::new(),
        correlation: (0..n_measured).map(|i| (0..n_measured).map(|j| correlation(i, j)).collect()).collect(),
    };
    let levels = (n_measured..n_clues).map(level_table).collect();
    Calibration::new(CalibrationContents {
        name: "bench".into(),
        shelf: (n_shelf > 0).then(|| shelf(&catalogue, n_shelf)),
        catalogue,
        origin: Origin::default(),
        tables: TableSet { levels, blocks: vec![block], priors: vec![as_collected] },
        marks: Vec::new(),
        parts: None,
        shared_lag,
        default_prior: Prior::FLAT.into(),
        draws: Vec::new(),
    })
    .unwrap()
}

#[expect(clippy::unwrap_used, clippy::cast_precision_loss, reason = "the club's readings are sound")]
fn club(catalogue: &Catalogue) -> Club {
    let n_measured = catalogue.clues().len() / 2;
    let text = |place: usize| match place < n_measured {
        true => format!("{}", 0.7 + 0.1 * place as f64),
        false => ["a", "b", "c"][place % 3].to_owned(),
    };
    let readings: Vec<_> = catalogue.clues().iter().enumerate().map(|(n, clue)| (clue.id.as_str(), text(n))).collect();
    let readings: Vec<_> = readings.iter().map(|(id, text)| (*id, text.as_str())).collect();
    catalogue.club("bench", &readings).unwrap()
}

/// Two cores, as the program has them.
fn at_once(first: &(dyn Fn() + Sync), second: &(dyn Fn() + Sync)) {
    std::thread::scope(|scope| {
        scope.spawn(first);
        second();
    });
}

#[expect(clippy::unwrap_used, reason = "the flat prior is there")]
fn dating(criterion: &mut Criterion) {
    let with_shelf = "date one club, shelf of 200 clubs";
    let lagging = "date one club, shared lag of 10 years";
    for (name, shared_lag, n_shelf) in [("date one club", 0.0, 0), (lagging, 10.0, 0), (with_shelf, 0.0, 200)] {
        let mut group = criterion.benchmark_group(name);
        group.sample_size(10);
        for n_clues in [8, 12, 16, 20] {
            let calibration = calibration(n_clues, shared_lag, n_shelf);
            let club = club(calibration.catalogue());
            group.bench_with_input(BenchmarkId::from_parameter(n_clues), &n_clues, |bencher, _| {
                bencher.iter(|| {
                    let asked = Asked::new(&calibration, &club, Part::Head, None, &[]).unwrap();
                    (Dating::of(&asked), Ledger::of(&asked, Accounting::default().with_halves(&at_once)))
                });
            });
        }
        group.finish();
    }
}

criterion_group!(benches, dating);
criterion_main!(benches);
