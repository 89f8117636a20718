//! What is told of the dated clubs most like one, on clubs where the opposite holds; and how far an account is exact.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::{DatedClub, FitSettings, fit};
use agewright_files::{LoadedCalibration, SourceText, calibration_text};
use agewright_model::answer::ledger::LedgerMethod;
use agewright_model::questions::like::Likeness;
use agewright_model::{
    Accounting, Asked, Calibration, Catalogue, Club, Dating, Ledger, Part, Posterior, Warning, warnings,
};
use external_checks::{ask, catalogue, changed, club, dated_clubs};
use std::sync::atomic::{AtomicUsize, Ordering};

/// Five measures and a level, all drifting; of the early clubs the last measure was not taken.
fn collection(n: i32) -> (Catalogue, Vec<DatedClub>) {
    let measured = |id: &str| {
        format!("[[clue]]\nid = \"{id}\"\nkind = \"measured\"\nunit = \"in\"\npart = \"head\"\nmisread = 0.02\n")
    };
    let clues: String = ["a", "b", "c", "d", "e"].map(measured).concat();
    let level = "[[clue]]\nid = \"join\"\nkind = \"levels\"\nlevels = [\"sharp\", \"soft\", \"curve\"]\n\
                 part = \"head\"\nmisread = 0.05\n";
    let catalogue = catalogue(&format!("name = \"t\"\nyears = {{ from = 1850, to = 1930 }}\n{clues}{level}"));
    let mut table = "id,made_from,made_to,a,b,c,d,e,join\n".to_owned();
    for k in 0..n {
        let year = 1852 + (k * 29) % 74;
        let size = |j: i32| 5.0 - 0.02 * f64::from(year - 1850) + 0.03 * f64::from((k * (7 + 2 * j)) % 11 - 5);
        let e = if year < 1890 { String::new() } else { format!("{:.3}", size(4)) };
        let join = ["sharp", "curve"][usize::from((k * 5) % 9 + (year - 1850) / 8 > 8)];
        table +=
            &format!("k{k:04},{year},{year},{:.3},{:.3},{:.3},{:.3},{e},{join}\n", size(0), size(1), size(2), size(3));
    }
    let clubs = dated_clubs(&table, &catalogue);
    (catalogue, clubs)
}

fn fitted(n: i32, anonymous: bool) -> (Calibration, Vec<DatedClub>) {
    let (catalogue, clubs) = collection(n);
    let settings = FitSettings { anonymous, ..FitSettings::default() };
    (fit(&catalogue, &clubs, &settings).unwrap().calibration, clubs)
}

fn like(calibration: &Calibration, club: &Club) -> Likeness {
    Likeness::of(&ask(calibration, club, Part::Head, None)).unwrap()
}

fn told(calibration: &Calibration, club: &Club) -> Vec<Warning> {
    let asked = ask(calibration, club, Part::Head, None);
    warnings(&asked, &Dating::of(&asked))
}

fn mean(calibration: &Calibration, club: &Club) -> f64 {
    let asked = ask(calibration, club, Part::Head, None);
    Posterior::of(asked.evidence(), asked.prior(), |_| true).mean()
}

/// Where clubs have lost their ids one is known by all of its readings, five or more; where they have them, by these.
#[test]
fn a_club_without_an_id_is_known_by_its_readings() {
    let (nameless, clubs) = fitted(80, true);
    let (named, _) = fitted(80, false);
    let own = clubs.iter().find(|own| own.made_from() > 1900).unwrap();
    assert!(like(&nameless, &own.club).is_on_the_shelf && like(&named, &own.club).is_on_the_shelf);
    let stranger = Club { id: "stranger".into(), ..own.club.clone() };
    assert!(like(&nameless, &stranger).is_on_the_shelf && !like(&named, &stranger).is_on_the_shelf);
    // One reading more or fewer, or one that differs, and it is another club.
    let mut fewer = own.club.clone();
    fewer.cells[4] = agewright_model::Cell::NotExamined;
    assert!(!like(&nameless, &fewer).is_on_the_shelf && like(&named, &fewer).is_on_the_shelf);
    let few = club(named.catalogue(), &[("a", "4.5"), ("join", "curve")]);
    assert!(!like(&nameless, &few).is_on_the_shelf);
}

