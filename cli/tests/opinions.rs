//! Opinions that are kept, and what moved them: shares that add up, against all orders worked out by asking `date`.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, unwrapped};
use agewright_files::opinion::Opinion;
use serde_json::Value;

const OLD: &str = "id = \"a\"\n[readings]\nhosel = 4.4\npin = \"front_back\"\nnicking = \"coarse\"\n";
const NEW: &str = "id = \"a\"\n[readings]\nhosel = 4.0\npin = \"front_back\"\nnicking = \"fine?\"\n";

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// With a second calibration from fewer clubs, and the old and the new record.
fn bench() -> Bench {
    let bench = Bench::fitted();
    let fewer: Vec<String> =
        bench.read("dated.csv").lines().filter(|line| !line.starts_with("C0")).map(str::to_owned).collect();
    bench.write("fewer.csv", fewer.join("\n"));
    let fit = [
        "fit",
        "--catalogue",
        "cat.toml",
        "--collection",
        "fewer.csv",
        "--no-audit",
        "--name",
        "Fewer",
        "--out",
        "fewer.toml",
    ];
    assert_eq!(bench.run(&fit).code, 0);
    bench.write("old.toml", OLD);
    bench.write("new.toml", NEW);
    bench
}

fn mean(bench: &Bench, record: &str, calibration: &str, prior: &str) -> f64 {
    let asked = ["date", record, "--calibration", calibration, "--prior", prior, "--format", "json"];
    number(&bench.json(&asked)[0]["mean"])
}

/// The effect of each of three changes, averaged over the six orders; `values` are by set, as a bit mask.
fn over_all_orders(values: &[f64]) -> [f64; 3] {
    let orders = [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]];
    let mut expected = [0.0; 3];
    for order in orders {
        let mut set = 0;
        for player in order {
            expected[player] += (values[set | 1 << player] - values[set]) / 6.0;
            set |= 1 << player;
        }
    }
    expected
}

/// Readings, calibration and prior changed at once: each share is its effect averaged over the six orders, worked out
/// from eight answers of `date`.
#[test]
fn shares_are_those_of_all_orders() {
    let bench = bench();
    let save = [
        "opinion",
        "save",
        "old.toml",
        "--calibration",
        "cal.toml",
        "--prior",
        "as-collected",
        "--on",
        "2020-01-02",
        "--out",
        "then.json",
    ];
    let saved = bench.run(&save);
    assert_eq!((saved.code, saved.stdout.trim()), (0, "then.json"), "{}", saved.stderr);
    let compare = [
        "opinion",
        "compare",
        "then.json",
        "--record",
        "new.toml",
        "--calibration",
        "fewer.toml",
        "--prior",
        "flat",
        "--format",
        "json",
    ];
    let change = &bench.json(&compare)[0];
    let value = |set: usize| {
        let of = |bit: usize, old: &'static str, new: &'static str| if set & (1 << bit) == 0 { old } else { new };
        mean(&bench, of(0, "old.toml", "new.toml"), of(1, "cal.toml", "fewer.toml"), of(2, "as-collected", "flat"))
    };
    let values: Vec<f64> = (0..8).map(value).collect();
    let expected = over_all_orders(&values);
    let shares = change["shares"].as_array().unwrap();
    let names = shares.iter().map(|share| share["ingredients"][0].as_str().unwrap()).collect::<Vec<_>>();
    assert_eq!(names, ["readings", "calibration", "prior"]);
    for (share, expected) in shares.iter().zip(expected) {
        assert!((number(&share["years"]) - expected).abs() < 1e-9, "{share} {expected}");
    }
    assert!(expected.iter().all(|years| years.abs() > 0.01), "each of them moves something: {expected:?}");
    let sum: f64 = shares.iter().map(|share| number(&share["years"])).sum();
    let total = number(&change["change_years"]);
    assert!(
        (sum + number(&change["program_years"]) - total).abs() < 1e-9 && (total - (values[7] - values[0])).abs() < 1e-9
    );
    assert!(number(&change["program_years"]).abs() < 1e-12);
    assert_eq!((change["old"]["on"].as_str(), change["readings"].as_array().unwrap().len()), (Some("2020-01-02"), 2));
    let text = unwrapped(&bench.run(&compare[..compare.len() - 2]).stdout);
    assert!(
        text.contains("Then, 2020-01-02: c. ")
            && text.contains("Hosel length, rim to crease: 4.0 in, was 4.4 in")
            && text.contains("Fewer, was"),
        "{text}"
    );
}

