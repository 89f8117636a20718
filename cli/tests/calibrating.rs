//! Rules of thumb, audits, comparisons of calibrations, draws: as a user runs them.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, CATALOGUE, project, unwrapped};
use serde_json::Value;

const RULES: &str = r#"
[[measured]]
clue = "hosel"
year = 1805
mean = 5.5
sd = 0.5
worth = 4
standing = "judgement"
[[measured]]
clue = "hosel"
year = 1895
mean = 3.6
sd = 0.3
worth = 4
[[levels]]
clue = "pin"
from = 1800
to = 1849
worth = 3
shares = { front_back = 0.9, side_side = 0.1 }
[[levels]]
clue = "pin"
from = 1850
to = 1899
worth = 3
shares = { front_back = 0.05, side_side = 0.95 }
[[prior]]
name = "pool"
rows = [{ from = 1700, to = 1849, mass = 3 }, { from = 1850, to = 1899, mass = 9 }]
"#;

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

#[test]
fn rules_alone_make_a_calibration_that_says_so() {
    let bench = Bench::new();
    bench.write("rules.toml", RULES);
    let fit = bench.run(&["fit", "--catalogue", "cat.toml", "--rules", "rules.toml", "--out", "cal.toml"]);
    assert_eq!(fit.code, 0, "{}", fit.stderr);
    let text = bench.read("cal.toml");
    assert!(text.contains("degrees_of_freedom = 8.0") && text.contains("weight = 0.9"), "{text}");
    assert!(text.contains("shared_lag = 10.0"), "{text}");
    bench.write("r.csv", "id,hosel,pin\nold,5.4,front_back\nnew,3.6,side_side\n");
    let answers = bench.json(&["date", "r.csv", "--calibration", "cal.toml", "--format", "json"]);
    assert_eq!(answers[0]["prior"], "pool");
    assert!(number(&answers[0]["mean"]) + 20.0 < number(&answers[1]["mean"]));
    assert!(answers[0]["warnings"].to_string().contains("no-collection"));
    let text = bench.run(&["date", "r.csv", "--calibration", "cal.toml"]).stdout;
    assert!(unwrapped(&text).contains("no dated collection backs it"), "{text}");
}

/// Of the rows of a prior only what lies on the axis counts: 50 of 150 years of the first, so 1 to 9.
#[test]
fn a_named_prior_keeps_its_ratios_on_the_axis() {
    let bench = Bench::new();
    bench.write("rules.toml", RULES);
    bench.run(&["fit", "--catalogue", "cat.toml", "--rules", "rules.toml", "--out", "cal.toml"]);
    bench.write("r.csv", "id,hosel\nrelic,unreadable\n");
    let answer =
        &bench.json(&["date", "r.csv", "--calibration", "cal.toml", "--format", "json", "--before", "1850"])[0];
    assert!((number(&answer["before"]["probability"]) - 0.1).abs() < 1e-9);
}

#[test]
fn real_clubs_outvote_a_wrong_rule_and_the_fit_says_where_they_disagree() {
    let bench = Bench::new();
    let upside_down = RULES.replace("front_back = 0.9, side_side = 0.1", "front_back = 0.02, side_side = 0.98");
    bench.write("rules.toml", &upside_down);
    let mut table = "id,made_from,made_to,hosel,pin\n".to_owned();
    for n in 0..60 {
        let year = 1801 + 3 * (n % 16);
        table += &format!(
            "C{n:02},{year},{year},{:.2},front_back\n",
            5.4 - 0.01 * f64::from(n % 16) + 0.03 * f64::from(n % 5)
        );
    }
    for n in 0..30 {
        let year = 1851 + n;
        table +=
            &format!("D{n:02},{year},{year},{:.2},side_side\n", 4.5 - 0.02 * f64::from(n) + 0.03 * f64::from(n % 5));
    }
    bench.write("dated.csv", table);
    let fit = bench.run(&[
        "fit",
        "--catalogue",
        "cat.toml",
        "--collection",
        "dated.csv",
        "--rules",
        "rules.toml",
        "--out",
        "cal.toml",
    ]);
    assert_eq!(fit.code, 0, "{}", fit.stderr);
    let told = unwrapped(&fit.stderr);
    assert!(told.contains("rule and clubs disagree in 1810-19 on pin, front back: "), "{told}");
    bench.write("r.csv", "id,pin\nA,front_back\n");
    let answer =
        &bench.json(&["date", "r.csv", "--calibration", "cal.toml", "--format", "json", "--before", "1850"])[0];
    assert!(number(&answer["before"]["probability"]) > 0.8, "{}", answer["before"]);
}

