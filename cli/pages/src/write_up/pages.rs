//! Pages from templates: HTML with everything in it, and Markdown.

use crate::write_up::facts::PageFacts;
use crate::write_up::on_paper::OnPaper;
use crate::write_up::page_error::PageError;
use crate::write_up::templates::{STYLE, environment};
use minijinja::value::{Serde, Value};
use serde::Serialize;

/// A page of a write-up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PageKind {
    /// The full report, as HTML and Markdown.
    Report,
    /// Heading and at most 120 words for a catalogue.
    Catalogue,
    /// 25 to 50 words for an exhibition.
    Label,
    /// Schedule for an insurer, after Object ID; no value.
    Insurance,
}

/// A file of a write-up.
#[derive(Debug)]
pub struct PageFile {
    /// Its name.
    pub name: &'static str,
    /// What stands in it.
    pub contents: String,
}

#[derive(Serialize)]
struct Context<'a> {
    #[serde(flatten)]
    club: OnPaper<'a>,
    style: &'static str,
}

/// Files of each kind of page.
fn files_of(kind: PageKind) -> &'static [&'static str] {
    match kind {
        PageKind::Report => &["report.html", "report.md"],
        PageKind::Catalogue => &["catalogue-entry.md"],
        PageKind::Label => &["label.md"],
        PageKind::Insurance => &["insurance-schedule.html", "insurance-schedule.md"],
    }
}

/// The answer for a club as a page shows it beside its readings: the parts of a report, without what frames them.
///
/// # Errors
/// [`PageError`] for a template that cannot be filled, which there should be none of.
pub fn answer_panel(facts: &PageFacts) -> Result<String, PageError> {
    let context = Value::from(Serde(Context { club: OnPaper::new(facts), style: STYLE }));
    Ok(environment()?.get_template("answer-panel.html")?.render(&context)?)
}

/// The pages asked for.
///
/// # Errors
/// [`PageError`] for a template that cannot be filled, which there should be none of.
pub fn pages(facts: &PageFacts, kinds: &[PageKind]) -> Result<Vec<PageFile>, PageError> {
    let environment = environment()?;
    let context = Value::from(Serde(Context { club: OnPaper::new(facts), style: STYLE }));
    let mut files = Vec::new();
    for &name in kinds.iter().flat_map(|&kind| files_of(kind)) {
        let contents = environment.get_template(name).and_then(|t| t.render(&context))?;
        files.push(PageFile { name, contents: format!("{}\n", contents.trim_end()) });
    }
    if kinds.contains(&PageKind::Report) {
        files.extend(facts.parts.iter().filter_map(|part| {
            let name = match part.part {
                "head" => "head.svg",
                "shaft" => "shaft.svg",
                "grip" => "grip.svg",
                _ => return None,
            };
            Some(PageFile { name, contents: part.figure_wide.clone() })
        }));
    }
    Ok(files)
}
