//! What moved an opinion, as text.

use crate::terminal::page::Page;
use crate::words::before::least_in_short;
use crate::words::moves::signed;
use crate::words::opinion_change::{OpinionChange, PartChange, ingredient_name};
use crate::words::sources::OPINION;
use agewright_files::opinion::{AnswerThen, Opinion};
use std::fmt::Write as _;

/// The program moved nothing where its share is rounding.
const NOTHING: f64 = 5e-7;

/// The text.
#[must_use]
pub fn opinion_text(page: Page, change: &OpinionChange) -> String {
    let (old, new) = (&change.old, &change.new);
    let heading = format!("{}: what moved from {} to {}", new.id, old.on, new.on);
    let mut out = format!("{}\n\n", page.wrapped(&heading, "  "));
    part_text(page, &mut out, change, &change.main, true);
    for part in &change.others {
        let _ = writeln!(out, "The {}", part.part.word());
        part_text(page, &mut out, change, part, false);
    }
    for then_or_now in of_one_alone(change) {
        let _ = writeln!(out, "{}", page.wrapped(&then_or_now, "  "));
    }
    if let (Some(then), Some(now)) = (old.asked.before, new.asked.before)
        && then != now
    {
        let told = format!("The later opinion asks of before {now}, the earlier of before {then}.");
        let _ = writeln!(out, "{}", page.wrapped(&told, "  "));
    }
    let _ = writeln!(out, "{}", page.wrapped(&note(change), "  "));
    let _ = writeln!(out, "{}", page.wrapped(OPINION, ""));
    out
}

/// What moved of one part: both answers, and the shares between them. What changed is told with the first part.
fn part_text(page: Page, out: &mut String, change: &OpinionChange, part: &PartChange, is_first: bool) {
    let told = |when: &str, opinion: &Opinion, answer: &AnswerThen| {
        let before = opinion.asked.before.zip(answer.probability_before);
        let share = |(year, chance)| format!("; before {year}: {}", least_in_short(chance, answer.is_at_least));
        let before = before.map_or_else(String::new, share);
        format!("{when}, {}: {}{before}", opinion.on, answer.date_line)
    };
    let _ = writeln!(out, "{}", page.wrapped(&told("Then", &change.old, &part.old), "  "));
    let _ = writeln!(out, "{}\n", page.wrapped(&told("Now", &change.new, &part.new), "  "));
    let mut rows = vec![vec!["Average year then".to_owned(), format!("{:.1}", part.old.mean), String::new()]];
    for share in &part.shares {
        let names: Vec<&str> = share.ingredients.iter().map(|one| ingredient_name(*one)).collect();
        rows.push(vec![names.join(", "), signed(share.years), change.what_changed(share).join("; ")]);
    }
    rows.push(vec!["Program".to_owned(), signed(part.program), program(change, part)]);
    rows.push(vec!["Average year now".to_owned(), format!("{:.1}", part.new.mean), String::new()]);
    let shown = if is_first { 3 } else { 2 };
    rows.iter_mut().for_each(|row| row.truncate(shown));
    let _ = writeln!(out, "{}\n", page.table(&["", "Years", "What changed"][..shown], rows, &[1]));
}

fn program(change: &OpinionChange, part: &PartChange) -> String {
    let (old, new) = (&change.old.program, &change.new.program);
    match part.program.abs() > NOTHING {
        true if new == old => format!("{new}, of another build"),
        true => format!("changed: {new}, was {old}"),
        false if new == old => format!("{new}, the same"),
        false => format!("{new}, was {old}: the same answer"),
    }
}

/// Parts that one of the opinions alone is of.
fn of_one_alone(change: &OpinionChange) -> Vec<String> {
    let has = |opinion: &Opinion, part: &str| opinion.answers.iter().any(|answer| answer.part == part);
    let only = |opinion: &Opinion, other: &Opinion, told: &dyn Fn(&AnswerThen) -> String| -> Vec<String> {
        opinion.answers.iter().filter(|answer| !has(other, &answer.part)).map(told).collect()
    };
    let gained =
        only(&change.new, &change.old, &|now| format!("{}: {}, nothing was read then", now.part, now.date_line));
    let lost =
        only(&change.old, &change.new, &|then| format!("{}: nothing read now, was {}", then.part, then.date_line));
    [gained, lost].concat()
}

fn note(change: &OpinionChange) -> String {
    let mixed = change.parts().flat_map(|part| &part.shares).find(|share| share.ingredients.len() > 1);
    if let Some(share) = mixed {
        let names: Vec<&str> = share.ingredients.iter().map(|one| ingredient_name(*one)).collect();
        let names = names.join(", ");
        return format!(
            "{names}: these cannot be told apart, since the old of one cannot be asked with the new of another."
        );
    }
    let told = if change.parts().any(|part| part.shares.len() > 1) {
        "Each share is what the change does on average, over all orders in which the changes could have come; they add \
         up before they are rounded."
    } else if change.parts().all(|part| part.shares.is_empty() && part.program.abs() <= NOTHING) {
        "Nothing that an answer is made of has changed."
    } else {
        "The shares add up to the change."
    };
    told.to_owned()
}
