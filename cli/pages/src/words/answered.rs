//! A part of a club as it was asked about and answered: what every page tells of.

use agewright_model::{Accounting, Asked, Dating, KnownDate, Warning, warnings};

/// A question, its answer, and what must be told with it.
#[derive(Debug, Clone)]
pub struct Answered<'a> {
    /// What was asked.
    pub asked: Asked<'a>,
    /// The answer.
    pub dating: Dating,
    /// What must be told with it, in the order for all pages.
    pub warnings: Vec<Warning>,
    /// When the club was made, where that is given with it; no evidence of the answer.
    pub given: Option<KnownDate>,
}

impl<'a> Answered<'a> {
    /// Answers a question.
    #[must_use]
    pub fn new(asked: Asked<'a>, how: Accounting<'_>) -> Self {
        let dating = Dating::of(&asked, how);
        let warnings = warnings(&asked, &dating);
        Self { asked, dating, warnings, given: None }
    }

    /// The same with the date that is given with the club, if one is.
    #[must_use]
    pub fn with_given(self, given: Option<KnownDate>) -> Self {
        Self { given, ..self }
    }
}
