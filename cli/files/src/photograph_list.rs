//! Photographs as a record names them: files beside it.

use std::path::{Component, Path};

/// The text of a record that names photographs.
pub const PHOTOGRAPHS: &str = "photos";
/// Photographs of one club, at the most.
const MOST: usize = 12;

/// A photograph that a record names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NamedPhotograph {
    /// Its file, from the folder of the record.
    pub file: String,
    /// What it shows; empty where that is not said.
    pub caption: String,
}

/// The photographs of `text.photos`: names of files with `;` or a line's end between them, each with what it shows in
/// brackets behind it if one likes.
///
/// # Errors
/// What is wrong with it, as a sentence: a file that does not lie beside the record or below, more than 12.
///
/// ```
/// use agewright_files::photograph_list::named_photographs;
///
/// let named = named_photographs("face.jpg (the face); pictures/hosel.png").unwrap();
/// assert_eq!((named[0].file.as_str(), named[0].caption.as_str()), ("face.jpg", "the face"));
/// assert_eq!((named[1].file.as_str(), named[1].caption.as_str()), ("pictures/hosel.png", ""));
/// let named = named_photographs("a.jpg (toe (worn); heel); b.jpg").unwrap();
/// assert_eq!((named[0].caption.as_str(), named[1].file.as_str()), ("toe (worn); heel", "b.jpg"));
/// let named = named_photographs("face (1).jpg (the face); odd(.jpg; c.jpg").unwrap();
/// assert_eq!((named[0].file.as_str(), named[0].caption.as_str()), ("face (1).jpg", "the face"));
/// assert_eq!((named[1].file.as_str(), named[2].file.as_str()), ("odd(.jpg", "c.jpg"));
/// assert!(named_photographs("../other/face.jpg").unwrap_err().contains("lies outside"));
/// ```
pub fn named_photographs(text: &str) -> Result<Vec<NamedPhotograph>, String> {
    let words = text.lines().flat_map(between_files).map(str::trim).filter(|word| !word.is_empty());
    let named: Vec<NamedPhotograph> = words.map(named).collect::<Result<_, _>>()?;
    if named.len() > MOST {
        return Err(format!("{} photographs are named; a page has room for {MOST}", named.len()));
    }
    Ok(named)
}

/// What stands between `;` or line ends, but for those within the brackets of a caption; brackets that do not pair are
/// letters of a name.
fn between_files(line: &str) -> Vec<&str> {
    let mut depth = 0_usize;
    let is_end = |c: char| {
        match c {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            _ => {}
        }
        depth == 0 && c == ';'
    };
    let files = line.split(is_end).collect();
    if depth == 0 { files } else { line.split(';').collect() }
}

/// A file and its caption: what the last bracket closes, with those within it.
fn captioned(word: &str) -> Option<(&str, &str)> {
    let inside = word.strip_suffix(')')?;
    let mut depth = 1_usize;
    let open = inside.char_indices().rev().find(|(_, c)| {
        match c {
            ')' => depth += 1,
            '(' => depth -= 1,
            _ => {}
        }
        depth == 0
    })?;
    let file = inside[..open.0].strip_suffix(' ')?;
    Some((file.trim(), inside[open.0 + 1..].trim()))
}

fn named(word: &str) -> Result<NamedPhotograph, String> {
    let (file, caption) = captioned(word).unwrap_or((word, ""));
    // A record may come from a stranger: what it names stays in its folder.
    let is_below = |part: Component<'_>| matches!(part, Component::Normal(_) | Component::CurDir);
    if file.contains('\\') {
        return Err(format!(
            "photograph \"{file}\": a folder is parted by /, not by \\\nWhat to do: write \"{}\"",
            file.replace('\\', "/")
        ));
    }
    let is_of_elsewhere = file.contains(':') || !Path::new(file).components().all(is_below);
    if is_of_elsewhere || file.is_empty() {
        return Err(outside(file));
    }
    Ok(NamedPhotograph { file: file.to_owned(), caption: caption.to_owned() })
}

/// What is said of a file that lies elsewhere.
#[must_use]
pub fn outside(file: &str) -> String {
    format!(
        "photograph \"{file}\" lies outside the record's folder\nWhat to do: put the file beside the record or in a \
         folder below it, and write its name from there"
    )
}
