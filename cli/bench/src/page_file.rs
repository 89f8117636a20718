//! The page as one file: markup, style, script and engine in it, and what its owner put beside them.

use crate::request::OwnFiles;
use agewright_pages::write_up::templates::STYLE;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest as _, Sha256};
use thiserror::Error;

const MARKUP: &str = include_str!("../page/bench.html");
const LOOK: &str = include_str!("../page/bench.css");
const SCRIPTS: [&str; 4] = [
    include_str!("../page/engine.js"),
    include_str!("../page/clubs.js"),
    include_str!("../page/entry.js"),
    include_str!("../page/bench.js"),
];
const WORKER: &str = include_str!("../page/worker.js");
/// Where the owner's files stand in a page that was made.
const OWN: (&str, &str) = ("<script type=\"application/json\" id=\"own\">", "</script>");

/// Why a page cannot be made.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum PageFileError {
    /// The template has no such place.
    #[error("the page has no place for {0}")]
    Place(&'static str),
    /// The owner's files cannot be written.
    #[error("{0}")]
    Json(#[from] serde_json::Error),
}

/// The page around an engine (WebAssembly), with the hash of the sources that it was made from.
///
/// # Errors
/// [`PageFileError`] where the markup lacks a place, which it should not.
pub fn page_file(engine: &[u8], sources: &str) -> Result<String, PageFileError> {
    let script = SCRIPTS.join("\n");
    let policy = format!(
        "default-src 'none'; script-src 'sha256-{}' 'wasm-unsafe-eval'; worker-src blob:; style-src 'unsafe-inline'; \
         img-src data:; font-src data:; base-uri 'none'; form-action 'none'",
        STANDARD.encode(Sha256::digest(&script))
    );
    let places: [(&'static str, &str); 6] = [
        ("policy", &policy),
        ("sources", sources),
        ("style", &format!("{STYLE}{LOOK}")),
        ("worker", WORKER),
        ("engine", &STANDARD.encode(engine)),
        ("script", &script),
    ];
    let mut page = MARKUP.to_owned();
    for (place, text) in places {
        let mark = format!("{{{{ {place} }}}}");
        if !page.contains(&mark) {
            return Err(PageFileError::Place(place));
        }
        page = page.replacen(&mark, text, 1);
    }
    Ok(page)
}

/// A page that was made, with these files in it instead of those that it has.
///
/// # Errors
/// [`PageFileError`] where it has no place for them.
///
/// ```
/// use agewright_bench::page_file::{page_file, with_own_files};
/// use agewright_bench::request::OwnFiles;
///
/// let page = page_file(b"", "").unwrap();
/// assert_eq!(with_own_files(&page, &OwnFiles::default()).unwrap(), page);
/// ```
pub fn with_own_files(page: &str, own: &OwnFiles) -> Result<String, PageFileError> {
    let place = || PageFileError::Place("files of its owner");
    let (before, rest) = page.split_once(OWN.0).ok_or_else(place)?;
    let (_, after) = rest.split_once(OWN.1).ok_or_else(place)?;
    // Nothing in a file ends the element that it stands in.
    let json = serde_json::to_string(own)?.replace('<', "\\u003c");
    Ok(format!("{before}{}{json}{}{after}", OWN.0, OWN.1))
}
