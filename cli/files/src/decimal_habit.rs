//! Whether a table writes its decimals with a comma.

use crate::recording_sheet::HINT_ROWS;
use crate::table_columns::Column;
use agewright_model::Catalogue;

/// Whether some measure of a table can only be one with a decimal comma (`3,5`, `0,125`), and none has a point: then
/// `3,125` is no thousands either. `None` where no measure tells.
pub(crate) fn writes_decimal_commas(
    catalogue: &Catalogue,
    columns: &[Column],
    text: &str,
    delimiter: u8,
    rows_before: usize,
) -> Option<bool> {
    // A comma within a cell stands in quotes, or between other separators.
    if delimiter == b',' && !text.contains('"') {
        return None;
    }
    let mut reader =
        csv::ReaderBuilder::new().delimiter(delimiter).flexible(true).has_headers(false).from_reader(text.as_bytes());
    let is_measure =
        |column: &Column| matches!(column, Column::Clue(clue) if catalogue.clues()[*clue].kind.is_measure());
    let mut habit = None;
    let is_hint = |record: &csv::StringRecord| record.get(0).is_some_and(|cell| HINT_ROWS.contains(&cell.trim()));
    for record in reader.records().skip(rows_before).flatten().filter(|record| !is_hint(record)) {
        for (_, cell) in columns.iter().zip(&record).filter(|(column, _)| is_measure(column)) {
            match mark_of(cell) {
                Some(Mark::Point) => return Some(false),
                Some(Mark::Comma) => habit = Some(true),
                None => {}
            }
        }
    }
    habit
}

#[derive(Debug, PartialEq)]
enum Mark {
    Comma,
    Point,
}

/// The mark that parts a number's decimals, where it is beyond doubt.
fn mark_of(cell: &str) -> Option<Mark> {
    let digits = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
    for (at, mark) in cell.char_indices().filter(|(_, c)| matches!(c, ',' | '.')) {
        let before = cell[..at].bytes().rev().take_while(u8::is_ascii_digit).count();
        let after = digits(&cell[at + 1..]);
        if before == 0 || after == 0 {
            continue;
        }
        let is_clear = after != 3 || (before == 1 && cell[..at].ends_with('0'));
        match mark {
            '.' => return Some(Mark::Point),
            _ if is_clear => return Some(Mark::Comma),
            _ => {}
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_is_known_where_it_can_be() {
        assert!(["3,5 in", "0,125", "88,90 mm", "c. 3,1234"].iter().all(|cell| mark_of(cell) == Some(Mark::Comma)));
        assert!(["3.5", "0.125 in", "3.125"].iter().all(|cell| mark_of(cell) == Some(Mark::Point)));
        assert!(["3,125", "3 1/2", "", "3, about", "10,125", "4."].iter().all(|cell| mark_of(cell).is_none()));
    }
}