/// One level read on half of the clubs: those that have it are equally like it, and their number is told.
#[test]
fn clubs_that_are_as_like_it_are_counted() {
    let (calibration, clubs) = fitted(80, false);
    let level = calibration.catalogue().clue_ix("join").unwrap();
    let sharp = club(calibration.catalogue(), &[("join", "sharp")]);
    let same = clubs.iter().filter(|own| own.club.cells[level] == sharp.cells[level]).count();
    assert!(same > 10);
    assert_eq!(like(&calibration, &sharp).as_like, same - 5);
    let of_size = club(calibration.catalogue(), &[("a", "4.503"), ("join", "sharp")]);
    assert_eq!(like(&calibration, &of_size).as_like, 0);
}

/// A copy under another name has nearly all votes, and that is told; a club with less to know it by has not.
#[test]
fn one_club_with_nearly_all_votes_is_told() {
    let (calibration, clubs) = fitted(80, false);
    let is_told = |club: &Club| {
        told(&calibration, club).iter().any(|warning| matches!(warning, Warning::OneForAll(one) if one.share > 0.8))
    };
    assert!(is_told(&Club { id: "stranger".into(), ..clubs[20].club.clone() }));
    assert!(!is_told(&club(calibration.catalogue(), &[("b", "4.013"), ("join", "curve")])));
}

/// A size that no dated club comes near tells them from one another, and none from those that were not measured: the
/// last measure, which no early club has, does not make an outsize club early.
#[test]
fn an_outsize_reading_does_not_speak_for_clubs_that_were_not_read() {
    let (calibration, _) = fitted(80, false);
    let alone = changed(&calibration, |contents| {
        contents.tables.blocks.iter_mut().for_each(|block| block.weight = 0.0);
        contents.shared_lag = 0.0;
        // Nothing misread, so that the size counts at its full distance.
        contents.catalogue = contents.catalogue.clone().with_misread(|_| 0.0).unwrap();
        contents.shelf.as_mut().unwrap().parts.iter_mut().for_each(|part| part.allowance = 0.0);
    });
    let of = |text: &str| club(alone.catalogue(), &[("e", text)]);
    let far = like(&alone, &of("40"));
    assert!(far.nearest.iter().all(|near| near.from >= 1890 && near.compared[0].theirs.is_some()), "{far:?}");
    assert!(far.is_far() && told(&alone, &of("40")).iter().any(|warning| matches!(warning, Warning::NoClubNear(_))));
    assert!(!like(&alone, &of("3.9")).is_far());
    // Half of the clubs were not read for it and are of before 1890: the nearest that was counts as much as each.
    let nothing = mean(&alone, &club(alone.catalogue(), &[]));
    assert!((mean(&alone, &of("40")) - nothing).abs() < 25.0, "{} and {nothing}", mean(&alone, &of("40")));
}

/// Tables of clubs of one time against a shelf of another disagree, and that is told with the years of each; a shelf
/// that counts for little is not heard.
#[test]
fn witnesses_that_speak_for_different_times_are_told() {
    let (calibration, clubs) = fitted(80, false);
    let own = Club { id: "stranger".into(), ..clubs[20].club.clone() };
    let apart = |calibration: &Calibration| {
        told(calibration, &own).into_iter().find_map(|warning| match warning {
            Warning::WitnessesApart(apart) => Some(apart),
            _ => None,
        })
    };
    assert!(apart(&calibration).is_none());
    // The shelf's clubs are of sixty years earlier or later than they were.
    let turned = |weight: f64| {
        changed(&calibration, |contents| {
            let shelf = contents.shelf.as_mut().unwrap();
            for own in &mut shelf.clubs {
                own.from = 1850 + (own.from - 1850 + 40) % 80;
                own.to = own.from;
            }
            shelf.parts[0].weight = weight;
        })
    };
    let told = apart(&turned(0.6)).unwrap();
    let year = clubs[20].made_from();
    assert!(
        (told.tables.0..=told.tables.1).contains(&year) && !(told.shelf.0..=told.shelf.1).contains(&year),
        "{told:?}"
    );
    assert!(told.overlap < 0.3 && apart(&turned(0.1)).is_none());
}

