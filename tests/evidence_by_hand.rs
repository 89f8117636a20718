//! What one reading says, and what follows from it, written down again from the method and computed by statrs.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_model::answer::ledger::LedgerEntry;
use agewright_model::reading::register::RegisteredIn;
use agewright_model::reading::scale::Scale;
use agewright_model::tables::mark_use::MarkUse;
use agewright_model::tables::measured_block::{MeasuredBlock, MeasuredRow, MeasuredTable};
use agewright_model::tables::origin::AuditFigures;
use agewright_model::{
    Accounting, Asked, Calibration, CalibrationContents, Catalogue, Cell, Clue, ClueKind, Dating, Ledger, Part,
    PeriodAccount, Reading, Register, Seen,
};
use external_checks::{
    STARTER, account, ask, bare, changed, club, date_readings, demo_calibration, evidence, posterior,
};
use statrs::distribution::{Continuous as _, StudentsT};

const MISREAD: f64 = 0.08;
const MEAN: [f64; 4] = [5.0, 4.6, 4.1, 3.7];
const SD: f64 = 0.3;
const CLUBS: f64 = 6.0;

/// One measure in inches, its usual error 0.1; `sd` by row.
fn measure(sd: f64) -> Calibration {
    let mut contents = bare(external_checks::catalogue(
        "name = \"t\"\nyears = { from = 1800, to = 1840 }\nstep = 10\n[[clue]]\nid = \"hosel\"\npart = \"head\"\nkind \
         = \
         \"measured\"\nunit = \"in\"\ntolerance = 0.1\nmisread = 0.08\n",
    ));
    let rows = MEAN.map(|mean| MeasuredRow { clubs: CLUBS, mean, sd }).to_vec();
    let (clue, overall_mean, overall_sd) = ("hosel".to_owned(), 4.35, 0.6);
    contents.tables.blocks.push(MeasuredBlock {
        part: Part::Head,
        degrees_of_freedom: 9.0,
        weight: 0.7,
        clues: vec![MeasuredTable { clue, clubs: 24, bandwidth: 10.0, overall_mean, overall_sd, rows }],
        adjusters: Vec::new(),
        correlation: vec![vec![1.0]],
    });
    Calibration::new(contents).unwrap()
}

/// w ln[(1 - e) t(x; mean, s) + e t(x; overall mean, 1.5 overall sd)] at a row, s^2 = 0.8 sd^2 (1 + 1/(n + 4)) + what
/// the reading's tolerance has beyond the usual error: by the densities of statrs. The misread e q is the same in all
/// rows.
fn by_hand(x: f64, row: usize, beyond: f64, misread: f64) -> f64 {
    let scale = (SD * SD * 0.8 * (1.0 + 1.0 / (CLUBS + 4.0)) + beyond).sqrt();
    let right = StudentsT::new(MEAN[row], scale, 9.0).unwrap().pdf(x);
    let wrong = StudentsT::new(4.35, 1.5 * 0.6, 3.0).unwrap().pdf(x);
    0.7 * ((1.0 - misread) * right + misread * wrong).ln()
}

fn near(text: &str, x: f64, beyond: f64, misread: f64) {
    let calibration = measure(SD);
    let club = club(calibration.catalogue(), &[("hosel", text)]);
    let got = evidence(&calibration, &club).ln_likelihood(|_| true);
    for row in [0, 3] {
        // The outer rows are constant towards the ends of the axis.
        let ix = if row == 0 { 0 } else { 39 };
        let want = by_hand(x, row, beyond, misread);
        assert!((got[ix] - want).abs() < 1e-9, "{text} in row {row}: {}, not {want}", got[ix]);
    }
}

#[test]
fn a_measure_is_read_right_or_falls_anywhere() {
    near("4.6", 4.6, 0.0, MISREAD);
    // Far off, all that is left is the misread density: its width and its tails.
    near("7.5", 7.5, 0.0, MISREAD);
    near("4.6?", 4.6, 0.0, 0.3);
}

