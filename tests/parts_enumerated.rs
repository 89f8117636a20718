//! Head, shaft and grip together, against brute force: every combination of three years and a lead or lag that all
//! three share, written down from the rules.
#![allow(clippy::unwrap_used, clippy::cast_precision_loss, reason = "a test stops where something is missing")]

use agewright_model::{Calibration, Cell, Club, Dating, Part, Reading, Seen};
use external_checks::{STARTER, account, ask, changed, club, date_part};

fn dated(club: &Club, part: Part) -> Dating {
    date_part(&STARTER, club, part, Some("specialist"))
}

/// Tempered likelihood by the year of fashion of a part's own clues, signs left out, by a calibration that knows of no
/// other part and of no lag.
fn own_likelihood(club: &Club, part: Part) -> Vec<f64> {
    let apart = changed(&STARTER, |contents| (contents.parts, contents.shared_lag) = (None, 0.0));
    let asked = ask(&apart, club, part, None);
    asked.evidence().ln_likelihood(|_| true).iter().map(|ln| ln.exp()).collect()
}

/// Chances of a later shaft by the head's year, as the starter rules have them.
const SHAFT_REPLACED: [(f64, f64); 6] =
    [(1780.0, 0.6), (1850.0, 0.5), (1875.0, 0.4), (1895.0, 0.3), (1910.0, 0.2), (1930.0, 0.1)];

/// Linear between points of (year, chance), constant outside.
fn chance(points: &[(f64, f64)], year: f64) -> f64 {
    let above = points.iter().find(|p| p.0 > year);
    let below = points.iter().rev().find(|p| p.0 <= year);
    match (below, above) {
        (Some(b), Some(a)) => b.1 + (a.1 - b.1) * (year - b.0) / (a.0 - b.0),
        (Some(only), None) | (None, Some(only)) => only.1,
        (None, None) => unreachable!("points"),
    }
}

/// P(year of the fixed part) given the year of what it is fixed to, its own and a later one apart: own within two years
/// at 7, 2 and 1 in 10; else 97 in 100 evenly over all later years, 3 in 100 over any; of those 97 a share `after` is
/// of after the axis, year n, where a part's own is too. The shares are those that DEVELOPERS.md states, written out on
/// purpose: whoever changes the code alone is stopped.
#[expect(clippy::cast_precision_loss, reason = "years are few")]
fn joined(y: usize, fixed: usize, n: usize, replaced: f64, after: f64) -> [f64; 2] {
    let any = if fixed < n { 0.03 / n as f64 } else { 0.0 };
    if y == n {
        let cell = if fixed == n { 1.0 } else { 0.0 };
        return [(1.0 - replaced) * cell, replaced * (0.97 * cell + any)];
    }
    if fixed == n {
        return [0.0, replaced * 0.97 * after];
    }
    let lags = [0.7, 0.2, 0.1];
    let room: f64 = lags.iter().take(n - y).sum();
    let own = if fixed >= y && fixed - y < 3 { lags[fixed - y] / room } else { 0.0 };
    let first_later = (y + 3).min(n - 1);
    let later = if fixed >= first_later { 0.97 * (1.0 - after) / (n - first_later) as f64 } else { 0.0 };
    [(1.0 - replaced) * own, replaced * (later + any)]
}

/// Of later shafts those of after the axis, and of grips, as the starter rules have them.
const SHAFT_AFTER: [(f64, f64); 4] = [(1780.0, 0.15), (1880.0, 0.2), (1910.0, 0.3), (1930.0, 0.6)];
const GRIP_AFTER: [(f64, f64); 4] = [(1850.0, 0.25), (1890.0, 0.3), (1910.0, 0.35), (1930.0, 0.5)];

