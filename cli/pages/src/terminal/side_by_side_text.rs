//! Clubs side by side, as text.

use crate::laid_out::side_by_side::{ClubRow, ClueRow, LaidOutClubs, LikeRow, PairRow};
use crate::terminal::page::{Page, kept_together};
use crate::words::parts::part_suffix;
use agewright_model::Asked;
use agewright_model::questions::side_by_side::SideBySide;
use std::fmt::Write as _;

/// More clubs than this have no column each.
const MOST_COLUMNS: usize = 3;

/// The text.
#[must_use]
pub fn side_by_side_text(page: Page, asked: &[Asked<'_>], result: &SideBySide) -> String {
    let (Some(first), Some(told)) = (asked.first(), LaidOutClubs::of(asked, result)) else { return String::new() };
    let part = part_suffix(first.part());
    let ids: Vec<&str> = asked.iter().map(|asked| asked.club().id.as_str()).collect();
    let mut out = format!("{}{part}: side by side\n\n", ids.join(", "));
    if out.lines().next().is_some_and(|line| line.chars().count() > page.width()) {
        out = format!("{} clubs{part} side by side\n\n", asked.len());
    }
    for said in [Some(told.opening), told.noted].into_iter().flatten() {
        let _ = writeln!(out, "{}", page.wrapped(&said, "  "));
    }
    out.push('\n');
    let rows = told.clubs.into_iter().map(|ClubRow { id, middle, years, oldest }| vec![id, middle, years, oldest]);
    let _ =
        writeln!(out, "{}", page.table(&["Club", "Middle year", "4 in 5", "Oldest of all"], rows.collect(), &[1, 3]));
    if let Some(undated) = told.undated {
        let _ = writeln!(out, "{}", page.wrapped(&undated, "  "));
    }
    out.push('\n');
    let rows =
        told.pairs.into_iter().map(|PairRow { pair, chance, same, words }| vec![pair, chance, same, words.to_owned()]);
    let _ = writeln!(out, "{}", page.table(&["Pair", "Chance", "Same year", "In words"], rows.collect(), &[1, 2]));
    like_lines(page, &mut out, &told.like);
    let _ = writeln!(out, "\nClue by clue, and which is the oldest by it alone\n");
    clues_text(page, &mut out, &ids, told.clues);
    for (place, how) in told.how.into_iter().enumerate() {
        let _ = writeln!(out, "{}{}", if place == 0 { "\n" } else { "" }, page.wrapped(how, "  "));
    }
    out.push_str(&page.answer_lines(asked.iter().find(|asked| asked.evidence().has_fashion()).unwrap_or(first)));
    out
}

/// The dated clubs most like each, where the calibration keeps them.
fn like_lines(page: Page, out: &mut String, like: &[LikeRow]) {
    if like.is_empty() {
        return;
    }
    let heading = "Dated clubs most like each (date --like tells what agrees and what differs)";
    let _ = writeln!(out, "\n{}\n", page.wrapped(heading, "  "));
    for LikeRow { id, near } in like {
        let near: Vec<String> = near.iter().map(|club| kept_together(club)).collect();
        let _ = writeln!(out, "{}", page.wrapped(&format!("{id}: {}", near.join("; ")), "  "));
    }
}

fn clues_text(page: Page, out: &mut String, ids: &[&str], clues: Vec<ClueRow>) {
    if ids.len() > MOST_COLUMNS {
        for ClueRow { clue, readings, oldest } in clues {
            let read = ids.iter().zip(readings).filter_map(|(id, reading)| Some(format!("{id} {}", reading?)));
            let readings: Vec<String> = read.collect();
            let by_it = if oldest.is_empty() { oldest } else { format!(" [oldest: {oldest}]") };
            let _ = writeln!(out, "{}", page.wrapped(&format!("{clue}: {}{by_it}", readings.join("; ")), "  "));
        }
        return;
    }
    let headings: Vec<&str> = ["Clue"].iter().chain(ids).chain(&["Oldest by it"]).copied().collect();
    let rows = clues.into_iter().map(|ClueRow { clue, readings, oldest }| {
        let read = readings.into_iter().map(|reading| reading.unwrap_or_else(|| "-".to_owned()));
        [clue].into_iter().chain(read).chain([oldest]).collect()
    });
    let _ = writeln!(out, "{}", page.table(&headings, rows.collect(), &[]));
}
