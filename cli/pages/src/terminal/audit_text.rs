//! The audit as text.

use crate::terminal::page::Page;
use crate::words::counted::counted;
use crate::words::years::span;
use agewright_calibration::dated::sets::Sets;
use agewright_calibration::{Audit, AuditVariants, Means};
use agewright_model::Catalogue;
use std::fmt::Write as _;

/// What to show.
pub struct AuditText<'a> {
    /// The catalogue.
    pub catalogue: &'a Catalogue,
    /// The audit.
    pub audit: &'a Audit,
    /// Scores of variants beside it.
    pub variants: &'a AuditVariants,
    /// Clubs fitted on.
    pub n_fitted: usize,
    /// Which of the clubs audited belong together.
    pub sets: Sets,
    /// Whether the clubs scored were held out.
    pub held_out: bool,
}

/// The text.
#[must_use]
pub fn audit_text(page: Page, shown: &AuditText<'_>) -> String {
    let mut out = String::new();
    let n = shown.audit.clubs.len();
    let clubs = counted(n, "club", "clubs");
    let how = match &shown.sets {
        _ if shown.held_out => format!("{clubs} held out, dated by a fit on {} others", shown.n_fitted),
        sets if sets.of_several() > 0 => format!(
            "{clubs}, {} of them in {}, each dated by a fit without it and its set",
            sets.clubs_of_several(),
            counted(sets.of_several(), "set", "sets")
        ),
        _ => format!("{clubs}, each dated by a fit without it"),
    };
    let _ = writeln!(out, "{}\n", page.wrapped(&format!("Audit: {how}"), ""));
    let [model, prior, product] = shown.audit.means();
    let mut rows = vec![means_row("model", &model)];
    if let Some([tables, shelf]) = shown.audit.means_of_witnesses() {
        rows.extend([means_row("tables alone", &tables), means_row("shelf alone", &shelf)]);
    }
    rows.extend([means_row("prior alone", &prior), means_row("plain product", &product)]);
    let _ = writeln!(
        out,
        "{}\n",
        page.table(&["", "Log score", "CRPS", "Error", "50 %", "80 %", "95 %"], rows, &[1, 2, 3, 4, 5, 6])
    );
    let glossary = "Log score: the natural logarithm of the mean chance given to the years of the date, higher is \
                    better. CRPS: how many years the whole answer lies off, all its chances counted; error: how many \
                    its middle year does; lower is better. 50, 80 and 95 %: share of the \
                    dates that lie inside those bands; near its name is right, below it the bands are too narrow. \
                    Prior alone: no clue read. Plain product: each clue's own table multiplied, as if none repeated \
                    another and none were misread.";
    let of_witnesses = " Model: tables and shelf together. Tables alone: a fit without the shelf. Shelf alone: the \
                        votes of the dated clubs, without tables.";
    let has_shelf = shown.audit.means_of_witnesses().is_some();
    let glossary = format!("{glossary}{}", if has_shelf { of_witnesses } else { "" });
    let _ = writeln!(out, "{}", page.wrapped(&glossary, ""));
    if let Some(words) = testing_words(&model) {
        let _ = writeln!(out, "\n{}", page.wrapped(&words, ""));
    }
    pit_text(page, &mut out, shown.audit);
    surprises_text(page, &mut out, shown);
    variants_text(page, &mut out, shown, &model);
    out
}

/// How many dates are narrow enough to test the bands, and what these held of them; nothing where all are.
fn testing_words(model: &Means) -> Option<String> {
    let (n, testing) = (model.clubs, model.testing);
    if testing == n {
        return None;
    }
    let told = match model.coverage_of_testing.map(|held| held.map(|share| 100.0 * share)) {
        Some([half, most, nearly]) => {
            format!("the bands held {half:.0}, {most:.0} and {nearly:.0} % of those alone")
        }
        None => "too few to tell whether they hold what they say".to_owned(),
    };
    Some(format!(
        "{testing} of the {n} dates {} narrow enough to test the bands (at most half as long as the 80 % band): \
         {told}. The years of a date are weighed as the answer has them, which takes it at its word: of wide dates \
         only the log score tells a good answer from a sure one.",
        if testing == 1 { "is" } else { "are" }
    ))
}

