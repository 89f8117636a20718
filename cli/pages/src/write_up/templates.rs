//! The templates of all pages: HTML with everything in it, and Markdown.

use minijinja::syntax::SyntaxConfig;
use minijinja::{AutoEscape, Environment, UndefinedBehavior, escape_formatter};

const TEMPLATES: [(&str, &str); 17] = [
    ("report.html", include_str!("templates/report.html")),
    ("part.html", include_str!("templates/part.html")),
    ("illustrated-sheet.html", include_str!("templates/illustrated-sheet.html")),
    ("answer-panel.html", include_str!("templates/answer-panel.html")),
    ("period-account.html", include_str!("templates/period-account.html")),
    ("side-by-side.html", include_str!("templates/side-by-side.html")),
    ("photographs.html", include_str!("templates/photographs.html")),
    ("labels.html", include_str!("templates/labels.html")),
    ("entries.html", include_str!("templates/entries.html")),
    ("schedules.html", include_str!("templates/schedules.html")),
    ("checklist.html", include_str!("templates/checklist.html")),
    ("index.html", include_str!("templates/index.html")),
    ("report.md", include_str!("templates/report.md")),
    ("catalogue-entry.md", include_str!("templates/catalogue-entry.md")),
    ("label.md", include_str!("templates/label.md")),
    ("insurance-schedule.html", include_str!("templates/insurance-schedule.html")),
    ("insurance-schedule.md", include_str!("templates/insurance-schedule.md")),
];
const MARKDOWN: &str = "markdown";
/// How pages look, with the face of charts in it: a page needs no font of the reader's.
pub const STYLE: &str = concat!(include_str!("../../../assets/face.css"), include_str!("templates/page.css"));

/// The templates, ready to be filled.
pub(crate) fn environment() -> Result<Environment<'static>, minijinja::Error> {
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
