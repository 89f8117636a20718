//! The shelf against its reference implementation in NumPy, and against general-purpose libraries: scipy's normal
//! distribution, statsmodels' kernel regression (values and versions: reference/SOURCES.md; the scripts that made them
//! stand beside).
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::DatedClub;
use agewright_calibration::shelf::shelf_fit::{PartFit, fit_part};
use agewright_model::numbers::normal::{normal_below, normal_quantile};
use agewright_model::tables::prior::{PriorRow, Spread};
use agewright_model::tables::shelf::{PartShelf, Shelf, ShelfClub};
use agewright_model::tables::shelf_scale::ShelfScale;
use agewright_model::{Axis, Calibration, CalibrationContents, Catalogue, Cell, Club, Part, Prior};
use external_checks::open_sets::OpenSet;
use external_checks::{bare, evidence};
use serde_json::Value;

const FITS: &str = include_str!("reference/shelf_fits.json");
const KERNELS: &str = include_str!("reference/shelf_kernel_regression.json");

/// A collection of the reference: its catalogue, clubs and prior. No reading is misread: of that the reference knows
/// nothing.
struct Collection {
    catalogue: Catalogue,
    clubs: Vec<DatedClub>,
    prior: Prior,
}

fn collection(name: &str) -> Collection {
    let of = |axis| OpenSet { axis, misread: 0.0 };
    let (catalogue, mut clubs) = match name {
        "skulls" => of([-4250, 500, 250]).skulls(),
        "cars" => of([1970, 1983, 1]).cars(),
        _ => of([1960, 1990, 5]).cars(),
    };
    if name == "gaps" {
        clubs = clubs.into_iter().step_by(3).collect();
        let mut ids: Vec<String> = catalogue.clues().iter().map(|clue| clue.id.clone()).collect();
        ids.sort();
        for (i, club) in clubs.iter_mut().enumerate() {
            for (c, id) in ids.iter().enumerate().filter(|(c, _)| (i * 7 + c * 5) % 6 == 0) {
                assert!(c < 7);
                club.club.cells[catalogue.clue_ix(id).unwrap()] = Cell::NotExamined;
            }
        }
    }
    let prior = prior_of(catalogue.axis(), &clubs);
    Collection { catalogue, clubs, prior }
}

/// p(y) in proportion to the sum over clubs of exp(-((y - y_i)/(1.5 steps))^2/2) + 0.3.
fn prior_of(axis: Axis, clubs: &[DatedClub]) -> Prior {
    let width = 1.5 * f64::from(axis.step());
    let near = |year: i32, club: &DatedClub| (-0.5 * (f64::from(year - club.made_from()) / width).powi(2)).exp();
    let mass = |year: i32| 0.3 + clubs.iter().map(|club| near(year, club)).sum::<f64>();
    let rows = axis.years().map(|year| PriorRow { from: year, to: year, mass: mass(year) }).collect();
    Prior::from_rows(axis, Prior::AS_COLLECTED, Spread::Even, rows).unwrap()
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("no number {key}"))
}

fn near(what: &str, got: f64, want: f64, within: f64) {
    assert!((got - want).abs() <= within * want.abs().max(1.0), "{what}: {got}, reference {want}");
}

/// Place among a shelf's rows of a row of the reference.
fn row_of(shelf: &PartShelf, clue: &str, kind: &str) -> usize {
    let mut first = 0;
    for own in &shelf.clues {
        if own.clue == clue {
            return first + usize::from(kind == "distance" && own.scale.n_rows() == 2);
        }
        first += own.scale.n_rows();
    }
    panic!("the shelf has no {clue}")
}

#[test]
fn a_fit_is_that_of_the_reference() {
    for want in serde_json::from_str::<Vec<Value>>(FITS).unwrap() {
        let name = want["name"].as_str().unwrap();
        let Collection { catalogue, clubs, prior } = collection(name);
        let got: PartFit = fit_part(&catalogue, &clubs, Part::Head, &prior).unwrap();
        near("penalty", got.penalty, number(&want, "alpha"), 0.0);
        near("least width", got.least_width, number(&want, "least_width"), 1e-10);
        for row in want["rows"].as_array().unwrap() {
            let (clue, kind) = (row["clue"].as_str().unwrap(), row["kind"].as_str().unwrap());
            let worth = got.worths[row_of(&got.shelf, clue, kind)];
            near(&format!("{name}, worth of {clue}, {kind}"), worth, number(row, "start_worth"), 1e-9);
        }
        for slope in want["beta"].as_array().unwrap() {
            let own = got.shelf.clue(slope["clue"].as_str().unwrap()).unwrap();
            let level = slope["level"].as_str();
            let clue = catalogue.clue(&own.clue).unwrap();
            let place = level.map_or(0, |level| clue.level_ix(level).unwrap());
            near(&format!("{name}, slope of {}", own.clue), own.slopes[place], number(slope, "beta"), 1e-9);
        }
        let grid = ["score", "rho", "g", "h"].map(|key| number(&want["grid"], key));
        for (place, (got, want)) in got.grid.iter().zip(grid).enumerate() {
            near(&format!("{name}, grid {place}"), *got, want, 1e-9);
        }
        // Both stop after forty steps, the cars a hundredth of a nat short of the end.
        let (stopped, best) = (number(&want["refined"], "score"), number(&want["refined_to_the_end"], "score"));
        assert!(got.score > best - 0.01 && got.score < best + 1e-3, "{name}: {}, not {stopped} to {best}", got.score);
    }
}

