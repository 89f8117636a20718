//! Recording sheets, spreadsheets, and entry at the bench.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, unwrapped};
use rust_xlsxwriter::{ExcelDateTime, Format, Workbook};

fn workbook(fill: impl FnOnce(&mut rust_xlsxwriter::Worksheet)) -> Vec<u8> {
    let mut book = Workbook::new();
    fill(book.add_worksheet());
    book.save_to_buffer().unwrap()
}

/// A spreadsheet dates like the same table as CSV, whatever its cells are typed as.
#[test]
fn a_spreadsheet_is_read_like_its_table() {
    let bench = Bench::fitted();
    bench.write("t.csv", "id,hosel,pin,nicking\n7,3.6,side_side,fine\nB,4 1/2 in,,coarse|fine\n");
    let sheet = workbook(|sheet| {
        for (column, heading) in ["id", "hosel", "pin", "nicking"].iter().enumerate() {
            sheet.write_string(0, column as u16, *heading).unwrap();
        }
        sheet.write_number(1, 0, 7.0).unwrap();
        sheet.write_number(1, 1, 3.599_999_999_999_999_6).unwrap();
        sheet.write_string(1, 2, "side_side").unwrap().write_string(1, 3, "fine").unwrap();
        sheet.write_string(3, 0, "B").unwrap().write_string(3, 1, "4 1/2 in").unwrap();
        sheet.write_string(3, 3, "coarse|fine").unwrap();
    });
    bench.write("t.xlsx", sheet);
    let date = |name: &str| bench.run(&["date", name, "--calibration", "cal.toml", "--format", "json"]);
    let (csv, xlsx) = (date("t.csv"), date("t.xlsx"));
    assert_eq!((csv.code, &xlsx.stdout), (0, &csv.stdout), "{}", xlsx.stderr);
}

#[test]
fn a_wrong_cell_of_a_spreadsheet_is_named_by_its_row() {
    let bench = Bench::fitted();
    let day = Format::new().set_num_format("d mmm");
    let sheet = workbook(|sheet| {
        sheet.write_string(0, 0, "id").unwrap().write_string(0, 1, "hosel").unwrap().write_string(0, 2, "pin").unwrap();
        sheet.write_string(1, 0, "fine").unwrap().write_number(1, 1, 4.0).unwrap();
        sheet.write_string(2, 0, "day").unwrap();
        sheet.write_datetime_with_format(2, 1, ExcelDateTime::from_ymd(2026, 3, 1).unwrap(), &day).unwrap();
        sheet.write_string(4, 0, "word").unwrap().write_string(4, 2, "sideside").unwrap();
    });
    bench.write("t.xlsx", sheet);
    let run = bench.run(&["date", "t.xlsx", "--calibration", "cal.toml"]);
    assert_eq!(run.code, 3, "{}", run.stderr);
    for said in [
        "club day, column hosel",
        "turned a fraction",
        "cell B3,",
        "club word, column pin",
        "cell C5,",
        "did you mean \"side_side\"",
    ] {
        assert!(unwrapped(&run.stderr).contains(said), "{said}: {}", run.stderr);
    }
    bench.write("broken.xlsx", b"PK\x03\x04 and nothing more");
    let broken = bench.run(&["date", "broken.xlsx", "--calibration", "cal.toml"]);
    assert_eq!(broken.code, 3, "{}", broken.stderr);
}