/// Shaft and grip have shares of their own, each its effect averaged over the two orders of readings and prior.
#[test]
fn every_part_has_its_own_shares() {
    let bench = Bench::new();
    let record = |hosel: &str, grip: &str| {
        format!(
            "id = \"p\"\n[readings]\nhosel_to_crease = {hosel}\nshaft_making = \"turned\"\nshaft_fit = \"step\"\n\
             grip_material = \"{grip}\"\n"
        )
    };
    bench.write("old.toml", record("4.3", "perforated"));
    bench.write("new.toml", record("3.6", "sheepskin"));
    assert_eq!(bench.run(&["opinion", "save", "old.toml", "--out", "then.json"]).code, 0);
    let compare = ["opinion", "compare", "then.json", "--record", "new.toml", "--prior", "flat"];
    let change = &bench.json(&[&compare[..], &["--format", "json"]].concat())[0];
    let means = |record: &str, prior: &str| -> Vec<f64> {
        let answer = &bench.json(&["date", record, "--prior", prior, "--format", "json"])[0];
        let others = answer["other_parts"].as_array().unwrap();
        std::iter::once(answer).chain(others).map(|part| number(&part["mean"])).collect()
    };
    let [none, readings, prior, both] = [
        means("old.toml", "specialist"),
        means("new.toml", "specialist"),
        means("old.toml", "flat"),
        means("new.toml", "flat"),
    ];
    let others = change["other_parts"].as_array().unwrap();
    assert_eq!(others.iter().map(|part| part["part"].as_str().unwrap()).collect::<Vec<_>>(), ["shaft", "grip"]);
    for (place, part) in std::iter::once(change).chain(others).enumerate() {
        let by_readings = 0.5 * ((readings[place] - none[place]) + (both[place] - prior[place]));
        let by_prior = 0.5 * ((prior[place] - none[place]) + (both[place] - readings[place]));
        for (share, expected) in part["shares"].as_array().unwrap().iter().zip([by_readings, by_prior]) {
            assert!((number(&share["years"]) - expected).abs() < 1e-9, "{part}: {expected}");
            assert!(expected.abs() > 0.01, "{part}");
        }
        let total = number(&part["change_years"]);
        assert!((total - by_readings - by_prior).abs() < 1e-9 && number(&part["program_years"]).abs() < 1e-12);
    }
    let text = bench.run(&compare).stdout;
    let [shaft, grip] = ["\nThe shaft\nThen, ", "\nThe grip\nThen, "].map(|heading| text.find(heading).unwrap());
    assert!(shaft < grip && text.matches("Average year then").count() == 3, "{text}");
    // A part that was read once only is told by its date.
    bench.write("new.toml", "id = \"p\"\n[readings]\nhosel_to_crease = 3.6\n");
    let text = unwrapped(&bench.run(&compare).stdout);
    assert!(text.contains("shaft: nothing read now, was after c. "), "{text}");
}

