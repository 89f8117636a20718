//! Pages from templates: HTML with everything in it, and Markdown.

use crate::write_up::facts::PageFacts;
use crate::write_up::object_id::{ScheduleLine, schedule};
use crate::write_up::page_error::PageError;
use crate::write_up::short_texts::{catalogue_entry, catalogue_heading, label};
use minijinja::syntax::SyntaxConfig;
use minijinja::value::{Serde, Value};
use minijinja::{AutoEscape, Environment, UndefinedBehavior, escape_formatter};
use serde::Serialize;

/// A page of a write-up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PageKind {
    /// The full report, as HTML and Markdown.
    Report,
    /// Heading and at most 80 words for a catalogue.
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
    facts: &'a PageFacts,
    style: &'static str,
    heading: String,
    entry: String,
    label_title: String,
    label_text: String,
    schedule: Vec<ScheduleLine>,
}

const TEMPLATES: [(&str, &str); 7] = [
    ("report.html", include_str!("templates/report.html")),
    ("part.html", include_str!("templates/part.html")),
    ("report.md", include_str!("templates/report.md")),
    ("catalogue-entry.md", include_str!("templates/catalogue-entry.md")),
    ("label.md", include_str!("templates/label.md")),
    ("insurance-schedule.html", include_str!("templates/insurance-schedule.html")),
    ("insurance-schedule.md", include_str!("templates/insurance-schedule.md")),
];
const MARKDOWN: &str = "markdown";
const STYLE: &str = include_str!("templates/page.css");

/// Files of each kind of page.
fn files_of(kind: PageKind) -> &'static [&'static str] {
    match kind {
        PageKind::Report => &["report.html", "report.md"],
        PageKind::Catalogue => &["catalogue-entry.md"],
        PageKind::Label => &["label.md"],
        PageKind::Insurance => &["insurance-schedule.html", "insurance-schedule.md"],
    }
}

/// The pages asked for.
///
/// # Errors
/// [`PageError`] for a template that cannot be filled, which there should be none of.
pub fn pages(facts: &PageFacts, kinds: &[PageKind]) -> Result<Vec<PageFile>, PageError> {
    let environment = environment()?;
    let (label_title, label_text) = label(facts);
    let context = Value::from(Serde(Context {
        facts,
        style: STYLE,
        heading: catalogue_heading(facts),
        entry: catalogue_entry(facts),
        label_title,
        label_text,
        schedule: schedule(facts),
    }));
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

fn environment() -> Result<Environment<'static>, minijinja::Error> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    let syntax = SyntaxConfig::builder().trim_blocks(true).lstrip_blocks(true).build()?;
    environment.set_syntax(syntax);
    environment.set_auto_escape_callback(|name| {
        if name.ends_with(".html") { AutoEscape::Html } else { AutoEscape::Custom(MARKDOWN.into()) }
    });
    environment.set_formatter(|out, state, value| match state.auto_escape() {
        AutoEscape::Custom(_) if !value.is_safe() => Ok(out.write_str(&markdown(&value.to_string()))?),
        AutoEscape::Custom(_) => Ok(out.write_str(&value.to_string())?),
        _ => escape_formatter(out, state, value),
    });
    for (name, source) in TEMPLATES {
        environment.add_template(name, source)?;
    }
    Ok(environment)
}

/// A text as Markdown shows it: nothing in it is markup, and it stays on its line.
fn markdown(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '\n' | '\r' => safe.push(' '),
            '\\' | '`' | '*' | '_' | '[' | ']' | '#' | '|' | '!' | '~' => {
                safe.push('\\');
                safe.push(c);
            }
            _ => safe.push(c),
        }
    }
    safe
}
