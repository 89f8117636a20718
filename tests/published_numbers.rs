//! Numbers against certified values, exact fractions and general-purpose libraries (see reference/SOURCES.md).
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::audit::scores::{crps, randomised_pit};
use agewright_calibration::audit::truth::Truth;
use agewright_calibration::smooth::moments::weighted_moments;
use agewright_calibration::tables::level_fit::predictive_share;
use agewright_model::numbers::shared_lag::SharedLag;
use agewright_model::numbers::student_t::{ln_multivariate_t, ln_student_t};
use agewright_model::questions::why_not::decibans;
use agewright_model::tables::level_table::{LevelRow, LevelTable};
use agewright_model::tables::measured_block::{MeasuredBlock, MeasuredRow, MeasuredTable};
use agewright_model::{Accounting, Axis, Calibration, Part, PeriodAccount, Posterior};
use external_checks::{ask, bare, club};

fn rows(text: &str) -> Vec<Vec<f64>> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader.records().map(|row| row.unwrap().iter().map(|cell| cell.parse().unwrap()).collect()).collect()
}

fn near(got: f64, want: f64, relative: f64, what: &str) {
    assert!((got - want).abs() <= relative * want.abs().max(1.0), "{what}: {got}, not {want}");
}

/// NIST StRD, univariate summary statistics: certified means and sample standard deviations of `NumAcc1` to `NumAcc4`.
/// The data are defined by rule: a first value, then two values in turn.
#[test]
fn moments_agree_with_the_certified_values_of_nist() {
    let in_turn = |first: f64, low: f64, high: f64| {
        let mut values = vec![first];
        for _ in 0..500 {
            values.extend([low, high]);
        }
        values
    };
    let cases = [
        ("NumAcc1", vec![10_000_001.0, 10_000_003.0, 10_000_002.0], 10_000_002.0, 1.0, 1e-15),
        ("NumAcc2", in_turn(1.2, 1.1, 1.3), 1.2, 0.1, 1e-13),
        ("NumAcc3", in_turn(1_000_000.2, 1_000_000.1, 1_000_000.3), 1_000_000.2, 0.1, 1e-8),
        ("NumAcc4", in_turn(10_000_000.2, 10_000_000.1, 10_000_000.3), 10_000_000.2, 0.1, 1e-7),
    ];
    for (name, values, mean, sd, tolerance) in cases {
        #[expect(clippy::cast_precision_loss, reason = "a thousand values")]
        let n = values.len() as f64;
        // Every value twice at half its weight: weights must not change anything.
        let weighted: Vec<(f64, f64)> = values.iter().flat_map(|v| [(*v, 0.5), (*v, 0.5)]).collect();
        let got = weighted_moments(&weighted).unwrap();
        near(got.mean, mean, 1e-15, name);
        near(got.sd * (n / (n - 1.0)).sqrt(), sd, tolerance, name);
    }
}

/// Dirichlet-multinomial predictives in exact fractions (numerator and denominator as whole numbers): with strength 3
/// and overall shares 1/2, 1/3, 1/6, after 4, 1 and 0 clubs the shares are (4 + 3/2)/8, (1 + 1)/8, (0 + 1/2)/8.
#[test]
fn predictive_shares_are_the_exact_fractions() {
    let shares = [(4.0, 1.0 / 2.0, (11, 16)), (1.0, 1.0 / 3.0, (2, 8)), (0.0, 1.0 / 6.0, (1, 16))];
    for (count, overall, (above, below)) in shares {
        let want = f64::from(above) / f64::from(below);
        near(predictive_share(count, 5.0, 3.0, overall), want, 1e-15, "share");
    }
    // The chance of a whole row of clubs does not depend on their order (Polya's urn): a a b as a b a as b a a.
    let chance = |order: [usize; 3]| {
        let mut counts = [0.0, 0.0];
        let mut product = 1.0;
        for level in order {
            product *= predictive_share(counts[level], counts[0] + counts[1], 2.0, [0.25, 0.75][level]);
            counts[level] += 1.0;
        }
        product
    };
    // (1/4)(1 + 1/2)/3 (3/2)/4 = 3/64.
    for order in [[0, 0, 1], [0, 1, 0], [1, 0, 0]] {
        near(chance(order), 3.0 / 64.0, 1e-15, "urn");
    }
}

#[test]
fn student_densities_agree_with_mpmath() {
    for row in rows(include_str!("reference/student_t.csv")) {
        near(ln_student_t(row[0], row[1]), row[2], 1e-12, &format!("x {} df {}", row[0], row[1]));
    }
}

