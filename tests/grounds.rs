//! What an answer is said to rest on, on clubs of the demo's generator that no calibration saw: by leaving out each
//! clue and every three of them.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_files::{SourceText, TableOptions, read_collection};
use agewright_model::answer::band::Interval;
use agewright_model::questions::grounds::{Ground, Grounds};
use agewright_model::{Accounting, Asked, Calibration, Catalogue, Club, Dating, Part, Posterior};
use agewright_pages::words::answered::Answered;
use agewright_pages::words::grounds::grounds_sentences;
use external_checks::{STARTER, ask, club, demo_calibration};

/// Clubs of the demo's generator, made after those of its collection; slips of the pen that no one may enter left out.
fn generated(catalogue: &Catalogue, n: usize) -> Vec<Club> {
    let mut made = Vec::new();
    invented_irons::write_collection(&mut made, 4).unwrap();
    let text = String::from_utf8(made).unwrap();
    let (heading, rows) = text.split_once('\n').unwrap();
    let read = |row: &str| {
        let one = format!("{heading}\n{row}\n");
        let read = read_collection(&SourceText::new("generated", &one), catalogue, &TableOptions::default()).ok()?;
        read.dated().pop().map(|dated| dated.club)
    };
    let mut clubs: Vec<Club> = rows.lines().filter_map(read).collect();
    clubs.iter_mut().for_each(|club| club.id = format!("generated {}", club.id));
    let step = clubs.len() / n;
    clubs.into_iter().step_by(step).take(n).collect()
}

fn chance_without(calibration: &Calibration, club: &Club, without: &[&str], span: &[Interval]) -> f64 {
    let asked = Asked::new(calibration, club, Part::Head, None, without).unwrap();
    let posterior = Posterior::of(asked.evidence(), asked.prior(), |_| true);
    let year = |interval: &Interval| posterior.probability_between(interval.from, interval.to);
    span.iter().map(year).sum()
}

fn ids(grounds: &[Ground]) -> Vec<&str> {
    grounds.iter().map(|ground| ground.clue.as_str()).collect()
}

/// Every three of some places.
fn threes(n: usize) -> impl Iterator<Item = [usize; 3]> {
    (0..n).flat_map(move |a| (a + 1..n).flat_map(move |b| (b + 1..n).map(move |c| [a, b, c])))
}

/// Each that is named adds to the others, and none is likelier misread than not; what is named against adds up.
fn check_named(calibration: &Calibration, own: &Club, dating: &Dating, grounds: &Grounds) {
    let named = ids(&grounds.supports);
    for support in &grounds.supports {
        let others: Vec<&str> = named.iter().copied().filter(|id| *id != support.clue).collect();
        let without = chance_without(calibration, own, &others, &grounds.span.intervals);
        let added = without - grounds.without_supports;
        assert!(added >= 0.01 - 1e-9, "{} {}: {added}", own.id, support.clue);
        let doubted = dating.out_of_step.iter().any(|odd| odd.clue == support.clue && odd.misread >= 0.5);
        assert!(!doubted, "{grounds:?}");
    }
    assert!(grounds.against.is_empty() || grounds.without_against > grounds.chance, "{grounds:?}");
    for doubted in &grounds.doubted {
        let odd = dating.out_of_step.iter().find(|odd| odd.clue == doubted.clue).unwrap();
        assert!(odd.misread >= 0.5 && doubted.effect >= 0.01 && !named.contains(&doubted.clue.as_str()));
    }
}

