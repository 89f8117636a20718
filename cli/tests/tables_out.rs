//! Answers as tables: every part, title, spans and reasons, as CSV and as a spreadsheet. The spreadsheet is read by the
//! `calamine` crate (J. Tuffe, MIT), which wrote none of it.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};
use calamine::{Data, Reader, Xlsx};
use serde_json::Value;
use std::collections::BTreeMap;
use std::io::Cursor;

const CLUBS: &str = "id,hosel_to_crease,pin_direction,shaft_making,shaft_fit,text.title\n\
                     one,4 in,side_side,,,=SUM(A1)\ntwo,5.2 in,front_back,turned,step,Cleek\nnone,,,,,\n";

/// Rows by heading.
fn rows(csv: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let headings = reader.headers().unwrap().clone();
    let row =
        |record: csv::StringRecord| headings.iter().map(str::to_owned).zip(record.iter().map(str::to_owned)).collect();
    reader.records().map(|record| row(record.unwrap())).collect()
}

fn of_json<'a>(answers: &'a [Value], id: &str, part: &str) -> &'a Value {
    let own = |answer: &&Value| answer["id"] == id;
    let club = answers.iter().find(own).unwrap();
    let others = club["other_parts"].as_array().into_iter().flatten();
    std::iter::once(club).chain(others).find(|answer| answer["part"] == part).unwrap()
}

#[test]
fn a_table_has_every_part_with_its_reasons() {
    let bench = Bench::new();
    bench.write("clubs.csv", CLUBS);
    let answers = bench.json(&["date", "clubs.csv", "--format", "json", "--before", "1900"]);
    let asked = ["date", "clubs.csv", "--before", "1900"];
    let csv = bench.run(&[&asked[..], &["--format", "csv", "--reasons"]].concat());
    assert_eq!(csv.code, 0, "{}", csv.stderr);
    let table = rows(&csv.stdout);
    let named: Vec<(&str, &str)> = table.iter().map(|row| (row["id"].as_str(), row["part"].as_str())).collect();
    assert_eq!(named, [("one", "head"), ("two", "head"), ("two", "shaft"), ("none", "head")]);
    for row in &table {
        let answer = of_json(&answers, &row["id"], &row["part"]);
        let (what, number) = (format!("{} {}", row["id"], row["part"]), |name: &str| row[name].parse::<f64>().unwrap());
        assert_eq!(row["date_line"], answer["date_line"].as_str().unwrap(), "{what}");
        if row["id"] == "none" {
            // The middle of the prior is no date.
            assert!(["median", "mean", "from_80", "to_95"].iter().all(|heading| row[*heading].is_empty()), "{what}");
            assert_eq!(row["to_mind"], "no clue of date");
            continue;
        }
        assert!((number("mean") - answer["mean"].as_f64().unwrap()).abs() <= 0.05 + 1e-9, "{what}");
        for (ix, level) in ["50", "80", "95"].iter().enumerate() {
            let band = &answer["bands"][ix];
            assert_eq!(row[&format!("from_{level}")], band["from"].to_string(), "{what}");
        }
        let before = answer["before"]["probability"].as_f64().unwrap();
        assert!((number("probability_before") - before).abs() <= 0.0005 + 1e-9, "{what}");
        // The reasons are those that the account gives.
        let text = unwrapped(&bench.run(&["date", "clubs.csv", "--club", &row["id"]]).stdout);
        assert!(text.contains(&row["reasons"]), "{what}: {}", row["reasons"]);
        assert!(!row["reasons"].is_empty(), "{what}");
    }
    // A title that a spreadsheet would reckon is text; of a club without one nothing is said.
    assert_eq!([&table[0]["title"], &table[1]["title"], &table[3]["title"]], ["'=SUM(A1)", "Cleek", ""]);
    let plain = bench.run(&[&asked[..], &["--format", "csv"]].concat());
    assert!(rows(&plain.stdout).iter().all(|row| row["reasons"].is_empty()));
    // As a file, and as a spreadsheet: the same, numbers as numbers.
    let to = |out: &str| bench.run(&[&asked[..], &["--reasons", "--out", out]].concat());
    assert_eq!((to("t.csv").code, to("t.xlsx").code), (0, 0));
    assert_eq!(bench.read("t.csv"), csv.stdout);
    assert_eq!(to("t.xlsx").code, 3, "a table that is there is left alone");
    assert_eq!((to("clubs.csv").code, to("t.ods").code), (2, 2));
    assert_eq!(bench.read("clubs.csv"), CLUBS);
    same_as_spreadsheet(&std::fs::read(bench.path("t.xlsx")).unwrap(), &table);
}

