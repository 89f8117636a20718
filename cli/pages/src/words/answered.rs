//! A part of a club as it was asked about and answered: what every page tells of.

use agewright_model::{Accounting, Asked, Dating, KnownDate, Ledger, Warning, warnings};
use std::cell::OnceCell;

/// A question, its answer, and what must be told with it.
#[derive(Clone)]
pub struct Answered<'a> {
    /// What was asked.
    pub asked: Asked<'a>,
    /// The answer.
    pub dating: Dating,
    /// What must be told with it, in the order for all pages.
    pub warnings: Vec<Warning>,
    /// When the club was made, where that is given with it; no evidence of the answer.
    pub given: Option<KnownDate>,
    how: Accounting<'a>,
    ledger: OnceCell<Ledger>,
}

impl<'a> Answered<'a> {
    /// Answers a question; `how` is for its account, where a page shows one.
    #[must_use]
    pub fn new(asked: Asked<'a>, how: Accounting<'a>) -> Self {
        let dating = Dating::of(&asked);
        let warnings = warnings(&asked, &dating);
        Self { asked, dating, warnings, given: None, how, ledger: OnceCell::new() }
    }

    /// The same with the date that is given with the club, if one is.
    #[must_use]
    pub fn with_given(self, given: Option<KnownDate>) -> Self {
        Self { given, ..self }
    }

    /// The account, worked out when it is first asked for: a page without one does not pay for it.
    ///
    /// # Panics
    /// When the orders of the accounting do not hold every place once.
    #[must_use]
    pub fn ledger(&self) -> &Ledger {
        self.ledger.get_or_init(|| Ledger::of_clues(&self.asked, &self.dating.clues, self.how))
    }
}
