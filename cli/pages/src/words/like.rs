//! The dated clubs most like one, in words.

use crate::words::readings::{reading_in_short, within_a_sentence};
use crate::words::verbal::in_a_hundred;
use crate::words::years::span;
use agewright_model::answer::two_witnesses::WitnessesApart;
use agewright_model::questions::like::{Compared, LikeClub, Likeness};
use agewright_model::{Asked, Catalogue};

/// A dated club laid beside another, in words: what agrees, what differs, what was not read on it.
#[derive(Debug, PartialEq, Eq)]
pub struct LikeWords {
    /// `W041, 1902-08: 14 in 100 of the votes`.
    pub heading: String,
    /// `hosel join, curve`.
    pub agrees: Vec<String>,
    /// `nicking regularity, fair (here even)`.
    pub differs: Vec<String>,
    /// Names of clues.
    pub unread: Vec<String>,
}

/// A dated club, clue by clue.
#[must_use]
pub fn like_words(catalogue: &Catalogue, club: &LikeClub) -> LikeWords {
    let name = |one: &Compared| within_a_sentence(&catalogue.name_of(&one.clue));
    let short = |one: &Compared, text: &str| reading_in_short(catalogue, &one.clue, text);
    let (mut agrees, mut differs, mut unread) = (Vec::new(), Vec::new(), Vec::new());
    for one in &club.compared {
        match &one.theirs {
            Some((theirs, true)) if *theirs == one.own => agrees.push(format!("{} {}", name(one), short(one, theirs))),
            Some((theirs, true)) => {
                agrees.push(format!("{} {} (here {})", name(one), short(one, theirs), short(one, &one.own)));
            }
            Some((theirs, false)) => {
                differs.push(format!("{} {} (here {})", name(one), short(one, theirs), short(one, &one.own)));
            }
            None => unread.push(name(one)),
        }
    }
    let share = in_a_hundred(club.share);
    let heading = format!("{}, {}: {share} of the votes", club.id, span(club.from, club.to));
    LikeWords { heading, agrees, differs, unread }
}

/// What the nearest clubs are, before they are listed.
#[must_use]
pub fn like_heading(like: &Likeness) -> String {
    let shown: f64 = like.nearest.iter().map(|club| club.share).sum();
    let [n, all] = [like.nearest.len(), like.n_clubs];
    let which = match n {
        0 => return "No dated club was read for any of what was read here".to_owned(),
        _ if n == all => "The dated clubs, the most like first".to_owned(),
        1 => format!("The dated club of {all} that is most like it, with {} of the votes", in_a_hundred(shown)),
        _ => format!("The {n} dated clubs of {all} that are most like it, with {} of the votes", in_a_hundred(shown)),
    };
    let ties = match like.as_like {
        0 => String::new(),
        1 => "; one more is as like it as the last of these".to_owned(),
        more => format!("; {more} more are as like it as the last of these"),
    };
    let itself = if like.is_on_the_shelf { "; it is one of the dated clubs itself, and has no vote here" } else { "" };
    format!("{which}{ties}{itself}")
}

/// How the list is to be read.
pub const HOW_LIKE: &str = "All dated clubs vote, the more alike the more, each for its own years, moved earlier or \
                            later by what differs. Measures agree within half of the usual spread of the dated clubs.";

/// Why no dated club is laid beside a part.
#[must_use]
pub fn nothing_like(asked: &Asked<'_>) -> String {
    let part = asked.part();
    match asked.calibration().shelf() {
        None => "This calibration keeps no dated clubs to lay it beside; one that is fitted with --collection does."
            .to_owned(),
        Some(shelf) if shelf.part(part).is_none() => {
            format!("The dated clubs were not read for the {}, so that none can be laid beside it.", part.word())
        }
        Some(_) => "No clue was read that dated clubs could be laid beside it by.".to_owned(),
    }
}

/// Where no dated club is near.
#[must_use]
pub fn no_club_near_message(like: &Likeness) -> String {
    format!(
        "No dated club is much like it: the nearest of the {} is further off than the nearest other is to nearly \
         all of them. What was read is of a kind that the collection hardly holds, or something of it is mistaken.",
        like.n_clubs
    )
}

/// Where one dated club has nearly the whole vote.
#[must_use]
pub fn one_for_all_message(club: &LikeClub) -> String {
    format!(
        "Of the votes of the dated clubs {} of {} has {}. Should it be this very club, under another name or read \
         again, its own date speaks in the answer.",
        club.id,
        span(club.from, club.to),
        in_a_hundred(club.share)
    )
}

/// Where tables and dated clubs speak for different times.
#[must_use]
pub fn witnesses_apart_message(apart: &WitnessesApart) -> String {
    let [tables, shelf] = [apart.tables, apart.shelf].map(|(from, to)| span(from, to));
    format!(
        "Tables and dated clubs disagree: by the tables, clue by clue, it would be {tables} (4 in 5), by the votes of \
         the dated clubs {shelf} (4 in 5). Lay it beside those most like it before one date is given."
    )
}
