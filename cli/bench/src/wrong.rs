//! What is wrong with a question, and how answers become text.

use serde::Serialize;

/// What is wrong, and of which clue.
#[derive(Debug, Serialize)]
pub(crate) struct Wrong {
    #[serde(skip_serializing_if = "Option::is_none")]
    clue: Option<String>,
    message: String,
}

impl Wrong {
    pub fn of_all(message: impl ToString) -> Vec<Self> {
        vec![Self { clue: None, message: message.to_string() }]
    }

    /// The same, told of one of several clubs.
    pub fn of_club(self, id: &str) -> Self {
        Self { message: format!("{id}: {}", self.message), ..self }
    }

    pub fn of_clue(clue: &str, message: String) -> Self {
        Self { clue: Some(clue.to_owned()), message }
    }
}

/// JSON of an answer.
pub(crate) fn text_of(answer: &impl Serialize) -> Result<String, Vec<Wrong>> {
    serde_json::to_string(answer).map_err(Wrong::of_all)
}