/// A calibration of nothing but a shelf, its relevances, allowance and width given.
fn with_shelf(own: &Collection, part: PartShelf) -> Calibration {
    let club = |dated: &DatedClub| ShelfClub {
        club: Club { id: dated.club.id.clone(), cells: dated.club.cells.clone(), ..Club::default() },
        from: dated.made_from(),
        to: dated.made_to(),
        worth: 1.0,
    };
    let shelf = Shelf { anonymous: false, clubs: own.clubs.iter().map(club).collect(), parts: vec![part] };
    let mut contents = CalibrationContents { shelf: Some(shelf), ..bare(own.catalogue.clone()) };
    contents.tables.priors.push(own.prior.clone());
    Calibration::new(contents).unwrap()
}

/// The vote of a club by some of its clues: W_S = W_0 times the evidence.
fn vote(calibration: &Calibration, own: &Collection, row: usize, clues: &dyn Fn(&str) -> bool) -> Vec<f64> {
    // Laid beside all clubs, that one among them: as a stranger.
    let mut club = Club { id: "a stranger".into(), ..own.clubs[row].club.clone() };
    for (cell, clue) in club.cells.iter_mut().zip(own.catalogue.clues()) {
        if !clues(&clue.id) {
            *cell = Cell::NotExamined;
        }
    }
    let nothing = no_evidence(calibration, own);
    let Some(ln) = evidence(calibration, &club).ln_of_shelf() else { return nothing };
    ln.iter().zip(nothing).map(|(ln, none)| ln.exp() * none).collect()
}

/// W_0: 0.95 of the mean of the votes of all clubs alike, and 0.05 of the prior; summed club by club.
fn no_evidence(calibration: &Calibration, own: &Collection) -> Vec<f64> {
    let part = calibration.shelf().unwrap().part(Part::Head).unwrap();
    let by_year: Vec<f64> = own.prior.ln_by_year().iter().map(|ln| ln.exp()).collect();
    let below: Vec<f64> = std::iter::once(0.0)
        .chain(by_year.iter().scan(0.0, |sum, p| {
            *sum += p;
            Some(*sum)
        }))
        .collect();
    let z = |f: f64| normal_quantile(f.clamp(1e-9, 1.0 - 1e-9));
    let edges: Vec<f64> = below.iter().map(|f| z(*f)).collect();
    let n = by_year.len();
    let mut sums: Vec<f64> = by_year.iter().map(|p| 0.05 * p).collect();
    for club in &own.clubs {
        let ix = own.catalogue.axis().year_ix(club.made_from()).unwrap();
        let place = z(f64::midpoint(below[ix], below[ix + 1]));
        let cut = |edge: usize| match edge {
            0 => 0.0,
            edge if edge == n => 1.0,
            edge => normal_below((edges[edge] - place) / part.width),
        };
        let share = 0.95 / own.clubs.len() as f64;
        for (year, sum) in sums.iter_mut().enumerate() {
            *sum += share * (cut(year + 1) - cut(year));
        }
    }
    sums
}

/// Holds a vote against a list at some years and the sums over every step of the axis.
fn same_vote(what: &str, got: &[f64], own: &Collection, years: &[i32], want: &Value) {
    let axis = own.catalogue.axis();
    for (year, want) in years.iter().zip(want["p"].as_array().unwrap()) {
        let (got, want) = (got[axis.year_ix(*year).unwrap()], want.as_f64().unwrap());
        assert!((got - want).abs() < 1e-9, "{what}, {year}: {got}, reference {want}");
    }
    let step = usize::try_from(axis.step()).unwrap();
    for (row, (got, want)) in got.chunks(step).zip(want["by_step"].as_array().unwrap()).enumerate() {
        let (got, want) = (got.iter().sum::<f64>(), want.as_f64().unwrap());
        assert!((got - want).abs() < 1e-9, "{what}, step {row}: {got}, reference {want}");
    }
}

