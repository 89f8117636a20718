//! Answers in two pieces are told as two wherever they stand, and readings that cannot both be right are leant on
//! nowhere.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, unwrapped};
use serde_json::Value;

const TWO: &str = "id = \"two\"\n[readings]\npin_direction = \"front_back\"\nhead_finish = \"chrome\"\n\
                   hosel_to_crease = 4.2\nname_or_number = \"number\"\niron_grain = \"strong\"\n";

fn pieces(answer: &Value) -> Option<String> {
    let pieces = answer["pieces"].as_array()?;
    let span = |piece: &Value| {
        let (from, to) = (piece[0].as_i64().unwrap(), piece[1].as_i64().unwrap());
        if from / 100 == to / 100 { format!("{from}-{:02}", to % 100) } else { format!("{from}-{to}") }
    };
    Some(pieces.iter().map(span).collect::<Vec<_>>().join(" or "))
}

/// The line that holds all that is said of one change.
fn told(text: &str, words: &str) -> String {
    unwrapped(text.split(words).nth(1).unwrap_or_else(|| panic!("{words}: {text}")).lines().next().unwrap())
}

#[test]
fn a_split_answer_is_told_in_its_pieces() {
    let bench = Bench::new();
    bench.write("two.toml", TWO);
    let asked = ["sensitivity", "two.toml", "--prior", "flat"];
    let result = &bench.json(&[&asked[..], &["--format", "json"]].concat())[0];
    let text = bench.run(&asked).stdout;
    let all = pieces(&result["all"]).unwrap();
    assert_eq!(told(&text, "With everything"), format!("- - {all}"));
    let mut split = 0;
    for clue in result["without"].as_array().unwrap() {
        let Some(own) = pieces(clue) else { continue };
        split += 1;
        assert!(unwrapped(&text).contains(&own) || unwrapped(&text).contains("1939"), "{own}: {text}");
    }
    assert!(split > 0, "{result}");
    let opening = unwrapped(text.split("hangs on\n").nth(1).unwrap().split("\n\n").next().unwrap());
    assert!(!opening.contains("middle year") && opening.contains(&format!("and not {all}")), "{opening}");
    // In the account as well: a row of a split answer has no middle year before its years.
    let account = &bench.json(&["date", "two.toml", "--prior", "flat", "--format", "json"])[0];
    let page = bench.run(&["date", "two.toml", "--prior", "flat"]).stdout;
    let entries = account["ledger"]["entries"].as_array().unwrap();
    let of_split = entries.iter().filter_map(|entry| pieces(&entry["without"]));
    let shown = of_split.filter(|own| unwrapped(&page).contains(own.as_str())).count();
    assert!(shown > 0, "{page}");
    for entry in entries.iter().filter(|entry| entry["without"]["pieces"].is_array()) {
        let median = entry["without"]["median"].to_string();
        assert!(!page.contains(&format!("  {median} (")), "{median}: {page}");
    }
    // Told of as the answer under another prior, on every page.
    let by_default = unwrapped(&bench.run(&["date", "two.toml"]).stdout);
    assert!(by_default.contains(&format!("{all} under flat.")), "{by_default}");
    assert_eq!(bench.run(&["write-up", "two.toml", "--out", "p", "--page", "report"]).code, 0);
    let report = bench.read("p/two/report.md");
    assert!(report.contains(&format!("with every year alike the years would be {all}.")), "{report}");
    // One answer keeps its middle year.
    bench.write("one.toml", "id = \"one\"\n[readings]\nhosel_to_crease = 4\nnicking_regularity = \"even\"\n");
    let one = &bench.json(&["sensitivity", "one.toml", "--format", "json"])[0];
    assert!(one["all"].get("pieces").is_none());
    let text = bench.run(&["sensitivity", "one.toml"]).stdout;
    assert!(told(&text, "With everything").starts_with(&format!("{} 0 ", one["all"]["median"])), "{text}");
}

/// A clue that is named for the earlier answer and moves the average later is said to, and no other is.
#[test]
fn a_clue_that_moves_the_average_the_other_way_is_told() {
    let bench = Bench::new();
    let text_of = |readings: &str| {
        bench.write("s.toml", format!("id = \"s\"\n[readings]\npin_direction = \"front_back\"\n{readings}"));
        let text = unwrapped(&bench.run(&["date", "s.toml", "--prior", "flat"]).stdout);
        let account = bench.json(&["date", "s.toml", "--prior", "flat", "--format", "json"]).remove(0);
        (text, account["ledger"]["entries"].as_array().unwrap().clone())
    };
    let (text, entries) = text_of("head_finish = \"chrome\"\ntop_edge = 0.2\n");
    let years = |clue: &str| entries.iter().find(|entry| entry["clue"] == clue).unwrap()["years"].as_f64().unwrap();
    assert!(years("top_edge") > 5.0 && years("pin_direction") < -5.0 && years("head_finish") > 5.0);
    let earlier = text.split("What speaks most for 1782-1871 against 1920-39: ").nth(1).expect(&text);
    assert!(earlier.starts_with("pin direction (front to back) and top edge (0.2 in)."), "{text}");
    assert!(text.contains("In the ledger top edge moves the average the other way"), "{text}");
    // Two answers between which every clue moves the average to its own.
    let (text, _) = text_of("head_finish = \"chrome\"\n");
    assert!(text.contains(" against ") && !text.contains("the other way"), "{text}");
}