/// The effects are those of asking again without the clue; no clue that takes from the span is named for it, none that
/// adds to it against it; and the three that are named are those without which it loses most, in nine clubs of ten.
#[test]
fn what_is_named_for_an_answer_holds_it_up() {
    let calibration = demo_calibration();
    let clubs = generated(calibration.catalogue(), 300);
    assert_eq!(clubs.len(), 300);
    let (mut of_three, mut first) = (0, 0);
    let (mut with_against, mut with_odd) = (0, 0);
    for own in &clubs {
        let asked = ask(&calibration, own, Part::Head, None);
        let dating = Dating::of(&asked);
        let grounds = Grounds::of(&asked, &dating);
        let span = &dating.band(0.8).intervals;
        assert_eq!(&grounds.span.intervals, span);
        let all = chance_without(&calibration, own, &[], span);
        assert!((grounds.chance - all).abs() < 1e-9);
        for ground in &grounds.effects {
            let effect = all - chance_without(&calibration, own, &[&ground.clue], span);
            assert!((ground.effect - effect).abs() < 1e-9, "{} {}: {effect}", own.id, ground.clue);
        }
        let named = ids(&grounds.supports);
        assert!(grounds.supports.iter().all(|ground| ground.effect > 0.0), "{grounds:?}");
        assert!(grounds.against.iter().all(|ground| ground.effect < 0.0), "{grounds:?}");
        for ground in grounds.supports.iter().chain(&grounds.against) {
            assert_eq!(ground.is_out_of_step, dating.out_of_step.iter().any(|odd| odd.clue == ground.clue));
        }
        check_named(&calibration, own, &dating, &grounds);
        with_against += i32::from(!grounds.against.is_empty());
        with_odd += i32::from(!dating.out_of_step.is_empty());
        if !grounds.supports.is_empty() {
            let without = chance_without(&calibration, own, &named, span);
            assert!((grounds.without_supports - without).abs() < 1e-9);
        }
        if named.len() < 3 {
            continue;
        }
        of_three += 1;
        let places: Vec<usize> = asked
            .evidence()
            .clue_ids()
            .iter()
            .enumerate()
            .filter_map(|(place, id)| grounds.effects.iter().any(|ground| ground.clue == *id).then_some(place))
            .collect();
        let least = threes(places.len())
            .map(|three| {
                let left_out = three.map(|k| places[k]);
                let answer = Posterior::of(asked.evidence(), asked.prior(), |place| !left_out.contains(&place));
                answer.probability_of(span)
            })
            .fold(f64::INFINITY, f64::min);
        first += i32::from(grounds.without_supports <= least + 1e-9);
    }
    println!("three named on {of_three} of 300 clubs; on {first} no other three matter more");
    println!("something against on {with_against}, something out of step on {with_odd}");
    assert!(of_three >= 200 && f64::from(first) >= 0.9 * f64::from(of_three));
    assert!(with_against >= 30 && with_odd >= 30, "clubs on which the opposite holds are among them");
}

/// The trap of the chromed club: the chrome is late, all else is early, and what is named for the early years is never
/// the chrome.
#[test]
fn what_pulls_away_is_named_against() {
    let readings = [
        ("hosel_to_crease", "4.9"),
        ("nicking_coarseness", "coarse"),
        ("hosel_join", "sharp"),
        ("pin_direction", "front_back"),
        ("head_finish", "chrome"),
    ];
    let calibration = demo_calibration();
    let plated = club(calibration.catalogue(), &readings);
    let asked = ask(&calibration, &plated, Part::Head, None);
    let grounds = Grounds::of(&asked, &Dating::of(&asked));
    assert_eq!(ids(&grounds.against), ["head_finish"], "{grounds:?}");
    assert!(grounds.without_against > grounds.chance + 0.001);
    // Of a late club the same chrome is a ground.
    let readings = [("hosel_to_crease", "3.2"), ("hosel_join", "curve"), ("head_finish", "chrome")];
    let late = club(calibration.catalogue(), &readings);
    let asked = ask(&calibration, &late, Part::Head, None);
    let grounds = Grounds::of(&asked, &Dating::of(&asked));
    assert!(ids(&grounds.supports).contains(&"head_finish") && grounds.against.is_empty(), "{grounds:?}");
}

/// A clue that pulls away from the years that the prior holds is no support, were it the only one; one that bears them
/// out is; and what each sentence says of a chance is the chance.
#[test]
fn a_lone_clue_is_named_for_what_it_does() {
    let sentences = |readings: &[(&str, &str)]| {
        let own = club(STARTER.catalogue(), readings);
        let answered = Answered::new(ask(&STARTER, &own, Part::Head, None), Accounting::default());
        grounds_sentences(&answered, &Grounds::of(&answered.asked, &answered.dating)).join(" ")
    };
    let away = sentences(&[("name_or_number", "absent")]);
    let own = club(STARTER.catalogue(), &[("name_or_number", "absent")]);
    let span = Dating::of(&ask(&STARTER, &own, Part::Head, None)).band(0.8).intervals;
    let prior = 100.0 * chance_without(&STARTER, &own, &["name_or_number"], &span);
    // The years had more before it was read: they are neither its own nor the prior's.
    assert!(prior > 85.0 && away.starts_with(&format!("Before any clue these years had {prior:.0} in 100")), "{away}");
    assert!(away.contains("What speaks against them: name or number on the head (absent, earlier)."), "{away}");
    let own = club(STARTER.catalogue(), &[("hosel_to_crease", "5 3/4 in")]);
    let asked = ask(&STARTER, &own, Part::Head, None);
    let span = Dating::of(&asked).band(0.8).intervals;
    let without = 100.0 * chance_without(&STARTER, &own, &["hosel_to_crease"], &span);
    let borne_out = sentences(&[("hosel_to_crease", "5 3/4 in")]);
    let want = format!("What speaks most for these years: hosel length (5 3/4 in). Without it: {without:.0} in 100,");
    assert!(borne_out.starts_with(&want) && !borne_out.contains("against"), "{borne_out}");
    assert!(sentences(&[]).is_empty() && sentences(&[("loft", "30")]).is_empty());
}

