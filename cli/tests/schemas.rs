//! The schemas of formats and answers, held to by every file of the project and every answer. The validator is the
//! `jsonschema` crate (D. Dygalo, MIT), which knows JSON Schema 2020-12 and nothing of this program.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project};
use jsonschema::Validator;
use serde_json::{Value, json};

fn file(name: &str) -> String {
    project().join(name).to_string_lossy().into_owned()
}

fn validator(bench: &Bench, arguments: &[&str]) -> Validator {
    let run = bench.run(&[&["schema"][..], arguments].concat());
    assert_eq!(run.code, 0, "{arguments:?}: {}", run.stderr);
    let schema: Value = serde_json::from_str(&run.stdout).unwrap();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    assert!(jsonschema::meta::is_valid(&schema), "{arguments:?} is no schema");
    jsonschema::draft202012::new(&schema).unwrap()
}

fn toml(path: &str) -> Value {
    let value: toml::Value = toml::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    serde_json::to_value(value).unwrap()
}

fn holds(validator: &Validator, value: &Value, what: &str) {
    let wrong: Vec<String> =
        validator.iter_errors(value).map(|error| format!("{error} at {}", error.instance_path())).collect();
    assert!(wrong.is_empty(), "{what}: {wrong:#?}");
}

/// A value with one field changed or added, by its path.
fn with(value: &Value, path: &str, new: Value) -> Value {
    let (parent, field) = path.rsplit_once('/').unwrap();
    let mut changed = value.clone();
    changed.pointer_mut(parent).unwrap()[field] = new;
    changed
}

#[test]
fn every_file_of_the_project_keeps_to_its_schema() {
    let bench = Bench::new();
    let kinds: [(&[&str], &[&str]); 4] = [
        (&["record"], &["demo-data/smooth-face.toml", "demo-data/later-shaft.toml"]),
        (&["catalogue"], &["cli/irons/irons.toml", "demo-data/irons.toml"]),
        (&["rules"], &["cli/irons/rules.toml", "demo-data/rules.toml"]),
        (&["calibration"], &["cli/irons/irons-calibration.toml", "demo-data/demo-calibration.toml"]),
    ];
    for (arguments, files) in kinds {
        let validator = validator(&bench, arguments);
        for name in files {
            holds(&validator, &toml(&file(name)), name);
        }
    }
    // A calibration with draws, without a shelf.
    let draws = ["fit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--bootstrap", "2", "--no-shelf"];
    assert_eq!(bench.run(&[&draws[..], &["--out", "draws.toml"]].concat()).code, 0);
    holds(&validator(&bench, &["calibration"]), &toml(&bench.path("draws.toml").to_string_lossy()), "draws");
}

/// What the reader refuses for its form, the schema refuses; what it takes, the schema takes.
#[test]
fn a_record_is_checked_as_it_is_typed() {
    let bench = Bench::new();
    let validator = validator(&bench, &["record", "--catalogue", "cat.toml"]);
    let record = json!({ "id": "A", "made": "c. 1880", "readings": { "hosel": 4.5, "pin": "side_side?" } });
    holds(&validator, &record, "a record");
    for (path, new) in [
        ("/made_from", json!(1890)),
        ("/set", json!("lot 1")),
        ("/note", json!("x")),
        ("/text", json!({ "title": "x" })),
        ("/readings/nicking", json!("coarse | fine")),
        ("/readings/hosel", json!("4 1/2 in")),
    ] {
        holds(&validator, &with(&record, path, new), path);
    }
    for (path, new) in [
        ("/readings/pinn", json!("side_side")),
        ("/readings/pin", json!(3)),
        ("/readings/hosel", json!([4])),
        ("/id", json!(7)),
        ("/titel", json!("x")),
        ("/made", json!([1890])),
    ] {
        assert!(!validator.is_valid(&with(&record, path, new)), "{path}");
    }
    assert!(!validator.is_valid(&json!({ "readings": {} })), "without an id");
    // An editor can offer the levels.
    let schema: Value =
        serde_json::from_str(&bench.run(&["schema", "record", "--catalogue", "cat.toml"]).stdout).unwrap();
    let offered = schema["properties"]["readings"]["properties"]["nicking"]["anyOf"][0]["enum"].clone();
    assert_eq!(offered, json!(["coarse", "fine", "absent", "unreadable", "altered"]));
}

#[test]
fn every_answer_keeps_to_its_schema() {
    let bench = Bench::new();
    let (undated, one, shaft) =
        (file("demo-data/undated.csv"), file("demo-data/smooth-face.toml"), file("demo-data/later-shaft.toml"));
    let calibration = file("demo-data/demo-calibration.toml");
    let by_demo = ["--calibration", calibration.as_str()];
    let answers: [(&str, Vec<&str>); 13] = [
        ("date", vec!["date", &undated, "--before", "1900"]),
        ("date", [&["date", undated.as_str()][..], &by_demo].concat()),
        ("date", vec!["date", &shaft, "--elsewhere"]),
        ("date", vec!["date", "dated.csv", "--calibration", "cal.toml"]),
        ("sensitivity", vec!["sensitivity", &one]),
        ("why-not", vec!["why-not", &one, "--periods", "1850s"]),
        ("next", vec!["next", &undated, "--club", "worn"]),
        ("compare", [&["compare", undated.as_str()][..], &by_demo].concat()),
        ("collection", vec!["collection", &undated]),
        ("collection", vec!["collection", "dated.csv", "--calibration", "cal.toml"]),
        ("clues", vec!["clues"]),
        ("write-up", vec!["write-up", &one, "--out", "pages"]),
        ("audit", vec!["audit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--each-clue"]),
    ];
    let fit = ["fit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--bootstrap", "3", "--out", "cal.toml"];
    assert_eq!(bench.run(&fit).code, 0);
    for (of, arguments) in answers {
        let validator = validator(&bench, &["answer", "--of", of]);
        let printed = bench.json(&[&arguments[..], &["--format", "json"]].concat());
        assert!(!printed.is_empty(), "{arguments:?}");
        for answer in &printed {
            holds(&validator, answer, of);
            assert!(!validator.is_valid(&with(answer, "/schema", json!("two"))), "{of}");
        }
    }
    let facts: Value = serde_json::from_str(&bench.read("pages/smooth-face/facts.json")).unwrap();
    holds(&validator(&bench, &["answer", "--of", "facts"]), &facts, "facts");
}