/// A blank sheet, filled in, is a table; its hints are no clubs.
#[test]
fn a_recording_sheet_is_filled_in_and_read() {
    let bench = Bench::fitted();
    for name in ["sheet.csv", "sheet.xlsx"] {
        let run = bench.run(&["clues", "--calibration", "cal.toml", "--sheet", name]);
        assert_eq!(run.code, 0, "{}", run.stderr);
        let empty = bench.run(&["date", name, "--calibration", "cal.toml"]);
        assert_eq!((empty.code, empty.stderr.contains("no club")), (3, true), "{}", empty.stderr);
        assert_eq!(bench.run(&["clues", "--calibration", "cal.toml", "--sheet", name]).code, 3, "not overwritten");
    }
    let sheet = bench.read("sheet.csv");
    assert!(sheet.starts_with('\u{feff}') && sheet.contains("\r\n"), "as a spreadsheet wants it");
    assert!(sheet.contains("front_back; side_side") && sheet.contains("inches, 1.5 to 8"), "{sheet}");
    let columns = sheet.lines().next().unwrap().matches(',').count();
    let filled = format!("{}A,,,,,,4 1/2 in,front_back,coarse{}\r\n", sheet, ",".repeat(columns - 8));
    bench.write("filled.csv", filled);
    bench.write("plain.csv", "id,hosel,pin,nicking\nA,4 1/2 in,front_back,coarse\n");
    let date = |name: &str| bench.run(&["date", name, "--calibration", "cal.toml", "--format", "json"]).stdout;
    assert_eq!(date("filled.csv"), date("plain.csv"));
    assert_eq!(bench.run(&["clues", "--sheet", "sheet.pdf"]).code, 2);
    let first = std::fs::read(bench.path("sheet.xlsx")).unwrap();
    std::thread::sleep(std::time::Duration::from_millis(2100));
    assert_eq!(bench.run(&["clues", "--calibration", "cal.toml", "--sheet", "sheet.xlsx", "--force"]).code, 0);
    assert!(first == std::fs::read(bench.path("sheet.xlsx")).unwrap(), "the same catalogue makes the same bytes");
}

#[test]
fn ids_that_a_spreadsheet_would_compute_are_marked_as_text() {
    let bench = Bench::fitted();
    bench.write("r.csv", "id,hosel\n=1+1,4\n@x,4\nplain,4\n");
    let run = bench.run(&["date", "r.csv", "--calibration", "cal.toml", "--format", "csv"]);
    let ids: Vec<&str> = run.stdout.lines().skip(1).map(|line| line.split(',').next().unwrap()).collect();
    assert_eq!(ids, ["'=1+1", "'@x", "plain"]);
}

/// Skip, back, help, a slip, a choice by number, a clearing; the file after it dates as it was told.
#[test]
fn entry_at_the_bench_checks_saves_and_dates() {
    let bench = Bench::fitted();
    let answers = "A 1\n99\n4,5\n<\n4 1/2 in\n?\n1?\nnowhere\n3\nA title\n\n\n\n";
    let run = bench.run_with(&["record", "--out", "r.toml", "--calibration", "cal.toml", "--format", "json"], answers);
    assert_eq!(run.code, 0, "{}", run.stderr);
    let said = unwrapped(&run.stderr);
    for word in
        ["1 of 3", "outside the range", "so far, head: ", "is no level of nicking", "now: 4.5", "Saved in r.toml"]
    {
        assert!(said.contains(word), "{word}: {}", run.stderr);
    }
    let record = bench.read("r.toml");
    for line in
        ["id = \"A 1\"", "hosel = \"4 1/2 in\"", "pin = \"front_back?\"", "nicking = \"absent\"", "title = \"A title\""]
    {
        assert!(record.contains(line), "{line}: {record}");
    }
    let dated = bench.run(&["date", "r.toml", "--calibration", "cal.toml", "--format", "json"]);
    assert_eq!(run.stdout, dated.stdout, "the running answer is the answer");
}

#[test]
fn entry_that_is_interrupted_goes_on_where_it_stopped() {
    let bench = Bench::fitted();
    let record = |extra: &[&str], answers: &str| {
        bench.run_with(&[&["record", "--out", "r.toml", "--calibration", "cal.toml"], extra].concat(), answers)
    };
    // The input ends after one answer, as when the laptop's lid is shut.
    assert_eq!(record(&["--id", "A"], "4.5\n").code, 0);
    assert!(bench.read("r.toml").contains("hosel = \"4.5\""));
    let again = record(&["--id", "A"], "");
    assert_eq!(again.code, 3, "{}", again.stderr);
    assert!(again.stderr.contains("--resume"), "{}", again.stderr);
    bench.write("r.toml", bench.read("r.toml").replace("[readings]", "# written by hand\n[readings]"));
    let resumed = record(&["--resume"], "front_back\n<\n-\n.\n");
    assert_eq!(resumed.code, 0, "{}", resumed.stderr);
    assert!(resumed.stderr.contains("2 of 3"), "{}", resumed.stderr);
    let kept = bench.read("r.toml");
    assert!(kept.contains("# written by hand") && kept.contains("hosel = \"4.5\"") && !kept.contains("pin"), "{kept}");
    let nothing = bench.run_with(&["record", "--out", "n.toml", "--id", "B", "--calibration", "cal.toml"], "");
    assert!(nothing.stderr.contains("nothing was written") && !bench.path("n.toml").exists(), "{}", nothing.stderr);
}

