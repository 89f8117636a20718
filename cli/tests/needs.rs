//! A clue that another reading rules out is not asked for: neither by `next` nor by a collection.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

mod private_folder;

use private_folder::{Bench, CATALOGUE, unwrapped};

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