#[test]
fn wrong_rules_are_refused_with_their_place() {
    let bench = Bench::new();
    let refused = |rules: String, told: &[&str]| {
        bench.write("rules.toml", rules);
        let fit = bench.run(&["fit", "--catalogue", "cat.toml", "--rules", "rules.toml", "--out", "cal.toml"]);
        assert_eq!(fit.code, 3, "{}", fit.stderr);
        for part in told {
            assert!(fit.stderr.contains(part), "{part:?} is missing from:\n{}", fit.stderr);
        }
        assert!(!bench.path("cal.toml").exists());
    };
    refused(RULES.replace("clue = \"pin\"", "clue = \"pinn\""), &["rules.toml:16:8", "pinn", "did you mean \"pin\""]);
    refused(RULES.replace("side_side = 0.1 }", "side_sid = 0.1 }"), &["rules.toml:20:", "side_sid", "side_side"]);
    refused(RULES.replace("side_side = 0.1 }", "side_side = 0.3 }"), &["rules.toml:16:8", "sum to 1.2"]);
    refused(RULES.replace("sd = 0.5", "sd = 0"), &["rules.toml:6:6", "sd = 0", "above 0"]);
    refused(RULES.replace("worth = 4\nstanding", "worth = -4\nstanding"), &["worth = -4"]);
    refused(RULES.replace("name = \"pool\"", "name = \"flat\""), &["\"flat\" is a prior already"]);
    refused(
        format!("{RULES}\n[[effect]]\non = \"hosel\"\nby = \"pin\"\nlevel = \"side_side\"\nshift = 1\n"),
        &["pin does not adjust others"],
    );
}

/// A trouble iron's hosel is longer at any date: entered as such, the same hosel is read as later.
#[test]
fn the_kind_of_club_corrects_its_measures_and_is_no_evidence_itself() {
    let bench = Bench::new();
    bench.write(
        "cat.toml",
        format!(
            "{CATALOGUE}\n[[clue]]\nid = \"kind\"\nkind = \"levels\"\nlevels = [\"long\", \
     \"trouble\"]\nadjusts = true\npart = \"head\"\nmisread = 0.02\n"
        ),
    );
    let mut table = "id,made_from,made_to,hosel,kind\n".to_owned();
    for n in 0..60 {
        let year = 1802 + n;
        let trouble = n % 3 == 0;
        let hosel = (1.7 - 0.007 * f64::from(n) + if trouble { 0.1 } else { 0.0 } + 0.02 * f64::from(n % 5 - 2)).exp();
        table += &format!("C{n:02},{year},{year},{hosel:.3},{}\n", if trouble { "trouble" } else { "long" });
    }
    bench.write("dated.csv", table);
    let fit = bench.run(&["fit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--out", "cal.toml"]);
    assert_eq!(fit.code, 0, "{}", fit.stderr);
    bench.write("r.csv", "id,hosel,kind\nunknown,4.4,\nlong,4.4,long\ntrouble,4.4,trouble\nonly,,trouble\nblank,,\n");
    let answers = bench.json(&["date", "r.csv", "--calibration", "cal.toml", "--format", "json"]);
    let mean = |n: usize| number(&answers[n]["mean"]);
    assert!(mean(1) + 6.0 < mean(2), "long {} and trouble {}", mean(1), mean(2));
    assert!(mean(1) < mean(0) && mean(0) < mean(2));
    assert!((mean(3) - mean(4)).abs() < 1e-9, "by itself it says nothing");
    assert_eq!(answers[3]["edtf"], "");
    let closing = number(&answers[3]["ledger"]["closing"]);
    assert!((closing - mean(3)).abs() < 1e-9, "an adjuster without a measure leaves the ledger in balance: {closing}");
    let entries = answers[2]["ledger"]["entries"].as_array().unwrap();
    let kind = entries.iter().find(|e| e["clue"] == "kind").unwrap();
    assert!(number(&kind["years"]) > 1.0, "what it moves stands in the ledger");
    assert!(
        bench
            .run(&["date", "r.csv", "--club", "trouble", "--calibration", "cal.toml"])
            .stdout
            .contains("* No sign of the date by itself: what it moves, it moves through other clues.")
    );
}