/// A clue that the rules tell of after the axis: its id, its reading, the share of that there.
type Later = (&'static str, f64);

/// Tempered likelihood of a part's own clues after the axis: of what the rules name (1 - e) s + e q, to the exponent of
/// rules; of all else the mean over the years that it copies, by weights of theirs and the lags.
fn after_the_axis(club: &Club, part: Part, named: &[Later], weights: &[f64], lags: &[(i32, f64)]) -> f64 {
    let catalogue = STARTER.catalogue();
    let mut rest = club.clone();
    let mut likelihood = 1.0;
    for (clue, share) in named {
        let (place, misread) = (catalogue.clue_ix(clue).unwrap(), catalogue.clue(clue).unwrap().misread);
        let Cell::Read(Reading { seen: Seen::Levels(levels), .. }) = &club.cells[place] else { panic!("{clue}") };
        let table = STARTER.tables().levels.iter().find(|table| table.clue == *clue).unwrap();
        likelihood *= ((1.0 - misread) * share + misread * table.overall[levels[0]]).powf(0.9);
        rest.cells[place] = Cell::NotExamined;
    }
    let by_fashion = own_likelihood(&rest, part);
    let n = by_fashion.len() as i32;
    let mut copied = 0.0;
    for (year, weight) in weights.iter().enumerate() {
        for (ahead, chance) in lags {
            copied += weight * chance * by_fashion[(year as i32 + ahead).clamp(0, n - 1) as usize];
        }
    }
    likelihood * copied
}

/// A sign on an original part and on a later one, to the exponent of the rules.
fn sign(original: f64, later: f64, misread: f64) -> [f64; 2] {
    [original, later].map(|p| ((1.0 - misread) * p + misread * 0.5 * (original + later)).powf(0.9))
}

/// Chance by the part's year of fashion, and after the axis, where the rules give it a share, that a level is misread:
/// e q/((1 - e) s + e q).
fn misread_level(clue: &str, level: &str, after: f64) -> Vec<f64> {
    let table = STARTER.tables().levels.iter().find(|table| table.clue == clue).unwrap();
    let clue = STARTER.catalogue().clue(clue).unwrap();
    let (misread, place) = (clue.misread, clue.levels.iter().position(|one| one.id == level).unwrap());
    let rows: Vec<f64> = table.rows.iter().map(|row| table.true_shares(misread, row)[place]).collect();
    let by_year = STARTER.catalogue().axis().rows_to_years(&rows);
    let wrong = misread * table.overall[place];
    by_year.into_iter().chain([after]).map(|right| wrong / ((1.0 - misread) * right + wrong)).collect()
}

/// Own and later way together, with the signs on either.
fn signed(joined: &[Vec<[f64; 2]>], signs: [f64; 2]) -> Vec<Vec<f64>> {
    let row = |row: &Vec<[f64; 2]>| row.iter().map(|[own, later]| own * signs[0] + later * signs[1]).collect();
    joined.iter().map(row).collect()
}

/// Place of the year of fashion that belongs to a year of making.
fn place(year: usize, ahead: i32, n: usize) -> usize {
    (year as i32 + ahead).clamp(0, n as i32 - 1) as usize
}

/// What a shaft and a grip of after the axis copy: those that such a head has on the axis, by the year of fashion,
/// before their own clues but with their signs.
fn copied(
    by_fashion: &[Vec<f64>; 3],
    prior: &[f64],
    head_after: f64,
    [to_shaft, to_grip]: &[Vec<Vec<f64>>; 2],
    lags: &[(i32, f64)],
) -> [Vec<f64>; 2] {
    let n = prior.len() - 1;
    let mut copies = [vec![0.0; n], vec![0.0; n]];
    for &(ahead, chance) in lags {
        let head = |h: usize| if h < n { by_fashion[0][place(h, ahead, n)] } else { head_after };
        let shaft = |s: usize| if s < n { by_fashion[1][place(s, ahead, n)] } else { 0.0 };
        let of = |s: usize| (0..=n).map(|h| chance * prior[h] * head(h) * to_shaft[h][s]).sum::<f64>();
        let shafts: Vec<f64> = (0..=n).map(of).collect();
        for y in 0..n {
            copies[0][place(y, ahead, n)] += shafts[y];
            copies[1][place(y, ahead, n)] += (0..=n).map(|s| shafts[s] * shaft(s) * to_grip[s][y]).sum::<f64>();
        }
    }
    copies.map(|own| {
        let total: f64 = own.iter().sum();
        own.iter().map(|v| v / total).collect()
    })
}

/// What every combination of three years comes to, under a lag of one of some numbers of years, each with its chance;
/// the last value of each list is that of after the axis.
#[derive(Default)]
struct Enumerated {
    by_part: [Vec<f64>; 3],
    shaft_later: f64,
    grip_later: f64,
    /// Weight of the making of the shaft being misread, and of the material of the grip.
    making_misread: f64,
    material_misread: f64,
}

#[expect(clippy::cast_precision_loss, reason = "years are few")]
fn enumerated(club: &Club, lags: &[(i32, f64)]) -> Enumerated {
    let axis = STARTER.catalogue().axis();
    let n = axis.n_years();
    let mut prior: Vec<f64> =
        STARTER.prior(Some("specialist")).unwrap().ln_by_year().iter().map(|ln| ln.exp()).collect();
    let by_fashion = [Part::Head, Part::Shaft, Part::Grip].map(|part| own_likelihood(club, part));
    // A head copies heads as there are, with a lag of its own.
    let head_after = after_the_axis(club, Part::Head, &[("iron_grain", 0.94)], &prior, lags);
    prior.iter_mut().for_each(|p| *p *= 0.99);
    prior.push(0.01);
    let grip_points = [(1850.0, 0.6), (1890.0, 0.5), (1905.0, 0.35), (1930.0, 0.25)];
    // A step: 4 in 100 of original fits, 35 of later ones, misread 15 in 100; tide marks 7 and 50, doubtful: 30 in 100.
    let (step, tide) = (sign(0.04, 0.35, 0.15), sign(0.07, 0.5, 0.3));
    let year = |place: usize| f64::from(axis.from()) + place.min(n - 1) as f64;
    let fixed_to = |replaced: &[(f64, f64)], after: &[(f64, f64)]| -> Vec<Vec<[f64; 2]>> {
        let row = |y: usize| {
            (0..=n).map(|fixed| joined(y, fixed, n, chance(replaced, year(y)), chance(after, year(y)))).collect()
        };
        (0..=n).map(row).collect()
    };
    let (to_shaft, to_grip) = (fixed_to(&SHAFT_REPLACED, &SHAFT_AFTER), fixed_to(&grip_points, &GRIP_AFTER));
    let joins = [signed(&to_shaft, step), signed(&to_grip, tide)];
    let [of_shaft, of_grip] = copied(&by_fashion, &prior, head_after, &joins, lags);
    let after = [
        head_after,
        after_the_axis(club, Part::Shaft, &[("shaft_making", 0.9)], &of_shaft, &[(0, 1.0)]),
        after_the_axis(club, Part::Grip, &[("grip_material", 0.23)], &of_grip, &[(0, 1.0)]),
    ];
    let mut all = Enumerated { by_part: std::array::from_fn(|_| vec![0.0; n + 1]), ..Enumerated::default() };
    let making = misread_level("shaft_making", "turned", 0.9);
    let material = misread_level("grip_material", "perforated", 0.23);
    for &(ahead, chance) in lags {
        let [head, shaft, grip] = [0, 1, 2].map(|part: usize| -> Vec<f64> {
            (0..n).map(|y| by_fashion[part][place(y, ahead, n)]).chain([after[part]]).collect()
        });
        let at = |year: usize| if year < n { place(year, ahead, n) } else { n };
        for h in 0..=n {
            for s in 0..=n {
                let [own, later] = to_shaft[h][s];
                let (own, later) = (own * step[0], later * step[1]);
                let so_far = chance * prior[h] * head[h] * shaft[s];
                for g in 0..=n {
                    let [grip_own, grip_new] = to_grip[s][g];
                    let (grip_own, grip_new) = (grip_own * tide[0], grip_new * tide[1]);
                    let weight = so_far * (own + later) * (grip_own + grip_new) * grip[g];
                    all.by_part[0][h] += weight;
                    all.making_misread += weight * making[at(s)];
                    all.material_misread += weight * material[at(g)];
                    all.by_part[1][s] += weight;
                    all.by_part[2][g] += weight;
                    all.shaft_later += so_far * later * (grip_own + grip_new) * grip[g];
                    all.grip_later += so_far * (own + later) * grip_new * grip[g];
                }
            }
        }
    }
    all
}

fn three_parts() -> Club {
    let readings = [
        ("hosel_to_crease", "4.3"),
        ("face_scoring", "smooth"),
        ("marks_on_head", "one_mark"),
        ("iron_grain", "none_seen"),
        ("shaft_making", "turned"),
        ("shaft_diameter", "0.52"),
        ("shaft_fit", "step"),
        ("grip_material", "perforated"),
        ("earlier_grip", "tide_marks?"),
    ];
    club(STARTER.catalogue(), &readings)
}

fn check(calibration: &Calibration, lags: &[(i32, f64)]) {
    let club = three_parts();
    let want = enumerated(&club, lags);
    let total: f64 = want.by_part[0].iter().sum();
    for (part, by_year) in [Part::Head, Part::Shaft, Part::Grip].into_iter().zip(&want.by_part) {
        let dating = date_part(calibration, &club, part, Some("specialist"));
        for (year, (got, want)) in dating.posterior.by_year_and_after().iter().zip(by_year).enumerate() {
            assert!((got - want / total).abs() < 1e-9, "{} {year}: {got}, not {}", part.word(), want / total);
        }
        // A reading has one chance to be wrong, whichever part's account it stands in.
        for (clue, want) in [("shaft_making", want.making_misread), ("grip_material", want.material_misread)] {
            let got = dating.clue(clue).map(|one| one.misread);
            assert_eq!(got.is_none(), part == Part::Grip && clue == "shaft_making");
            let wrong = got.is_some_and(|got| (got - want / total).abs() > 1e-9);
            assert!(!wrong, "{}, {clue} misread: {got:?}, not {}", part.word(), want / total);
        }
        let ledger = account(calibration, &club, part, Some("specialist"));
        let balance = ledger.opening + ledger.entries.iter().map(|entry| entry.years).sum::<f64>() - ledger.closing;
        assert!(balance.abs() < 1e-9, "{}: off by {balance}", part.word());
        let replaced = dating.replaced.map_or(0.0, |chance| chance);
        let want = [0.0, want.shaft_later, want.grip_later][part as usize] / total;
        assert!((replaced - want).abs() < 1e-9, "{}: {replaced}, not {want}", part.word());
    }
}

#[test]
fn three_parts_are_the_sum_over_all_their_years() {
    check(&changed(&STARTER, |contents| contents.shared_lag = 0.0), &[(0, 1.0)]);
}

/// With a lag of ten years that all three share: whether a shaft is a later one hangs on the year of making, what it
/// looks like on the year of fashion.
#[test]
fn three_parts_lead_or_lag_together() {
    let density = |ahead: i32| (-0.5 * (f64::from(ahead) / 10.0).powi(2)).exp();
    let total: f64 = (-14..=14).map(|k| density(3 * k)).sum();
    let lags: Vec<(i32, f64)> = (-14..=14).map(|k| (3 * k, density(3 * k) / total)).collect();
    check(&changed(&STARTER, |contents| contents.shared_lag = 10.0), &lags);
}

/// How well the rest bears out the making of the shaft, as far as it is the head's: its own likelihood by the head's
/// year and the lag, averaged over what the other clues leave of both, as a share of its highest.
#[test]
fn the_rest_bears_out_a_shaft_by_year_and_lag() {
    let density = |ahead: i32| (-0.5 * (f64::from(ahead) / 10.0).powi(2)).exp();
    let total: f64 = (-14..=14).map(|k| density(3 * k)).sum();
    let readings = [("hosel_to_crease", "4.3"), ("face_scoring", "smooth"), ("shaft_making", "split")];
    let whole = club(STARTER.catalogue(), &readings);
    let prior: Vec<f64> = STARTER.prior(None).unwrap().ln_by_year().iter().map(|ln| ln.exp()).collect();
    let n = prior.len();
    let (head, shaft) = (own_likelihood(&whole, Part::Head), own_likelihood(&whole, Part::Shaft));
    let after = after_the_axis(&whole, Part::Shaft, &[("shaft_making", 0.02)], &vec![1.0; n], &[(0, 1.0 / n as f64)]);
    let from = f64::from(STARTER.catalogue().axis().from());
    let moved = |y: usize, ahead: i32| y.saturating_add_signed(ahead as isize).min(n - 1);
    let (mut mean, mut all, mut highest) = (0.0, 0.0, 0.0_f64);
    for ahead in (-14..=14).map(|k| 3 * k) {
        for h in 0..n {
            #[expect(clippy::cast_precision_loss, reason = "years are few")]
            let [pi, late] = [&SHAFT_REPLACED[..], &SHAFT_AFTER].map(|points| chance(points, from + h as f64));
            let by_shaft = |s: usize| if s < n { shaft[moved(s, ahead)] } else { after };
            let of_shaft: f64 = (0..=n).map(|s| joined(h, s, n, pi, late).iter().sum::<f64>() * by_shaft(s)).sum();
            let weight = density(ahead) / total * prior[h] * head[moved(h, ahead)];
            (mean, all, highest) = (mean + weight * of_shaft, all + weight, highest.max(of_shaft));
        }
    }
    let dating = date_part(&STARTER, &whole, Part::Head, None);
    let support = dating.clue("shaft_making").unwrap().support;
    assert!((support - mean / all / highest).abs() < 1e-9, "{support}, not {}", mean / all / highest);
}

/// A shaft and a grip of the 1920s on a head of the 1880s: the head stays, and the shaft is told to be a later one.
#[test]
fn a_later_shaft_and_grip_do_not_drag_the_head() {
    let head = [
        ("hosel_to_crease", "4.3"),
        ("hosel_top_diameter", "0.66"),
        ("top_edge", "0.2"),
        ("face_scoring", "smooth"),
        ("pin_direction", "side_side"),
        ("marks_on_head", "one_mark"),
        ("nicking_coarseness", "medium"),
        ("nicking_regularity", "fair"),
        ("hosel_join", "soft"),
        ("name_or_number", "absent"),
    ];
    let later = [("shaft_making", "turned"), ("shaft_fit", "step"), ("grip_material", "perforated")];
    let alone = dated(&club(STARTER.catalogue(), &head), Part::Head);
    let with = club(STARTER.catalogue(), &[&head[..], &later].concat());
    let dating = dated(&with, Part::Head);
    assert!(alone.posterior.median().abs_diff(dating.posterior.median()) < 5);
    let shaft = dated(&with, Part::Shaft);
    assert!(shaft.replaced.unwrap() > 0.8, "{:?}", shaft.replaced);
    assert!(shaft.posterior.median() > dating.posterior.median() + 15);
    // And an old shaft that fits speaks for an old head, and for being its own.
    let own = [("shaft_making", "split"), ("shaft_wood", "ash"), ("shaft_fit", "flush")];
    let with = club(STARTER.catalogue(), &[&head[..], &own].concat());
    assert!(dated(&with, Part::Head).posterior.mean() < alone.posterior.mean() - 0.5);
    assert!(dated(&with, Part::Shaft).replaced.unwrap() < 0.2);
}