/// Two clues that each speak against the years, and together leave them likelier than without: only one is named. And
/// what the years lean on though it is likelier wrong than right is told as that.
#[test]
fn what_does_not_add_up_is_not_named_together() {
    let readings = [
        ("nicking_coarseness", "medium"),
        ("head_finish", "chrome?"),
        ("royal_device", "edward_vii"),
        ("design_number", "123456"),
        ("shaft_wood", "metal"),
    ];
    let own = club(STARTER.catalogue(), &readings);
    let asked = ask(&STARTER, &own, Part::Head, None);
    let grounds = Grounds::of(&asked, &Dating::of(&asked));
    let against: Vec<&str> =
        grounds.effects.iter().filter(|one| one.effect <= -0.01).map(|one| one.clue.as_str()).collect();
    assert!(against.len() > 1, "{grounds:?}");
    let together = chance_without(&STARTER, &own, &against, &grounds.span.intervals);
    assert!(together < grounds.chance && grounds.against.len() == 1, "{grounds:?}");
    assert!(grounds.without_against > grounds.chance, "{grounds:?}");
}

/// What corrects others and nothing read at all are no grounds.
#[test]
fn without_evidence_nothing_is_named() {
    let calibration = demo_calibration();
    for readings in [&[][..], &[("loft", "30"), ("club_type", "long")]] {
        let bare = club(calibration.catalogue(), readings);
        let asked = ask(&calibration, &bare, Part::Head, None);
        let grounds = Grounds::of(&asked, &Dating::of(&asked));
        assert!(grounds.supports.is_empty() && grounds.against.is_empty() && grounds.effects.is_empty());
        assert!((grounds.without_supports - grounds.chance).abs() < 1e-12);
    }
}

/// Two answers: what is named for the one against the other raises its odds, by asking again without it.
#[test]
fn two_answers_have_grounds_each() {
    let mut split = 0;
    for hosel in ["3 1/4 in", "4.2", "5", "5 3/4 in"] {
        for (pin, nicking) in [("front_back", "coarse"), ("side_side", "coarse"), ("front_back", "fine")] {
            let readings = [
                ("name_or_number", "number"),
                ("iron_grain", "strong"),
                ("hosel_to_crease", hosel),
                ("pin_direction", pin),
                ("nicking_coarseness", nicking),
                ("face_scoring", "stamped_lines"),
            ];
            let two = club(STARTER.catalogue(), &readings);
            let asked = ask(&STARTER, &two, Part::Head, Some("flat"));
            let dating = Dating::of(&asked);
            let grounds = Grounds::of(&asked, &dating);
            assert_eq!(grounds.between.is_some(), dating.has_two_answers());
            let Some(between) = grounds.between else { continue };
            split += 1;
            assert!(between.pieces[0].probability >= between.pieces[1].probability);
            let ln_odds = |without: &[&str]| {
                let asked = Asked::new(&STARTER, &two, Part::Head, Some("flat"), without).unwrap();
                let answer = Posterior::of(asked.evidence(), asked.prior(), |_| true);
                let [first, second] = between.pieces.map(|piece| answer.probability_of(&[piece]));
                (first / second).ln()
            };
            let all = ln_odds(&[]);
            for (side, supports) in [1.0, -1.0].into_iter().zip(&between.supports) {
                assert!(!supports.is_empty(), "{between:?}");
                for ground in supports {
                    assert!(side * ground.effect > 0.0, "{between:?}");
                    assert!((all - ln_odds(&[&ground.clue]) - ground.effect).abs() < 1e-6, "{between:?}");
                }
            }
            let late = usize::from(between.pieces[1].from > between.pieces[0].from);
            assert!(ids(&between.supports[late]).contains(&"name_or_number"), "numbers came late: {between:?}");
        }
    }
    assert!(split >= 2, "{split}");
}