fn means_row(name: &str, means: &Means) -> Vec<String> {
    let [half, most, nearly] = means.coverage.map(|share| format!("{:.0} %", 100.0 * share));
    vec![
        name.to_owned(),
        format!("{:.3}", means.log_score),
        format!("{:.2}", means.crps),
        format!("{:.2}", means.mae),
        half,
        most,
        nearly,
    ]
}

/// Counts of the PIT in tenths, as it should be even.
fn pit_text(page: Page, out: &mut String, audit: &Audit) {
    let mut counts = [0_usize; 10];
    let pits = audit.pits();
    for pit in &pits {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a tenth of 0 to 1")]
        let part = ((pit * 10.0) as usize).min(9);
        counts[part] += 1;
    }
    let counts: Vec<String> = counts.iter().map(usize::to_string).collect();
    let whose = if pits.len() == audit.clubs.len() { String::new() } else { format!(" of those {}", pits.len()) };
    let text = format!(
        "Where in their answers the dates fall (PIT){whose}, from the first tenth of the chance to the last: {}. Even \
         is right; heaped at the ends, bands are too narrow; at one end, answers lean late or early.",
        counts.join(" ")
    );
    let _ = writeln!(out, "\n{}", page.wrapped(&text, "  "));
}

fn surprises_text(page: Page, out: &mut String, shown: &AuditText<'_>) {
    let _ = writeln!(out, "\nMost surprising clubs: the ten lowest log scores\n");
    let rows = shown.audit.surprises.iter().map(|surprise| {
        let club = &shown.audit.clubs[surprise.club];
        let clue = surprise.clue.as_ref().map_or_else(
            || "no single clue".to_owned(),
            |(id, score)| format!("{} ({score:.1} without it)", shown.catalogue.name_of(id)),
        );
        vec![
            club.id.clone(),
            span(club.made_from, club.made_to),
            format!("{} ({})", club.median, span(club.band_95.0, club.band_95.1)),
            format!("{:.1}", surprise.log_score),
            clue,
        ]
    });
    let _ = writeln!(
        out,
        "{}",
        page.table(&["Club", "Made", "Dated (19 in 20)", "Log score", "Clue most out of step"], rows.collect(), &[3])
    );
}

fn variants_text(page: Page, out: &mut String, shown: &AuditText<'_>, whole: &Means) {
    if !shown.variants.each_clue.is_empty() {
        let heading = "Without each clue (change of the mean score; - says that the clue helps)";
        let _ = writeln!(out, "\n{}\n", page.wrapped(heading, "  "));
        let mut clues: Vec<&(String, Means)> = shown.variants.each_clue.iter().collect();
        clues.sort_by(|a, b| a.1.log_score.total_cmp(&b.1.log_score));
        let rows = clues.into_iter().map(|(id, means)| {
            vec![
                shown.catalogue.name_of(id),
                format!("{:+.3}", means.log_score - whole.log_score),
                format!("{:+.2}", means.crps - whole.crps),
                format!("{:.0} %", 100.0 * means.coverage[2]),
            ]
        });
        let _ = writeln!(out, "{}", page.table(&["Clue", "Log score", "CRPS", "95 %"], rows.collect(), &[1, 2, 3]));
    }
    if !shown.variants.learning_curve.is_empty() {
        let _ = writeln!(out, "\nWith fewer clubs: what more of them would buy\n");
        let rows = shown.variants.learning_curve.iter().map(|point| {
            let mut row = means_row(&counted(point.clubs, "club", "clubs"), &point.means);
            row.push(point.crps_range.map_or_else(String::new, |(low, high)| format!("{low:.1}-{high:.1}")));
            row
        });
        let headings = ["", "Log score", "CRPS", "Error", "50 %", "80 %", "95 %", "CRPS by draw"];
        let _ = writeln!(out, "{}", page.table(&headings, rows.collect(), &[1, 2, 3, 4, 5, 6, 7]));
        let told = "Each line but the last: six draws of so many clubs, all other clubs dated by each.";
        let _ = writeln!(out, "\n{}", page.wrapped(told, ""));
    }
}
