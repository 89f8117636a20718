//! Why one period and not another, as text.

use crate::laid_out::period_account::LaidOutPeriods;
use crate::terminal::page::Page;
use crate::words::parts::part_suffix;
use agewright_model::{Asked, PeriodAccount};
use std::fmt::Write as _;

/// The text.
#[must_use]
pub fn why_not_text(page: Page, asked: &Asked<'_>, account: &PeriodAccount) -> String {
    let told = LaidOutPeriods::of(asked, account);
    let [first, second] = &told.periods;
    let heading = format!("{}{}: why not {first}?", asked.club().id, part_suffix(asked.part()));
    let mut out = format!("{}\n{}", page.wrapped(&heading, "  "), page.title_line(asked.club()));
    let against = format!("Against {second}, in decibans (+ for {first}, - for {second})");
    let _ = writeln!(out, "{}\n", page.wrapped(&against, "  "));
    let rows = told.rows.into_iter().map(|row| vec![row.clue, row.reading, row.decibans, row.so_far]);
    let mut rows: Vec<Vec<String>> = rows.collect();
    rows.push(vec!["With all clues".to_owned(), String::new(), String::new(), told.total]);
    let _ = writeln!(out, "{}", page.table(&["Clue", "Reading", "Decibans", "So far"], rows, &[2, 3]));
    let _ = writeln!(out, "\n{}", page.wrapped(told.gloss, "  "));
    if let Some(drawn) = told.drawn {
        let _ = writeln!(out, "{}", page.wrapped(&drawn, "  "));
    }
    let _ = writeln!(out, "\n{}", page.wrapped(&told.closing, ""));
    if let Some(lengths) = told.lengths {
        let _ = writeln!(out, "{}", page.wrapped(&lengths, ""));
    }
    if let Some(after) = told.after {
        let _ = writeln!(out, "\n{}", page.wrapped(&after, "  "));
    }
    let _ = write!(out, "\n{}", page.answer_lines(asked));
    out
}
