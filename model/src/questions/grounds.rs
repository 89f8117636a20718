//! What an answer rests on: how far the span of the date line depends on each clue.

use crate::answer::band::{Band, Interval};
use crate::answer::dating::Dating;
use crate::answer::out_of_step::OUT_OF_STEP_MISREAD;
use crate::answer::posterior::Posterior;
use crate::evidence::asked::Asked;

/// Clues that are named for an answer, or against it, at the most.
pub const NAMED: usize = 3;
/// The level of the date line's span.
const LEVEL: f64 = 0.8;
/// Effects within this are rounding.
const NOTHING: f64 = 1e-9;
/// Clues that threes are made of, at the most.
const MOST_TRIED: usize = 14;
/// A clue that adds less than this to the others named for it is not named.
const LEAST_FOR: f64 = 0.01;
/// A clue that takes less than this from the chance of the span is not named against it, unless it is out of step.
const LEAST_AGAINST: f64 = 0.01;
/// Nor, between two pieces, one that changes their odds by less than a tenth.
const LEAST_LN_ODDS: f64 = 0.1;

/// What the span of the date line (the 4-in-5 band) rests on.
///
/// The effect of a clue is P(span) with all clues less P(span) without it. Of the clues that count as evidence, those
/// with an effect above 0 speak for the span; the ones named are those without which, together, it loses most, but
/// for what is likelier misread than not and for what adds next to nothing to the others.
/// ```
/// use agewright_model::questions::grounds::{Ground, Grounds};
/// use agewright_model::{Asked, Dating, Part};
///
/// let calibration = agewright_files::built_in().unwrap().calibration;
/// let readings = [("hosel_to_crease", "3 1/2 in"), ("nicking_regularity", "even"), ("hosel_join", "sharp")];
/// let club = calibration.catalogue().club("iron", &readings).unwrap();
/// let asked = Asked::new(&calibration, &club, Part::Head, None, &[]).unwrap();
/// let grounds = Grounds::of(&asked, &Dating::of(&asked));
/// let named = |list: &[Ground]| list.iter().map(|ground| ground.clue.clone()).collect::<Vec<_>>();
/// assert!(named(&grounds.supports).contains(&"hosel_to_crease".to_owned()));
/// assert_eq!(named(&grounds.against), ["hosel_join"], "old work on a late hosel");
/// assert!(grounds.without_supports < grounds.chance && grounds.chance < grounds.without_against);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Grounds {
    /// The span of the date line.
    pub span: Band,
    /// Its chance with all clues.
    pub chance: f64,
    /// What speaks most for it, at most three clues, the largest effect first.
    pub supports: Vec<Ground>,
    /// Its chance without those.
    pub without_supports: f64,
    /// What the answer leans on though it is likelier misread than not, and is therefore not named for it.
    pub doubted: Vec<Ground>,
    /// Its chance without any clue that counts as evidence.
    pub without_all: f64,
    /// What speaks most against it, at most three clues, the largest effect first.
    pub against: Vec<Ground>,
    /// Its chance without those.
    pub without_against: f64,
    /// Where the span is split: what decides between its two likeliest pieces.
    pub between: Option<Between>,
    /// The effect of every clue that counts as evidence, the largest first.
    pub effects: Vec<Ground>,
}

/// What a clue does to the answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Ground {
    /// The clue's id.
    pub clue: String,
    /// Its reading as written.
    pub reading: String,
    /// What the span gains by it; between two pieces, the ln odds that the first gains over the second.
    pub effect: f64,
    /// Whether the rest does not bear it out.
    pub is_out_of_step: bool,
}

/// What decides between two pieces of a split span.
#[derive(Debug, Clone, PartialEq)]
pub struct Between {
    /// The likelier piece, and the one after it.
    pub pieces: [Interval; 2],
    /// What speaks most for each against the other, at most three clues, the largest effect first.
    pub supports: [Vec<Ground>; 2],
}

impl Grounds {
    /// What an answer to a question rests on.
    #[must_use]
    pub fn of(asked: &Asked<'_>, dating: &Dating) -> Self {
        let span = dating.band(LEVEL);
        let clues = Clues::of(asked);
        let chance_without = |left_out: &[usize]| clues.answer_without(left_out).probability_of(&span.intervals);
        let chance = dating.posterior.probability_of(&span.intervals);
        let effects: Vec<f64> = (0..clues.ids.len()).map(|clue| chance - chance_without(&[clue])).collect();
        let is_odd = |clue: usize| dating.out_of_step.iter().any(|odd| odd.clue == clues.ids[clue]);
        let by_effect = |is_meant: &dyn Fn(usize) -> bool| {
            let mut meant: Vec<usize> = clues.all().filter(|&clue| is_meant(clue)).collect();
            meant.sort_by(|&a, &b| effects[b].abs().total_cmp(&effects[a].abs()).then(a.cmp(&b)));
            meant
        };
        // What is likelier misread than not is no support, even where the answer leans on it.
        let is_doubted = |clue: usize| {
            let own = dating.clues.iter().find(|one| one.clue == clues.ids[clue]);
            own.is_some_and(|one| one.misread >= OUT_OF_STEP_MISREAD)
        };
        let speaks_for = |clue: usize| effects[clue] > NOTHING && !is_doubted(clue);
        let least_against = |clue: usize| if is_odd(clue) { NOTHING } else { LEAST_AGAINST };
        let speaks_against = |clue: usize| effects[clue] <= -least_against(clue);
        let mut supports = strongest(&by_effect(&speaks_for), &|left_out| -chance_without(left_out));
        drop_idle(&mut supports, &chance_without);
        let mut against = strongest(&by_effect(&speaks_against), &chance_without);
        if chance_without(&against) <= chance {
            // One by one they speak against it, and not together.
            against.truncate(1);
        }
        let named = |named: Vec<usize>| clues.grounds(named, &effects, dating);
        Self {
            chance,
            without_supports: chance_without(&supports),
            without_all: chance_without(&clues.all().collect::<Vec<usize>>()),
            doubted: named(by_effect(&|clue| effects[clue] >= LEAST_FOR && is_doubted(clue))),
            without_against: chance_without(&against),
            supports: named(supports),
            against: named(against),
            between: between(&clues, &span, dating),
            effects: named(clues.all().collect()),
            span,
        }
    }
}