/// The spread between the dated clubs holds their usual error already: only what goes beyond it is added.
#[test]
fn a_tolerance_counts_for_what_it_has_beyond_the_usual_error() {
    near("4.6 ± 0.1", 4.6, 0.0, MISREAD);
    near("4.6 ± 0.02", 4.6, 0.0, MISREAD);
    near("4.6 ± 0.5", 4.6, 0.5 * 0.5 - 0.1 * 0.1, MISREAD);
}

/// A mark of two periods was in use in either: 1 within each, and between them the more of fading and coming.
#[test]
fn a_mark_of_two_periods_was_used_in_both() {
    let mut contents = bare(external_checks::catalogue(
        "name = \"t\"\nyears = { from = 1800, to = 1900 }\nstep = 10\n[[clue]]\nid = \"stamp\"\npart = \"head\"\nkind \
         = \
         \"mark\"\nmisread = 0.1\nlevels = [\"anchor\", \"star\"]\n",
    ));
    let used = |used_from, used_to, fade| MarkUse {
        written: String::new(),
        clue: "stamp".into(),
        mark: "anchor".into(),
        used_from,
        used_to,
        fade,
        leak: 0.01,
        source: String::new(),
        standing: String::new(),
    };
    contents.marks = vec![used(1820, 1829, 4.0), used(1860, 1869, 4.0)];
    let calibration = Calibration::new(contents).unwrap();
    let asked = posterior(&calibration, &club(calibration.catalogue(), &[("stamp", "anchor")]), None);
    let use_in = |year: i32| -> f64 {
        let fading = |last: i32| 0.5_f64.powf(f64::from(year - last) / 4.0);
        match year {
            1820..=1829 | 1860..=1869 => 1.0,
            ..1820 => 0.01,
            1830..1860 => fading(1829).max(0.01),
            _ => fading(1869).max(1e-4),
        }
    };
    let right: Vec<f64> = (1800..1900).map(use_in).collect();
    let mean = right.iter().sum::<f64>() / 100.0;
    let weights: Vec<f64> = right.iter().map(|used| 0.9 * used + 0.1 * mean).collect();
    let total: f64 = weights.iter().sum();
    for (got, want) in asked.by_year().iter().zip(&weights) {
        assert!((got - want / total).abs() < 1e-12);
    }
}

/// A clue left out on request is left out of what the head says of its shaft, too.
#[test]
fn a_clue_left_out_is_left_out_of_a_shafts_prior() {
    let readings = [("hosel_to_crease", "5.6"), ("nicking_coarseness", "coarse"), ("shaft_making", "turned")];
    let whole = club(STARTER.catalogue(), &readings);
    let without = Asked::new(&STARTER, &whole, Part::Shaft, None, &["hosel_to_crease", "nicking_coarseness"]).unwrap();
    let bare = club(STARTER.catalogue(), &readings[2..]);
    let never = ask(&STARTER, &bare, Part::Shaft, None);
    assert_eq!(without.prior().ln_by_year(), never.prior().ln_by_year());
    let all = ask(&STARTER, &whole, Part::Shaft, None);
    let furthest = all.prior().ln_by_year().iter().zip(never.prior().ln_by_year()).map(|(a, b)| (a - b).abs());
    assert!(furthest.fold(0.0, f64::max) > 0.5, "the head speaks for the shaft");
    let dated = |asked: &Asked<'_>| Dating::of(asked).posterior;
    assert_eq!(dated(&without), dated(&never));
}

