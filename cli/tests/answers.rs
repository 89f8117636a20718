//! Questions about clubs: why not, what next, which is older, what is in the collection.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};
use serde_json::Value;
use std::collections::BTreeSet;

fn demo(name: &str) -> String {
    project().join("demo-data").join(name).to_string_lossy().into_owned()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

#[test]
fn why_not_adds_up_and_agrees_with_the_answer() {
    let bench = Bench::new();
    let record = demo("smooth-face.toml");
    let answer = &bench.json(&["date", &record, "--format", "json"])[0];
    let why = &bench.json(&["why-not", &record, "--periods", "1850s", "1900s", "--format", "json"])[0];
    let decade = |from: i64| {
        let rows = answer["by_row"].as_array().unwrap();
        number(&rows.iter().find(|row| row["from"] == from).unwrap()["probability"])
    };
    assert!((number(&why["periods"][0]["probability"]) - decade(1850)).abs() < 1e-12);
    let entries: f64 = why["entries"].as_array().unwrap().iter().map(|e| number(&e["decibans"])).sum();
    let total = number(&why["base_rate_decibans"]) + entries;
    assert!((total - number(&why["total_decibans"])).abs() < 1e-9);
    assert!((total - 10.0 * (decade(1850) / decade(1900)).log10()).abs() < 1e-9);
    let cut = bench.run(&["why-not", &record, "--periods", "1700-1800", "1900s"]).stderr;
    assert!(unwrapped(&cut).contains("of 1700-1800 only 1750-1800 lies within the calibration's years"), "{cut}");
    assert!(!bench.run(&["why-not", &record, "--periods", "1750-99", "1900s"]).stderr.contains("only"));
    let text = bench.run(&["why-not", &record, "--periods", "1850s"]).stdout;
    let plain = unwrapped(&text);
    assert!(
        plain.contains("why not the 1850s?") && plain.contains("Against the 1900s")
            || plain.contains("Against the 1910s"),
        "{text}"
    );
    assert!(plain.contains("10 are 10 to one") && plain.contains("Base rate"), "{text}");
}

#[test]
fn periods_that_are_none_are_refused() {
    let bench = Bench::new();
    let record = demo("smooth-face.toml");
    for period in ["early", "1855s", "1870-60", "1500s", "2000"] {
        let run = bench.run(&["why-not", &record, "--periods", period, "1900s"]);
        assert_eq!(run.code, 2, "{period}: {}", run.stderr);
        assert!(run.stdout.is_empty() && run.stderr.contains("--periods"), "{}", run.stderr);
    }
}

/// A look that was made is no longer offered, and the answer then is one of those that were foretold.
#[test]
fn what_was_foretold_comes_true() {
    let bench = Bench::fitted();
    bench.write("r.csv", "id,hosel,pin,nicking\na,4.2,,coarse\nb,4.2,side_side,coarse\n");
    let arguments = |command: &'static str, id: &'static str| {
        [command, "r.csv", "--club", id, "--calibration", "cal.toml", "--format", "json"]
    };
    let next = &bench.json(&arguments("next", "a"))[0];
    let looks = next["looks"].as_array().unwrap();
    assert_eq!(looks.iter().map(|look| look["clue"].as_str().unwrap()).collect::<Vec<_>>(), ["pin"]);
    let foretold = looks[0]["outcomes"].as_array().unwrap().iter().find(|o| o["level"] == "side_side").unwrap();
    let after = &bench.json(&arguments("date", "b"))[0];
    assert_eq!((&foretold["median"], &foretold["from"]), (&after["median"], &after["bands"][1]["from"]));
    assert!(bench.json(&arguments("next", "b"))[0]["looks"].as_array().unwrap().is_empty());
    bench.write("worn.csv", "id,hosel,pin\na,4.2,unreadable\n");
    let worn = &bench.json(&["next", "worn.csv", "--calibration", "cal.toml", "--format", "json"])[0];
    assert_eq!(worn["looks"].as_array().unwrap().len(), 1, "what is unreadable is not offered: {worn}");
}

#[test]
fn compare_says_which_is_older() {
    let bench = Bench::new();
    let table = demo("undated.csv");
    let arguments = ["compare", &table, "--club", "old-heavy", "--club", "set-iron", "--club", "plain-cleek"];
    let answer = &bench.json(&[&arguments[..], &["--format", "json"]].concat())[0];
    let clubs = answer["clubs"].as_array().unwrap();
    let sum: f64 = clubs.iter().map(|club| number(&club["chance_of_oldest"])).sum();
    assert!((sum - 1.0).abs() < 1e-12 && number(&clubs[0]["chance_of_oldest"]) > 0.95);
    for pair in answer["pairs"].as_array().unwrap() {
        let three = ["first_older", "same_year", "second_older"].map(|field| number(&pair[field]));
        assert!((three.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }
    let text = bench.run(&arguments).stdout;
    assert!(text.contains("old-heavy is almost certainly the oldest"), "{text}");
    assert!(text.contains("old-heavy older than set-iron"), "{text}");
    let chart = bench.run(&[&arguments[..], &["--chart", "bars.svg"]].concat());
    assert_eq!(chart.code, 0, "{}", chart.stderr);
    let svg = bench.read("bars.svg");
    assert!(svg.contains("role=\"img\"") && svg.contains("<desc>"));
    // Bars with their edges and straight ticks: every stretch goes along or down; a curve would not.
    for line in svg.split("points=\"").skip(1) {
        let points: Vec<(&str, &str)> =
            line.split('"').next().unwrap().split_whitespace().map(|point| point.split_once(',').unwrap()).collect();
        let is_straight = points.windows(2).all(|pair| pair[0].0 == pair[1].0 || pair[0].1 == pair[1].1);
        assert!(is_straight, "no curves: {points:?}");
    }
    for wrong in [&["compare", &table, "--club", "worn"][..], &["compare", &demo("wrackness.csv")]] {
        assert_eq!(bench.run(wrong).code, 2);
    }
}

#[test]
fn a_collection_is_counted_by_chances() {
    let bench = Bench::new();
    let answer = &bench.json(&["collection", &demo("undated.csv"), "--format", "json"])[0];
    let rows = answer["by_row"].as_array().unwrap();
    let expected: f64 = rows.iter().map(|row| number(&row["expected"])).sum();
    let after = number(&answer["after"]["expected"]);
    assert!(after > 0.0 && (expected + after - 8.0).abs() < 1e-9, "every club is counted once: {expected}, {after}");
    // One club, one date: a collection is dated as its clubs are one by one.
    let singles = bench.json(&["date", &demo("undated.csv"), "--format", "json"]);
    assert!(singles.iter().all(|club| club["prior"] == answer["prior"]));
    let lines =
        |clubs: &[Value]| -> BTreeSet<String> { clubs.iter().map(|club| club["date_line"].to_string()).collect() };
    assert_eq!(lines(&singles), lines(answer["clubs"].as_array().unwrap()));
    let text = unwrapped(&bench.run(&["collection", &demo("undated.csv")]).stdout);
    assert!(text.contains("For clubs found anywhere there is --prior general."), "{text}");
    let general = unwrapped(&bench.run(&["collection", &demo("undated.csv"), "--prior", "general"]).stdout);
    assert!(general.contains("before any clue): general") && !general.contains("there is --prior"), "{general}");
    for (ix, row) in rows.iter().enumerate() {
        let sum: f64 = singles.iter().map(|club| number(&club["by_row"][ix]["probability"])).sum();
        assert!((number(&row["expected"]) - sum).abs() < 1e-9);
        assert!(row["fewest"].as_u64() <= row["most"].as_u64());
    }
    let by_demo =
        ["collection", &demo("undated.csv"), "--calibration", &demo("demo-calibration.toml"), "--format", "json"];
    let answer = &bench.json(&by_demo)[0];
    let again: Vec<&str> = answer["look_again"].as_array().unwrap().iter().map(|c| c["id"].as_str().unwrap()).collect();
    assert!(again.contains(&"two-ages") && !again.contains(&"smooth-face"), "{again:?}");
    let known = &bench.json(&["collection", &demo("wrackness.csv"), "--format", "json"])[0];
    let clubs = known["clubs"].as_array().unwrap();
    let given = clubs.iter().filter(|club| club["known"] == true).count();
    assert!(given > 80 && given < clubs.len(), "opinions are dated by their clues: {given} of {}", clubs.len());
}

#[test]
fn text_of_every_question_fits_eighty_columns() {
    let bench = Bench::new();
    let table = demo("undated.csv");
    let dated = std::fs::read_to_string(demo("wrackness.csv")).unwrap();
    bench.write("dated-ones.csv", dated.lines().take(16).collect::<Vec<_>>().join("\n"));
    let questions: [&[&str]; 7] = [
        &["why-not", &table, "--club", "two-ages", "--periods", "1850s", "1900s"],
        &["next", &table, "--club", "worn"],
        &["compare", &table],
        &["compare", &table, "--club", "plated", "--club", "two-ages"],
        &["collection", &table],
        &["collection", "dated-ones.csv", "--by-clues-alone"],
        &["clues"],
    ];
    for question in questions {
        let run = bench.run(question);
        assert_eq!(run.code, 0, "{question:?}: {}", run.stderr);
        for line in run.stdout.lines() {
            assert!(line.chars().count() <= 80, "{question:?}: {line}");
        }
    }
}

/// Every field that the program prints is documented in cli/JSON.md.
#[test]
fn every_field_is_documented() {
    let documented = std::fs::read_to_string(project().join("cli/JSON.md")).unwrap();
    let bench = Bench::new();
    let (table, record, dated, cat) =
        (demo("undated.csv"), demo("smooth-face.toml"), demo("wrackness.csv"), demo("irons.toml"));
    bench.write(
        "two.toml",
        "id = \"two\"\n[readings]\npin_direction = \"front_back\"\nhead_finish = \"chrome\"\n\
        hosel_to_crease = 4.2\nname_or_number = \"number\"\niron_grain = \"strong\"\n",
    );
    let then = ["opinion", "save", &record, "--out", "then.json", "--before", "1900"];
    assert_eq!(bench.run(&then).code, 0);
    let questions: [&[&str]; 11] = [
        &["next", "two.toml", "--prior", "flat"],
        &["sensitivity", "two.toml", "--prior", "flat"],
        &["opinion", "compare", "then.json", "--record", "two.toml"],
        &["date", &table, "--before", "1900"],
        &["sensitivity", &record],
        &["why-not", &record, "--periods", "1850s"],
        &["next", &table, "--club", "worn"],
        &["compare", &table],
        &["collection", &table],
        &["write-up", &record, "--out", "p"],
        &["audit", "--catalogue", &cat, "--collection", &dated],
    ];
    fn fields(value: &Value, found: &mut BTreeSet<String>) {
        match value {
            Value::Object(object) => {
                for (name, value) in object {
                    found.insert(name.clone());
                    fields(value, found);
                }
            }
            Value::Array(values) => values.iter().for_each(|value| fields(value, found)),
            _ => {}
        }
    }
    let mut found = BTreeSet::new();
    for question in questions {
        for answer in bench.json(&[question, &["--format", "json"]].concat()) {
            assert_eq!(answer["schema"], 2, "{question:?}");
            fields(&answer, &mut found);
        }
    }
    // Levels of coverage and the names of clues are keys too.
    let missing: Vec<&String> = found
        .iter()
        .filter(|field| field.parse::<u32>().is_err())
        .filter(|field| !documented.contains(&format!("`{field}`")) && !documented.contains(&format!(".{field}`")))
        .collect();
    assert!(missing.is_empty(), "not in cli/JSON.md: {missing:?}");
}

/// What the output must send on: an early head, a doubtful mark, a restricted material; and nothing else.
#[test]
fn a_specialist_is_named_where_there_is_a_reason() {
    let bench = Bench::new();
    let cases = [
        (
            "id,pin_direction,hosel_to_crease,hosel_top_diameter\nx,front_back,5.8,0.95\n",
            "more likely than not older than 1850",
        ),
        ("id,hosel_to_crease,royal_device\nx,3.6,edward_vii?\n", "a mark, or whether there is one, is doubtful"),
        ("id,hosel_to_crease,text.materials\nx,3.6,\"hickory, iron, Ivory plug\"\n", "ivory is named"),
    ];
    for (table, reason) in cases {
        bench.write("r.csv", table);
        let text = unwrapped(&bench.run(&["date", "r.csv"]).stdout);
        assert!(text.contains("See a specialist") && text.contains(reason), "{reason}: {text}");
        let answer = &bench.json(&["date", "r.csv", "--format", "json"])[0];
        assert!(answer["warnings"].to_string().contains("see-a-specialist"));
    }
    let text = bench.run(&["date", &demo("smooth-face.toml")]).stdout;
    assert!(!text.contains("See a specialist"), "{text}");
}

/// Every answer that rests on the starter rules says that no dated collection backs it, and how to give it one.
#[test]
fn every_answer_says_what_backs_it() {
    let bench = Bench::new();
    let (record, table) = (demo("smooth-face.toml"), demo("undated.csv"));
    let questions: [&[&str]; 6] = [
        &["date", &record],
        &["sensitivity", &record],
        &["why-not", &record, "--periods", "1850s"],
        &["next", &record],
        &["compare", &table, "--club", "worn", "--club", "plated"],
        &["collection", &table],
    ];
    for question in questions {
        let text = unwrapped(&bench.run(question).stdout);
        assert!(text.contains("no dated collection backs it") && text.contains("--collection"), "{question:?}: {text}");
        assert!(text.contains("no appraisal"), "{question:?}");
    }
    assert_eq!(bench.run(&["write-up", &record, "--out", "p"]).code, 0);
    for page in ["report.html", "report.md", "label.md", "catalogue-entry.md", "insurance-schedule.html"] {
        assert!(
            unwrapped(&bench.read(&format!("p/smooth-face/{page}"))).contains("no dated collection backs them"),
            "{page}"
        );
    }
}

/// No answer holds anything but numbers, on any demo club under the starter rules; an obvious niblick is expected to be
/// one.
#[test]
fn next_knows_what_to_expect() {
    let bench = Bench::new();
    for club in bench.json(&["date", &demo("undated.csv"), "--format", "json"]) {
        let id = club["id"].as_str().unwrap();
        let run = bench.run(&["next", &demo("undated.csv"), "--club", id, "--format", "json"]);
        assert!(!run.stdout.contains(":null"), "{id}: {}", run.stdout);
    }
    bench.write("r.csv", "id,loft,blade_height,head_weight\nx,50,2.3,18.5\n");
    let calibration = demo("demo-calibration.toml");
    let next = &bench.json(&["next", "r.csv", "--calibration", &calibration, "--format", "json"])[0];
    let kind = next["looks"].as_array().unwrap().iter().find(|look| look["clue"] == "club_type").unwrap();
    let chance = |level: &str| {
        let outcomes = kind["outcomes"].as_array().unwrap();
        number(&outcomes.iter().find(|outcome| outcome["level"] == level).unwrap()["chance"])
    };
    assert!(chance("trouble") > 0.5 && chance("trouble") > chance("long"), "{kind}");
}

/// Clubs of different files that share an id are not taken for each other.
#[test]
fn two_clubs_of_one_id_are_told_apart_or_refused() {
    let bench = Bench::new();
    bench.write("a.csv", "id,made_from,made_to,hosel_to_crease\nK,1800,1800,5.6\n");
    bench.write("b.csv", "id,face_scoring\nK,stamped_lines\n");
    for question in [
        &["collection", "a.csv", "b.csv"][..],
        &["compare", "a.csv", "b.csv"],
        &["date", "a.csv", "b.csv", "--club", "K"],
    ] {
        let run = bench.run(question);
        assert_eq!((run.code, run.stderr.contains("more than one")), (3, true), "{question:?}: {}", run.stderr);
    }
    for periods in [["1850s", "1850s"], ["1850-1900", "1880-1920"]] {
        let run = bench.run(&["why-not", &demo("smooth-face.toml"), "--periods", periods[0], periods[1]]);
        assert_eq!(run.code, 2, "{}", run.stderr);
    }
    bench.write("worn.csv", "id,face_scoring\nu,unreadable\nv,unreadable\n");
    let text = bench.run(&["compare", "worn.csv"]).stdout;
    assert!(text.contains("None stands out as the oldest"), "{text}");
    let collection = bench.run(&["collection", "worn.csv"]).stdout;
    assert!(collection.contains("2 without a clue of date and not counted"), "{collection}");
    let before = bench.run(&["date", &demo("smooth-face.toml"), "--before", "1750"]).stdout;
    assert!(before.contains("Made before 1750: 0 in 100"), "{before}");
}

/// A club of known date is shown with it by every command, and marked; its clues speak beside it.
#[test]
fn a_known_date_is_shown_by_every_command() {
    let bench = Bench::new();
    bench.write(
        "known.csv",
        "id,made_from,made_to,date_grade,hosel_to_crease,pin_direction\nK1,1897,1899,1,5,front_back\n\
         U1,,,,3.5,side_side\nG5,1850,1860,5,4,side_side\n",
    );
    let shown = |arguments: &[&str]| {
        let run = bench.run(arguments);
        assert_eq!(run.code, 0, "{arguments:?}: {}", run.stderr);
        unwrapped(&run.stdout)
    };
    let date = |id: &str| shown(&["date", "known.csv", "--club", id]);
    assert!(date("K1").contains("It is known to be of 1897-99 (documented)."), "{}", date("K1"));
    assert!(date("G5").contains("It is given as of 1850-60 (own opinion)."), "{}", date("G5"));
    assert!(!date("U1").contains("known to be") && !date("U1").contains("given as"));
    let json = bench.json(&["date", "known.csv", "--format", "json"]);
    assert_eq!(json[0]["given"], serde_json::json!({"from": 1897, "to": 1899, "grade": 1, "grade_is_given": true}));
    assert!(json[1].get("given").is_none());
    let csv = bench.run(&["date", "known.csv", "--format", "csv"]).stdout;
    assert!(
        csv.lines().nth(1).unwrap().contains(",1897,1899,1,") && csv.lines().nth(2).unwrap().ends_with(",,,,,,"),
        "{csv}"
    );
    // Compared in its known years, whatever its clues say; an opinion of one's own counts for nothing.
    let compared = &bench.json(&["compare", "known.csv", "--format", "json"])[0];
    let club = |ix: usize| &compared["clubs"][ix];
    assert!(club(0)["known"] == true && (club(0)["from"].as_i64(), club(0)["to"].as_i64()) == (Some(1897), Some(1899)));
    assert!(club(1).get("known").is_none() && club(2).get("known").is_none());
    let compared = shown(&["compare", "known.csv"]);
    assert!(compared.contains("known 1897-99") && !compared.contains("known 1850"), "{compared}");
    let chart = shown(&["chart", "known.csv"]);
    assert!(chart.contains("line below a bar") && chart.contains("K1: ") && chart.contains(", known 1897-99"));
    assert!(!shown(&["chart", "known.csv", "--club", "U1", "--show", "bars"]).contains("line below a bar"));
    assert_eq!(bench.run(&["write-up", "known.csv", "--club", "K1", "--out", "p"]).code, 0);
    for page in ["report.md", "report.html", "catalogue-entry.md", "label.md", "insurance-schedule.md"] {
        let page = unwrapped(&bench.read(&format!("p/K1/{page}")));
        let page = page.to_lowercase();
        assert!(page.contains("known to be of 1897-99"), "{page}");
    }
}

/// A chance before a year is told with what the calibration's years leave out, and slips are refused.
#[test]
fn a_year_behind_all_years_is_told_as_such() {
    let bench = Bench::new();
    let record = demo("smooth-face.toml");
    let told = |year: &str| bench.run(&["date", &record, "--before", year]);
    // The starter rules say something of what is made after their years, the demo's calibration nothing.
    let later = unwrapped(&told("1947").stdout);
    assert!(later.contains("Made before 1947: 99 in 100 at the least; 1 in 100 is for after 1939"), "{later}");
    let demo_calibration = demo("demo-calibration.toml");
    let silent = bench.run(&["date", &record, "--before", "1947", "--calibration", &demo_calibration]);
    let silent = unwrapped(&silent.stdout);
    assert!(silent.contains("Made before 1947: 100 in 100"), "{silent}");
    assert!(silent.contains("the calibration's years end in 1939, and of later ones it tells nothing"), "{silent}");
    for year in ["1900", "1940"] {
        let run = told(year);
        let text = unwrapped(&run.stdout);
        assert!(
            run.code == 0 && !text.contains("of later ones") && !text.contains("are not told apart"),
            "{year}: {text}"
        );
    }
    for slip in ["47", "99999999", "1749", "2300"] {
        let run = told(slip);
        assert!(run.code == 2 && run.stderr.contains("ask for a year from 1750 to 2139"), "{slip}: {}", run.stderr);
    }
}
