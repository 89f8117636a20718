//! The cells of an .ods sheet, with those that look as if they had a value and have none.

use crate::collection::NO_VALUE;
use crate::sheet_cells::{MOST_COLUMNS, MOST_ROWS, Merged, with_what_is_missing};
use calamine::{Data, Ods, Range, Reader as _};
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use std::collections::BTreeMap;
use std::io::{BufReader, Cursor};

/// The cells of a sheet; what is merged is read from the document itself (OpenDocument 1.2, OASIS 2011, part 1, 9.1).
pub fn ods_cells(book: &mut Ods<Cursor<Vec<u8>>>, bytes: &[u8], sheet: &str) -> Result<Range<Data>, String> {
    let values = book.worksheet_range(sheet).map_err(|error| error.to_string())?;
    let formulas = book.worksheet_formula(sheet).map_err(|error| error.to_string())?;
    let told = told_of(bytes, sheet)?;
    let cells = used(&values).filter(|(_, value)| **value != Data::Empty).map(|(at, value)| (at, value.clone()));
    let mut cells: BTreeMap<(u32, u32), Data> = cells.collect();
    for (at, error) in told.errors {
        cells.insert(at, Data::String(format!("{NO_VALUE}this cell holds the error {error}")));
    }
    let formulas = used(&formulas).filter(|(_, formula)| !formula.is_empty()).map(|(at, _)| at);
    Ok(with_what_is_missing(cells, formulas, told.merged))
}

/// The cells of a range with their places on the sheet.
fn used<T: calamine::CellType>(range: &Range<T>) -> impl Iterator<Item = ((u32, u32), &T)> {
    let (row, column) = range.start().unwrap_or((0, 0));
    let place = |index: usize| u32::try_from(index).unwrap_or(u32::MAX);
    range
        .used_cells()
        .map(move |(r, c, value)| ((row.saturating_add(place(r)), column.saturating_add(place(c))), value))
}

/// Where the reading of a sheet stands.
#[derive(Default)]
struct Place {
    row: u32,
    column: u32,
    /// Rows that the one being read stands for.
    rows: u32,
}

/// What the document tells of a sheet beyond its values.
#[derive(Default)]
struct Told {
    merged: Vec<Merged>,
    /// Formulas that came to an error, with its name; what is stored as their value is none.
    errors: Vec<((u32, u32), String)>,
}

/// A cell being read: its place, whether it says itself that it is an error, and what it shows.
struct Shown {
    at: (u32, u32),
    is_error: bool,
    text: String,
}

impl Shown {
    fn error(self) -> Option<((u32, u32), String)> {
        let text = self.text.trim();
        let is_name = text.starts_with('#') && text.ends_with(['!', '?', 'A']);
        (self.is_error || is_name || text.starts_with("Err:")).then(|| (self.at, text.to_owned()))
    }
}

fn told_of(bytes: &[u8], sheet: &str) -> Result<Told, String> {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).map_err(|error| error.to_string())?;
    let content = archive.by_name("content.xml").map_err(|error| error.to_string())?;
    let mut reader = Reader::from_reader(BufReader::new(content));
    reader.config_mut().expand_empty_elements = true;
    let (mut buffer, mut found, mut place, mut is_wanted) = (Vec::new(), Told::default(), Place::default(), false);
    let mut shown: Option<Shown> = None;
    loop {
        match reader.read_event_into(&mut buffer).map_err(|error| error.to_string())? {
            Event::Start(tag) if tag.name().as_ref() == "table:table" => {
                is_wanted = attribute(&tag, "table:name").is_some_and(|name| name == sheet);
                place = Place::default();
            }
            Event::Start(tag) if is_wanted && tag.name().as_ref() == "table:table-row" => {
                place.rows = number(&tag, "table:number-rows-repeated");
                place.column = 0;
            }
            Event::Start(tag)
                if is_wanted && ["table:table-cell", "table:covered-table-cell"].contains(&tag.name().as_ref()) =>
            {
                let across = number(&tag, "table:number-columns-spanned");
                let down = number(&tag, "table:number-rows-spanned");
                let is_within = place.row < MOST_ROWS && place.column < MOST_COLUMNS;
                if is_within && (across > 1 || down > 1) {
                    let start = (place.row, place.column);
                    let end = (start.0.saturating_add(down - 1), start.1.saturating_add(across - 1));
                    found.merged.push(Merged { start, end });
                }
                if is_within && attribute(&tag, "table:formula").is_some() {
                    let is_error = attribute(&tag, "calcext:value-type").as_deref() == Some("error");
                    shown = Some(Shown { at: (place.row, place.column), is_error, text: String::new() });
                }
                place.column = place.column.saturating_add(number(&tag, "table:number-columns-repeated"));
            }
            Event::Text(text) => {
                if let Some(shown) = &mut shown {
                    shown.text.push_str(&text);
                }
            }
            Event::End(tag) if tag.name().as_ref() == "table:table-cell" => {
                found.errors.extend(shown.take().and_then(Shown::error));
            }
            Event::End(tag) if tag.name().as_ref() == "table:table-row" => {
                place.row = place.row.saturating_add(place.rows);
            }
            Event::End(tag) if tag.name().as_ref() == "table:table" => is_wanted = false,
            Event::Eof => return Ok(found),
            _ => {}
        }
        buffer.clear();
    }
}

fn attribute(tag: &BytesStart<'_>, name: &str) -> Option<String> {
    let attribute = tag.attributes().flatten().find(|attribute| attribute.key.as_ref() == name)?;
    quick_xml::escape::unescape(&attribute.value).ok().map(std::borrow::Cow::into_owned)
}

/// A count that is 1 where it is not given.
fn number(tag: &BytesStart<'_>, name: &str) -> u32 {
    attribute(tag, name).and_then(|text| text.parse().ok()).unwrap_or(1).max(1)
}