/// Marks of one's own and numbers of registers, from a table to the answer.
#[test]
fn marks_and_numbers_are_read() {
    let bench = Bench::new();
    bench.write(
        "marks.csv",
        "clue,mark,used_from,used_to,fade,leak,source,standing\nsellers_stamp,quay_links,1881,1890,3,0.02,an invented \
         directory,invented\n",
    );
    bench.write("r.csv", "id,hosel_to_crease,sellers_stamp,design_number\nsold,4,quay_links,\nnumber,3.6,,4?8640\n");
    let without = bench.run(&["date", "r.csv"]);
    assert_eq!((without.code, without.stderr.contains("--marks")), (3, true), "{}", without.stderr);
    let answers = bench.json(&["date", "r.csv", "--marks", "marks.csv", "--format", "json"]);
    let median = |n: usize| answers[n]["median"].as_i64().unwrap();
    assert!((1881..=1896).contains(&median(0)) && (1903..=1911).contains(&median(1)), "{} {}", median(0), median(1));
    let said = answers[1]["warnings"].to_string();
    assert!(said.contains("not before") && said.contains("US patents"), "{said}");
    for (cell, why) in [
        ("abc", "is no number"),
        ("4O8640", "a letter, O,"),
        ("1?????", "unread digits"),
        ("99999999", "no number of the UK registered designs"),
    ] {
        bench.write("bad.csv", format!("id,design_number\nx,{cell}\n"));
        let bad = bench.run(&["date", "bad.csv"]);
        assert_eq!(bad.code, 3, "{cell}");
        assert!(unwrapped(&bad.stderr).contains(why), "{why}: {}", bad.stderr);
    }
    for (row, why) in [
        ("nothing,x,1881,1890,3,0.02,,", "no clue of marks"),
        ("sellers_stamp,&,1881,1890,3,0.02,,", "needs a letter"),
        ("sellers_stamp,x,1890,1881,3,0.02,,", "after used_to"),
        ("sellers_stamp,x,soon,1890,3,0.02,,", "is no number"),
        ("sellers_stamp,x,1881,1890,0,0.02,,", "column fade"),
        ("sellers_stamp,x,1881,18900,3,0.02,,", "used_to = 18900"),
        ("sellers_stamp,x,99999999999,1890,3,0.02,,", "is no number"),
        ("sellers_stamp,x,1881,1890,3,0.02,,\nsellers_stamp,x,1881,1890,4,0.02,,", "stands twice"),
    ] {
        bench.write("bad.csv", format!("clue,mark,used_from,used_to,fade,leak,source,standing\n{row}\n"));
        let bad = bench.run(&["date", "r.csv", "--marks", "bad.csv"]);
        assert_eq!(bad.code, 3, "{row}: {}", bad.stderr);
        assert!(unwrapped(&bad.stderr).contains(why), "{why}: {}", bad.stderr);
    }
}

