//! Time to date one club, ledger and all, by the number of clues: half measured together, half levels.

use agewright_model::{
    Calibration, Catalogue, Cell, Club, Dating, DatingOptions, LevelRow, LevelTable, MeasuredBlock, MeasuredRow,
    MeasuredTable, Origin, Part, Prior, Reading, Scale, Seen,
};
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};

fn clue(id: &str, measured: bool) -> agewright_model::Clue {
    let kind = if measured { agewright_model::ClueKind::Measured } else { agewright_model::ClueKind::Levels };
    let level = |id: &str| agewright_model::Level { id: id.to_owned(), look: String::new() };
    agewright_model::Clue {
        id: id.to_owned(),
        label: String::new(),
        kind,
        unit: agewright_model::Unit::Plain,
        scale: Scale::Linear,
        range: None,
        tolerance: None,
        levels: if measured { Vec::new() } else { vec![level("a"), level("b"), level("c")] },
        marks: None,
        register: None,
        ordered: false,
        adjusts: false,
        part: Part::Head,
        misread: 0.05,
        how: String::new(),
    }
}

#[expect(clippy::unwrap_used, clippy::cast_precision_loss, reason = "a bench of made-up tables")]
fn calibration(n_clues: usize) -> (Calibration, Club) {
    let axis = agewright_model::Axis::new(1780, 1940, 10).unwrap();
    let n_measured = n_clues / 2;
    let clues = (0..n_clues).map(|n| clue(&format!("c{n:02}"), n < n_measured)).collect();
    let measured = (0..n_measured).map(|n| MeasuredTable {
        clue: format!("c{n:02}"),
        scale: Scale::Linear,
        clubs: 100,
        bandwidth: 20.0,
        misread: 0.05,
        adjusts: false,
        tolerance: 0.0,
        overall_mean: 0.0,
        overall_sd: 1.5,
        rows: (0..16)
            .map(|r| MeasuredRow { clubs: 6.0, mean: 0.1 * r as f64 * (1.0 + n as f64 / 8.0), sd: 1.0 })
            .collect(),
    });
    let rows = |n: usize| {
        let share = move |r: usize| (0.1 + 0.04 * r as f64 + 0.01 * n as f64).min(0.9);
        (0..16)
            .map(|r| LevelRow { clubs: 6.0, shares: vec![share(r), (1.0 - share(r)) / 2.0, (1.0 - share(r)) / 2.0] })
            .collect()
    };
    let levels = (n_measured..n_clues).map(|n| LevelTable {
        clue: format!("c{n:02}"),
        clubs: 100,
        bandwidth: 20.0,
        misread: 0.05,
        weight: 0.8,
        overall: vec![0.4, 0.3, 0.3],
        rows: rows(n),
    });
    let correlation = |i: usize, j: usize| if i == j { 1.0 } else { 0.3 };
    let mut calibration = Calibration {
        name: "bench".into(),
        catalogue: Catalogue::new("bench".into(), axis, clues).unwrap(),
        origin: Origin::default(),
        level_tables: levels.collect(),
        blocks: vec![MeasuredBlock {
            part: Part::Head,
            degrees_of_freedom: 10.0,
            weight: 0.8,
            clues: measured.collect(),
            adjusters: Vec::new(),
            correlation: (0..n_measured).map(|i| (0..n_measured).map(|j| correlation(i, j)).collect()).collect(),
        }],
        priors: vec![Prior::flat(axis)],
        default_prior: Prior::FLAT.into(),
        draws: Vec::new(),
        parts: None,
        marks: Vec::new(),
    };
    calibration.check().unwrap();
    let read = |seen| Cell::Read(Reading { text: "x".into(), seen, doubtful: false });
    let measure = |n: usize| read(Seen::Measure { value: 0.7 + 0.1 * n as f64, tolerance: None });
    let cells =
        (0..n_clues).map(|n| if n < n_measured { measure(n) } else { read(Seen::Levels(vec![n % 3])) }).collect();
    (calibration, Club { id: "bench".into(), cells, ..Club::default() })
}

#[expect(clippy::unwrap_used, reason = "the flat prior is there")]
fn dating(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("date one club");
    group.sample_size(10);
    for n_clues in [8, 12, 16, 20] {
        let (calibration, club) = calibration(n_clues);
        group.bench_with_input(BenchmarkId::from_parameter(n_clues), &n_clues, |bencher, _| {
            let options = DatingOptions {
                prior: None,
                without: &[],
                exact_up_to: agewright_model::EXACT_CLUES,
                orders: &|_| Vec::new(),
            };
            bencher.iter(|| Dating::of(&calibration, &club, Part::Head, options).unwrap());
        });
    }
    group.finish();
}

criterion_group!(benches, dating);
criterion_main!(benches);
