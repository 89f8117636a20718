//! Many clubs on A4 sheets to print: labels to cut out, entries, schedules, a checklist; and the page that lists them.

use crate::write_up::facts::PageFacts;
use crate::write_up::on_paper::OnPaper;
use crate::write_up::page_error::PageError;
use crate::write_up::templates::{STYLE, environment};
use minijinja::value::{Serde, Value};
use serde::Serialize;

/// Labels on a sheet: two beside one another, five below.
const LABELS_ON_A_SHEET: usize = 10;

/// A sheet of many clubs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetKind {
    /// Exhibition labels, ten to a page, with marks to cut by.
    Labels,
    /// Catalogue entries, one below another.
    Entries,
    /// Insurance schedules, one to a page.
    Schedules,
    /// One line a club, to tick off: its date, and what to mind.
    Checklist,
}

impl SheetKind {
    /// Name of its file.
    #[must_use]
    pub fn file(self) -> &'static str {
        match self {
            Self::Labels => "labels.html",
            Self::Entries => "entries.html",
            Self::Schedules => "schedules.html",
            Self::Checklist => "checklist.html",
        }
    }
}

#[derive(Serialize)]
struct Context<'a> {
    style: &'static str,
    /// What every page of the calibration has to say first; often nothing.
    caution: &'a str,
    calibration: &'a str,
    sha256: &'a str,
    on: &'a str,
    version: &'static str,
    /// Clubs, in pages of so many.
    pages: Vec<Vec<OnPaper<'a>>>,
    n_clubs: usize,
    /// First year of the axis, its last, and years between to read off by, each with its place in parts of a hundred.
    years: Vec<(i32, String)>,
    first_year: i32,
    last_year: i32,
    reports: Vec<&'a str>,
    others: &'a [(String, String)],
}

/// A sheet as HTML with everything in it.
///
/// # Errors
/// [`PageError`] for a template that cannot be filled, which there should be none of.
pub fn sheet(kind: SheetKind, clubs: &[PageFacts]) -> Result<String, PageError> {
    let to_a_page = if kind == SheetKind::Labels { LABELS_ON_A_SHEET } else { clubs.len().max(1) };
    let all: Vec<&PageFacts> = clubs.iter().collect();
    filled(kind.file(), &all, to_a_page, (0, 0), (Vec::new(), &[]))
}

/// The page that lists clubs with their bars and links to their `reports` (addresses from that page, in the order of
/// the clubs), the oldest first, and below them reports of other runs (name and address); `years` are those of the
/// axis, both ends inclusive.
///
/// # Errors
/// As [`sheet`].
pub fn index(
    clubs: &[PageFacts],
    reports: &[String],
    others: &[(String, String)],
    years: (i32, i32),
) -> Result<String, PageError> {
    let mut in_order: Vec<(&PageFacts, &String)> = clubs.iter().zip(reports).collect();
    in_order.sort_by(|(a, _), (b, _)| a.bars.order.cmp(&b.bars.order).then_with(|| a.id.cmp(&b.id)));
    let (facts, reports): (Vec<&PageFacts>, Vec<&str>) =
        in_order.into_iter().map(|(facts, report)| (facts, report.as_str())).unzip();
    filled("index.html", &facts, facts.len().max(1), years, (reports, others))
}

fn filled(
    name: &str,
    clubs: &[&PageFacts],
    to_a_page: usize,
    (from, to): (i32, i32),
    (reports, others): (Vec<&str>, &[(String, String)]),
) -> Result<String, PageError> {
    let Some(first) = clubs.first() else { return Err(PageError::NoPart) };
    let context = Context {
        style: STYLE,
        caution: &first.calibration.caution,
        calibration: &first.calibration.name,
        sha256: &first.calibration.sha256,
        on: &first.on,
        version: first.version,
        pages: clubs.chunks(to_a_page).map(|page| page.iter().map(|facts| OnPaper::new(facts)).collect()).collect(),
        n_clubs: clubs.len(),
        years: years_to_read(from, to),
        first_year: from,
        last_year: to,
        reports,
        others,
    };
    let page = environment()?.get_template(name).and_then(|t| t.render(Value::from(Serde(context))))?;
    Ok(format!("{}\n", page.trim_end()))
}

/// Years to read a bar off by: three to six, round ones, with their places.
fn years_to_read(from: i32, to: i32) -> Vec<(i32, String)> {
    let length = to - from + 1;
    let step = [10, 20, 25, 50, 100, 200, 500].into_iter().find(|step| length / step <= 5).unwrap_or(1000);
    let place = |year: i32| format!("{:.2}", 100.0 * f64::from(year - from) / f64::from(length.max(1)));
    let first = from + (step - from.rem_euclid(step)) % step;
    (first..=to).step_by(usize::try_from(step).unwrap_or(1)).map(|year| (year, place(year))).collect()
}