#[test]
fn an_audit_tells_its_scores_in_text_and_json_and_can_be_required_to_pass() {
    let bench = Bench::new();
    let base = ["audit", "--catalogue", "cat.toml", "--collection", "dated.csv"];
    let audit = |extra: &[&str]| bench.run(&[&base[..], extra].concat());
    let json = audit(&["--format", "json", "--folds", "5"]);
    assert_eq!(json.code, 0, "{}", json.stderr);
    let answer: Value = serde_json::from_str(&json.stdout).unwrap();
    assert_eq!((answer["schema"].as_i64(), answer["n"].as_i64()), (Some(2), Some(20)));
    for who in ["model", "prior", "product"] {
        assert!(
            number(&answer[who]["log_score"]) < 0.0
                && number(&answer[who]["crps"]) > 0.0
                && number(&answer[who]["mae"]) > 0.0
        );
        assert!((0.0..=1.0).contains(&number(&answer[who]["coverage"]["95"])));
    }
    assert!(number(&answer["model"]["crps"]) < number(&answer["prior"]["crps"]));
    let objects = answer["clubs"].as_array().unwrap();
    assert_eq!(objects.len(), 20);
    assert_eq!(objects[0]["id"], "C00");
    assert!(
        objects
            .iter()
            .all(|o| (0.0..=1.0).contains(&number(&o["pit"])) && o["from95"].as_i64() <= o["median"].as_i64())
    );
    assert_eq!(audit(&["--format", "json", "--folds", "5"]).stdout, json.stdout, "same input and seed, same bytes");
    let text = audit(&["--each-clue", "--learning-curve", "--folds", "4", "--chart", "pit.svg"]);
    assert_eq!(text.code, 0, "{}", text.stderr);
    for part in ["plain product", "(PIT)", "Most surprising clubs", "Without each clue", "With fewer clubs"] {
        assert!(text.stdout.contains(part), "{part:?} is missing from\n{}", text.stdout);
    }
    assert!(text.stdout.lines().all(|line| line.chars().count() <= 80));
    assert!(bench.read("pit.svg").contains("role=\"img\""));
    let demo = |name: &str| project().join("demo-data").join(name).to_string_lossy().into_owned();
    let (catalogue, collection) = (demo("irons.toml"), demo("wrackness.csv"));
    let demo_audit = ["audit", "--catalogue", &catalogue, "--collection", &collection, "--folds", "3"];
    let failed = bench.run(&[&demo_audit[..], &["--require-coverage", "1.0"]].concat());
    assert!(failed.code == 4 && failed.stderr.contains("1 was required"), "{}", failed.stderr);
    assert_eq!(audit(&["--folds", "5", "--require-coverage", "0.5"]).code, 0);
    let left_out = audit(&["--leave-one-out", "--format", "json"]);
    assert_eq!(left_out.code, 0, "{}", left_out.stderr);
}

#[test]
fn held_out_clubs_are_dated_by_one_fit_on_the_others() {
    let bench = Bench::new();
    let table = bench.read("dated.csv");
    let lines: Vec<&str> = table.lines().collect();
    let part = |keep: &dyn Fn(usize) -> bool| {
        let rows = lines.iter().enumerate().filter(|(n, _)| *n == 0 || keep(*n)).map(|(_, line)| *line);
        rows.collect::<Vec<_>>().join("\n") + "\n"
    };
    bench.write("fit.csv", part(&|n| n % 4 != 0));
    bench.write("held.csv", part(&|n| n % 4 == 0));
    let json = bench.run(&[
        "audit",
        "--catalogue",
        "cat.toml",
        "--collection",
        "fit.csv",
        "--held-out",
        "held.csv",
        "--format",
        "json",
    ]);
    assert_eq!(json.code, 0, "{}", json.stderr);
    let answer: Value = serde_json::from_str(&json.stdout).unwrap();
    assert_eq!(answer["n"], 5);
    // The same medians as dating them by hand.
    bench.run(&["fit", "--catalogue", "cat.toml", "--collection", "fit.csv", "--out", "cal.toml"]);
    let dated = bench.json(&["date", "held.csv", "--calibration", "cal.toml", "--format", "json"]);
    for (object, club) in answer["clubs"].as_array().unwrap().iter().zip(&dated) {
        assert_eq!((&object["id"], &object["median"]), (&club["id"], &club["median"]));
    }
}

#[test]
fn a_comparison_names_what_changed_and_how_dates_move() {
    let bench = Bench::fitted();
    let fewer: String = bench.read("dated.csv").lines().take(13).map(|line| format!("{line}\n")).collect();
    bench.write("fewer.csv", fewer);
    let fit = bench.run(&[
        "fit",
        "--catalogue",
        "cat.toml",
        "--collection",
        "fewer.csv",
        "--out",
        "new.toml",
        "--against",
        "cal.toml",
        "--clubs",
        "dated.csv",
    ]);
    assert_eq!(fit.code, 0, "{}", fit.stderr);
    assert!(fit.stdout.contains("20 > 12") && fit.stdout.contains("20 clubs dated by both"), "{}", fit.stdout);
    let same = bench.run(&[
        "fit",
        "--catalogue",
        "cat.toml",
        "--collection",
        "dated.csv",
        "--out",
        "same.toml",
        "--against",
        "cal.toml",
    ]);
    assert!(same.stdout.contains("moves by 0.0 years") && same.stdout.contains("none to speak of"), "{}", same.stdout);
}