/// Size against make, by the evidence of either side alone: told where they share less than 15 in 100, and only there.
#[test]
fn a_conflict_is_told_below_its_share_and_not_above() {
    let calibration = demo_calibration();
    let (mut told, mut silent, mut closest) = (0, 0, [f64::INFINITY; 2]);
    let make = [
        [
            ("nicking_coarseness", "coarse"),
            ("pin_direction", "front_back"),
            ("hosel_join", "sharp"),
            ("hammer_weld", "open"),
            ("face_hollow", "dished"),
        ],
        [
            ("nicking_coarseness", "medium"),
            ("pin_direction", "side_side"),
            ("hosel_join", "soft"),
            ("hammer_weld", "trace"),
            ("face_hollow", "flat"),
        ],
        [
            ("nicking_coarseness", "fine"),
            ("pin_direction", "side_side"),
            ("hosel_join", "curve"),
            ("face_scoring", "smooth"),
            ("nicking_regularity", "irregular"),
        ],
    ];
    // Whether the club leads or lags, both sides do so alike.
    // The shelf is of neither side.
    let without_lag = changed(&calibration, |contents| {
        contents.shared_lag = 0.0;
        contents.shelf = None;
    });
    for hosel in 130..310 {
        let hosel = format!("{:.2}", f64::from(hosel) / 50.0);
        for make in make {
            let sizes = [("hosel_to_crease", hosel.as_str()), ("hosel_top_diameter", "0.62")];
            let alone = |readings: &[(&str, &str)]| {
                let dated = date_readings(&without_lag, readings, Some("flat"));
                dated.posterior.by_year().to_vec()
            };
            let overlap: f64 = alone(&sizes).iter().zip(alone(&make)).map(|(p, q)| p.min(q)).sum();
            let conflict = date_readings(&calibration, &[&sizes[..], &make].concat(), None).conflict;
            assert_eq!(conflict.is_some(), overlap < 0.15, "{hosel} {make:?}: {overlap}");
            closest[usize::from(conflict.is_some())] =
                (overlap - 0.15).abs().min(closest[usize::from(conflict.is_some())]);
            if let Some(conflict) = conflict {
                assert!((conflict.overlap - overlap).abs() < 1e-9);
                told += 1;
            } else {
                silent += 1;
            }
        }
    }
    assert!(told > 5 && silent > 5 && closest.iter().all(|by| *by < 0.01), "{told} told, {silent} not, {closest:?}");
}

/// A clue is out of step where its reading is ten times rarer by the rest than at its own time, and not before.
#[test]
fn a_clue_is_out_of_step_at_ten_times_rarer() {
    let calibration = demo_calibration();
    let rest = [("nicking_coarseness", "fine"), ("nicking_regularity", "even"), ("hosel_join", "curve")];
    let mut rarities = Vec::new();
    for hosel in 130..350 {
        let hosel = format!("{:.2}", f64::from(hosel) / 50.0);
        let dated = date_readings(&calibration, &[&rest[..], &[("hosel_to_crease", &hosel)]].concat(), None);
        for entry in dated.clues.iter().filter(|entry| entry.misread < 0.5) {
            let told = dated.out_of_step.iter().any(|odd| odd.clue == entry.clue);
            assert_eq!(told, entry.support <= 0.1, "{entry:?}");
            rarities.push(1.0 / entry.support);
        }
    }
    for [from, to] in [[8.0, 10.0], [10.0, 12.0]] {
        assert!(rarities.iter().any(|times| (from..to).contains(times)), "one of {from} to {to} times");
    }
}

/// A reading that was marked as doubtful is out of step only where the rest makes it more doubtful than it was.
#[test]
fn a_reading_doubted_from_the_start_is_no_news() {
    let high = changed(&demo_calibration(), |contents| {
        contents.catalogue = contents.catalogue.clone().with_misread(|_| 0.6).unwrap();
    });
    let mut borne_out = 0;
    for nicking in ["coarse", "medium", "fine"] {
        for pin in ["front_back", "side_side"] {
            let readings = [("nicking_coarseness", nicking), ("pin_direction", pin), ("hosel_to_crease", "4.2")];
            let dated = date_readings(&high, &readings, None);
            for entry in &dated.clues {
                let told = dated.out_of_step.iter().any(|odd| odd.clue == entry.clue);
                let is_news = entry.misread >= 0.5 && entry.misread > entry.misread_before + 1e-9;
                assert_eq!(told, is_news || entry.support * 10.0 <= 1.0, "{entry:?}");
                borne_out += usize::from(!told && entry.misread >= 0.5);
            }
        }
    }
    assert!(borne_out > 0, "one that is likely misread, as it was before, and no news");
}

