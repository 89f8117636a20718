//! Spreadsheets as they are: the sheet that is asked for, what is merged, and formulas without a value.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, unwrapped};
use rust_xlsxwriter::{Format, Formula, Workbook};
use std::io::{Read as _, Write as _};

/// The sheet that is asked for; cells that are merged or have no value are told by their names, unless nobody asks.
#[test]
fn a_spreadsheet_is_read_as_it_is() {
    let bench = Bench::fitted();
    let mut book = Workbook::new();
    book.add_worksheet().set_name("Prices").unwrap().write_string(0, 0, "Price").unwrap();
    let sheet = book.add_worksheet().set_name("Irons").unwrap();
    sheet.merge_range(0, 0, 0, 3, "Irons of the house", &Format::new()).unwrap();
    for (column, heading) in ["id", "hosel", "pin", "box"].iter().enumerate() {
        sheet.write_string(2, column as u16, *heading).unwrap();
    }
    sheet.write_string(3, 0, "A").unwrap().write_number(3, 1, 4.0).unwrap().write_string(3, 2, "side_side").unwrap();
    sheet.write_string(4, 0, "B").unwrap().write_number(4, 1, 4.5).unwrap();
    sheet.merge_range(3, 3, 4, 3, "box 1", &Format::new()).unwrap();
    bench.write("t.xlsx", book.save_to_buffer().unwrap());
    bench.write("t.csv", "id,hosel,pin\nA,4,side_side\nB,4.5,\n");
    let date = |file: &str, more: &[&str]| {
        let of = ["date", file, "--calibration", "cal.toml", "--format", "csv"];
        bench.run(&[&of[..], more].concat())
    };
    let (sheet, table) = (date("t.xlsx", &["--sheet", "irons"]), date("t.csv", &[]));
    assert_eq!((sheet.code, &sheet.stdout), (0, &table.stdout), "{}", sheet.stderr);
    let wrong = date("t.xlsx", &["--sheet", "Iron"]);
    assert!(wrong.code == 2 && wrong.stderr.contains("did you mean \"Irons\"?"), "{}", wrong.stderr);
    let no_sheets = date("t.csv", &["--sheet", "Irons"]);
    assert_eq!(no_sheets.code, 2, "{}", no_sheets.stderr);

    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (column, heading) in ["id", "hosel", "pin"].iter().enumerate() {
        sheet.write_string(0, column as u16, *heading).unwrap();
    }
    sheet.write_string(1, 0, "A").unwrap().write_formula(1, 1, Formula::new("2*2").set_result("4")).unwrap();
    sheet.write_string(2, 0, "B").unwrap().write_formula(2, 1, Formula::new("3*2").set_result("777")).unwrap();
    sheet.merge_range(1, 2, 2, 2, "side_side", &Format::new()).unwrap();
    bench.write("t.xlsx", without_value(&book.save_to_buffer().unwrap(), "777"));
    let run = date("t.xlsx", &[]);
    assert_eq!((run.code, run.stdout.as_str()), (3, ""));
    let told = unwrapped(&run.stderr);
    assert!(told.contains("cell B3 holds a formula whose value was not saved with it"), "{told}");
    assert!(told.contains("cell C3 is merged with C2 and has no value of its own"), "{told}");
    assert!(told.contains("2 mistakes in all"), "{told}");
    // A heading without a value would lose its whole column.
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.write_string(0, 0, "id").unwrap().write_string(0, 1, "pin").unwrap();
    sheet.write_formula(0, 2, Formula::new("A9").set_result("777")).unwrap();
    sheet.write_string(1, 0, "A").unwrap().write_string(1, 1, "side_side").unwrap().write_number(1, 2, 4.0).unwrap();
    bench.write("h.xlsx", without_value(&book.save_to_buffer().unwrap(), "777"));
    let run = date("h.xlsx", &[]);
    assert!(run.code == 3 && unwrapped(&run.stderr).contains("the column would be lost"), "{}", run.stderr);
    // Only in columns that are read.
    let passed_over = date("t.xlsx", &["--ignore", "pin", "--ignore", "hosel"]);
    assert_eq!(passed_over.code, 0, "{}", passed_over.stderr);
}

