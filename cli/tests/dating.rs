//! The main job from files to answers.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};
use serde_json::Value;

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

#[test]
fn json_follows_its_contract() {
    let bench = Bench::fitted();
    bench.write(
        "r.toml",
        "id = \"one\"\n[readings]\nhosel = \"4 1/2 in\"\npin = \"front_back?\"\nnicking = \"unreadable\"\n",
    );
    let answer =
        &bench.json(&["date", "r.toml", "--calibration", "cal.toml", "--format", "json", "--before", "1850"])[0];
    assert_eq!(answer["schema"], 2);
    assert_eq!((answer["id"].as_str(), answer["part"].as_str()), (Some("one"), Some("head")));
    assert_eq!(answer["prior"], "as-collected");
    assert_eq!((answer["years"]["from"].as_i64(), answer["years"]["to"].as_i64()), (Some(1800), Some(1900)));
    assert_eq!(answer["calibration"]["sha256"].as_str().unwrap().len(), 64);
    let probability: Vec<f64> = answer["probability"].as_array().unwrap().iter().map(number).collect();
    assert_eq!(probability.len(), 100);
    assert!((probability.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    let rows = answer["by_row"].as_array().unwrap();
    assert_eq!((rows.len(), rows[0]["from"].as_i64(), rows[0]["to"].as_i64()), (10, Some(1800), Some(1809)));
    let before: f64 = probability[..50].iter().sum();
    assert!((number(&answer["before"]["probability"]) - before).abs() < 1e-12);
    for (band, level) in answer["bands"].as_array().unwrap().iter().zip([0.5, 0.8, 0.95]) {
        assert!((number(&band["level"]) - level).abs() < 1e-12);
        let held: f64 = band["intervals"]
            .as_array()
            .unwrap()
            .iter()
            .map(|i| {
                let (a, b) = (i[0].as_i64().unwrap() - 1800, i[1].as_i64().unwrap() - 1800);
                probability[a as usize..=b as usize].iter().sum::<f64>()
            })
            .sum();
        assert!(held >= level - 1e-9, "{band} holds {held}");
    }
    let ledger = &answer["ledger"];
    let entries = ledger["entries"].as_array().unwrap();
    assert_eq!(entries.iter().map(|e| e["clue"].as_str().unwrap()).collect::<Vec<_>>(), ["hosel", "pin"]);
    let years: f64 = entries.iter().map(|e| number(&e["years"])).sum();
    assert!((number(&ledger["opening"]) + years - number(&ledger["closing"])).abs() < 1e-9);
    assert!(number(&entries[1]["misread"]) > 0.0 && entries[1]["without"]["median"].is_i64());
    assert_eq!(answer["unused"][0]["why"], "unreadable");
    assert!(answer["date_line"].as_str().unwrap().contains("4 in 5"));
}

#[test]
fn dropping_a_clue_is_leaving_its_cell_blank() {
    let bench = Bench::fitted();
    bench.write("r.csv", "id,hosel,pin,nicking\nall,4.5,front_back,fine\nsome,4.5,,fine\n");
    let answers = bench.json(&["date", "r.csv", "--calibration", "cal.toml", "--format", "json", "--without", "pin"]);
    assert_eq!(answers[0]["probability"], answers[1]["probability"]);
    let all = &bench.json(&["date", "r.csv", "--club", "all", "--calibration", "cal.toml", "--format", "json"])[0];
    assert_ne!(all["probability"], answers[0]["probability"]);
    let entry = all["ledger"]["entries"].as_array().unwrap().iter().find(|e| e["clue"] == "pin").unwrap();
    assert_eq!(entry["without"]["median"], answers[0]["median"]);
    let sensitivity =
        &bench.json(&["sensitivity", "r.csv", "--club", "all", "--calibration", "cal.toml", "--format", "json"])[0];
    let without = sensitivity["without"].as_array().unwrap().iter().find(|w| w["clue"] == "pin").unwrap();
    assert_eq!(without["median"], answers[0]["median"]);
    let priors: Vec<&str> =
        sensitivity["priors"].as_array().unwrap().iter().map(|p| p["prior"].as_str().unwrap()).collect();
    assert!(priors.contains(&"flat") && priors.contains(&"as-collected"));
}

/// Headings by id or label, in any case, with a unit; a byte-order mark, CRLF, `;` and decimal commas; other units.
#[test]
fn files_are_read_as_people_have_them() {
    let bench = Bench::fitted();
    bench.write("plain.csv", "id,hosel,pin\nA,3.5,side_side\n");
    let tables = [
        "\u{feff}id,hosel,pin\r\nA,3.5,side_side\r\n",
        "ID;Hosel length, rim to crease (in);Pin\nA;3,5;Side side\n",
        "id,HOSEL,pin,text.title,note\nA,3 1/2 in,side-side,\"A, title\",x\n",
        "pin,Hosel [in],id\nside_side,3½,A\n",
        "id,hosel,pin\nA,88.9 mm,side_side\n\n,,\n",
        "id,hosel,pin\nA,\"3-1/2\"\"\",side_side\n",
        "id\thosel\tpin\nA\t3.5\tside_side\n",
    ];
    let plain = &bench.json(&["date", "plain.csv", "--calibration", "cal.toml", "--format", "json"])[0];
    for table in tables {
        bench.write("other.csv", table);
        let other = &bench.json(&["date", "other.csv", "--calibration", "cal.toml", "--format", "json"])[0];
        assert_eq!(plain["median"], other["median"], "{table}");
        assert!((number(&plain["mean"]) - number(&other["mean"])).abs() < 1e-9, "{table}");
    }
}

#[test]
fn standard_input_takes_records_and_tables() {
    let bench = Bench::fitted();
    let arguments = ["date", "-", "--calibration", "cal.toml", "--format", "csv"];
    let record = bench.run_with(&arguments, "id = \"a\"\n[readings]\nhosel = 3.5\n");
    let table = bench.run_with(&arguments, "id,hosel\na,3.5\n");
    assert_eq!((record.code, table.code), (0, 0), "{}{}", record.stderr, table.stderr);
    assert_eq!(record.stdout, table.stdout);
    assert_eq!(record.stdout.lines().count(), 2);
}

#[test]
fn altered_and_unreadable_say_nothing_and_alternatives_add_up() {
    let bench = Bench::fitted();
    bench.write(
        "r.csv",
        "id,hosel,pin\nblank,4,\nworn,4,unreadable\nlater,4,altered\neither,4,front_back|side_side\n\
     doubt,4,front_back?\nsure,4,front_back\n",
    );
    let answers = bench.json(&["date", "r.csv", "--calibration", "cal.toml", "--format", "json"]);
    let mean = |n: usize| number(&answers[n]["mean"]);
    for n in [1, 2, 3] {
        assert!((mean(n) - mean(0)).abs() < 1e-9, "row {n}");
    }
    assert!(
        mean(5) < mean(4) && mean(4) < mean(0),
        "a doubtful reading counts less: {} {} {}",
        mean(5),
        mean(4),
        mean(0)
    );
}

/// A tolerance of its own makes a measure count less.
#[test]
fn a_rough_measure_counts_less_than_a_fine_one() {
    let bench = Bench::fitted();
    bench.write("r.csv", "id,hosel\nfine,5.4 ± 0.03\nrough,5.4 ± 0.8\n");
    let answers = bench.json(&["date", "r.csv", "--calibration", "cal.toml", "--format", "json", "--prior", "flat"]);
    let width = |n: usize| number(&answers[n]["bands"][1]["to"]) - number(&answers[n]["bands"][1]["from"]);
    assert!(width(1) > width(0) + 10.0);
}

#[test]
fn text_fits_eighty_columns_and_balances_as_printed() {
    let bench = Bench::new();
    let demo = crate::private_folder::project().join("demo-data");
    let undated = demo.join("undated.csv");
    let calibration = demo.join("demo-calibration.toml").to_string_lossy().into_owned();
    // The account of a club among 124 dated ones takes a second or two.
    let two = ["--club", "plated", "--club", "worn"];
    let (ledger, detail) = ([&["--ledger"], &two[..]].concat(), [&["--detail"], &two[..]].concat());
    for extra in [&[][..], &ledger, &detail, &["--before", "1900"], &["--prior", "flat"]] {
        let outcome = bench.run(&[&["date", undated.to_str().unwrap(), "--calibration", &calibration], extra].concat());
        assert_eq!(outcome.code, 0, "{}", outcome.stderr);
        for line in outcome.stdout.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        assert!(outcome.stdout.contains("invented") && outcome.stdout.contains("no appraisal"));
    }
    let one =
        |id: &str| bench.run(&["date", undated.to_str().unwrap(), "--calibration", &calibration, "--club", id]).stdout;
    let trap = one("smooth-face");
    assert!(trap.lines().any(|line| line.starts_with("With all clues") && line.contains(" 1910 (")), "{trap}");
    let two = unwrapped(&one("two-ages"));
    assert!(two.contains("Size and make disagree") && !two.contains("two answers"), "{two}");
    bench.write(
        "two.csv",
        "id,hosel_to_crease,pin_direction,nicking_coarseness,face_scoring,name_or_number,iron_grain\n\
         two,5.8,front_back,fine,stamped_lines,,strong\n",
    );
    let two = unwrapped(&bench.run(&["date", "two.csv"]).stdout);
    assert!(two.contains("There are two answers, either 17") && two.contains("is not a date"), "{two}");
}

#[test]
fn a_club_of_nothing_readable_is_undated_and_says_so() {
    let bench = Bench::fitted();
    bench.write("r.csv", "id,hosel,pin\nrelic,unreadable,altered\n");
    let text = bench.run(&["date", "r.csv", "--calibration", "cal.toml"]).stdout;
    assert!(text.contains("undated, 1800-99 (no clue of date)") && text.contains("prior alone"), "{text}");
    let answer = &bench.json(&["date", "r.csv", "--calibration", "cal.toml", "--format", "json"])[0];
    assert_eq!((answer["edtf"].as_str(), answer["ledger"]["entries"].as_array().unwrap().len()), (Some(""), 0));
}

#[test]
fn the_record_of_the_trap_club_is_its_row_in_the_table() {
    let bench = Bench::new();
    let demo = crate::private_folder::project().join("demo-data");
    let (record, table) = (demo.join("smooth-face.toml"), demo.join("undated.csv"));
    let mut record = bench.json(&["date", record.to_str().unwrap(), "--format", "json"]).remove(0);
    let mut row = bench.json(&["date", table.to_str().unwrap(), "--club", "smooth-face", "--format", "json"]).remove(0);
    // What it is called and what is noted of it stands in the record alone.
    for answer in [&mut record, &mut row] {
        answer.as_object_mut().unwrap().retain(|key, _| key != "title" && key != "note");
    }
    assert_eq!(record, row);
}

#[test]
fn shaft_clues_date_the_shaft_and_not_the_head() {
    let bench = Bench::new();
    bench.write(
        "cat.toml",
        crate::private_folder::CATALOGUE.replace(
            "id = \"pin\"\nkind = \"levels\"\nlevels = [\"front_back\", \"side_side\"]\npart = \"head\"",
            "id = \"pin\"\nkind = \"levels\"\nlevels = [\"front_back\", \"side_side\"]\npart = \"shaft\"",
        ),
    );
    let fit = bench.run(&["fit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--out", "cal.toml"]);
    assert_eq!(fit.code, 0, "{}", fit.stderr);
    bench.write("r.csv", "id,hosel,pin\nboth,4,front_back\nhead,4,\n");
    let answers = bench.json(&["date", "r.csv", "--calibration", "cal.toml", "--format", "json"]);
    assert_eq!(answers[0]["probability"], answers[1]["probability"]);
    assert_eq!(answers[0]["other_parts"][0]["part"], "shaft");
    assert_eq!(answers[0]["other_parts"][0]["ledger"]["entries"][0]["clue"], "pin");
}

/// A reading that the rest does not bear out is named, few are, and the trap club's smooth face is not one of them.
#[test]
fn clues_out_of_step_are_named_and_few() {
    let bench = Bench::new();
    let demo =
        |name: &str| crate::private_folder::project().join("demo-data").join(name).to_string_lossy().into_owned();
    let calibration = demo("demo-calibration.toml");
    let named = |id: &str| -> Vec<String> {
        let answer = &bench.json(&[
            "date",
            &demo("undated.csv"),
            "--calibration",
            &calibration,
            "--club",
            id,
            "--format",
            "json",
        ])[0];
        let warnings = answer["warnings"].as_array().unwrap();
        // How many times rarer is told of what is out of step, and of nothing else.
        for warning in warnings {
            let times = warning["times_rarer"].as_f64();
            assert_eq!(times.is_some_and(|times| times >= 1.0), warning["kind"] == "out-of-step", "{warning}");
        }
        let warnings = warnings.iter().filter(|w| w["kind"] == "out-of-step");
        warnings.map(|w| w["clue"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(named("plated"), ["head_finish"], "a later plate on an iron of the 1890s");
    assert!(named("smooth-face").is_empty() && named("plain-cleek").is_empty() && named("old-heavy").is_empty());
    assert!(named("two-ages").contains(&"hosel_to_crease".to_owned()));
    // By the tables alone, and beside the shelf, which leaves the rest narrower.
    let (catalogue, clubs) = (demo("irons.toml"), demo("wrackness.csv"));
    let fit =
        ["fit", "--catalogue", &catalogue, "--collection", &clubs, "--no-shelf", "--no-audit", "--out", "tables.toml"];
    assert_eq!(bench.run(&fit).code, 0);
    for (calibration, most) in [("tables.toml", 15), (calibration.as_str(), 20)] {
        let table = bench.run(&["date", &clubs, "--calibration", calibration, "--format", "csv"]).stdout;
        let mut reader = csv::Reader::from_reader(table.as_bytes());
        let column = reader.headers().unwrap().iter().position(|heading| heading == "out_of_step").unwrap();
        let all: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert_eq!(all.len(), 124);
        let warned = all.iter().filter(|row| !row[column].is_empty()).count();
        assert!((1..=most).contains(&warned), "{warned} of {} clubs: warnings must be few and earned", all.len());
    }
}

/// The chance of misreading stands in one place of the file: edited there, answer, ledger and sentences follow.
#[test]
fn an_edited_chance_of_misreading_is_used_everywhere() {
    let bench = Bench::new();
    let demo = |name: &str| project().join("demo-data").join(name).to_string_lossy().into_owned();
    let text = std::fs::read_to_string(demo("demo-calibration.toml")).unwrap();
    let (head, clue) = text.split_once("id = \"nicking_regularity\"").unwrap();
    assert_eq!(clue.matches("misread = ").count() + head.matches("misread = ").count(), 18, "one for each clue");
    let (kept, rest) = clue.split_once("misread = ").unwrap();
    let rest = rest.split_once('\n').unwrap().1;
    bench.write("edited.toml", format!("{head}id = \"nicking_regularity\"{kept}misread = 0.9\n{rest}"));
    let (clubs, edited) = (demo("undated.csv"), "edited.toml");
    let entry = |calibration: &str| -> Value {
        let of = ["date", &clubs, "--club", "two-ages", "--calibration", calibration, "--format", "json"];
        let entries = bench.json(&of)[0]["ledger"]["entries"].clone();
        entries.as_array().unwrap().iter().find(|entry| entry["clue"] == "nicking_regularity").unwrap().clone()
    };
    let (before, after) = (entry(&demo("demo-calibration.toml")), entry(edited));
    assert!(number(&after["misread"]) > 0.8 && number(&before["misread"]) < 0.5, "{before} {after}");
    assert!(number(&after["years"]).abs() < number(&before["years"]).abs());
    for club in ["two-ages", "worn", "plated", "high-loft"] {
        let told = bench.run(&["date", &clubs, "--club", club, "--calibration", edited]).stdout;
        assert!(!unwrapped(&told).contains(" 1 times rarer"), "{told}");
    }
}
