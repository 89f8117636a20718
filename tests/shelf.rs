//! Laws of the shelf: the dated clubs laid beside one, by direct sums, by hand and by brute force.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_calibration::{DatedClub, FitMethod, FitSettings, fit};
use agewright_model::numbers::normal::{normal_below, normal_quantile};
use agewright_model::questions::like::Likeness;
use agewright_model::tables::shelf_scale::ShelfScale;
use agewright_model::{Asked, Calibration, Catalogue, Cell, Club, Part, Posterior, Prior};
use external_checks::{
    DEMO_CATALOGUE, DEMO_COLLECTION, account, ask, catalogue, changed, club, date, dated_clubs, evidence,
};

const CATALOGUE: &str = r#"
name = "small"
years = { from = 1850, to = 1930 }
step = 10
[[clue]]
id = "hosel"
kind = "measured"
unit = "in"
tolerance = 0.05
part = "head"
misread = 0.02
[[clue]]
id = "join"
kind = "levels"
levels = ["sharp", "soft", "curve"]
part = "head"
misread = 0.05
[[clue]]
id = "kind"
kind = "levels"
levels = ["long", "trouble"]
adjusts = true
part = "head"
misread = 0.01
"#;

/// Sixty clubs of a hosel that shortens and a join that changes, trouble irons with a longer one.
fn small() -> (Catalogue, Vec<DatedClub>) {
    let catalogue = catalogue(CATALOGUE);
    let mut table = "id,made_from,made_to,date_grade,hosel,join,kind\n".to_owned();
    for n in 0..60_i32 {
        let year = 1852 + (n * 29) % 74;
        let trouble = n % 4 == 0;
        let drift = 5.0 - 0.02 * f64::from(year - 1850) + 0.04 * f64::from((n * 7) % 5 - 2);
        let hosel = drift + if trouble { 0.5 } else { 0.0 };
        let join = ["sharp", "soft", "curve"][usize::try_from(((year - 1850) / 27 + n % 2).min(2)).unwrap()];
        let kind = if trouble { "trouble" } else { "long" };
        table += &format!("k{n:02},{year},{},{},{hosel:.2},{join},{kind}\n", year + n % 3, 1 + n % 4);
    }
    let clubs = dated_clubs(&table, &catalogue);
    (catalogue, clubs)
}

fn fitted(catalogue: &Catalogue, clubs: &[DatedClub]) -> Calibration {
    fit(catalogue, clubs, &FitSettings::default()).unwrap().calibration
}

fn small_fit() -> Calibration {
    let (catalogue, clubs) = small();
    fitted(&catalogue, &clubs)
}

fn mean_of(calibration: &Calibration, readings: &[(&str, &str)]) -> f64 {
    let club = club(calibration.catalogue(), readings);
    let asked = ask(calibration, &club, Part::Head, None);
    Posterior::of(asked.evidence(), asked.prior(), |_| true).mean()
}

/// Chance that a measure is misread by its place alone, from statrs' densities: a t of 3 degrees of freedom, 1.5 times
/// as wide, against the normal.
fn misread_at(place: f64, misread: f64) -> f64 {
    use statrs::distribution::{Continuous, Normal, StudentsT};
    let wrong = misread * StudentsT::new(0.0, 1.5, 3.0).unwrap().pdf(place);
    wrong / (wrong + (1.0 - misread) * Normal::new(0.0, 1.0).unwrap().pdf(place))
}

/// Slopes times the features of a reading.
fn feature(calibration: &Calibration, id: &str, text: &str) -> f64 {
    let clue = calibration.catalogue().clue(id).unwrap();
    let own = calibration.shelf().unwrap().part(Part::Head).unwrap().clue(id).unwrap();
    match &own.scale {
        ShelfScale::Measured { centre, spread, .. } => {
            let place = (text.parse::<f64>().unwrap() - centre) / spread;
            own.slopes[0] * (1.0 - misread_at(place, clue.misread)) * place.clamp(-4.0, 4.0)
        }
        ShelfScale::Levels { shares } => {
            let seen = clue.level_ix(text).unwrap();
            let one = |(level, share): (usize, &f64)| own.slopes[level] * (f64::from(level == seen) - share);
            shares.iter().enumerate().map(one).sum()
        }
    }
}