#[test]
fn readings_that_cannot_both_be_are_leant_on_nowhere() {
    let bench = Bench::new();
    let record = |scoring: &str| {
        format!(
            "id = \"a\"\n[readings]\nhosel_to_crease = 3.5\nface_scoring = \"smooth\"\n{scoring}\
             nicking_regularity = \"even\"\n"
        )
    };
    let write = |scoring: &str| {
        bench.write("a.toml", record(scoring));
        let run = bench.run(&["write-up", "a.toml", "--out", "p", "--force"]);
        assert_eq!(run.code, 0, "{}", run.stderr);
        ["catalogue-entry", "label", "report"].map(|page| bench.read(&format!("p/a/{page}.md")))
    };
    let [entry, label, report] = write("scoring_regularity = \"die\"\n");
    assert!(entry.contains("Of face scoring and regularity of the scoring one is mistaken."), "{entry}");
    assert!(!entry.contains("Smooth face") && !entry.contains("scored by a die"), "{entry}");
    assert!(!label.contains("(die)") && !label.contains("(smooth)"), "{label}");
    assert!(label.contains("Of its readings one at least is mistaken."), "{label}");
    assert!(report.contains("one of the two is mistaken"), "{report}");
    let collection = unwrapped(&bench.run(&["collection", "a.toml"]).stdout);
    assert!(collection.contains("face scoring and regularity of the scoring cannot both be right"), "{collection}");
    let [entry, label, report] = write("");
    assert!(entry.contains("Smooth face") && ![&entry, &label, &report].iter().any(|page| page.contains("mistaken")));
}

/// What is told of priors beside several accounts is true of each.
#[test]
fn several_accounts_share_no_middle_year() {
    let bench = Bench::new();
    bench.write("two.toml", TWO);
    bench.write("late.toml", "id = \"late\"\n[readings]\nhosel_to_crease = 2.9\nhead_finish = \"chrome\"\n");
    let of = |files: &[&str]| unwrapped(&bench.run(&[&["date", "--ledger"][..], files].concat()).stdout);
    assert!(of(&["late.toml"]).contains("the middle year would be"));
    let both = of(&["two.toml", "late.toml"]);
    assert!(!both.contains("the middle year would be") && both.contains("before any clue): specialist ("), "{both}");
}

/// A part that is fixed to the head opens with the head, and says so.
#[test]
fn a_shaft_rests_on_its_head_and_not_on_the_prior() {
    let bench = Bench::new();
    bench.write(
        "s.toml",
        "id = \"s\"\n[readings]\nhosel_to_crease = 2.9\nnicking_regularity = \"even\"\nshaft_wood = \"hickory\"\n",
    );
    let text = unwrapped(&bench.run(&["date", "s.toml"]).stdout);
    let (head, shaft) = text.split_once("s, shaft: ").unwrap();
    assert!(head.contains("Before any clue ") && !head.contains("Before its own clues"), "{head}");
    assert!(shaft.contains("Before its own clues 19") && !shaft.contains("(the prior)"), "{shaft}");
}

/// Old spreadsheets end lines with a carriage return alone, even where a cell holds a line feed; mistakes of a record
/// stand in the order of its lines; a heading that ends two clues names both.
#[test]
fn places_and_near_words_are_right() {
    let bench = Bench::new();
    bench.write("cr.csv", "id,note,pin_direction\rA,\"two\nlines\",side_side\rB,,sidewise\r");
    let told = unwrapped(&bench.run(&["date", "cr.csv"]).stderr);
    assert!(told.contains("cr.csv:4:4"), "{told}");
    bench.write(
        "r.toml",
        "id = \"r\"\n[readings]\ntop_edge = \"thin\"\nhosel_join = \"crve\"\nface_scoring = \"smoth\"\n",
    );
    let told = unwrapped(&bench.run(&["date", "r.toml"]).stderr);
    let places = ["r.toml:3", "r.toml:4", "r.toml:5"].map(|place| told.find(place).unwrap_or_else(|| panic!("{told}")));
    assert!(places.is_sorted(), "{told}");
    bench.write("h.csv", "id,form\nA,straight\n");
    let told = unwrapped(&bench.run(&["date", "h.csv"]).stderr);
    assert!(told.contains("\"hosel_form\"") && told.contains("\"sole_form\""), "{told}");
    bench.write("b.csv", "id,made,hosel_to_crease\nA,1890-1850,4\n");
    let told = unwrapped(&bench.run(&["date", "b.csv"]).stderr);
    assert!(told.contains("\"1890-1850\" ends before it begins"), "{told}");
}
