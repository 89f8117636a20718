//! Where in a document something stands, whatever the document is written in.

use std::fmt;

/// One step into a document.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// Into a table, by a key.
    Key(String),
    /// Into a list, by a place from 0.
    Index(usize),
}

/// Steps from the outside of a document in, such as `clue[3].range`; the root has none.
///
/// ```
/// use agewright_model::reading::document_path::DocumentPath;
///
/// assert_eq!(DocumentPath::key("clue").at(3).then("range").to_string(), "clue[3].range");
/// ```
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct DocumentPath {
    steps: Vec<Step>,
}

impl DocumentPath {
    /// The document itself.
    #[must_use]
    pub fn root() -> Self {
        Self::default()
    }

    /// What stands under a key of the document.
    #[must_use]
    pub fn key(key: &str) -> Self {
        Self::root().then(key)
    }

    /// What stands under a key of what this leads to.
    #[must_use]
    pub fn then(mut self, key: &str) -> Self {
        self.steps.push(Step::Key(key.to_owned()));
        self
    }

    /// The entry at a place, from 0, of the list that this leads to.
    #[must_use]
    pub fn at(mut self, place: usize) -> Self {
        self.steps.push(Step::Index(place));
        self
    }

    /// This path, entered from where another leads to.
    #[must_use]
    pub fn within(mut self, mut outer: Self) -> Self {
        outer.steps.append(&mut self.steps);
        outer
    }

    /// The steps, the outermost first.
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }
}

impl fmt::Display for DocumentPath {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, step) in self.steps.iter().enumerate() {
            match step {
                Step::Key(key) if place == 0 => write!(out, "{key}")?,
                Step::Key(key) => write!(out, ".{key}")?,
                Step::Index(at) => write!(out, "[{at}]")?,
            }
        }
        Ok(())
    }
}