/// Why the starter rules' calibration is refused once it is changed.
fn refused(change: &dyn Fn(&mut CalibrationContents)) -> String {
    let mut contents = STARTER.clone().into_contents();
    change(&mut contents);
    Calibration::new(contents).err().map_or_else(String::new, |error| error.to_string())
}

/// What a program may put together without a file: refused with a reason, or answered in finite numbers.
#[test]
fn nothing_put_together_breaks_an_answer() {
    // A number of a register that is never misread leaves no year impossible.
    let sure = changed(&STARTER, |contents| {
        let mut clues = contents.catalogue.clues().to_vec();
        clues.iter_mut().filter(|clue| clue.kind.is_known()).for_each(|clue| clue.misread = 0.0);
        contents.catalogue = Catalogue::new("sure", contents.catalogue.axis(), clues).unwrap();
    });
    let stamped = [("design_number", "351202"), ("hosel_to_crease", "4.1")];
    let club = club(sure.catalogue(), &stamped);
    let ledger = account(&sure, &club, Part::Head, None);
    let finite = |entry: &LedgerEntry| entry.years.is_finite() && entry.bits.is_some_and(f64::is_finite);
    assert!(ledger.closing_bits.is_finite() && ledger.entries.iter().all(finite));
    let asked = ask(&sure, &club, Part::Head, None);
    let account = PeriodAccount::of(&asked, [(1850, 1859), (1905, 1914)], Accounting::default()).unwrap();
    assert!(account.total.is_finite());
    // No order of the clues is there and back: the account still closes.
    let none = Accounting { exact_up_to: 0, orders: &|_| Vec::new(), ..Accounting::default() };
    let ledger = Ledger::of(&asked, none);
    let moved: f64 = ledger.entries.iter().map(|entry| entry.years).sum();
    assert!(moved.abs() > 0.1 && (ledger.opening + moved - ledger.closing).abs() < 1e-9);
    let account = PeriodAccount::of(&asked, [(1850, 1859), (1905, 1914)], none).unwrap();
    let lines: f64 = account.entries.iter().map(|entry| entry.decibans).sum();
    assert!((account.base_rate + lines - account.total).abs() < 1e-9);
    // Readings that no text gives: a year out of all reckoning, no year, a level twice.
    let no_reading = |clue: &str, seen: Seen| {
        let mut club = club.clone();
        let ix = sure.catalogue().clue_ix(clue).unwrap();
        club.cells.resize(ix.max(club.cells.len() - 1) + 1, Cell::NotExamined);
        club.cells[ix] = Cell::Read(Reading { text: "x".into(), seen, doubtful: false });
        Asked::new(&sure, &club, Part::Head, None, &[]).unwrap_err().to_string()
    };
    let long_ago = RegisteredIn { year: i32::MIN, share: 1.0 };
    for seen in [Seen::Number(vec![long_ago]), Seen::Number(Vec::new())] {
        assert!(no_reading("design_number", seen).contains("none that the catalogue allows"));
    }
    assert!(no_reading("pin_direction", Seen::Levels(vec![1, 1])).contains("none that the catalogue allows"));
    // More clues together than a set has bits; years without end; a mark of no year.
    let many = refused(&|contents| {
        let mut clues = contents.catalogue.clues().to_vec();
        let more = |n| Clue { misread: 0.1, ..Clue::new(&format!("more_{n}"), ClueKind::Register, Part::Shaft) };
        clues.extend((0..40).map(|n| Clue { register: Some(Register::UsPatents), ..more(n) }));
        contents.catalogue = Catalogue::new("many", contents.catalogue.axis(), clues).unwrap();
    });
    assert!(many.contains("clues that speak together"), "{many}");
    let endless = refused(&|contents| {
        let parts = contents.parts.as_mut().unwrap();
        parts.shaft_replaced.points = vec![(f64::NEG_INFINITY, 0.5), (f64::INFINITY, 0.5)];
    });
    assert!(endless.contains("give a year or more"), "{endless}");
    let long_ago = refused(&|contents| contents.marks[0].used_from = i32::MIN);
    assert!(long_ago.contains("used_from"), "{long_ago}");
    assert_eq!(posterior(&STARTER, &club, None).band(0.0).n_years(), 1);
}

