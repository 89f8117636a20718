//! Time to fit and to audit 200 clubs of 20 clues, drawn from the demo's own tables.

use agewright_calibration::{AuditPlan, DatedClub, FitMethod, FitSettings, audit, draw_club, fit};
use agewright_model::reading::known_date::DateGrade;
use agewright_model::{Catalogue, Clue, KnownDate};
use criterion::{Criterion, criterion_group, criterion_main};
use external_checks::demo_calibration;
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

/// Two hundred clubs, one in three dated to five years; two of the demo's clues stand a second time to make twenty.
#[expect(clippy::unwrap_used, reason = "the demo is sound")]
fn clubs() -> (Catalogue, Vec<DatedClub>) {
    let calibration = demo_calibration();
    let again = |id: &str| Clue {
        id: format!("{id}_again"),
        ..calibration.catalogue().clues()[calibration.catalogue().clue_ix(id).unwrap()].clone()
    };
    let mut clues = calibration.catalogue().clues().to_vec();
    clues.extend([again("sole_width"), again("hosel_join")]);
    let catalogue = Catalogue::new("bench", calibration.catalogue().axis(), clues).unwrap();
    let prior = calibration.prior(Some("as-collected")).unwrap();
    let mut random = ChaCha8Rng::seed_from_u64(5);
    let mut other = ChaCha8Rng::seed_from_u64(6);
    let club = |n: i32| {
        let (year, mut club) = draw_club(&calibration, prior, &mut random);
        let (_, second) = draw_club(&calibration, prior, &mut other);
        club.id = format!("B{n}");
        for id in ["sole_width", "hosel_join"] {
            club.cells.push(second.cells[calibration.catalogue().clue_ix(id).unwrap()].clone());
        }
        let (from, to) = if n % 3 == 0 { ((year - 2).max(1780), (year + 2).min(1939)) } else { (year, year) };
        DatedClub::new(club, KnownDate::new(catalogue.axis(), from, to, DateGrade::default()).unwrap())
    };
    let clubs = (0..200).map(club).collect();
    (catalogue, clubs)
}

#[expect(clippy::unwrap_used, reason = "the clubs can be fitted on")]
fn fitting(criterion: &mut Criterion) {
    let (catalogue, clubs) = clubs();
    let mut group = criterion.benchmark_group("200 clubs, 20 clues");
    group.sample_size(10);
    for (name, shelf) in [("with a shelf", true), ("without", false)] {
        let method = FitMethod { shelf, ..FitMethod::default() };
        let settings = FitSettings { method, ..FitSettings::default() };
        group.bench_function(format!("fit {name}"), |bencher| {
            bencher.iter(|| fit(&catalogue, &clubs, &settings).unwrap());
        });
        group.bench_function(format!("audit, 10 folds, {name}"), |bencher| {
            bencher.iter(|| audit(&catalogue, &clubs, &settings, AuditPlan::Folds(10), 1, &|| {}).unwrap());
        });
    }
    group.finish();
}

criterion_group!(benches, fitting);
criterion_main!(benches);