/// A spreadsheet holds these rows, numbers as numbers.
fn same_as_spreadsheet(bytes: &[u8], table: &[BTreeMap<String, String>]) {
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
    let sheet = book.worksheet_range_at(0).unwrap().unwrap();
    let mut lines = sheet.rows();
    let headings: Vec<String> = lines.next().unwrap().iter().map(ToString::to_string).collect();
    assert_eq!(lines.len(), table.len());
    for (line, row) in lines.zip(table) {
        for (heading, cell) in headings.iter().zip(line) {
            match cell {
                Data::Float(number) => {
                    let same = row[heading].parse::<f64>().is_ok_and(|own| (own - number).abs() < 1e-9);
                    assert!(same, "{heading}: {number}");
                }
                Data::Empty => assert_eq!(row[heading], "", "{heading}"),
                other => assert_eq!(row[heading].trim_start_matches('\''), other.to_string(), "{heading}"),
            }
        }
    }
    let median = headings.iter().position(|heading| heading == "median").unwrap();
    assert!(matches!(sheet.rows().nth(1).unwrap()[median], Data::Float(_)));
}

/// A collection writes the same table beside its overview, and tells how well the given dates are known.
#[test]
fn a_collection_tells_whose_word_its_dates_are() {
    let bench = Bench::new();
    bench.write(
        "dated.csv",
        "id,made,date_grade,hosel_to_crease\nd1,1890,1,4\nd2,1900,,3.5\ns4,c. 1880,4,4.2\nv4,c. 1905,,3.2\n\
         o5,1850,5,5\nu0,,,4\n",
    );
    let run = bench.run(&["collection", "dated.csv", "--out", "all.xlsx"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    let text = unwrapped(&run.stdout);
    for said in [
        "Grade 1, documented: 2 clubs (1 taken so, no grade being given).",
        "Grade 4, opinion of the trade: 2 clubs (1 taken so, no grade being given), dated here by their clues: ",
        "s4 (1875-85)",
        "v4 (1900-10)",
        "Grade 5, own opinion: 1 club, dated here by their clues: o5 (1850).",
    ] {
        assert!(text.contains(said), "{said}: {text}");
    }
    assert!(!text.contains("Grade 2") && !text.contains("Grade 3"));
    let overview = &bench.json(&["collection", "dated.csv", "--format", "json"])[0];
    let grade = |id: &str| {
        let club = overview["clubs"].as_array().unwrap().iter().find(|club| club["id"] == id).unwrap();
        club["given"]["grade"].as_u64()
    };
    assert_eq!(["d1", "s4", "o5", "u0"].map(grade), [Some(1), Some(4), Some(5), None]);
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(std::fs::read(bench.path("all.xlsx")).unwrap())).unwrap();
    assert_eq!(book.worksheet_range_at(0).unwrap().unwrap().rows().count(), 7);
    let none = bench.run(&["collection", project().join("demo-data/undated.csv").to_str().unwrap()]);
    assert!(!none.stdout.contains("Grade"), "{}", none.stdout);
}

/// More clubs than are worked on at a time: one line each in the order they came, the same on one core and on three.
#[test]
fn many_clubs_keep_their_order_on_any_number_of_threads() {
    let bench = Bench::fitted();
    let hosel = |k: usize| format!("{}.{}", 2 + k % 4, k % 10);
    let pins = ["front_back", "side_side", "unreadable"];
    let row = |k: usize| format!("c{:03},{},{}\n", (k * 7) % 600, hosel(k), pins[k % 3]);
    let table: String = (0..600).map(row).collect();
    bench.write("many.csv", format!("id,hosel,pin\n{table}"));
    let on = |threads: &str, arguments: &[&str]| {
        let mut run = assert_cmd::Command::cargo_bin("agewright").unwrap();
        let run = run.args(arguments).args(["many.csv", "--calibration", "cal.toml"]).env("RAYON_NUM_THREADS", threads);
        let output = run.current_dir(bench.path("")).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        String::from_utf8(output.stdout).unwrap()
    };
    for arguments in [&["date", "--format", "csv"][..], &["date"], &["collection", "--format", "json"]] {
        assert_eq!(on("1", arguments), on("3", arguments), "{arguments:?}");
    }
    let told: Vec<String> = rows(&on("3", &["date", "--format", "csv"])).iter().map(|row| row["id"].clone()).collect();
    let given: Vec<String> = (0..600).map(|k| format!("c{:03}", (k * 7) % 600)).collect();
    assert_eq!(told, given);
}
