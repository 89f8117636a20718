//! Time to date one club, ledger and all, by the number of clues: half measured together, half levels.

use agewright_model::tables::level_table::{LevelRow, LevelTable};
use agewright_model::tables::measured_block::{MeasuredBlock, MeasuredRow, MeasuredTable};
use agewright_model::{
    Accounting, Asked, Axis, Calibration, CalibrationContents, Catalogue, Club, Clue, ClueKind, Dating, Level, Origin,
    Part, Prior, TableSet,
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

#[expect(clippy::unwrap_used, reason = "the made-up tables are sound")]
fn calibration(n_clues: usize, shared_lag: f64) -> Calibration {
    let axis = Axis::new(1780, 1940, 10).unwrap();
    let n_measured = n_clues / 2;
    let clues = (0..n_clues).map(|place| clue(place, place < n_measured)).collect();
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
        catalogue: Catalogue::new("bench", axis, clues).unwrap(),
        origin: Origin::default(),
        tables: TableSet { levels, blocks: vec![block], ..TableSet::default() },
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

#[expect(clippy::unwrap_used, reason = "the flat prior is there")]
fn dating(criterion: &mut Criterion) {
    for (name, shared_lag) in [("date one club", 0.0), ("date one club, shared lag of 10 years", 10.0)] {
        let mut group = criterion.benchmark_group(name);
        group.sample_size(10);
        for n_clues in [8, 12, 16, 20] {
            let calibration = calibration(n_clues, shared_lag);
            let club = club(calibration.catalogue());
            group.bench_with_input(BenchmarkId::from_parameter(n_clues), &n_clues, |bencher, _| {
                bencher.iter(|| {
                    let asked = Asked::new(&calibration, &club, Part::Head, None, &[]).unwrap();
                    Dating::of(&asked, Accounting::default())
                });
            });
        }
        group.finish();
    }
}

criterion_group!(benches, dating);
criterion_main!(benches);
