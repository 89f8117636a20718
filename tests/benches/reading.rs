//! Time to read a table of 100,000 clubs of twelve cells: good ones, and such that every row is wrong.

use agewright_files::{SourceText, TableOptions, read_collection};
use criterion::{Criterion, criterion_group, criterion_main};
use external_checks::demo_calibration;
use std::fmt::Write as _;

const ROWS: usize = 100_000;

/// A table of clubs whose nicking is written like this.
fn table(nicking: &str) -> String {
    let mut text = "id,made_from,made_to,date_grade,hosel_to_crease,top_edge,sole_width,nicking_coarseness,\
                    nicking_regularity,pin_direction,face_scoring,hosel_join\n"
        .to_owned();
    for n in 0..ROWS {
        let year = 1850 + n % 80;
        let hosel = 3.0 + f64::from(u32::try_from(n % 20).unwrap_or(0)) / 10.0;
        let _ = writeln!(
            text,
            "c{n},{year},{},1,{hosel:.2},5/32 in,0.31 ± 0.02,{nicking},even,side to side,smooth,curve?",
            year + 3
        );
    }
    text
}

fn reading(criterion: &mut Criterion) {
    let calibration = demo_calibration();
    let catalogue = calibration.catalogue();
    let mut group = criterion.benchmark_group("a table of 100,000 clubs");
    group.sample_size(10);
    for (name, nicking, is_good) in [("good", "medium", true), ("faulty in every row", "mdium", false)] {
        let source = SourceText::new("bench.csv", &table(nicking));
        group.bench_function(name, |bencher| {
            bencher.iter(|| {
                let read = read_collection(&source, catalogue, &TableOptions::default());
                assert_eq!(read.is_ok(), is_good);
            });
        });
    }
    group.finish();
}

criterion_group!(benches, reading);
criterion_main!(benches);
