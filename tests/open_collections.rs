//! Open collections of dated things (sources and licences: reference/SOURCES.md).
#![allow(clippy::print_stdout, reason = "what was measured is shown with --nocapture")]
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::audit::audit::audit_with_witnesses;
use agewright_calibration::{Audit, AuditPlan, DatedClub, FitMethod, FitSettings, fit};
use agewright_model::Catalogue;
use external_checks::open_sets::OpenSet;
use external_checks::{date, posterior};

const SKULLS: &str = include_str!("data/egyptian_skulls.csv");

fn measured(id: &str) -> String {
    format!("[[clue]]\nid = \"{id}\"\nkind = \"measured\"\npart = \"head\"\nmisread = 0.0\n")
}

fn collection(catalogue: &str, table: &str) -> (Catalogue, Vec<DatedClub>) {
    let catalogue = external_checks::catalogue(catalogue);
    let clubs = external_checks::dated_clubs(table, &catalogue);
    (catalogue, clubs)
}

fn audited(catalogue: &Catalogue, clubs: &[DatedClub], plan: AuditPlan<'_>) -> Audit {
    let audit = audit_with_witnesses(catalogue, clubs, &FitSettings::default(), plan, 1, &|| {}).unwrap();
    let [model, ..] = audit.means();
    let [tables, shelf] = audit.means_of_witnesses().unwrap();
    println!("both {model:?}\ntables {tables:?}\nshelf {shelf:?}");
    // The second witness may not cost the first one anything.
    assert!(model.crps < 1.01 * tables.crps, "crps {} and that of the tables alone {}", model.crps, tables.crps);
    audit
}

/// Class posteriors with one class a row, no shrinkage, normal in place of t, exponents 1 and misreading 0 are those of
/// scikit-learn's linear discriminant analysis.
#[test]
fn without_its_own_ways_the_model_is_linear_discriminant_analysis() {
    let clues: String = ["mb", "bh", "bl", "nh"].map(measured).concat();
    let catalogue = format!("name = \"skulls\"\nyears = {{ from = 0, to = 5 }}\nstep = 1\n{clues}");
    let epochs = ["-3999", "-3299", "-1849", "-199", "150"];
    let by_class: String = SKULLS
        .lines()
        .map(|line| {
            let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
            if let Some(class) = epochs.iter().position(|epoch| *epoch == cells[1]) {
                cells[1] = class.to_string();
                cells[2] = class.to_string();
            }
            cells.join(",") + "\n"
        })
        .collect();
    let (catalogue, clubs) = collection(&catalogue, &by_class);
    assert_eq!(clubs.len(), 150);
    let settings = FitSettings { method: FitMethod::discriminant_analysis(), ..FitSettings::default() };
    let calibration = fit(&catalogue, &clubs, &settings).unwrap().calibration;
    let mut reader = csv::Reader::from_reader(include_str!("data/egyptian_skulls_lda.csv").as_bytes());
    for (row, club) in reader.records().map(Result::unwrap).zip(&clubs) {
        assert_eq!(row[0], club.club.id);
        let dating = date(&calibration, &club.club, Some("flat"));
        for (class, p) in dating.posterior.by_year().iter().enumerate() {
            let want: f64 = row[2 + class].parse().unwrap();
            assert!((p - want).abs() < 1e-6, "{} class {class}: {p}, scikit-learn {want}", club.club.id);
        }
    }
}

/// Four measures of a skull say little of its epoch, and the model must know how little.
#[test]
fn skulls_of_fifteen_folds() {
    let (catalogue, clubs) = OpenSet { axis: [-4250, 500, 250], misread: 0.0 }.skulls();
    let [model, prior, product] = audited(&catalogue, &clubs, AuditPlan::Folds(15)).means();
    assert!(model.log_score > prior.log_score + 0.05, "log score {} and prior {}", model.log_score, prior.log_score);
    assert!(
        model.log_score > product.log_score - 0.05,
        "log score {} and product {}",
        model.log_score,
        product.log_score
    );
    assert!((0.92..=1.0).contains(&model.coverage[2]), "coverage {:?}", model.coverage);
    assert!(model.crps < 0.95 * prior.crps, "crps {} and prior {}", model.crps, prior.crps);
}

/// Weight, displacement, power and cylinders of a car repeat each other: multiplied as if they did not, they fail.
#[test]
fn car_model_years_fool_the_plain_product_and_not_the_model() {
    let (catalogue, clubs) = OpenSet { axis: [1970, 1983, 1], misread: 0.03 }.cars();
    let [model, _, product] = audited(&catalogue, &clubs, AuditPlan::Folds(10)).means();
    // In thirteen whole years a band of four in five cannot but claim more: it holds what it claims, on clubs that the
    // fit has not seen.
    let mut sums = [[0.0; 2]; 3];
    for out in 0..4 {
        let (dated, rest): (Vec<_>, Vec<_>) =
            clubs.iter().cloned().enumerate().partition(|(place, _)| place % 4 == out);
        let rest: Vec<DatedClub> = rest.into_iter().map(|(_, club)| club).collect();
        let calibration = fit(&catalogue, &rest, &FitSettings::default()).unwrap().calibration;
        for (_, club) in dated {
            let answer = posterior(&calibration, &club.club, None);
            for ([claimed, held], level) in sums.iter_mut().zip([0.5, 0.8, 0.95]) {
                let band = answer.band(level);
                let years = answer.axis().years().filter(|&year| band.contains(year));
                *claimed += years.map(|year| answer.probability_between(year, year)).sum::<f64>() / 392.0;
                *held += f64::from(band.contains(club.made_from())) / 392.0;
            }
        }
    }
    for ([claimed, held], level) in sums.into_iter().zip([0.5, 0.8, 0.95]) {
        println!("{level}: claimed {claimed:.3}, held {held:.3}");
        assert!((claimed - held).abs() < 0.04, "{level}: claimed {claimed}, held {held}");
    }
    assert!((0.92..=0.98).contains(&model.coverage[2]), "model's 95 % band: {:?}", model.coverage);
    assert!(product.coverage[2] < 0.85, "product's 95 % band: {:?}", product.coverage);
    assert!(model.crps < 0.7 * product.crps, "crps {} and {}", model.crps, product.crps);
}