/// Distances of a clue's rows, each times its relevance.
fn distance(calibration: &Calibration, id: &str, mine: &str, theirs: Option<&str>) -> f64 {
    let misread = calibration.catalogue().clue(id).unwrap().misread;
    let own = calibration.shelf().unwrap().part(Part::Head).unwrap().clue(id).unwrap();
    let ShelfScale::Measured { centre, spread, .. } = &own.scale else {
        return own.relevance[0] * theirs.map_or(1.2, |theirs| if theirs == mine { 0.0 } else { 2.4 });
    };
    let place = |text: &str| (text.parse::<f64>().unwrap() - centre) / spread;
    let rows = theirs.map_or([2.0, 2.0], |theirs| {
        let (a, b) = (place(mine), place(theirs));
        let sure = (1.0 - misread_at(a, misread)) * (1.0 - misread_at(b, misread));
        let same = if (a - b).abs() > 1e-9 { 2.0 } else { 0.0 };
        [same, std::f64::consts::PI.sqrt() * (a - b).abs()].map(|plain| sure * plain + (1.0 - sure) * 2.0)
    });
    own.relevance.iter().rev().zip(rows.iter().rev()).map(|(relevance, row)| relevance * row).sum()
}

/// W_S(y) club by club and year by year, from the formulas alone: no grid, no running products. A place by hand for
/// each year of a date; distances and features of a measure and of levels that are read in one word, a measure doubted
/// by its place.
fn vote_by_hand(calibration: &Calibration, readings: &[(&str, &str)]) -> Vec<f64> {
    let (catalogue, shelf) = (calibration.catalogue(), calibration.shelf().unwrap());
    let part = shelf.part(Part::Head).unwrap();
    let by_year: Vec<f64> =
        calibration.prior(Some(Prior::AS_COLLECTED)).unwrap().ln_by_year().iter().map(|ln| ln.exp()).collect();
    let below = |year: usize| by_year[..year].iter().sum::<f64>().clamp(1e-9, 1.0 - 1e-9);
    let z = |year: i32| {
        let ix = catalogue.axis().year_ix(year).unwrap();
        normal_quantile(f64::midpoint(below(ix), below(ix + 1)))
    };
    let text = |club: &Club, id: &str| {
        club.cells[catalogue.clue_ix(id).unwrap()].reading().map(|reading| reading.text.clone())
    };
    let feature = |id: &str, text: &str| feature(calibration, id, text);
    let distance = |id: &str, mine: &str, theirs: Option<&str>| distance(calibration, id, mine, theirs);
    let n = by_year.len();
    let (mut total, mut votes) = (0.0, vec![0.0; n]);
    for one in &shelf.clubs {
        let theirs = |id: &str| text(&one.club, id);
        let apart: f64 = readings.iter().map(|(id, mine)| distance(id, mine, theirs(id).as_deref())).sum();
        let shift: f64 = readings
            .iter()
            .map(|(id, mine)| feature(id, mine) - theirs(id).map_or(0.0, |theirs| feature(id, &theirs)))
            .sum();
        let weight = one.worth * (-0.5 * apart).exp();
        total += weight;
        let years: Vec<i32> = (one.from..=one.to).collect();
        for year in &years {
            let place = z(*year) + part.allowance * shift;
            let cut = |edge: usize| match edge {
                0 => 0.0,
                edge if edge == n => 1.0,
                edge => normal_below((normal_quantile(below(edge)) - place) / part.width),
            };
            for (ix, vote) in votes.iter_mut().enumerate() {
                *vote += weight * (cut(ix + 1) - cut(ix)) / years.len() as f64;
            }
        }
    }
    votes.iter().zip(&by_year).map(|(vote, p)| 0.95 * vote / total + 0.05 * p).collect()
}