/// The same numbers out of a block of three measures as a club is dated by it: every subset, and the density of the
/// others given an adjusting one (the difference of scipy's ln densities).
#[test]
fn a_block_gives_scipys_densities_for_every_subset_and_given_an_adjusting_measure() {
    let table = rows(include_str!("reference/multivariate_t.csv"));
    let find = |v: f64, x: &[f64], mask: usize| {
        let is = |row: &&Vec<f64>| row[..4] == [v, x[0], x[1], x[2]] && row[4] as usize == mask;
        table.iter().find(is).map_or(0.0, |row| row[5])
    };
    for row in &table {
        let mask = row[4] as usize;
        let ids = ["a", "b", "c"];
        let texts: Vec<String> = row[1..4].iter().map(f64::to_string).collect();
        let readings: Vec<(&str, &str)> =
            (0..3).filter(|i| mask & (1 << i) != 0).map(|i| (ids[i], texts[i].as_str())).collect();
        for adjusting in [false, true] {
            let calibration = block_of_three(row[0], adjusting);
            let club = external_checks::club(calibration.catalogue(), &readings);
            let evidence = external_checks::evidence(&calibration, &club);
            let given = if adjusting { find(row[0], &row[1..4], mask & 1) } else { 0.0 };
            near(evidence.ln_likelihood(|_| true)[0], row[5] - given, 1e-9, &format!("{row:?} {adjusting}"));
        }
    }
}

/// Two rows alike, known exactly, no misreading: the scale matrix of `make_reference.py` as spreads and correlations.
fn block_of_three(degrees_of_freedom: f64, first_adjusts: bool) -> Calibration {
    let scale: [[f64; 3]; 3] = [[0.04, 0.012, -0.006], [0.012, 0.09, 0.03], [-0.006, 0.03, 0.16]];
    let adjusts = if first_adjusts { "adjusts = true" } else { "" };
    let clue = |id: &str, extra: &str| {
        format!("[[clue]]\nid = \"{id}\"\nkind = \"measured\"\npart = \"head\"\nmisread = 0.0\n{extra}\n")
    };
    let text = format!(
        "name = \"t\"\nyears = {{ from = 1800, to = 1820 }}\n{}{}{}",
        clue("a", adjusts),
        clue("b", ""),
        clue("c", "")
    );
    let catalogue = external_checks::catalogue(&text);
    let measured = |(i, mean): (usize, f64)| {
        // A table holds standard deviations, 0.8 of whose squares are the squared scales of a t.
        let widened = if degrees_of_freedom.is_finite() { 1.25_f64.sqrt() } else { 1.0 };
        let at = MeasuredRow { clubs: 1e12, mean, sd: widened * scale[i][i].sqrt() };
        MeasuredTable {
            clue: ["a", "b", "c"][i].into(),
            clubs: 9,
            bandwidth: 10.0,
            overall_mean: 0.0,
            overall_sd: 1.0,
            rows: vec![at; 2],
        }
    };
    let correlation = |i: usize, j: usize| scale[i][j] / (scale[i][i] * scale[j][j]).sqrt();
    let block = MeasuredBlock {
        part: Part::Head,
        degrees_of_freedom,
        weight: 1.0,
        clues: [1.2, -0.5, 0.3].into_iter().enumerate().map(measured).collect(),
        adjusters: Vec::new(),
        correlation: (0..3).map(|i| (0..3).map(|j| correlation(i, j)).collect()).collect(),
    };
    let mut contents = external_checks::bare(catalogue);
    contents.tables.blocks.push(block);
    Calibration::new(contents).unwrap()
}

/// The scale matrix of `make_reference.py`; quadratic forms and determinants by cofactors, written out.
#[test]
fn joint_densities_of_every_subset_agree_with_scipy() {
    let scale = [[0.04, 0.012, -0.006], [0.012, 0.09, 0.03], [-0.006, 0.03, 0.16]];
    let mean = [1.2, -0.5, 0.3];
    for row in rows(include_str!("reference/multivariate_t.csv")) {
        let mask = row[4] as usize;
        let subset: Vec<usize> = (0..3).filter(|i| mask & (1 << i) != 0).collect();
        let d: Vec<f64> = subset.iter().map(|&i| row[1 + i] - mean[i]).collect();
        let v: Vec<Vec<f64>> = subset.iter().map(|&i| subset.iter().map(|&j| scale[i][j]).collect()).collect();
        let (distance, determinant) = by_cofactors(&v, &d);
        let got = ln_multivariate_t(distance, 0.5 * determinant.ln(), subset.len(), row[0]);
        near(got, row[5], 1e-10, &format!("{row:?}"));
    }
}

