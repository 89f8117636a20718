//! What an answer rests on, as JSON.

use crate::words::answered::Answered;
use agewright_model::answer::band::Interval;
use agewright_model::questions::grounds::{Between, Ground, Grounds};
use serde::Serialize;

/// How far the span of the date line depends on each clue.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct GroundsAnswer {
    /// Chance of the 4-in-5 span.
    chance: f64,
    /// The clues that speak most for it, the largest effect first, and its chance without these.
    supports: Vec<ClueEffect>,
    without_supports: f64,
    /// What the answer leans on though it is likelier misread than not.
    doubted: Vec<ClueEffect>,
    /// Its chance without any clue that counts as evidence.
    without_all: f64,
    /// The same of those that speak against it.
    against: Vec<ClueEffect>,
    without_against: f64,
    /// Of a split span: what decides between its two likeliest pieces.
    between: Option<BetweenPieces>,
    /// Every clue that counts as evidence, by what the span gains by it.
    effects: Vec<ClueEffect>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ClueEffect {
    clue: String,
    effect: f64,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct BetweenPieces {
    pieces: [[i32; 2]; 2],
    /// For the first, for the second: the ln odds that the first gains over the second.
    supports: [Vec<ClueEffect>; 2],
}

impl GroundsAnswer {
    /// Of an answer; `None` where no clue of date was read.
    #[must_use]
    pub fn of(answered: &Answered<'_>) -> Option<Self> {
        if !answered.dating.has_evidence() {
            return None;
        }
        let grounds = Grounds::of(&answered.asked, &answered.dating);
        Some(Self {
            chance: grounds.chance,
            supports: effects(grounds.supports),
            without_supports: grounds.without_supports,
            doubted: effects(grounds.doubted),
            without_all: grounds.without_all,
            against: effects(grounds.against),
            without_against: grounds.without_against,
            between: grounds.between.map(between),
            effects: effects(grounds.effects),
        })
    }
}

fn effects(grounds: Vec<Ground>) -> Vec<ClueEffect> {
    grounds.into_iter().map(|Ground { clue, effect, .. }| ClueEffect { clue, effect }).collect()
}

fn between(between: Between) -> BetweenPieces {
    let years = |piece: Interval| [piece.from, piece.to];
    BetweenPieces { pieces: between.pieces.map(years), supports: between.supports.map(effects) }
}
