//! Lays a calibration file out for people: a heading, a table for each clue, one row of years a line.

use toml_edit::{Array, DocumentMut, Item, Table, Value};

const HEADING: &str = "\
# A calibration of agewright, made by `agewright fit`; it may be edited by hand.
# Each clue has a table with one row for every step of years: `clubs` is the effective number of dated clubs behind it.
# Levels: the share of each level among readings of clubs of those years, misread ones among them; a row sums to 1.
# Measured: the mean in the clue's unit (on a log scale the geometric mean) and the standard deviation between clubs
# (on a log scale of natural logarithms: 0.08 is about 8 %). Correlations are those of the residuals, in the block.
# `weight` is the exponent of the clue. `misread`, the chance that a reading is wrong or belongs to later work, stands
# with the clue itself, in the catalogue below.

";

/// Text of the document: tables of tables with headings of their own, every row of years and of the matrix on a line.
pub fn layout(document: DocumentMut) -> String {
    let mut out = DocumentMut::new();
    for (key, item) in document.iter() {
        out.insert(key, opened(item, 0));
    }
    format!("{HEADING}{}\n", out.to_string().trim_end())
}

/// Inline tables down to the first two levels become tables with headings; arrays of rows get a line for each.
fn opened(item: &Item, depth: usize) -> Item {
    let table = match item {
        Item::Table(table) => Some(table.clone()),
        Item::Value(Value::InlineTable(table)) => Some(table.clone().into_table()),
        _ => None,
    };
    if let Some(table) = table {
        return Item::Table(opened_table(&table, depth));
    }
    match item {
        Item::ArrayOfTables(array) => {
            Item::ArrayOfTables(array.iter().map(|table| opened_table(table, depth + 1)).collect())
        }
        Item::Value(Value::Array(array)) if is_array_of_tables(array) => {
            let tables = array.iter().filter_map(Value::as_inline_table);
            let tables = tables.map(|table| opened_table(&table.clone().into_table(), depth + 1));
            Item::ArrayOfTables(tables.collect())
        }
        Item::Value(Value::Array(array)) => Item::Value(Value::Array(line_by_line(array))),
        other => other.clone(),
    }
}

fn is_array_of_tables(array: &Array) -> bool {
    !array.is_empty() && array.iter().all(Value::is_inline_table)
}

fn opened_table(table: &Table, depth: usize) -> Table {
    let mut out = Table::new();
    for (key, item) in table {
        // Rows, shares and levels stay within their lines; only what is an entry of the file opens up.
        let entry = depth == 0;
        let item = match item {
            Item::Value(Value::Array(array)) if !entry => Item::Value(Value::Array(line_by_line(array))),
            Item::Value(Value::InlineTable(_)) if key == "years" || !entry => item.clone(),
            other if entry => opened(other, depth),
            other => other.clone(),
        };
        out.insert(key, item);
    }
    out
}

/// Arrays of arrays and of tables: one element a line; plain arrays stay as they are.
fn line_by_line(array: &Array) -> Array {
    let mut array = array.clone();
    if array.iter().any(|value| value.is_array() || value.is_inline_table()) {
        for value in array.iter_mut() {
            value.decor_mut().set_prefix("\n  ");
        }
        array.set_trailing("\n");
        array.set_trailing_comma(true);
    }
    array
}