/// What the program moved is what the kept answer differs from the same question asked today.
#[test]
fn a_changed_program_has_its_own_line() {
    let bench = bench();
    let save = ["opinion", "save", "old.toml", "--calibration", "cal.toml", "--out", "then.json"];
    assert_eq!(bench.run(&save).code, 0);
    let mut kept: Value = serde_json::from_str(&bench.read("then.json")).unwrap();
    let honest = number(&kept["opinion"]["answers"][0]["mean"]);
    kept["opinion"]["answers"][0]["mean"] = (honest - 3.0).into();
    kept["opinion"]["program"] = "agewright 0.0.1".into();
    bench.write("older.json", kept.to_string());
    let changed = bench.run(&["opinion", "compare", "older.json", "--record", "new.toml", "--calibration", "cal.toml"]);
    assert!(changed.code == 3 && changed.stderr.contains("was changed since it was saved"), "{}", changed.stderr);
    // As another program would have kept it.
    let kept: Opinion = serde_json::from_value(kept["opinion"].clone()).unwrap();
    bench.write("older.json", kept.text().unwrap());
    let compare = ["opinion", "compare", "older.json", "--record", "new.toml", "--calibration", "cal.toml"];
    let change = &bench.json(&[&compare[..], &["--format", "json"]].concat())[0];
    assert!((number(&change["program_years"]) - 3.0).abs() < 1e-9, "{change}");
    let sum: f64 = change["shares"].as_array().unwrap().iter().map(|share| number(&share["years"])).sum();
    assert!((sum + 3.0 - number(&change["change_years"])).abs() < 1e-9);
    let text = unwrapped(&bench.run(&compare).stdout);
    assert!(text.contains("changed: agewright ") && text.contains("was agewright 0.0.1"), "{text}");
}

/// Behind the years a chance is a least one, then and now, as `date` says of it; within them it is not.
#[test]
fn a_least_chance_is_told_as_one() {
    let bench = Bench::new();
    bench.write("a.toml", "id = \"a\"\n[readings]\nface_scoring = \"deep_ribs\"\n");
    for (before, is_least) in [("1947", true), ("1920", false), ("1940", false)] {
        let save = ["opinion", "save", "a.toml", "--before", before, "--out", "kept.json", "--force"];
        assert_eq!(bench.run(&save).code, 0);
        let run = bench.run(&["opinion", "compare", "kept.json", "--record", "a.toml"]);
        let told = unwrapped(&run.stdout);
        assert_eq!(told.matches(" at the least").count(), if is_least { 2 } else { 0 }, "{before}: {told}");
        let date = unwrapped(&bench.run(&["date", "a.toml", "--before", before]).stdout);
        assert_eq!(date.contains(" at the least"), is_least, "{before}: {date}");
    }
}

/// Whatever the numbers of an answer are, what was saved is read again, and a changed letter is found.
#[test]
fn every_saved_opinion_is_read_again() {
    let bench = Bench::new();
    let table = crate::private_folder::project().join("demo-data/undated.csv").to_string_lossy().into_owned();
    for id in ["smooth-face", "two-ages", "worn", "set-iron", "high-loft"] {
        for prior in ["specialist", "flat"] {
            let save = ["opinion", "save", &table, "--club", id, "--prior", prior, "--out", "kept.json", "--force"];
            assert_eq!(bench.run(&save).code, 0, "{id}");
            let compare = ["opinion", "compare", "kept.json", "--record", &table];
            let run = bench.run(&compare);
            let told = unwrapped(&run.stdout);
            assert!(run.code == 0 && told.contains("Nothing that an answer is made of has changed"), "{}", run.stderr);
            let kept = bench.read("kept.json");
            // A mail that ends lines in another way changes nothing.
            bench.write("kept.json", kept.replace('\n', "\r\n"));
            assert_eq!(bench.run(&compare).code, 0);
            bench.write("kept.json", kept.replacen("4 in 5", "3 in 5", 1));
            assert_eq!(bench.run(&compare).code, 3);
        }
    }
}