/// The evidence of every set of clues is ln W_S/W_A, W_A by the adjusting ones alone; and the ledger's quick sums give
/// the mean of each set to better than a twentieth of a year.
#[test]
fn the_evidence_of_a_set_is_its_vote_over_that_of_its_adjusters() {
    let calibration = small_fit();
    let readings = [("hosel", "4.31"), ("join", "soft"), ("kind", "trouble")];
    for set in 0..8_usize {
        let read: Vec<(&str, &str)> = (0..3).filter(|k| set & (1 << k) != 0).map(|k| readings[k]).collect();
        let alike: Vec<(&str, &str)> = read.iter().copied().filter(|(id, _)| *id == "kind").collect();
        let (all, only) = (vote_by_hand(&calibration, &read), vote_by_hand(&calibration, &alike));
        assert!((all.iter().sum::<f64>() - 1.0).abs() < 1e-9);
        let club = club(calibration.catalogue(), &read);
        let got = evidence(&calibration, &club).ln_of_shelf();
        assert_eq!(got.is_none(), read.is_empty());
        for ((got, all), only) in got.into_iter().flatten().zip(&all).zip(&only) {
            assert!((got - (all / only).ln()).abs() < 1e-8, "set {set}: {got}, by hand {}", (all / only).ln());
        }
    }
    assert!(vote_by_hand(&calibration, &readings) != vote_by_hand(&calibration, &readings[..2]), "like beside like");
}

#[test]
fn an_adjuster_alone_and_nothing_read_leave_the_prior() {
    let calibration = small_fit();
    let prior = calibration.prior(None).unwrap();
    for readings in [&[("kind", "trouble")][..], &[]] {
        let club = club(calibration.catalogue(), readings);
        let asked = ask(&calibration, &club, Part::Head, None);
        let posterior = Posterior::of(asked.evidence(), asked.prior(), |_| true);
        for (p, ln) in posterior.by_year().iter().zip(prior.ln_by_year()) {
            assert!((p - ln.exp()).abs() < 1e-12);
        }
    }
}

/// Shapley values by brute force over all orders, each set dated on its own by the exact sums.
#[test]
fn the_account_is_that_of_all_orders() {
    let calibration = small_fit();
    let readings = [("hosel", "3.96 ± 0.2"), ("join", "soft|curve"), ("kind", "long?")];
    let club = club(calibration.catalogue(), &readings);
    let dating = date(&calibration, &club, None);
    let asked = ask(&calibration, &club, Part::Head, None);
    let value = |set: &[usize]| Posterior::of(asked.evidence(), asked.prior(), |clue| set.contains(&clue)).mean();
    let orders = [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]];
    let ledger = account(&calibration, &club, Part::Head, None);
    for (place, entry) in ledger.entries.iter().enumerate() {
        let share = |order: &[usize; 3]| {
            let at = order.iter().position(|clue| *clue == place).unwrap();
            value(&order[..=at]) - value(&order[..at])
        };
        let want = orders.iter().map(share).sum::<f64>() / 6.0;
        assert!((entry.years - want).abs() < 0.05, "{}: {}, by hand {want}", entry.clue, entry.years);
    }
    let moved: f64 = ledger.entries.iter().map(|entry| entry.years).sum();
    assert!((ledger.opening + moved - ledger.closing).abs() < 1e-9);
    assert!((ledger.closing - dating.posterior.mean()).abs() < 1e-9, "it closes with the answer itself");
}

/// Nine clues of clubs of the demo: Shapley values from the exact sums of all 512 sets.
#[test]
fn quick_sums_are_within_a_twentieth_of_a_year() {
    let calibration = external_checks::demo_calibration();
    let own = dated_clubs(DEMO_COLLECTION, calibration.catalogue());
    let factorial = |n: usize| (1..=n).map(|k| k as f64).product::<f64>();
    for dated in own.iter().step_by(41) {
        let mut stranger = Club { id: "a stranger".into(), ..dated.club.clone() };
        let read = (0..stranger.cells.len()).filter(|ix| stranger.cells[*ix].reading().is_some());
        for ix in read.skip(9).collect::<Vec<_>>() {
            stranger.cells[ix] = Cell::NotExamined;
        }
        let asked = ask(&calibration, &stranger, Part::Head, None);
        let n = asked.evidence().n_clues();
        let mean = |set: usize| Posterior::of(asked.evidence(), asked.prior(), |clue| set & (1 << clue) != 0).mean();
        let means: Vec<f64> = (0..1 << n).map(mean).collect();
        let ledger = account(&calibration, &stranger, Part::Head, None);
        for (clue, entry) in ledger.entries.iter().enumerate() {
            let without = (0..1_usize << n).filter(|set| set & (1 << clue) == 0);
            let share = |set: usize| {
                let size = set.count_ones() as usize;
                factorial(size) * factorial(n - size - 1) / factorial(n) * (means[set | (1 << clue)] - means[set])
            };
            let want: f64 = without.map(share).sum();
            assert!((entry.years - want).abs() < 0.05, "{}: {}, exactly {want}", entry.clue, entry.years);
        }
    }
}

