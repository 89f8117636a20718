//! The sentences that answers open with, against the figures below them: on clubs where one holds, and where its
//! opposite does.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};
use serde_json::Value;

fn demo(name: &str) -> String {
    project().join("demo-data").join(name).to_string_lossy().into_owned()
}

fn whole(value: &Value) -> i64 {
    value.as_i64().unwrap_or_else(|| panic!("{value} is no whole number"))
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

/// Text and JSON of a question about each demo club, under the starter rules and the demo's calibration.
fn asked(bench: &Bench, command: &str) -> Vec<(String, Vec<Value>)> {
    let (table, calibration) = (demo("undated.csv"), demo("demo-calibration.toml"));
    let ids: Vec<String> = std::fs::read_to_string(&table)
        .unwrap()
        .lines()
        .skip(1)
        .map(|line| line.split(',').next().unwrap().to_owned())
        .collect();
    let mut all = Vec::new();
    for by in [&[][..], &["--calibration", calibration.as_str()]] {
        for id in &ids {
            let of = [&[command, table.as_str(), "--club", id.as_str()][..], by].concat();
            let run = bench.run(&of);
            assert_eq!(run.code, 0, "{of:?}: {}", run.stderr);
            all.push((unwrapped(&run.stdout), bench.json(&[&of[..], &["--format", "json"]].concat())));
        }
    }
    all
}

/// Of the clues that is named without which the middle year moves most, and the prior where it moves it more.
#[test]
fn sensitivity_names_what_moves_the_answer_most() {
    let bench = Bench::new();
    let (mut of_prior, mut of_clues) = (0, 0);
    for (text, answers) in asked(&bench, "sensitivity") {
        let answer = &answers[0];
        let median = whole(&answer["all"]["median"]);
        let moved = |list: &str| -> Vec<(i64, i64)> {
            let list = answer[list].as_array().unwrap();
            list.iter().map(|one| ((whole(&one["median"]) - median).abs(), whole(&one["median"]))).collect()
        };
        let (clues, priors) = (moved("without"), moved("priors"));
        let most = clues.iter().map(|one| one.0).max().unwrap();
        let (by_prior, prior_year) = *priors.iter().max().unwrap();
        assert_eq!(text.contains("hangs on no single clue"), most < 2, "{text}");
        if let Some(told) = text.split("without it the middle year would be ").nth(1) {
            let year: i64 = told.split(' ').next().unwrap().parse().unwrap();
            assert_eq!((year - median).abs(), most, "{text}");
            assert!(told.starts_with(&format!("{year} and not {median}.")), "{text}");
        }
        let is_more = text.contains("More hangs on how clubs are taken to be spread");
        assert_eq!(is_more, by_prior > most, "{by_prior} {most}: {text}");
        if is_more && priors.iter().filter(|one| one.0 == by_prior).count() == 1 {
            assert!(text.contains(&format!("the middle year would be {prior_year} and not {median}.")), "{text}");
        }
        (of_prior, of_clues) = (of_prior + i32::from(is_more), of_clues + i32::from(!is_more));
        // What has no row moves by what is told at the most.
        if let Some(told) = text.split("Without any one of the others the middle year moves by ").nth(1) {
            let least: i64 = told.split(' ').next().unwrap().parse().unwrap();
            let rows = text.matches(" without ").count();
            assert!(least < 2 && least <= most && rows >= 3, "{text}");
        }
    }
    assert!(of_prior > 0 && of_clues > 0, "{of_prior} {of_clues}: both kinds of club are asked about");
}

/// "Nothing will help much" where no look makes a tenth fewer years of those in question nor is likely to move the
/// middle year by ten; else a clue of which one of these is true.
#[test]
fn next_says_whether_looking_helps() {
    let bench = Bench::new();
    let (mut idle, mut helping, mut split) = (0, 0, 0);
    for (text, parts) in asked(&bench, "next") {
        let helps = |part: &Value, look: &Value| {
            let fewer = number(&look["expected_width"]) <= 0.9 * number(&part["width_now"]);
            number(&look["chance_of_change"]) >= 0.3 || fewer && number(&look["expected_bits"]) > 0.0
        };
        let looks = |part: &Value| part["looks"].as_array().unwrap().clone();
        let n_helping = parts.iter().filter(|part| looks(part).iter().any(|look| helps(part, look))).count();
        let n_none = parts.iter().filter(|part| looks(part).is_empty()).count();
        assert_eq!(text.matches(" Look at ").count(), n_helping, "{text}");
        let n_idle = parts.len() - n_helping - n_none;
        // The first row is what the first sentence names, and where answers are several no middle year is given.
        for table in text.split("Moves 10 years ").skip(1).filter(|table| !table.starts_with(':')) {
            let cells = table.trim_start_matches(|c: char| !c.is_alphanumeric()).split_whitespace();
            let first: Vec<&str> = cells.take_while(|cell| cell.parse::<f64>().is_err()).collect();
            let first = first.join(" ").to_lowercase();
            let named = ["look at ", "not yet examined "].map(|before| format!("{before}{first}"));
            assert!(named.iter().any(|named| text.to_lowercase().contains(named)), "{first}: {text}");
        }
        let n_split = parts.iter().filter(|part| part["answers_now"].is_array()).count();
        assert_eq!(text.matches("answers now, and no one middle year").count(), n_split, "{text}");
        assert_eq!(text.matches("Middle year now").count(), parts.len() - n_split, "{text}");
        split += n_split;
        assert_eq!(text.matches("Nothing that is left will help much").count(), n_idle, "{text}");
        assert_eq!(text.matches("Nothing is left to look at").count(), n_none, "{text}");
        (idle, helping) = (idle + n_idle, helping + n_helping);
    }
    assert!(idle > 0 && helping > 0 && split == 0, "{idle} {helping} {split}");
    let readings =
        "pin_direction = \"front_back\"\nhead_finish = \"chrome\"\nhosel_to_crease = 4.2\niron_grain = \"strong\"\n";
    bench.write("two.toml", format!("id = \"two\"\n[readings]\nname_or_number = \"number\"\n{readings}"));
    let asked = ["next", "two.toml", "--prior", "flat"];
    let answers = bench.json(&[&asked[..], &["--format", "json"]].concat())[0]["answers_now"].clone();
    assert!(answers.as_array().is_some_and(|answers| answers.len() == 2), "{answers}");
    let text = unwrapped(&bench.run(&asked).stdout);
    let head = text.split("two, shaft").next().unwrap();
    assert!(head.contains("Two answers now, and no one middle year: ") && !head.contains("Middle year now"), "{text}");
}

/// A date that is given and shares no year with what the clues allow is said not to be borne out, in the account and in
/// the list; one that does is not.
#[test]
fn a_given_date_that_clues_do_not_bear_out_is_told() {
    let bench = Bench::fitted();
    bench.write(
        "t.csv",
        "id,made_from,made_to,hosel,pin,nicking\nfar,1805,1808,3.4,side_side,fine\n\
         near,1885,1895,3.4,side_side,fine\nopen,,,3.4,side_side,fine\n",
    );
    let date = |more: &[&str]| {
        unwrapped(&bench.run(&[&["date", "t.csv", "--calibration", "cal.toml"][..], more].concat()).stdout)
    };
    let list = date(&[]);
    assert!(list.contains("known 1805-08, which its clues do not bear out"), "{list}");
    assert_eq!(list.matches("do not bear").count(), 1, "{list}");
    for (id, told) in [("far", true), ("near", false), ("open", false)] {
        assert_eq!(date(&["--club", id]).contains("Its clues do not bear that out"), told, "{id}");
    }
    // A calibration of the head alone does not promise other parts, the starter rules do.
    assert!(!list.contains("shaft and grip"), "{list}");
    let starter = unwrapped(&bench.run(&["date", &demo("undated.csv")]).stdout);
    assert!(starter.contains("--ledger, which dates shaft and grip too."), "{starter}");
}

/// A club without a clue is compared by the prior alone, and that is said; clubs of one reading share what it tells.
#[test]
fn compare_says_what_is_undated_and_what_is_alike() {
    let bench = Bench::new();
    bench.write("some.csv", "id,hosel_join,face_scoring\nu,altered,\nd,,smooth\ne,,stamped_lines\n");
    let text = bench.run(&["compare", "some.csv"]).stdout;
    let line = |id: &str| text.lines().find(|line| line.starts_with(&format!("{id} "))).unwrap().to_owned();
    assert!(line("u").contains("undated") && !line("d").contains("undated"), "{text}");
    assert!(unwrapped(&text).contains("No clue of date was read on u: what is said of it"), "{text}");
    bench.write("some.csv", "id,face_scoring\na,smooth\nb,smooth\nc,stamped_lines\n");
    let text = bench.run(&["compare", "some.csv"]).stdout;
    assert!(text.contains("a and b, ") && text.contains(" % each") && !text.contains("undated;"), "{text}");
    assert!(!text.contains("No clue of date was read"), "{text}");
    bench.write("some.csv", "id,face_scoring\na,smooth\nc,stamped_lines\n");
    let text = bench.run(&["compare", "some.csv"]).stdout;
    assert!(text.contains("a, ") && !text.contains("% each"), "{text}");
}
