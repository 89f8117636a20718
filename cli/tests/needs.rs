//! A clue that another reading rules out is not asked for: neither by `next` nor by a collection.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, CATALOGUE, unwrapped};

#[test]
fn what_cannot_be_read_is_not_asked_for() {
    let bench = Bench::new();
    let asked_for = |readings: &str| -> Vec<String> {
        bench.write("club.toml", format!("id = \"a\"\n[readings]\n{readings}\n"));
        let answer = &bench.json(&["next", "club.toml", "--format", "json"])[0];
        answer["looks"].as_array().unwrap().iter().map(|look| look["clue"].as_str().unwrap().to_owned()).collect()
    };
    let asks = |readings: &str, clue: &str| asked_for(readings).iter().any(|one| one == clue);
    assert!(asks("hosel_to_crease = \"4 in\"", "scoring_regularity"));
    assert!(asks("face_scoring = \"stamped_lines\"", "scoring_regularity"));
    assert!(asks("face_scoring = \"smooth|hand_lines\"", "scoring_regularity"));
    for none in ["smooth", "smooth?", "unreadable"] {
        assert!(!asks(&format!("face_scoring = \"{none}\""), "scoring_regularity"), "{none}");
    }
    assert!(asks("nicking_coarseness = \"fine\"", "nicking_regularity"));
    assert!(!asks("nicking_coarseness = \"absent\"", "nicking_regularity"));
}

#[test]
fn a_need_of_what_is_not_there_is_refused() {
    for (needs, why) in [
        ("{ clue = \"pins\", not = [\"side_side\"] }", "it needs \"pins\", which is no clue of the catalogue"),
        (
            "{ clue = \"pin\", not = [\"sideways\"] }",
            "it needs \"pin\" not to be \"sideways\", which is no level of it",
        ),
    ] {
        let bench = Bench::new();
        bench.write("cat.toml", format!("{CATALOGUE}needs = {needs}\n"));
        let run = bench.run(&["clues", "--catalogue", "cat.toml"]);
        assert!(run.code == 3 && unwrapped(&run.stderr).contains(why), "{}", run.stderr);
    }
}

#[test]
fn clubs_to_be_silent_on_that_are_not_there_are_refused() {
    for (silent, why) in [
        ("{ clue = \"pins\", is = [\"side_side\"] }", "it is silent on \"pins\", which is no clue of the catalogue"),
        ("{ clue = \"pin\", is = [\"aslant\"] }", "it is silent on \"aslant\", which is no level of \"pin\""),
        ("{ clue = \"pin\", is = [] }", "it is silent on no level of \"pin\""),
    ] {
        let bench = Bench::new();
        bench.write("cat.toml", format!("{CATALOGUE}silent_on = [{silent}]\n"));
        let run = bench.run(&["clues", "--catalogue", "cat.toml"]);
        assert!(run.code == 3 && unwrapped(&run.stderr).contains(why), "{}", run.stderr);
    }
}

/// A fit hears of dated clubs what an answer hears of others: readings on which a clue is silent change no table.
#[test]
fn a_fit_does_not_hear_what_is_silent() {
    let bench = Bench::new();
    let table = bench.read("dated.csv");
    let mut rows = csv::Reader::from_reader(table.as_bytes());
    let headings = rows.headers().unwrap().clone();
    let at = |name: &str| headings.iter().position(|heading| heading == name).unwrap();
    let mut without = csv::Writer::from_writer(Vec::new());
    without.write_record(&headings).unwrap();
    for row in rows.records() {
        let row = row.unwrap();
        let is_silent = &row[at("pin")] == "side_side";
        let cell =
            |(place, text): (usize, &str)| if is_silent && place == at("nicking") { "" } else { text }.to_owned();
        without.write_record(row.iter().enumerate().map(cell)).unwrap();
    }
    bench.write("blank.csv", without.into_inner().unwrap());
    bench.write("club.csv", "id,pin,nicking\na,front_back,coarse\n");
    let dated = |catalogue: &str, table: &str| {
        bench.write("own.toml", catalogue);
        let fit =
            ["fit", "--catalogue", "own.toml", "--collection", table, "--out", "own-cal.toml", "--force", "--no-audit"];
        let run = bench.run(&fit);
        assert_eq!(run.code, 0, "{}", run.stderr);
        let date = ["date", "club.csv", "--calibration", "own-cal.toml", "--format", "json"];
        bench.json(&date)[0]["probability"].clone()
    };
    let silent = format!("{CATALOGUE}silent_on = [{{ clue = \"pin\", is = [\"side_side\"] }}]\n");
    assert_eq!(dated(&silent, "dated.csv"), dated(&silent, "blank.csv"));
    assert_ne!(dated(CATALOGUE, "dated.csv"), dated(CATALOGUE, "blank.csv"));
}

/// Two readings of which one leaves nothing to read of the other: told, in every form; what is worn away, or may be
/// either, rules nothing out.
#[test]
fn readings_that_cannot_both_be_are_told() {
    let bench = Bench::new();
    let kinds = |face: &str, scoring: &str| -> Vec<String> {
        let club = format!("id = \"a\"\n[readings]\nface_scoring = \"{face}\"\nscoring_regularity = \"{scoring}\"\n");
        bench.write("club.toml", club);
        let warnings = bench.json(&["date", "club.toml", "--format", "json"])[0]["warnings"].clone();
        let told = warnings.as_array().unwrap().iter().filter(|warning| warning["clue"] == "scoring_regularity");
        told.map(|warning| warning["kind"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(kinds("smooth", "die"), ["cannot-both"]);
    let text = unwrapped(&bench.run(&["date", "club.toml"]).stdout);
    let said =
        "Face scoring (smooth) leaves nothing to read of regularity of the scoring (die): one of the two is mistaken.";
    assert!(text.contains(said), "{text}");
    let left_out = bench.json(&["date", "club.toml", "--without", "face_scoring", "--format", "json"]);
    assert!(!left_out[0]["warnings"].to_string().contains("cannot-both"));
    for (face, scoring) in [("smooth", "unreadable"), ("unreadable", "die"), ("smooth|hand_lines", "die"), ("", "die")]
    {
        assert!(!kinds(face, scoring).contains(&"cannot-both".to_owned()), "{face} {scoring}");
    }
}

/// At the bench what an answer rules out is passed by, going on and going back.
#[test]
fn what_cannot_be_read_is_not_asked_at_the_bench() {
    let bench = Bench::new();
    let catalogue = format!(
        "{CATALOGUE}[[clue]]\nid = \"rim_look\"\nkind = \"levels\"\nlevels = [\"sharp\", \"worn\"]\n\
        part = \"head\"\nmisread = 0.1\nneeds = {{ clue = \"nicking\", not = [\"absent\"] }}\n"
    );
    bench.write("points.toml", catalogue);
    let fit = ["fit", "--catalogue", "points.toml", "--collection", "dated.csv", "--no-audit", "--out", "cal.toml"];
    assert_eq!(bench.run(&fit).code, 0);
    let asks = |answers: &str, out: &str| {
        let record = ["record", "--id", "a", "--calibration", "cal.toml", "--out", out];
        let run = bench.run_with(&record, answers);
        assert_eq!(run.code, 0, "{}", run.stderr);
        run.stderr.to_lowercase().matches("rim look").count()
    };
    assert!(asks("skip\nskip\nfine\nsharp\n", "fine.toml") > 0);
    assert_eq!(asks("skip\nskip\nabsent\n<\n", "absent.toml"), 0);
    assert!(bench.read("absent.toml").contains("absent"));
}
