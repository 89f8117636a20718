//! What moved an opinion, as text.

use crate::terminal::page::Page;
use crate::words::moves::signed;
use crate::words::opinion_change::{OpinionChange, ingredient_name};
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
    let told = |when: &str, opinion: &Opinion, answer: &AnswerThen| {
        let before = opinion.asked.before.zip(answer.probability_before);
        let before =
            before.map_or_else(String::new, |(year, chance)| format!("; before {year}: {:.0} in 100", 100.0 * chance));
        format!("{when}, {}: {}{before}", opinion.on, answer.date_line)
    };
    let _ = writeln!(out, "{}", page.wrapped(&told("Then", old, &change.old_answer), "  "));
    let _ = writeln!(out, "{}\n", page.wrapped(&told("Now", new, &change.new_answer), "  "));
    let mut rows = vec![vec!["Average year then".to_owned(), format!("{:.1}", change.old_answer.mean), String::new()]];
    for share in &change.shares {
        let names: Vec<&str> = share.ingredients.iter().map(|one| ingredient_name(*one)).collect();
        rows.push(vec![names.join(", "), signed(share.years), change.what_changed(share).join("; ")]);
    }
    let program = match change.program.abs() > NOTHING {
        true if new.program == old.program => format!("{}, of another build", new.program),
        true => format!("changed: {}, was {}", new.program, old.program),
        false if new.program == old.program => format!("{}, the same", new.program),
        false => format!("{}, was {}: the same answer", new.program, old.program),
    };
    rows.push(vec!["Program".to_owned(), signed(change.program), program]);
    rows.push(vec!["Average year now".to_owned(), format!("{:.1}", change.new_answer.mean), String::new()]);
    let _ = writeln!(out, "{}\n", page.table(&["", "Years", "What changed"], rows, &[1]));
    let of_part = |opinion: &Opinion, part: &str| {
        let answer = opinion.answers.iter().find(|answer| answer.part == part);
        answer.map_or_else(|| "nothing read".to_owned(), |answer| answer.date_line.clone())
    };
    for part in ["shaft", "grip"].into_iter().filter(|part| change.part.word() != *part) {
        let [then, now] = [old, new].map(|opinion| of_part(opinion, part));
        if then != "nothing read" || now != "nothing read" {
            let told =
                if then == now { format!("{part}: {now}, as then") } else { format!("{part}: {now}, was {then}") };
            let _ = writeln!(out, "{}", page.wrapped(&told, "  "));
        }
    }
    if let (Some(then), Some(now)) = (old.asked.before, new.asked.before)
        && then != now
    {
        let told = format!("The later opinion asks of before {now}, the earlier of before {then}.");
        let _ = writeln!(out, "{}", page.wrapped(&told, "  "));
    }
    let note = if change.is_mixed() {
        "What changed cannot be told apart: one calibration does not know the readings, or the prior, of the other."
    } else if change.shares.len() > 1 {
        "Each share is what the change does on average, over all orders in which the changes could have come; they add \
         up."
    } else if change.shares.is_empty() && change.program.abs() <= NOTHING {
        "Nothing that an answer is made of has changed."
    } else {
        "The shares add up to the change."
    };
    let _ = writeln!(out, "{}", page.wrapped(note, "  "));
    let _ = writeln!(out, "{}", page.wrapped(OPINION, ""));
    out
}