/// An .ods tells the same: values, repeated rows, what is merged and what a formula lacks.
#[test]
fn an_ods_is_read_as_it_is() {
    let bench = Bench::fitted();
    let text = |text: &str| {
        format!("<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>")
    };
    let number = |value: &str| {
        format!(
            "<table:table-cell office:value-type=\"float\" office:value=\"{value}\"><text:p>{value}</text:p>\
             </table:table-cell>"
        )
    };
    let row = |cells: &[String]| format!("<table:table-row>{}</table:table-row>", cells.concat());
    let headings = row(&["id", "hosel", "pin"].map(text));
    let date = |rows: &[String], more: &[&str]| {
        let sheets = format!(
            "<table:table table:name=\"Irons\">{}</table:table><table:table table:name=\"Other\">{}</table:table>",
            rows.concat(),
            row(&["<table:table-cell table:number-columns-spanned=\"3\"/>".to_owned()])
        );
        bench.write("t.ods", ods(&sheets));
        bench.run(&[&["date", "t.ods", "--calibration", "cal.toml", "--format", "csv"][..], more].concat())
    };
    let blank_rows =
        "<table:table-row table:number-rows-repeated=\"2\"><table:table-cell/></table:table-row>".to_owned();
    let whole = [
        headings.clone(),
        row(&[text("A"), number("4"), text("side_side")]),
        blank_rows.clone(),
        row(&[text("B"), number("4.5"), "<table:table-cell/>".to_owned()]),
    ];
    bench.write("t.csv", "id,hosel,pin\nA,4,side_side\nB,4.5,\n");
    let table = bench.run(&["date", "t.csv", "--calibration", "cal.toml", "--format", "csv"]);
    let read = date(&whole, &[]);
    assert_eq!((read.code, &read.stdout), (0, &table.stdout), "{}", read.stderr);
    let formula = "<table:table-cell table:formula=\"of:=[.A2]*2\"/>".to_owned();
    let spanning = "<table:table-cell table:number-rows-spanned=\"2\" office:value-type=\"string\">\
                    <text:p>side_side</text:p></table:table-cell>";
    let lacking = [
        headings,
        blank_rows,
        row(&[text("A"), number("4"), spanning.to_owned()]),
        row(&[text("B"), formula, "<table:covered-table-cell/>".to_owned()]),
    ];
    let run = date(&lacking, &[]);
    assert_eq!((run.code, run.stdout.as_str()), (3, ""));
    let told = unwrapped(&run.stderr);
    assert!(told.contains("cell B5 holds a formula whose value was not saved with it"), "{told}");
    assert!(told.contains("cell C5 is merged with C4 and has no value of its own"), "{told}");
    assert!(told.contains("2 mistakes in all"), "{told}");
    assert_eq!(date(&lacking, &["--ignore", "pin", "--ignore", "hosel"]).code, 0);
    // An error keeps a nought as its value, by either way of writing it.
    for (says_so, shown) in [("", "#DIV/0!"), ("", "Err:502"), (" calcext:value-type=\"error\"", "FEHLER")] {
        let error = format!(
            "<table:table-cell table:formula=\"of:=1/0\" office:value-type=\"float\" office:value=\"0\"{says_so}>\
             <text:p>{shown}</text:p></table:table-cell>"
        );
        let run = date(&[row(&["id", "hosel", "pin"].map(text)), row(&[text("A"), error, text("side_side")])], &[]);
        let told = unwrapped(&run.stderr);
        assert!(run.code == 3 && told.contains(&format!("this cell holds the error {shown}")), "{told}");
    }
}

/// The least that is an OpenDocument spreadsheet.
fn ods(sheets: &str) -> Vec<u8> {
    let content = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><office:document-content \
         xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" \
         xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" \
         xmlns:calcext=\"urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0\" \
         xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\" office:version=\"1.2\"><office:body>\
         <office:spreadsheet>{sheets}</office:spreadsheet></office:body></office:document-content>"
    );
    let manifest = "<manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\"/>";
    let mut book = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let files = [
        ("mimetype", "application/vnd.oasis.opendocument.spreadsheet"),
        ("META-INF/manifest.xml", manifest),
        ("content.xml", &content),
    ];
    for (name, text) in files {
        book.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        book.write_all(text.as_bytes()).unwrap();
    }
    book.finish().unwrap().into_inner()
}

/// A spreadsheet in which a stored value is taken out of its cell.
fn without_value(book: &[u8], value: &str) -> Vec<u8> {
    let mut from = zip::ZipArchive::new(std::io::Cursor::new(book)).unwrap();
    let mut to = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    for ix in 0..from.len() {
        let mut file = from.by_index(ix).unwrap();
        let (name, mut text) = (file.name().unwrap().into_owned(), String::new());
        file.read_to_string(&mut text).unwrap();
        to.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        to.write_all(text.replace(&format!("<v>{value}</v>"), "").as_bytes()).unwrap();
    }
    to.finish().unwrap().into_inner()
}

/// A mistake is told by the cell that it stands in, whatever stands before it; of a text file by line and letter.
#[test]
fn a_mistake_is_told_by_its_cell() {
    let bench = Bench::fitted();
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    for (column, heading) in ["id", "note", "hosel", "pin"].iter().enumerate() {
        sheet.write_string(3, column as u16 + 1, *heading).unwrap();
    }
    sheet.write_string(4, 1, "A").unwrap().write_string(4, 2, "two lines,\nand a \"word\"").unwrap();
    sheet.write_number(4, 3, 4.0).unwrap().write_string(4, 4, "sidways").unwrap();
    bench.write("t.xlsx", book.save_to_buffer().unwrap());
    let run = bench.run(&["date", "t.xlsx", "--calibration", "cal.toml"]);
    let told = unwrapped(&run.stderr);
    assert!(run.code == 3 && told.contains(", cell E5, club A, column pin"), "{told}");
    assert!(told.contains("There: \u{bb}sidways\u{ab}"), "{told}");
    bench.write("t.csv", "id,pin\nA,sidways\n");
    let told = bench.run(&["date", "t.csv", "--calibration", "cal.toml"]).stderr;
    assert!(told.contains("t.csv:2:3, club A") && told.contains("There: A,\u{bb}sidways\u{ab}"), "{told}");
}
