//! One row of a table of clubs: its readings, its date and its set.

use crate::nearest_word::cell_hint;
use crate::problem::{InputProblem, Problems, SourceText};
use crate::table_columns::Column;
use crate::table_dates::{DateField, DateTexts, read_date};
use agewright_model::{Axis, Catalogue, Cell, Club, KnownDate};
use std::ops::Range;
use std::sync::Arc;

/// Words that are taken for no set's name.
const NO_SET: [&str; 14] =
    ["none", "no", "n", "n/a", "na", "unknown", "unreadable", "absent", "yes", "y", "x", "0", "true", "false"];

/// A row, by what its columns hold.
pub(crate) struct Row<'a> {
    pub source: &'a Arc<SourceText>,
    pub columns: &'a [Column],
    /// The unit that the heading of a column gives its bare numbers, where it is not the clue's.
    pub units: &'a [Option<String>],
    pub record: &'a csv::StringRecord,
    /// Bytes of each cell in the source.
    pub places: &'a [Range<usize>],
}

impl<'a> Row<'a> {
    fn at(&self, column: &Column) -> Option<usize> {
        self.columns.iter().position(|own| own == column)
    }

    /// The cell without blanks around it; an empty one where there is no such column.
    pub fn cell(&self, column: &Column) -> &'a str {
        self.at(column).and_then(|ix| self.record.get(ix)).map_or("", str::trim)
    }

    /// A problem with the cell of a column.
    pub fn problem(&self, column: &Column, message: impl Into<String>) -> InputProblem {
        let place = self.at(column).and_then(|ix| self.places.get(ix)).cloned();
        InputProblem::new(self.source, place, message)
    }

    /// Its readings and texts; of each that makes no sense a problem.
    pub fn club(&self, catalogue: &Catalogue, decimal_comma: bool, problems: &mut Problems) -> Club {
        let mut club = Club { id: self.cell(&Column::Id).to_owned(), ..Club::default() };
        club.cells = vec![Cell::NotExamined; catalogue.clues().len()];
        for (ix, column) in self.columns.iter().enumerate() {
            let text = self.record.get(ix).unwrap_or("").trim();
            match column {
                Column::Clue(clue_ix) => {
                    let clue = &catalogue.clues()[*clue_ix];
                    let with_unit = self.units.get(ix).and_then(|unit| in_unit(text, unit.as_deref()?));
                    match Cell::from_text(clue, with_unit.as_deref().unwrap_or(text), decimal_comma) {
                        Ok(cell) => club.cells[*clue_ix] = cell,
                        Err(error) => problems.push(|| {
                            let place = format!("club {}, column {}", club.id, clue.id);
                            self.problem(column, error.to_string()).at(place).help(cell_hint(clue, text, &error))
                        }),
                    }
                }
                Column::Text(name) if !text.is_empty() => {
                    club.text.insert(name.clone(), text.to_owned());
                }
                Column::Note => text.clone_into(&mut club.note),
                _ => {}
            }
        }
        club
    }

    /// The set that it belongs to.
    pub fn set(&self) -> Result<Option<String>, Box<InputProblem>> {
        let text = self.cell(&Column::Set);
        set_name(text).ok_or_else(|| {
            let problem = self.problem(&Column::Set, format!("\"{text}\" is no name of a set"));
            let help = "clubs that share a name are taken to belong together; leave it blank for a club of none";
            let place = format!("club {}, column set", self.cell(&Column::Id));
            Box::new(problem.at(place).help(Some(help.to_owned())))
        })
    }

    /// When it was made, where that is given.
    pub fn date(&self, axis: Axis) -> Result<Option<KnownDate>, Box<InputProblem>> {
        let dates = DateTexts {
            made: self.cell(&Column::Made),
            made_from: self.cell(&Column::MadeFrom),
            made_to: self.cell(&Column::MadeTo),
            date_grade: self.cell(&Column::DateGrade),
        };
        read_date(axis, dates).map_err(|wrong| {
            let column = match wrong.field {
                DateField::Made => Column::Made,
                DateField::MadeFrom => Column::MadeFrom,
                DateField::MadeTo => Column::MadeTo,
                DateField::DateGrade => Column::DateGrade,
            };
            // A column that is not there is wrong by its absence: the club is shown.
            let column = if self.at(&column).is_some() { column } else { Column::Id };
            let place = format!("club {}, column {}", self.cell(&Column::Id), wrong.field.name());
            Box::new(self.problem(&column, wrong.message).at(place).help(wrong.help))
        })
    }
}

/// A set's name without regard to case and spaces, or none; `None` for a word that says there is none, which is no
/// name.
pub(crate) fn set_name(text: &str) -> Option<Option<String>> {
    let name = text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    if name.is_empty() {
        return Some(None);
    }
    (name.chars().any(char::is_alphanumeric) && !NO_SET.contains(&name.as_str())).then_some(Some(name))
}

/// A bare number with the unit of its column: `105` as `105 mm`; nothing for what has a unit or is none.
fn in_unit(text: &str, unit: &str) -> Option<String> {
    let is_unit = |c: char| c.is_alphabetic() || ['"', '\'', '\u{2033}', '\u{2032}', '\u{201d}', '\u{b0}'].contains(&c);
    let is_bare = text.contains(|c: char| c.is_ascii_digit()) && !text.contains(is_unit);
    let (number, doubt) = text.strip_suffix('?').map_or((text, ""), |number| (number.trim_end(), "?"));
    is_bare.then(|| format!("{number} {unit}{doubt}"))
}