#[test]
fn draws_give_every_band_a_second_one_and_are_seeded() {
    let bench = Bench::new();
    let fit = |out: &str, seed: &str| {
        let arguments = [
            "fit",
            "--catalogue",
            "cat.toml",
            "--collection",
            "dated.csv",
            "--bootstrap",
            "12",
            "--seed",
            seed,
            "--out",
            out,
        ];
        let fit = bench.run(&arguments);
        assert_eq!(fit.code, 0, "{}", fit.stderr);
        bench.read(out)
    };
    let (one, again, other) = (fit("one.toml", "1"), fit("again.toml", "1"), fit("other.toml", "2"));
    assert!(one == again && one != other);
    bench.write("r.csv", "id,hosel,pin\nA,4.4,side_side\n");
    let answer = &bench.json(&["date", "r.csv", "--calibration", "one.toml", "--format", "json"])[0];
    assert_eq!(answer["drawn"]["draws"], 12);
    assert_eq!(answer["drawn"]["bands"].as_array().unwrap().len(), 3);
    let (low, high) = (answer["drawn"]["median"][0].as_i64(), answer["drawn"]["median"][1].as_i64());
    assert!(low <= high && low < answer["median"].as_i64().map(|m| m + 10));
    assert!(
        bench
            .run(&["date", "r.csv", "--calibration", "one.toml"])
            .stdout
            .contains("With other clubs in the collection")
    );
}

/// The demo's rules read by the demo's catalogue, alone and beside its clubs.
#[test]
fn the_rules_of_the_demo_are_read() {
    let bench = Bench::new();
    let demo = |name: &str| project().join("demo-data").join(name).to_string_lossy().into_owned();
    let (catalogue, rules) = (demo("irons.toml"), demo("rules.toml"));
    let fit = bench.run(&["fit", "--catalogue", &catalogue, "--rules", &rules, "--out", "rules.toml"]);
    assert_eq!(fit.code, 0, "{}", fit.stderr);
    bench.write("r.csv", "id,top_edge,club_type,loft\nlong,0.1,long,24\nniblick,0.1,trouble,46\n");
    let answers = bench.json(&["date", "r.csv", "--calibration", "rules.toml", "--format", "json", "--prior", "flat"]);
    assert!(
        number(&answers[1]["mean"]) + 5.0 < number(&answers[0]["mean"]),
        "the same edge on a niblick is read as older"
    );
}

/// A date of own opinion is no truth: it is neither fitted on nor scored.
#[test]
fn clubs_of_own_opinion_are_not_scored() {
    let bench = Bench::new();
    let with_grade = |line: &str, grade: &str| {
        let mut cells: Vec<&str> = line.split(',').collect();
        cells.insert(3, grade);
        cells.join(",") + "\n"
    };
    let table = bench.read("dated.csv");
    let graded: String =
        table.lines().enumerate().map(|(n, line)| with_grade(line, if n == 0 { "date_grade" } else { "1" })).collect();
    bench.write("a.csv", &graded);
    bench.write("b.csv", graded + "OWN,1895,1895,5,7.5,front_back,coarse\n");
    let audit = |name: &str| {
        bench.run(&["audit", "--catalogue", "cat.toml", "--collection", name, "--format", "json", "--folds", "4"])
    };
    let (a, b) = (audit("a.csv"), audit("b.csv"));
    assert_eq!(a.stdout, b.stdout);
    assert!(b.stderr.contains("1 club of date grade 5"), "{}", b.stderr);
}

/// Rules alone over fewer years than their usual lag: what is left of it is no longer than the years.
#[test]
fn rules_of_few_years_lag_by_no_more_than_these() {
    let bench = Bench::new();
    let catalogue = r#"
name = "short"
years = { from = 1900, to = 1906 }
step = 1
[[clue]]
id = "pin"
kind = "levels"
levels = ["a", "b"]
part = "head"
misread = 0.05
"#;
    let rule = |from: i32, to: i32, a: f64, b: f64| {
        format!("[[levels]]\nclue = \"pin\"\nfrom = {from}\nto = {to}\nworth = 3\nshares = {{ a = {a}, b = {b} }}\n")
    };
    bench.write("short.toml", catalogue);
    bench.write("short-rules.toml", rule(1900, 1902, 0.9, 0.1) + &rule(1903, 1905, 0.1, 0.9));
    let fit =
        bench.run(&["fit", "--catalogue", "short.toml", "--rules", "short-rules.toml", "--out", "short-cal.toml"]);
    assert_eq!(fit.code, 0, "{}", fit.stderr);
    assert!(bench.read("short-cal.toml").contains("shared_lag = 6.0"));
}