/// Beside the record, two kept ones, nothing changed; and what cannot be.
#[test]
fn opinions_are_kept_beside_the_record() {
    let bench = bench();
    std::fs::create_dir(bench.path("box")).unwrap();
    bench.write("box/a.toml", format!("{OLD}[text]\nowner = \"me\"\n"));
    let save = ["opinion", "save", "box/a.toml", "--calibration", "cal.toml", "--on", "2024-05-06"];
    assert_eq!(bench.run(&save).stdout.trim(), "box/a.opinion-2024-05-06.json");
    assert_eq!(bench.run(&save).code, 3, "a kept opinion is not replaced");
    // The folder is a collection all the same.
    assert_eq!(bench.run(&["date", "box", "--calibration", "cal.toml"]).code, 0);
    let same = bench.run(&["opinion", "compare", "box/a.opinion-2024-05-06.json", "--calibration", "cal.toml"]);
    assert!(unwrapped(&same.stdout).contains("Nothing that an answer is made of has changed."), "{}", same.stdout);
    bench.write("box/a.toml", NEW);
    let later = ["opinion", "save", "box/a.toml", "--calibration", "cal.toml", "--on", "2025-05-06"];
    assert_eq!(bench.run(&later).code, 0);
    let two =
        ["opinion", "compare", "box/a.opinion-2024-05-06.json", "box/a.opinion-2025-05-06.json", "--format", "json"];
    let change = &bench.json(&two)[0];
    let expected =
        mean(&bench, "new.toml", "cal.toml", "as-collected") - mean(&bench, "old.toml", "cal.toml", "as-collected");
    assert!((number(&change["change_years"]) - expected).abs() < 1e-9, "{change}");
    assert!(!bench.read("box/a.opinion-2024-05-06.json").contains("owner"), "what is private stays in the record");
    // From a row of a table, and compared with that row.
    let row = ["opinion", "save", "dated.csv", "--club", "C07", "--calibration", "cal.toml", "--out", "row.json"];
    assert_eq!(bench.run(&row).code, 0);
    let same = bench.run(&["opinion", "compare", "row.json", "--calibration", "cal.toml"]);
    assert!(unwrapped(&same.stdout).contains("Nothing that an answer is made of has changed."), "{}", same.stderr);
    let other = bench.run(&["opinion", "compare", "row.json", "--record", "fewer.csv", "--calibration", "cal.toml"]);
    assert!(other.code == 3 && other.stderr.contains("there is no club C07 in it"), "{}", other.stderr);
    for (file, contents) in [("no.json", "{}"), ("half.json", &bench.read("box/a.opinion-2025-05-06.json")[..200])] {
        bench.write(file, contents);
        let run = bench.run(&["opinion", "compare", file, "--record", "new.toml", "--calibration", "cal.toml"]);
        assert!(run.code == 3 && run.stderr.contains("no saved opinion"), "{file}: {}", run.stderr);
    }
    assert_eq!(bench.run(&["opinion", "save", "dated.csv", "--calibration", "cal.toml", "--out", "x.json"]).code, 2);
    assert_eq!(bench.run(&["opinion", "save", "old.toml", "--calibration", "cal.toml", "--out", "x.toml"]).code, 2);
    bench.write("gone.json", bench.read("box/a.opinion-2024-05-06.json"));
    assert_eq!(bench.run(&["opinion", "compare", "gone.json", "--calibration", "cal.toml"]).code, 2);
}

/// Where one calibration does not know what the other reads, what changed has one share.
#[test]
fn what_cannot_be_told_apart_is_told_together() {
    let bench = bench();
    let save = ["opinion", "save", "old.toml", "--calibration", "cal.toml", "--prior", "flat", "--out", "then.json"];
    assert_eq!(bench.run(&save).code, 0);
    bench.write("starter.toml", "id = \"a\"\n[readings]\nhosel_to_crease = 4\n");
    let compare = ["opinion", "compare", "then.json", "--record", "starter.toml", "--format", "json"];
    let change = &bench.json(&compare)[0];
    let shares = change["shares"].as_array().unwrap();
    assert_eq!(shares.len(), 1, "{change}");
    assert_eq!(shares[0]["ingredients"], serde_json::json!(["readings", "calibration"]));
    assert!((number(&shares[0]["years"]) - number(&change["change_years"])).abs() < 1e-9);
    let text = unwrapped(&bench.run(&compare[..5]).stdout);
    assert!(text.contains("cannot be told apart"), "{text}");
}