/// A doubtful reading says less, one of any level nothing; a wider tolerance brings the answer nearer to the prior.
#[test]
fn doubt_and_tolerance_say_less() {
    let alone = changed(&small_fit(), |contents| {
        // The votes alone: no table says anything.
        contents.tables.levels.iter_mut().for_each(|table| table.weight = 0.0);
        contents.tables.blocks.iter_mut().for_each(|block| block.weight = 0.0);
        contents.shared_lag = 0.0;
    });
    let nothing = mean_of(&alone, &[]);
    let [sure, doubtful] = ["sharp", "sharp?"].map(|join| mean_of(&alone, &[("join", join)]));
    assert!(sure < doubtful && doubtful < nothing, "{sure} {doubtful} {nothing}");
    let any = mean_of(&alone, &[("join", "sharp|soft|curve")]);
    assert!((any - nothing).abs() < 1e-9);
    let off = |text: &str| (mean_of(&alone, &[("hosel", text)]) - nothing).abs();
    let [near, wide, wider] = ["5.0", "5.0 ± 0.5", "5.0 ± 2"].map(off);
    assert!(near > wide && wide > wider && wider > 0.0, "{near} {wide} {wider}");
    assert!((off("5.0 ± 0.05") - near).abs() < 1e-9, "the usual error is in the clubs already");
}

/// Altered and unreadable cells are no readings: of the club to be dated and of those on the shelf.
#[test]
fn what_is_altered_is_not_laid_beside() {
    let (catalogue, clubs) = small();
    let join = catalogue.clue_ix("join").unwrap();
    let with = |cell: Cell| {
        let altered = clubs
            .iter()
            .enumerate()
            .map(|(n, own)| if n < 9 { own.with_cell(join, cell.clone()) } else { own.clone() });
        fitted(&catalogue, &altered.collect::<Vec<_>>())
    };
    let (blank, altered) = (with(Cell::NotExamined), with(Cell::Altered));
    assert_eq!(blank.shelf(), altered.shelf());
    let readings = [("hosel", "4.4"), ("join", "altered")];
    assert!((mean_of(&blank, &readings) - mean_of(&blank, &readings[..1])).abs() < 1e-12);
}

/// The order of the clubs and of the clues changes nothing; nor does what a club is called.
#[test]
fn the_order_of_clubs_and_clues_changes_nothing() {
    let (catalogue, clubs) = small();
    let shelf = fitted(&catalogue, &clubs).shelf().unwrap().clone();
    let mut turned = clubs.clone();
    turned.reverse();
    assert_eq!(fitted(&catalogue, &turned).shelf().unwrap(), &shelf);
    let entries: Vec<&str> = CATALOGUE.split("[[clue]]").collect();
    let other = external_checks::catalogue(&format!(
        "{}[[clue]]{}[[clue]]{}[[clue]]{}",
        entries[0], entries[3], entries[1], entries[2]
    ));
    let moved: Vec<DatedClub> = clubs
        .iter()
        .map(|own| {
            let cells = [2, 0, 1].map(|ix: usize| own.club.cells[ix].clone()).to_vec();
            DatedClub { club: Club { cells, ..own.club.clone() }, ..own.clone() }
        })
        .collect();
    assert_eq!(fitted(&other, &moved).shelf().unwrap().parts, shelf.parts);
}