/// The clues of a question that count as evidence.
struct Clues<'a> {
    asked: &'a Asked<'a>,
    ids: Vec<&'a str>,
    /// Place of each among all clues of the evidence.
    places: Vec<usize>,
}

impl<'a> Clues<'a> {
    fn of(asked: &'a Asked<'a>) -> Self {
        let of_date = asked.evidence().clues.iter().enumerate().filter(|(_, clue)| !clue.adjusts);
        let (places, ids) = of_date.map(|(place, clue)| (place, clue.id.as_str())).unzip();
        Self { asked, ids, places }
    }

    fn all(&self) -> std::ops::Range<usize> {
        0..self.ids.len()
    }

    fn answer_without(&self, left_out: &[usize]) -> Posterior {
        let is_left_out = |place: usize| left_out.iter().any(|&clue| self.places[clue] == place);
        Posterior::of(self.asked.evidence(), self.asked.prior(), |place| !is_left_out(place))
    }

    /// Clues with their readings and effects, the largest effect first whatever its sign.
    fn grounds(&self, mut clues: Vec<usize>, effects: &[f64], dating: &Dating) -> Vec<Ground> {
        clues.sort_by(|&a, &b| effects[b].abs().total_cmp(&effects[a].abs()).then(a.cmp(&b)));
        let ground = |clue: usize| Ground {
            clue: self.ids[clue].to_owned(),
            reading: self.asked.evidence().clues[self.places[clue]].reading.clone(),
            effect: effects[clue],
            is_out_of_step: dating.out_of_step.iter().any(|odd| odd.clue == self.ids[clue]),
        };
        clues.into_iter().map(ground).collect()
    }
}

/// Of some clues, the largest effect first, the three that `worth` of leaving them out together is largest for; clues
/// that say the same matter little one by one, and much together.
fn strongest(candidates: &[usize], worth: &dyn Fn(&[usize]) -> f64) -> Vec<usize> {
    let tried = &candidates[..candidates.len().min(MOST_TRIED)];
    if tried.len() <= NAMED {
        return tried.to_vec();
    }
    let mut best = (f64::NEG_INFINITY, [0; NAMED]);
    for (k, &first) in tried.iter().enumerate() {
        for (l, &second) in tried.iter().enumerate().skip(k + 1) {
            for &third in &tried[l + 1..] {
                let three = [first, second, third];
                let worth = worth(&three);
                if worth > best.0 {
                    best = (worth, three);
                }
            }
        }
    }
    best.1.to_vec()
}

/// Leaves out, the least first, what adds next to nothing to the rest of the clues named for an answer.
fn drop_idle(named: &mut Vec<usize>, chance_without: &dyn Fn(&[usize]) -> f64) {
    while !named.is_empty() {
        let with_all_out = chance_without(named);
        let added = |k: usize| {
            let others: Vec<usize> = (0..named.len()).filter(|&other| other != k).map(|other| named[other]).collect();
            (chance_without(&others) - with_all_out, k)
        };
        let least =
            (0..named.len()).map(added).fold((f64::INFINITY, 0), |best, one| if one.0 < best.0 { one } else { best });
        if least.0 >= LEAST_FOR {
            return;
        }
        named.remove(least.1);
    }
}

/// What decides between the two likeliest pieces of a split span.
fn between(clues: &Clues<'_>, span: &Band, dating: &Dating) -> Option<Between> {
    let mut pieces = span.modes();
    pieces.sort_by(|a, b| b.probability.total_cmp(&a.probability).then(a.from.cmp(&b.from)));
    let [first, second, ..] = pieces.as_slice() else { return None };
    let ln_odds = |answer: &Posterior| {
        let [of_first, of_second] = [first, second].map(|piece| answer.probability_of(std::slice::from_ref(piece)));
        // Years that are next to impossible by what is left are as far off as counts.
        (of_first.max(1e-12) / of_second.max(1e-12)).ln()
    };
    let all = ln_odds(&dating.posterior);
    let effects: Vec<f64> = clues.all().map(|clue| all - ln_odds(&clues.answer_without(&[clue]))).collect();
    let supports = [1.0, -1.0].map(|side| {
        let mut own: Vec<usize> = clues.all().filter(|&clue| side * effects[clue] >= LEAST_LN_ODDS).collect();
        own.sort_by(|&a, &b| (side * effects[b]).total_cmp(&(side * effects[a])).then(a.cmp(&b)));
        own.truncate(NAMED);
        clues.grounds(own, &effects, dating)
    });
    Some(Between { pieces: [*first, *second], supports })
}