/// Halves gone through in any order, or one of them left to the account itself, give the same bytes; the work is handed
/// over where there is enough of it.
#[test]
fn halves_of_the_sets_are_the_whole() {
    let calibration = external_checks::demo_calibration();
    let clubs = dated_clubs(external_checks::DEMO_COLLECTION, calibration.catalogue());
    let asked = Asked::new(&calibration, &clubs[60].club, Part::Head, None, &[]).unwrap();
    assert!(asked.evidence().n_clues() >= 12);
    let calls = AtomicUsize::new(0);
    let backwards = |first: &(dyn Fn() + Sync), second: &(dyn Fn() + Sync)| {
        calls.fetch_add(1, Ordering::Relaxed);
        second();
        first();
    };
    let lazy = |_: &(dyn Fn() + Sync), _: &(dyn Fn() + Sync)| {};
    let usual = Ledger::of(&asked, Accounting::default());
    assert_eq!(Ledger::of(&asked, Accounting::default().with_halves(&backwards)), usual);
    assert_eq!(Ledger::of(&asked, Accounting::default().with_halves(&lazy)), usual);
    assert_eq!(calls.load(Ordering::Relaxed), 1);
    // Years alone, by sums and without a posterior, are the same years.
    let years = Ledger::of(&asked, Accounting::default().with_halves(&backwards).without_bits());
    assert_eq!(calls.load(Ordering::Relaxed), 2);
    for (alone, with) in years.entries.iter().zip(&usual.entries) {
        assert!((alone.years - with.years).abs() < 1e-9, "{}: {} and {}", alone.clue, alone.years, with.years);
        assert!(alone.bits.is_none() && with.bits.is_some());
    }
    let edges = |ledger: &Ledger| [ledger.opening_bits, ledger.closing_bits];
    for (alone, with) in edges(&years).into_iter().zip(edges(&usual)) {
        assert!((alone - with).abs() < 1e-9, "{alone} and {with}");
    }
}

/// Votes of more clubs than the sets allow are accounted for over orders, and come near the exact account.
#[test]
fn many_clubs_are_accounted_for_over_orders() {
    let (calibration, clubs) = fitted(60, false);
    let own = Club { id: "stranger".into(), ..clubs[20].club.clone() };
    let exact = Ledger::of(&ask(&calibration, &own, Part::Head, None), Accounting::default());
    assert_eq!(exact.method, LedgerMethod::Exact);
    let orders = Accounting { exact_up_to: 0, ..Accounting::default() };
    let sampled = Ledger::of(&ask(&calibration, &own, Part::Head, None), orders);
    for (exact, sampled) in exact.entries.iter().zip(&sampled.entries) {
        assert!((exact.years - sampled.years).abs() < 1.0, "{}: {} and {}", exact.clue, exact.years, sampled.years);
    }
    // Of a club of the demo with sixteen clues: 124 clubs are within 2^25 votes, six times as many are not.
    let demo = external_checks::demo_calibration();
    let clubs = dated_clubs(external_checks::DEMO_COLLECTION, demo.catalogue());
    let n_clues = |own: &Club| ask(&demo, own, Part::Head, None).evidence().n_clues();
    let own = &clubs.iter().find(|one| n_clues(&one.club) == 16).unwrap().club;
    let sixfold = changed(&demo, |contents| {
        let clubs = &mut contents.shelf.as_mut().unwrap().clubs;
        *clubs = std::iter::repeat_n(clubs.clone(), 6).flatten().collect();
    });
    let method = |calibration| Ledger::of(&ask(calibration, own, Part::Head, None), Accounting::default()).method;
    assert_eq!([method(&demo), method(&sixfold)], [LedgerMethod::Exact, LedgerMethod::Orders(32)]);
}

/// A calibration file says the whole shelf: read and written again it is the same text, and dates as it did.
#[test]
fn a_shelf_comes_back_from_its_file() {
    for anonymous in [false, true] {
        let (calibration, clubs) = fitted(60, anonymous);
        let text = calibration_text(&calibration).unwrap();
        let again = LoadedCalibration::read(&SourceText::new("again.toml", &text)).unwrap().calibration;
        assert_eq!(calibration_text(&again).unwrap(), text);
        assert_eq!(again.shelf().unwrap().anonymous, anonymous);
        let own = Club { id: "stranger".into(), ..clubs[20].club.clone() };
        assert!((mean(&again, &own) - mean(&calibration, &own)).abs() < 0.01);
    }
}