/// Every number of a table is held against what it may be.
#[test]
fn numbers_that_make_no_sense_in_their_place_are_refused() {
    let number = |change: &dyn Fn(&mut CalibrationContents), told: &str| {
        let why = refused(change);
        assert!(why.contains(told), "{told}: {why}");
    };
    number(&|c| c.tables.blocks[0].adjusters[0].expected[3][0] = 1.5, "share = 1.5");
    number(&|c| c.tables.blocks[0].adjusters[0].expected[3][0] = f64::NAN, "share = NaN");
    number(&|c| c.tables.blocks[0].clues[1].bandwidth = -3.0, "bandwidth = -3");
    number(&|c| c.tables.levels[2].bandwidth = f64::INFINITY, "bandwidth = inf");
    number(&|c| c.tables.levels[2].rows[1].clubs = -1.0, "clubs = -1");
    number(&|c| c.marks[0].used_to = 99_999, "used_to = 99999");
    let hosel = STARTER.tables().blocks[0].clues.iter().position(|table| table.clue == "hosel_to_crease").unwrap();
    number(&|c| c.tables.blocks[0].clues[hosel].rows[4].mean += 100_f64.ln(), "mean = ");
    number(&|c| c.tables.blocks[0].clues[hosel].overall_mean -= 100_f64.ln(), "mean = ");
    let audit = |coverage, testing| AuditFigures {
        folds: 10,
        clubs: 40,
        log_score: -4.0,
        crps: 6.0,
        crps_of_prior: 12.0,
        coverage,
        testing,
        coverage_of_testing: None,
    };
    number(&|c| c.origin.audit = Some(audit([0.5, 0.8, 1.4], None)), "coverage = 1.4");
    number(&|c| c.origin.audit = Some(audit([0.5, 0.8, 0.95], Some(41))), "testing = 41");
}

/// Numbers that pass one by one and make nonsense together: told with the clue, where every year was alike before.
#[test]
fn evidence_that_is_no_number_is_told_with_its_clue() {
    let absurd = changed(&STARTER, |contents| {
        let mut clues = contents.catalogue.clues().to_vec();
        clues
            .iter_mut()
            .filter(|clue| clue.id == "top_edge")
            .for_each(|clue| (clue.range, clue.scale) = (None, Scale::Linear));
        contents.catalogue = Catalogue::new("absurd", contents.catalogue.axis(), clues).unwrap();
        let table = contents.tables.blocks[0].clues.iter_mut().find(|table| table.clue == "top_edge").unwrap();
        (table.overall_mean, table.overall_sd) = (1e300, 1e-5);
        table.rows.iter_mut().for_each(|row| (row.mean, row.sd) = (-1e300, 1e-5));
    });
    let thin = absurd.catalogue().club("thin", &[("top_edge", "0.15"), ("pin_direction", "front_back")]).unwrap();
    let why =
        Asked::new(&absurd, &thin, Part::Head, None, &[]).err().map(|error| error.to_string()).unwrap_or_default();
    assert!(why.contains("its reading of top_edge gives no finite likelihood"), "{why}");
}