/// (d' V^-1 d, |V|) of one to three measures.
fn by_cofactors(v: &[Vec<f64>], d: &[f64]) -> (f64, f64) {
    let minor = |skip_row: usize, skip_column: usize| -> f64 {
        let keep = |skip: usize| (0..v.len()).filter(move |&i| i != skip);
        let m: Vec<Vec<f64>> = keep(skip_row).map(|i| keep(skip_column).map(|j| v[i][j]).collect()).collect();
        match m.len() {
            0 => 1.0,
            1 => m[0][0],
            _ => m[0][0] * m[1][1] - m[0][1] * m[1][0],
        }
    };
    let sign = |i: usize, j: usize| if (i + j).is_multiple_of(2) { 1.0 } else { -1.0 };
    let determinant: f64 = (0..v.len()).map(|j| sign(0, j) * v[0][j] * minor(0, j)).sum();
    let mut distance = 0.0;
    for i in 0..v.len() {
        for j in 0..v.len() {
            distance += d[i] * d[j] * sign(i, j) * minor(j, i) / determinant;
        }
    }
    (distance, determinant)
}

/// A lag in three nodes to a standard deviation, to four of them, against adaptive integration over all of the normal
/// density: what is cut off beyond is one part in 16,000.
#[test]
fn a_shared_lag_agrees_with_numerical_integration() {
    let likelihood: Vec<f64> = (0..200).map(|u| 0.05 + 0.9 / (1.0 + (-(f64::from(u) - 100.0) / 6.0).exp())).collect();
    for row in rows(include_str!("reference/lag_over_years.csv")) {
        let lag = SharedLag::normal(200, row[0], 10);
        let mut by_making = vec![0.0; 200];
        lag.blur(&likelihood, &mut Vec::new(), &mut by_making);
        near(by_making[row[1] as usize], row[2], 1e-4, &format!("{row:?}"));
        let ln: Vec<f64> = likelihood.iter().map(|l| l.ln()).collect();
        near(lag.blurred_ln(&ln)[row[1] as usize].exp(), row[2], 1e-4, &format!("{row:?} in ln"));
    }
}

#[test]
fn crps_quantiles_and_pit_agree_with_properscoring_numpy_and_scipy() {
    let axis = Axis::new(1800, 1830, 10).unwrap();
    for row in rows(include_str!("reference/weights_over_years.csv")) {
        let ln: Vec<f64> = row[6..].iter().map(|w| w.ln()).collect();
        let posterior = Posterior::new(axis, &[&ln]);
        let truth = row[0] as i32;
        near(crps(&posterior, &Truth::within(&posterior, truth, truth)), row[1], 1e-12, "crps");
        near(randomised_pit(&posterior, truth, 0.3), row[2], 1e-12, "pit");
        for (share, want) in [(0.1, row[3]), (0.5, row[4]), (0.9, row[5])] {
            assert_eq!(posterior.quantile(share), want as i32, "quantile {share} of {row:?}");
        }
    }
}

/// I. J. Good, Probability and the Weighing of Evidence, 1950: a factor of ten is ten decibans, of two about three.
#[test]
fn a_factor_of_ten_is_ten_decibans() {
    near(decibans(10_f64.ln()), 10.0, 1e-15, "ten");
    near(decibans(0.01_f64.ln()), -20.0, 1e-15, "a hundredth");
    near(decibans(2_f64.ln()), 3.010_299_956_639_812, 1e-15, "two");
    // A level a hundred times as frequent in the later rows as in the earlier.
    let levels = "name = \"t\"\nyears = { from = 1800, to = 1840 }\nstep = 10\n[[clue]]\nid = \"pin\"\npart = \
     \"head\"\n\
                  misread = 0.0\nkind = \"levels\"\nlevels = [\"a\", \"b\"]\n";
    let mut contents = bare(external_checks::catalogue(levels));
    let shares = [0.005, 0.005, 0.5, 0.5].map(|share| LevelRow { clubs: 1.0, shares: vec![share, 1.0 - share] });
    let (clue, overall, rows) = ("pin".to_owned(), vec![0.5, 0.5], shares.to_vec());
    contents.tables.levels.push(LevelTable { clue, clubs: 4, bandwidth: 10.0, weight: 1.0, overall, rows });
    let calibration = Calibration::new(contents).unwrap();
    let club = club(calibration.catalogue(), &[("pin", "a")]);
    let asked = ask(&calibration, &club, Part::Head, None);
    let account = |over, under| PeriodAccount::of(&asked, [over, under], Accounting::default());
    let hundred = account((1835, 1839), (1800, 1804)).unwrap();
    near(hundred.entries[0].decibans, 20.0, 1e-14, "a hundred to one");
    near(hundred.total, 20.0, 1e-14, "and all of the odds");
    assert!(account((1835, 1839), (1700, 1709)).is_none());
}