#[test]
fn votes_are_those_of_the_reference() {
    for want in serde_json::from_str::<Vec<Value>>(FITS).unwrap() {
        let name = want["name"].as_str().unwrap();
        let own = collection(name);
        let mut part = fit_part(&own.catalogue, &own.clubs, Part::Head, &own.prior).unwrap().shelf;
        let refined = &want["refined"];
        (part.allowance, part.width) = (number(refined, "g"), number(refined, "h"));
        let ln_worths = refined["ln_worths"].as_array().unwrap();
        for (row, ln) in want["rows"].as_array().unwrap().iter().zip(ln_worths) {
            let (clue, kind) = (row["clue"].as_str().unwrap(), row["kind"].as_str().unwrap());
            let own = part.clues.iter_mut().find(|own| own.clue == clue).unwrap();
            let last = own.relevance.len() - 1;
            own.relevance[if kind == "distance" { last } else { 0 }] = ln.as_f64().unwrap().exp();
        }
        let calibration = with_shelf(&own, part);
        let years: Vec<i32> = want["listed_years"]
            .as_array()
            .unwrap()
            .iter()
            .map(|y| i32::try_from(y.as_i64().unwrap()).unwrap())
            .collect();
        let even: Vec<&str> = want["even_clues"].as_array().unwrap().iter().map(|id| id.as_str().unwrap()).collect();
        same_vote(name, &no_evidence(&calibration, &own), &own, &years, &want["no_evidence"]);
        for target in want["votes"].as_array().unwrap() {
            let row = usize::try_from(target["row"].as_u64().unwrap()).unwrap();
            let is_all = target["readings"] == "all";
            let got = vote(&calibration, &own, row, &|id| is_all || even.contains(&id));
            same_vote(&format!("{name}, row {row}, {}", target["readings"]), &got, &own, &years, target);
        }
    }
}

/// With no allowance a shelf is a kernel estimate of a conditional distribution: that of statsmodels
/// (`KDEMultivariateConditional`), and its mean is statsmodels' Nadaraya-Watson regression.
#[test]
fn without_an_allowance_votes_are_a_kernel_regression() {
    for want in serde_json::from_str::<Vec<Value>>(KERNELS).unwrap() {
        let name = want["collection"].as_str().unwrap();
        let own = collection(name);
        let mut part = fit_part(&own.catalogue, &own.clubs, Part::Head, &own.prior).unwrap().shelf;
        (part.allowance, part.width) = (0.0, number(&want, "h"));
        let read: Vec<&str> = want["clues"].as_array().unwrap().iter().map(|id| id.as_str().unwrap()).collect();
        for row in want["rows"].as_array().unwrap() {
            let clue = row["clue"].as_str().unwrap();
            let own = part.clues.iter_mut().find(|own| own.clue == clue).unwrap();
            let last = own.relevance.len() - 1;
            own.relevance[if row["kind"] == "distance" { last } else { 0 }] = number(row, "worth");
        }
        let calibration = with_shelf(&own, part);
        let years: Vec<i32> = serde_json::from_str::<Vec<Value>>(FITS)
            .unwrap()
            .iter()
            .find(|fit| fit["name"] == name)
            .map(|fit| fit["listed_years"].as_array().unwrap().iter().map(|y| y.as_i64().unwrap() as i32).collect())
            .unwrap();
        for target in want["targets"].as_array().unwrap() {
            let row = usize::try_from(target["row"].as_u64().unwrap()).unwrap();
            let got = vote(&calibration, &own, row, &|id| read.contains(&id));
            same_vote(&format!("{name}, row {row}"), &got, &own, &years, target);
        }
    }
}

/// scipy 1.17.1, `scipy.special.ndtr` and `ndtri`.
#[test]
fn the_normal_distribution_is_scipys() {
    let table = |text: &'static str| {
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        reader.deserialize::<(f64, f64)>().map(Result::unwrap).collect::<Vec<_>>()
    };
    for (x, want) in table(include_str!("reference/normal_cdf.csv")) {
        near(&format!("Phi({x})"), normal_below(x) / want, 1.0, 1e-13);
    }
    for (p, want) in table(include_str!("reference/normal_quantiles.csv")) {
        near(&format!("quantile of {p}"), normal_quantile(p), want, 1e-13);
    }
}

/// What repeats, what is rare and what was not read: the forms that the fit gives the clues of the cars.
#[test]
fn a_measure_whose_readings_repeat_has_two_rows() {
    let Collection { catalogue, clubs, prior } = collection("gaps");
    let shelf = fit_part(&catalogue, &clubs, Part::Head, &prior).unwrap().shelf;
    let repeats = |id: &str| matches!(shelf.clue(id).unwrap().scale, ShelfScale::Measured { repeats: true, .. });
    assert!(repeats("mpg") && repeats("horsepower") && !repeats("weight"));
}
