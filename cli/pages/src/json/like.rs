//! The dated clubs most like one, as JSON.

use agewright_model::Asked;
use agewright_model::questions::like::{Compared, LikeClub, Likeness};
use serde::Serialize;

/// The nearest dated clubs and how near they are.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct LikeAnswer {
    /// Exponent that the votes of the dated clubs count with beside the tables.
    weight: f64,
    /// Dated clubs that vote.
    clubs: usize,
    /// Whether the club is one of the dated clubs itself; it has no vote on itself.
    on_the_shelf: bool,
    /// Mean distance to the nearest, each clue by its relevance.
    distance: f64,
    /// The same from a dated club to the nearest other, that one in a hundred has or passes.
    reach: f64,
    /// Further clubs that are as like it as the last of the nearest.
    as_like: usize,
    nearest: Vec<NearClub>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct NearClub {
    id: String,
    from: i32,
    to: i32,
    /// Share of all votes.
    share: f64,
    clues: Vec<ComparedClue>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ComparedClue {
    clue: String,
    reading: String,
    theirs: Option<String>,
    agrees: Option<bool>,
}

impl LikeAnswer {
    /// Of the part that was asked about; `None` where no dated clubs are kept for it.
    #[must_use]
    pub fn of(asked: &Asked<'_>) -> Option<Self> {
        let like = Likeness::of(asked)?;
        let shelf = asked.calibration().shelf()?.part(asked.part())?;
        Some(Self {
            weight: shelf.weight,
            clubs: like.n_clubs,
            on_the_shelf: like.is_on_the_shelf,
            distance: like.distance,
            reach: like.reach,
            as_like: like.as_like,
            nearest: like.nearest.into_iter().map(near_club).collect(),
        })
    }
}

fn near_club(club: LikeClub) -> NearClub {
    let clue = |Compared { clue, own, theirs }: Compared| {
        let agrees = theirs.as_ref().map(|(_, agrees)| *agrees);
        ComparedClue { clue, reading: own, theirs: theirs.map(|(text, _)| text), agrees }
    };
    let LikeClub { id, from, to, share, compared } = club;
    NearClub { id, from, to, share, clues: compared.into_iter().map(clue).collect() }
}