/// A club of the collection has no vote on itself: with its own readings it is dated as if the shelf did not hold it.
#[test]
fn a_club_has_no_vote_on_itself() {
    let (catalogue, clubs) = small();
    let calibration = fitted(&catalogue, &clubs);
    let own = &clubs[7].club;
    let without = changed(&calibration, |contents| {
        contents.shelf.as_mut().unwrap().clubs.retain(|other| other.club.id != own.id);
    });
    let votes = |calibration: &Calibration, club: &Club| evidence(calibration, club).ln_of_shelf().unwrap();
    for (with, without) in votes(&calibration, own).iter().zip(votes(&without, own)) {
        assert!((with - without).abs() < 1e-9);
    }
    let asked = Asked::new(&calibration, own, Part::Head, None, &[]).unwrap();
    let like = Likeness::of(&asked).unwrap();
    assert!(like.is_on_the_shelf && like.n_clubs == 59 && like.nearest.iter().all(|club| club.id != own.id));
    // A namesake that reads otherwise is another club.
    let mut other = own.clone();
    other.cells[0] = Cell::from_text(&catalogue.clues()[0], "3.33", false).unwrap();
    let asked = Asked::new(&calibration, &other, Part::Head, None, &[]).unwrap();
    assert!(!Likeness::of(&asked).unwrap().is_on_the_shelf);
}

/// Clubs of one set tell nothing of one another's dates: a shelf of sets of two twins is fitted as if each had but the
/// clubs of other sets beside it.
#[test]
fn clubs_of_a_set_do_not_vote_on_one_another() {
    let (catalogue, clubs) = small();
    let twins = |in_sets: bool| -> Vec<DatedClub> {
        let pair = |own: &DatedClub| {
            let mut other = own.clone();
            other.club.id += " twin";
            let set = own.club.id.clone();
            [own.clone(), other].map(|club| if in_sets { club.of_set(&set) } else { club })
        };
        clubs.iter().flat_map(pair).collect()
    };
    let relevance = |in_sets| {
        let calibration = fitted(&catalogue, &twins(in_sets));
        let part = calibration.shelf().unwrap().part(Part::Head).unwrap().clone();
        part.clues.iter().flat_map(|clue| clue.relevance.clone()).sum::<f64>()
    };
    assert!(relevance(false) > 3.0 * relevance(true), "{} and {}", relevance(false), relevance(true));
}

/// The nearest clubs are those of the highest weight, by hand from the relevances; what agrees and what differs is
/// told.
#[test]
fn the_nearest_clubs_are_the_most_alike() {
    let calibration = small_fit();
    let club = club(calibration.catalogue(), &[("hosel", "4.31"), ("join", "soft")]);
    let asked = ask(&calibration, &club, Part::Head, None);
    let like = Likeness::of(&asked).unwrap();
    assert_eq!((like.nearest.len(), like.n_clubs), (5, 60));
    assert!(like.nearest.windows(2).all(|pair| pair[0].share >= pair[1].share));
    let first = &like.nearest[0];
    assert!(first.compared.iter().all(|one| one.theirs.as_ref().is_some_and(|(_, agrees)| *agrees)), "{first:?}");
    assert!(!like.is_far());
    let far = external_checks::club(calibration.catalogue(), &[("hosel", "9.9"), ("join", "sharp")]);
    assert!(Likeness::of(&ask(&calibration, &far, Part::Head, None)).unwrap().is_far());
}

/// Without a shelf there is none, and exponents are drawn to 0.8 as before it came.
#[test]
fn a_fit_may_do_without() {
    let catalogue = catalogue(DEMO_CATALOGUE);
    let clubs = dated_clubs(DEMO_COLLECTION, &catalogue);
    let method = FitMethod { shelf: false, ..FitMethod::default() };
    let without = fit(&catalogue, &clubs, &FitSettings { method, ..FitSettings::default() }).unwrap().calibration;
    assert!(without.shelf().is_none());
    let asked = ask(&without, &clubs[3].club, Part::Head, None);
    assert!(asked.evidence().ln_of_shelf().is_none() && Likeness::of(&asked).is_none());
    let anonymous = FitSettings { anonymous: true, ..FitSettings::default() };
    let nameless = fit(&catalogue, &clubs, &anonymous).unwrap().calibration;
    let shelf = nameless.shelf().unwrap();
    assert!(shelf.clubs.iter().all(|own| own.club.id.starts_with("dated club ")));
    assert!(shelf.clubs.windows(2).all(|pair| pair[0].from <= pair[1].from));
}
