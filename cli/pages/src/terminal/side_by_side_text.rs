//! Clubs side by side, as text.

use crate::terminal::page::{Page, kept_together};
use crate::words::given_date::given_in_short;
use crate::words::named::noted_of_all;
use crate::words::parts::part_suffix;
use crate::words::readings::reading_in_short;
use crate::words::verbal::{in_words, percent};
use crate::words::years::{answer_year, span, spans};
use agewright_model::KnownDate;
use agewright_model::questions::like::Likeness;
use agewright_model::questions::overview::is_known;
use agewright_model::questions::side_by_side::{ClueSideBySide, SideBySide};
use agewright_model::questions::which_is_older::OlderThan;
use agewright_model::{Asked, Axis, Band, Calibration};
use std::fmt::Write as _;

/// More clubs than this have no column each.
const MOST_COLUMNS: usize = 3;
/// Dated clubs that are named as most like each.
const MOST_NEAR: usize = 3;
/// The likeliest oldest club must lead the next by as much to be named.
const STANDS_OUT: f64 = 0.05;
/// By one clue alone a difference smaller than this says nothing.
const SAYS_NOTHING: f64 = 0.02;

/// The text.
#[must_use]
pub fn side_by_side_text(page: Page, asked: &[Asked<'_>], result: &SideBySide) -> String {
    let Some(first) = asked.first() else { return String::new() };
    let (calibration, part) = (first.calibration(), first.part());
    let ids: Vec<&str> = asked.iter().map(|asked| asked.club().id.as_str()).collect();
    let mut out = format!("{}{}: side by side\n\n", ids.join(", "), part_suffix(part));
    if out.lines().next().is_some_and(|line| line.chars().count() > page.width()) {
        out = format!("{} clubs{} side by side\n\n", asked.len(), part_suffix(part));
    }
    let order = oldest_first(result);
    let _ = writeln!(out, "{}", page.wrapped(&opening(&order, &ids, result), "  "));
    if let Some(noted) = noted_of_all(asked.iter().map(Asked::club)) {
        let _ = writeln!(out, "{}", page.wrapped(&noted, "  "));
    }
    out.push('\n');
    let is_dated_elsewhere = |given: &Option<KnownDate>| given.is_some_and(|date| is_known(&date));
    let undated = asked
        .iter()
        .zip(&result.given)
        .map(|(asked, given)| !asked.evidence().has_clue_of_date() && !is_dated_elsewhere(given));
    let undated: Vec<bool> = undated.collect();
    clubs_table(page, &mut out, &ids, (result, &undated));
    let undated: Vec<&str> = ids.iter().zip(&undated).filter(|(_, undated)| **undated).map(|(id, _)| *id).collect();
    if !undated.is_empty() {
        let text = format!(
            "No clue of date was read on {}: what is said of it here is little more than how clubs are spread over \
             time (the prior).",
            undated.join(", ")
        );
        let _ = writeln!(out, "{}", page.wrapped(&text, "  "));
    }
    out.push('\n');
    pairs_text(page, &mut out, &ids, result);
    like_lines(page, &mut out, asked);
    let _ = writeln!(out, "\nClue by clue, and which is the oldest by it alone\n");
    clues_text(page, &mut out, calibration, &ids, result);
    let closing = "Years of different clubs are taken as independent, each under the same prior. By one clue alone: \
                   the chance among the clubs read for it, club type and the like allowed for. A blank says that the \
                   clue tells them apart by less than 2 %, or was read on one only. No middle year is given for a club \
                   that is undated or has two answers.";
    let _ = writeln!(out, "\n{}", page.wrapped(closing, "  "));
    if result.given.iter().flatten().any(is_known) {
        let known = "A club of known date counts in its known years, whatever its clues say; clue by clue it is \
                     compared by its clues.";
        let _ = writeln!(out, "{}", page.wrapped(known, "  "));
    }
    out.push_str(&page.answer_lines(asked.iter().find(|asked| asked.evidence().has_fashion()).unwrap_or(first)));
    out
}

/// The dated clubs most like each, where the calibration keeps them.
fn like_lines(page: Page, out: &mut String, asked: &[Asked<'_>]) {
    let likes: Vec<(&str, Likeness)> =
        asked.iter().filter_map(|asked| Some((asked.club().id.as_str(), Likeness::of(asked)?))).collect();
    if likes.is_empty() {
        return;
    }
    let heading = "Dated clubs most like each (date --like tells what agrees and what differs)";
    let _ = writeln!(out, "\n{}\n", page.wrapped(heading, "  "));
    for (id, like) in likes {
        let near = like.nearest.iter().take(MOST_NEAR);
        let near: Vec<String> = near
            .map(|club| kept_together(&format!("{}, {} ({})", club.id, span(club.from, club.to), percent(club.share))))
            .collect();
        let _ = writeln!(out, "{}", page.wrapped(&format!("{id}: {}", near.join("; ")), "  "));
    }
}

/// Places of the clubs, the likeliest oldest first.
fn oldest_first(result: &SideBySide) -> Vec<usize> {
    let mut order: Vec<usize> = (0..result.oldest.len()).collect();
    // What is printed alike stays in the order of the clubs.
    let printed = |place: usize| (100.0 * result.oldest[place]).round();
    order.sort_by(|&a, &b| printed(b).total_cmp(&printed(a)).then_with(|| a.cmp(&b)));
    order
}

/// Which is the oldest, and how sure that is.
fn opening(order: &[usize], ids: &[&str], result: &SideBySide) -> String {
    match order {
        [first, second, ..] if result.oldest[*first] - result.oldest[*second] < STANDS_OUT => {
            "None stands out as the oldest.".to_owned()
        }
        [first, ..] if result.oldest[*first] < 0.5 => {
            format!("{} is likelier than any other to be the oldest ({}).", ids[*first], percent(result.oldest[*first]))
        }
        [first, ..] => format!("{} is {} the oldest.", ids[*first], in_words(result.oldest[*first])),
        [] => String::new(),
    }
}

/// The clubs in the order that was asked for.
fn clubs_table(page: Page, out: &mut String, ids: &[&str], (result, undated): (&SideBySide, &[bool])) {
    let rows = (0..ids.len()).map(|place| {
        let (posterior, band) = (&result.posteriors[place], result.posteriors[place].band(0.8));
        let known = result.given[place].filter(is_known);
        let years = known.map_or_else(|| band_words(posterior.axis(), &band), |date| given_in_short(&date));
        let has_middle = band.modes().is_empty() && !undated[place];
        vec![
            ids[place].to_owned(),
            if has_middle { answer_year(posterior.axis(), posterior.median()) } else { "-".to_owned() },
            if undated[place] { "undated".to_owned() } else { years },
            percent(result.oldest[place]),
        ]
    });
    let _ =
        writeln!(out, "{}", page.table(&["Club", "Middle year", "4 in 5", "Oldest of all"], rows.collect(), &[1, 3]));
}

/// The 80 % band, its pieces apart.
fn band_words(axis: Axis, band: &Band) -> String {
    spans(axis, &band.intervals)
}

/// Every pair, the likelier order first.
fn pairs_text(page: Page, out: &mut String, ids: &[&str], result: &SideBySide) {
    let rows = result.pairs.iter().map(|&(a, b, OlderThan { older, same, younger })| {
        let (first, second, chance) = if older >= younger { (a, b, older) } else { (b, a, younger) };
        vec![
            format!("{} older than {}", ids[first], ids[second]),
            percent(chance),
            percent(same),
            in_words(chance).to_owned(),
        ]
    });
    let _ = writeln!(out, "{}", page.table(&["Pair", "Chance", "Same year", "In words"], rows.collect(), &[1, 2]));
}

fn clues_text(page: Page, out: &mut String, calibration: &Calibration, ids: &[&str], result: &SideBySide) {
    let in_short =
        |clue: &ClueSideBySide, reading: &String| reading_in_short(calibration.catalogue(), &clue.clue, reading);
    if ids.len() > MOST_COLUMNS {
        for clue in &result.clues {
            let readings: Vec<String> = ids
                .iter()
                .zip(&clue.readings)
                .filter_map(|(id, reading)| Some(format!("{id} {}", in_short(clue, reading.as_ref()?))))
                .collect();
            let by_it = oldest_by_it(clue, ids);
            let by_it = if by_it.is_empty() { by_it } else { format!(" [oldest: {by_it}]") };
            let text = format!("{}: {}{by_it}", calibration.catalogue().name_of(&clue.clue), readings.join("; "));
            let _ = writeln!(out, "{}", page.wrapped(&text, "  "));
        }
        return;
    }
    let mut headings = vec!["Clue"];
    headings.extend(ids);
    headings.push("Oldest by it");
    let rows = result.clues.iter().map(|clue| {
        let mut row = vec![calibration.catalogue().name_of(&clue.clue)];
        row.extend(
            clue.readings
                .iter()
                .map(|reading| reading.as_ref().map_or_else(|| "-".to_owned(), |reading| in_short(clue, reading))),
        );
        row.push(oldest_by_it(clue, ids));
        row
    });
    let _ = writeln!(out, "{}", page.table(&headings, rows.collect(), &[]));
}

/// The club, or the clubs alike, that are likeliest the oldest by a clue alone, with the chance; nothing where the clue
/// does not tell.
fn oldest_by_it(clue: &ClueSideBySide, ids: &[&str]) -> String {
    let Some(chances) = &clue.oldest_by_it else { return String::new() };
    let read: Vec<(usize, f64)> = chances.iter().enumerate().filter_map(|(ix, c)| c.map(|c| (ix, c))).collect();
    #[expect(clippy::cast_precision_loss, reason = "clubs are few")]
    let even = 1.0 / read.len().max(1) as f64;
    match read.iter().max_by(|a, b| a.1.total_cmp(&b.1).then_with(|| b.0.cmp(&a.0))) {
        Some(&(_, chance)) if chance - even >= SAYS_NOTHING => {
            // Clubs of one reading share the place.
            let is_first = |(_, other): &&(usize, f64)| percent(*other) == percent(chance);
            let first: Vec<&str> = read.iter().filter(is_first).map(|(ix, _)| ids[*ix]).collect();
            let each = if first.len() > 1 { " each" } else { "" };
            format!("{}, {}{each}", first.join(" and "), percent(chance))
        }
        _ => String::new(),
    }
}