/// Each trap of the trade that the readings show is told, and none that they do not.
#[test]
fn traps_are_told_where_the_readings_show_them() {
    let bench = Bench::new();
    let traps = [
        ("face_scoring", "smooth", "until about 1920"),
        ("hosel_join,corrosion", "curve,pitted", "Rust rounds"),
        ("top_edge,loft,club_type", "0.12,46,trouble", "loft, not lateness"),
        ("hosel_to_crease", "2.5", "short by design"),
        ("quality_wording", "hand_forged", "late word of advertising"),
        ("face_hollow", "dished", "two periods"),
        ("nicking_coarseness,hosel_to_crease", "altered,4", "date the repair"),
        ("design_number", "351202", "not a year of making"),
    ];
    for (columns, cells, said) in traps {
        bench.write("r.csv", format!("id,{columns}\nx,{cells}\n"));
        let text = unwrapped(&bench.run(&["date", "r.csv"]).stdout);
        assert!(text.contains(said), "{columns}: {text}");
        let told = traps.iter().filter(|(_, _, other)| text.contains(other)).count();
        assert_eq!(told, 1, "{columns}: only its own: {text}");
    }
    bench.write("r.csv", "id,hosel_to_crease,hosel_join,corrosion\nx,4,curve,none\n");
    let text = unwrapped(&bench.run(&["date", "r.csv"]).stdout);
    assert!(!traps.iter().any(|(_, _, said)| text.contains(said)), "{text}");
}

/// A stray cell far off is named, and asks for no memory.
#[test]
fn a_stray_cell_far_off_is_refused() {
    let bench = Bench::fitted();
    let sheet = workbook(|sheet| {
        sheet.write_string(0, 0, "id").unwrap().write_string(1, 0, "x").unwrap();
        sheet.write_string(1_048_575, 16_383, "slip").unwrap();
    });
    bench.write("far.xlsx", sheet);
    let run = bench.run(&["date", "far.xlsx", "--calibration", "cal.toml"]);
    assert_eq!(run.code, 3, "{}", run.stderr);
    assert!(run.stderr.contains("row 1048576"), "{}", run.stderr);
}

/// What is printed for a level is understood when it is entered, whatever its case.
#[test]
fn printed_names_of_levels_are_read_back() {
    let bench = Bench::new();
    let read = |word: &str| {
        bench.write("r.csv", format!("id,pin_direction\nx,{word}\n"));
        bench.json(&["date", "r.csv", "--format", "json"])[0]["mean"].as_f64().unwrap()
    };
    let by_id = read("front_back");
    for word in ["front to back", "Front to Back", "front-back", "FRONT_BACK"] {
        assert!((read(word) - by_id).abs() < 1e-12, "{word}");
    }
    assert!((read("side to side") - by_id).abs() > 1.0 && (read("front to back | side to side") - by_id).abs() > 0.1);
}

/// A calibration from before traps stood in catalogues is read, dates alike, and says what it cannot tell.
#[test]
fn an_older_calibration_says_what_it_lacks() {
    let bench = Bench::fitted();
    let new = std::fs::read_to_string(bench.path("cal.toml")).unwrap();
    let (tables, catalogue) = new.split_once("[catalogue]").unwrap();
    // Then the chance of misreading stood with each table.
    let older = tables.replace("clue = \"pin\"\n", "clue = \"pin\"\nmisread = 0.05\n");
    assert_ne!(older, tables);
    bench.write("older.toml", format!("{older}[catalogue]{catalogue}"));
    bench.write("r.csv", "id,pin\nx,front_back\n");
    let run = |calibration: &str| bench.run(&["date", "r.csv", "--calibration", calibration, "--format", "csv"]);
    let (before, now) = (run("older.toml"), run("cal.toml"));
    assert_eq!((before.code, &before.stdout), (0, &now.stdout));
    assert!(unwrapped(&before.stderr).contains("older.toml: saved by an older agewright"), "{}", before.stderr);
    assert!(now.stderr.is_empty(), "{}", now.stderr);
}

/// A manual of every command, without pages that do not exist, and completions for every shell.
#[test]
fn the_manual_and_the_completions_know_every_command() {
    let bench = Bench::new();
    let manual = bench.run(&["man"]);
    assert_eq!(manual.code, 0);
    for command in ["date", "fit", "audit", "sensitivity", "next", "compare", "why\\-not", "collection", "record"] {
        let heading = format!(".SH AGEWRIGHT {}\n", command.replace('\\', "").to_uppercase());
        assert!(manual.stdout.contains(&heading), "{heading}");
    }
    assert!(!manual.stdout.contains("(1)\n") && manual.stdout.contains("Exit codes: 0 done"));
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = bench.run(&["completions", shell]);
        assert!(script.code == 0 && script.stdout.contains("why-not"), "{shell}");
    }
}
