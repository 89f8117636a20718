//! Two looks and a mark on one head, by every lag and year written out: the answer, chances of misreading, what the
//! rest bears out, what each favours, decibans. By the starter rules: a lag of ten years.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_model::answer::clue_standing::ClueStanding;
use agewright_model::answer::ledger::LedgerEntry;
use agewright_model::{Accounting, Asked, Dating, Ledger, Part, PeriodAccount, Prior};
use external_checks::{STARTER, ask, changed, club};

const READINGS: [(&str, &str); 3] =
    [("face_scoring", "stamped_lines"), ("pin_direction", "front_back"), ("royal_device", "edward_vii")];

/// Lags with their chances: one in three years, for ten years four standard deviations either way.
fn lags() -> Vec<(i32, f64)> {
    let density = |ahead: i32| (-0.5 * (f64::from(ahead) / 10.0).powi(2)).exp();
    let total: f64 = (-14..=14).map(|k| density(3 * k)).sum();
    (-14..=14).map(|k| (3 * k, density(3 * k) / total)).collect()
}

/// The likelihood of each reading by year, before any exponent.
fn alone(asked: &Asked<'_>) -> [Vec<f64>; 3] {
    [0, 1, 2].map(|clue| asked.evidence().ln_alone(clue).iter().map(|ln| ln.exp()).collect())
}

/// Sum over years of making and lags of prior x chance x likelihoods of the clues that are kept x a value of (year,
/// year of fashion).
fn summed(likelihoods: &[Vec<f64>; 3], keep: [bool; 3], value: &dyn Fn(usize, usize) -> f64) -> f64 {
    let prior: Vec<f64> = STARTER.prior(None).unwrap().ln_by_year().iter().map(|ln| ln.exp()).collect();
    let weight = STARTER.tables().own_tables().next().unwrap().weight;
    let mut sum = 0.0;
    for (ahead, chance) in lags() {
        for (year, before) in prior.iter().enumerate() {
            let fashion = year.saturating_add_signed(ahead as isize).min(prior.len() - 1);
            let of = |clue: usize| match (keep[clue], clue) {
                (false, _) => 1.0,
                // Of the year of making, and with no exponent.
                (true, 2) => likelihoods[2][year],
                (true, _) => likelihoods[clue][fashion].powf(weight),
            };
            sum += before * chance * of(0) * of(1) * of(2) * value(year, fashion);
        }
    }
    sum
}

fn near(got: f64, want: f64, what: &str) {
    assert!((got - want).abs() < 1e-9 * want.abs().max(1.0), "{what}: {got}, not {want}");
}

#[test]
fn every_figure_of_an_account_is_that_of_all_lags() {
    assert!((STARTER.shared_lag() - 10.0).abs() < 1e-12);
    let club = club(STARTER.catalogue(), &READINGS);
    // What marks say of years behind the axis stands in `after_the_years`.
    let silent = changed(&STARTER, |contents| contents.parts.as_mut().unwrap().after = Default::default());
    let asked = ask(&silent, &club, Part::Head, None);
    let likelihoods = alone(&asked);
    let dating = Dating::of(&asked);
    let all = [true; 3];
    let total = summed(&likelihoods, all, &|_, _| 1.0);
    for (year, got) in dating.posterior.on_axis().iter().enumerate() {
        let want = summed(&likelihoods, all, &|y, _| if y == year { 1.0 } else { 0.0 }) / total;
        assert!((got - want).abs() < 1e-12, "year {year}: {got}, not {want}");
    }
    let ledger = Ledger::of(&asked, Accounting::default());
    for (clue, (entry, standing)) in ledger.entries.iter().zip(&dating.clues).enumerate() {
        check_entry(&likelihoods, clue, entry, standing);
    }
    let places = |from: i32, to: i32| {
        STARTER.catalogue().axis().year_ix(from).unwrap()..=STARTER.catalogue().axis().year_ix(to).unwrap()
    };
    let account = PeriodAccount::of(&asked, [(1830, 1849), (1910, 1929)], Accounting::default()).unwrap();
    let mass = |from, to| summed(&likelihoods, all, &|y, _| if places(from, to).contains(&y) { 1.0 } else { 0.0 });
    near(account.total, 10.0 * (mass(1830, 1849) / mass(1910, 1929)).log10(), "decibans");
}

/// Chance of misreading, by the year of fashion for a look and of making for a mark, both averaged over what remains;
/// support alike, by the rest; what is favoured, with the lag allowed for.
fn check_entry(likelihoods: &[Vec<f64>; 3], clue: usize, entry: &LedgerEntry, standing: &ClueStanding) {
    let place = |year: usize, fashion: usize| if clue == 2 { year } else { fashion };
    let own = &likelihoods[clue];
    // A misread reading is as likely in all years: the part of the likelihood that stays.
    let wrong = misread_part(clue, own);
    let misread = |y: usize, u: usize| wrong / own[place(y, u)];
    let total = summed(likelihoods, [true; 3], &|_, _| 1.0);
    near(entry.misread, summed(likelihoods, [true; 3], &misread) / total, &format!("misread {}", entry.clue));
    let mut rest = [true; 3];
    rest[clue] = false;
    let top = own.iter().copied().fold(0.0, f64::max);
    let support = summed(likelihoods, rest, &|y, u| own[place(y, u)] / top) / summed(likelihoods, rest, &|_, _| 1.0);
    near(standing.support, support, &format!("support {}", entry.clue));
    // The shortest run of years with half of its likelihood by the year of making: by counting all runs.
    let n = own.len();
    let making: Vec<f64> = (0..n)
        .map(|y| {
            let at = |ahead: i32| own[y.saturating_add_signed(ahead as isize).min(n - 1)];
            if clue == 2 { own[y] } else { lags().iter().map(|(ahead, chance)| chance * at(*ahead)).sum() }
        })
        .collect();
    let half = 0.5 * making.iter().sum::<f64>();
    let (from, to) = entry.favours.unwrap();
    let axis = STARTER.catalogue().axis();
    let held: f64 = making[axis.year_ix(from).unwrap()..=axis.year_ix(to).unwrap()].iter().sum();
    assert!(held >= half - 1e-12, "{} {from}-{to}", entry.clue);
    let length = (to - from) as usize;
    let shorter = making.windows(length).map(|run| run.iter().sum::<f64>()).fold(0.0, f64::max);
    assert!(shorter < half, "{}: a shorter run than {from}-{to} holds {shorter} of {half}", entry.clue);
}

/// e q of a level clue's table; of a mark its chance of misreading times its mean likelihood, (1 - e) v + e mean v.
fn misread_part(clue: usize, own: &[f64]) -> f64 {
    let (id, word) = READINGS[clue];
    let of = STARTER.catalogue().clue(id).unwrap();
    if clue == 2 {
        return of.misread * own.iter().sum::<f64>() / own.len() as f64;
    }
    of.misread * STARTER.tables().level_table(id).unwrap().overall[of.level_ix(word).unwrap()]
}

/// However long the lag, nothing read leaves the prior as it is.
#[test]
fn nothing_read_leaves_the_prior() {
    let club = club(STARTER.catalogue(), &[]);
    let asked = ask(&STARTER, &club, Part::Head, Some(Prior::FLAT)).elsewhere(40.0);
    let dating = Dating::of(&asked);
    let even = 1.0 / dating.posterior.on_axis().len() as f64;
    assert!(dating.posterior.on_axis().iter().all(|p| (p - even).abs() < 1e-15));
}
