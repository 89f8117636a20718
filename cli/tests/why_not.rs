//! Why one period and not another, as text against its own JSON.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};
use serde_json::Value;

fn demo(name: &str) -> String {
    project().join("demo-data").join(name).to_string_lossy().into_owned()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

/// What is not named speaks together, and is told as it adds up, for one period as for the other.
#[test]
fn why_not_tells_what_the_others_say_together() {
    let bench = Bench::new();
    let (mut sides, mut silent) = ([0, 0], 0);
    for (id, periods) in
        [("smooth-face", ["1850s", "1900s"]), ("plain-cleek", ["1900s", "1890s"]), ("worn", ["1850s", "1900s"])]
    {
        let table = demo("undated.csv");
        let asked = ["why-not", &table, "--club", id, "--periods", periods[0], periods[1]];
        let why = &bench.json(&[&asked[..], &["--format", "json"]].concat())[0];
        let text = unwrapped(&bench.run(&asked).stdout);
        let entries = why["entries"].as_array().unwrap();
        let mut named: Vec<&Value> = Vec::new();
        for side in [1.0, -1.0] {
            let counts = |entry: &&Value| number(&entry["decibans"]) * side >= 1.0 && entry["adjusts"] != true;
            let mut of_side: Vec<&Value> = entries.iter().filter(counts).collect();
            of_side.sort_by(|a, b| number(&b["decibans"]).abs().total_cmp(&number(&a["decibans"]).abs()));
            named.extend(of_side.into_iter().take(3));
        }
        let rest = entries.iter().filter(|entry| !named.contains(entry));
        let rest: Vec<f64> = rest.map(|entry| number(&entry["decibans"])).collect();
        let together: f64 = rest.iter().sum();
        let said = format!("together, {} clues, say ", rest.len());
        assert_eq!(text.contains(&said), rest.len() > 1 && together.abs() >= 1.0, "{together} {said} {text}");
        if text.contains(&said) {
            let side = if together > 0.0 { periods[0] } else { periods[1] };
            assert!(
                text.split(&said).nth(1).unwrap().split(". ").next().unwrap().ends_with(&format!("for the {side}"))
            );
            sides[usize::from(together > 0.0)] += 1;
        } else {
            silent += 1;
        }
    }
    assert!(sides[0] + sides[1] > 0 && silent > 0, "{sides:?} {silent}");
}
