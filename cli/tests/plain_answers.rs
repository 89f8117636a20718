//! Words that go with an answer in one case and not in the other: sides, splits, lists, periods, habits of a file.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};

fn told(bench: &Bench, command: &[&str], readings: &str) -> String {
    bench.write("r.toml", format!("id = \"r\"\n[readings]\n{readings}"));
    let run = bench.run(&[&command[..1], &["r.toml"], &command[1..]].concat());
    assert_eq!(run.code, 0, "{}", run.stderr);
    unwrapped(&run.stdout)
}

/// At the first years nothing pulls earlier: a clue against them has a side only where average and middle agree on it.
#[test]
fn a_side_is_told_where_average_and_middle_agree() {
    let bench = Bench::new();
    let oldest = "hosel_to_crease = \"5 1/4 in\"\nhosel_top_diameter = \"1 1/16 in\"\ntop_edge = 0.3\n\
                  nicking_coarseness = \"coarse\"\nnicking_regularity = \"irregular\"\nhosel_join = \"sharp\"\n\
                  hammer_weld = \"open\"\niron_grain = \"strong\"\nface_hollow = \"dished\"\nshaft_wood = \"ash\"\n";
    let text = told(&bench, &["date"], oldest);
    assert!(text.contains("r: ") && !text.contains(", earlier)"), "{text}");
    let late = "head_finish = \"chrome\"\nhosel_to_crease = \"4.6\"\nname_or_number = \"number\"\n";
    let text = told(&bench, &["date"], late);
    assert!(text.contains(", earlier"), "{text}");
}

/// A clue without which there would be more than one answer is named, and its middle year, which is none, is not.
#[test]
fn a_clue_that_keeps_an_answer_one_is_named() {
    let bench = Bench::new();
    let split = std::fs::read_to_string(project().join("demo-data/later-shaft.toml")).unwrap();
    bench.write("one.toml", &split);
    let plain = unwrapped(&bench.run(&["sensitivity", "one.toml"]).stdout);
    assert!(!plain.contains("there would be more than one answer"), "{plain}");
    let held = "club_type = \"long\"\nloft = 20\nhosel_to_crease = 5\nhosel_top_diameter = 0.95\ntop_edge = 0.3\n\
                sole_width = 0.5\nface_scoring = \"stamped_lines\"\nscoring_regularity = \"die\"\n\
                name_or_number = \"number\"\nhead_finish = \"chrome\"\ncountry_wording = \"made_in\"\n";
    let json = |more: &[&str]| {
        bench.write("r.toml", format!("id = \"r\"\n[readings]\n{held}"));
        bench.json(&[&["sensitivity", "r.toml", "--format", "json"][..], more].concat())[0].clone()
    };
    let answer = json(&[]);
    let is_split = |value: &serde_json::Value| value["pieces"].as_array().is_some_and(|pieces| pieces.len() > 1);
    let splitting = answer["without"].as_array().unwrap().iter().filter(|one| is_split(one)).count();
    let text = told(&bench, &["sensitivity"], held);
    let says = text.contains("there would be more than one answer");
    assert!(!text.contains("hangs on no single clue"), "{text}");
    assert!(says && !is_split(&answer["all"]) && splitting > 0, "{splitting}: {text}");
}

/// What is noted of all clubs of a list stands below it; of clubs with other notes nothing does.
#[test]
fn what_is_noted_of_all_is_told_once() {
    let bench = Bench::new();
    for table in ["demo-data/wrackness.csv", "demo-data/undated.csv"] {
        let path = project().join(table).to_string_lossy().into_owned();
        let clubs: [&str; 2] = if table.contains("undated") { ["worn", "plated"] } else { ["W001", "W012"] };
        for command in ["date", "collection", "compare"] {
            let asked = [command, &path, "--club", clubs[0], "--club", clubs[1]];
            let text = unwrapped(&bench.run(&asked).stdout);
            assert_eq!(text.matches("Noted of all: Invented").count(), 1, "{command} {table}: {text}");
        }
    }
    bench.write("t.csv", "id,note,top_edge\na,Found in a loft,0.2\nb,Bought,0.2\n");
    assert!(!bench.run(&["date", "t.csv"]).stdout.contains("Noted of all"));
    for command in [&["next"][..], &["sensitivity"], &["why-not", "--periods", "1850s"]] {
        let path = project().join("demo-data/smooth-face.toml").to_string_lossy().into_owned();
        let text = bench.run(&[&command[..1], &[&path], &command[1..]].concat()).stdout;
        assert!(text.contains("(invented)"), "{command:?}: {text}");
    }
}

/// A year weighed against ten is said to be one.
#[test]
fn periods_of_other_lengths_are_told() {
    let bench = Bench::new();
    let text = |periods: &[&str]| told(&bench, &[&["why-not", "--periods"], periods].concat(), "top_edge = 0.2\n");
    assert!(text(&["1890", "1900s"]).contains("Years: 1890 1, the 1900s 10; the base rate counts that."));
    assert!(!text(&["1890s", "1900s"]).contains("the base rate counts that"));
}

/// Semicolons say that commas are decimal ones, where no measure has a point.
#[test]
fn a_point_among_semicolons_leaves_a_comma_in_doubt() {
    let bench = Bench::fitted();
    let date = |table: &str| {
        bench.write("t.csv", table);
        bench.run(&["date", "t.csv", "--calibration", "cal.toml"])
    };
    assert_eq!(date("id;hosel\nA;4,125\nB;3,5\n").code, 0);
    let doubt = date("id;hosel\nA;4,125\nB;3.5\n");
    assert!(doubt.code == 3 && doubt.stderr.contains("thousands"), "{}", doubt.stderr);
}
