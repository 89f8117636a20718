//! Reasons on labels and in entries, each on clubs of which it is so and on clubs of which it is not.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};

/// Clues that are a stamp, a word or a number on the club.
const STAMPED: [&str; 11] = [
    "marks_on_head",
    "name_or_number",
    "stamping_method",
    "country_wording",
    "quality_wording",
    "royal_device",
    "legal_wording",
    "sellers_stamp",
    "design_number",
    "us_patent_number",
    "gb_patent_number",
];

fn page(bench: &Bench, readings: &str, page: &str, file: &str) -> String {
    bench.write("r.toml", format!("id = \"r\"\n{readings}"));
    let run = bench.run(&["write-up", "r.toml", "--page", page, "--out", "p", "--force"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    bench.read(&format!("p/r/{file}"))
}

/// A label speaks of stamps where their effects on the chance of the years (`grounds` of the JSON) are more than those
/// of all else together, a patented form being none.
#[test]
fn a_label_names_stamps_where_they_say_most() {
    let bench = Bench::new();
    let clubs = [
        "[readings]\nname_or_number = \"number\"\ncountry_wording = \"made_in\"\nface_hollow = \"flat\"\n",
        "[readings]\nname_or_number = \"number\"\nhosel_to_crease = \"3.1\"\nface_scoring = \"stamped_lines\"\n",
        "[readings]\nspecial_form = \"short_through_hosel\"\nface_scoring = \"smooth\"\n",
        "[readings]\nmarks_on_head = \"absent\"\nhosel_to_crease = \"5.2\"\nnicking_coarseness = \"coarse\"\n",
        "[readings]\nroyal_device = \"victoria\"\nloft = 30\n",
    ];
    let mut told = [0, 0];
    for readings in clubs {
        let label = page(&bench, readings, "label", "label.md");
        let answer = &bench.json(&["date", "r.toml", "--format", "json"])[0];
        let effects = answer["grounds"]["effects"].as_array().unwrap();
        let sum = |stamped: bool| -> f64 {
            let of = |effect: &&serde_json::Value| STAMPED.contains(&effect["clue"].as_str().unwrap()) == stamped;
            effects.iter().filter(of).map(|effect| effect["effect"].as_f64().unwrap()).sum()
        };
        let is_of_stamps = sum(true) > sum(false).max(0.0);
        assert_eq!(label.contains("from what is stamped on the club"), is_of_stamps, "{readings}{label}");
        told[usize::from(is_of_stamps)] += 1;
    }
    assert!(told[0] > 0 && told[1] > 0, "{told:?}");
}

/// Rustless metal, and its word, on an old form; on a form of its time nothing is said of a copy.
#[test]
fn an_old_form_in_rustless_metal_may_be_a_copy() {
    let bench = Bench::new();
    let says = |readings: &str| {
        bench.write("r.toml", format!("id = \"r\"\n[readings]\n{readings}"));
        unwrapped(&bench.run(&["date", "r.toml"]).stdout).contains("a copy made later")
    };
    for old in ["hosel_to_crease = \"5 in\"\n", "nicking_coarseness = \"coarse\"\n", "pin_direction = \"front_back\"\n"]
    {
        assert!(says(&format!("head_finish = \"rustless\"\n{old}")), "{old}");
        assert!(says(&format!("quality_wording = \"stainless\"\n{old}")), "{old}");
        assert!(!says(&format!("head_finish = \"bare\"\n{old}")), "{old}");
    }
    assert!(!says("head_finish = \"rustless\"\nhosel_to_crease = \"3.2 in\"\nnicking_coarseness = \"absent\"\n"));
}

/// Later work on the head, what either of two dates rests on, a given date that is not borne out: told where they are.
#[test]
fn an_entry_tells_what_a_buyer_must_know() {
    let bench = Bench::new();
    let entry = |readings: &str| page(&bench, readings, "catalogue", "catalogue-entry.md");
    let plain = "[readings]\nhosel_to_crease = \"3.5\"\nface_scoring = \"smooth\"\ntop_edge = \"0.13\"\n";
    let altered = format!("{plain}pin_direction = \"altered\"\nnicking_coarseness = \"altered\"\n");
    assert!(
        entry(&altered).contains("Later work on the head: nicking coarseness, pin direction."),
        "{}",
        entry(&altered)
    );
    assert!(!entry(plain).contains("Later work"));
    let split = "[readings]\nhosel_to_crease = \"5.5\"\ntop_edge = \"0.3\"\nface_scoring = \"stamped_lines\"\n\
                 name_or_number = \"number\"\nnicking_coarseness = \"absent\"\npin_direction = \"front_back\"\n";
    let told = entry(split);
    assert!(told.contains("point to more than one date. What speaks most for 1"), "{told}");
    assert!(!entry(plain).contains("What speaks most for"));
    let late = format!("made = \"1795\"\ndate_grade = 1\n{plain}name_or_number = \"number\"\n");
    assert!(entry(&late).contains("Its clues do not bear the known date out."), "{}", entry(&late));
    let borne_out = format!("made = \"1905\"\ndate_grade = 1\n{plain}");
    assert!(!entry(&borne_out).contains("do not bear"));
    // What a sentence is of stands in it, and first.
    assert!(entry("[readings]\nface_hollow = \"dished\"\n").contains("Strongly dished face."));
    let both = entry("[readings]\nface_hollow = \"flat\"\nface_scoring = \"hand_dots\"\n");
    assert!(both.contains("Flat face with hand-punched dots."), "{both}");
    let both = entry("[readings]\nface_hollow = \"flat\"\nsole_form = \"flanged\"\nface_scoring = \"smooth\"\n");
    assert!(both.contains("langed sole") && both.contains("lat, smooth face"), "{both}");
    let given = format!("made = \"1795\"\ndate_grade = 5\n{plain}name_or_number = \"number\"\n");
    assert!(entry(&given).contains("Its clues do not bear that date out."), "{}", entry(&given));
    let long = project().join("demo-data/later-shaft.toml");
    let run = bench.run(&["write-up", long.to_str().unwrap(), "--page", "catalogue", "--out", "q"]);
    let told = bench.read("q/later-shaft/catalogue-entry.md");
    assert!(
        run.code == 0 && told.contains("Shaft turned true") && told.contains("Grip of perforated leather"),
        "{told}"
    );
}

/// A date without a grade is nobody's opinion on paper.
#[test]
fn a_grade_that_nobody_gave_is_not_told() {
    let bench = Bench::new();
    let entry = |made: &str| {
        let readings = format!("{made}[readings]\nhosel_to_crease = \"3.5\"\nface_scoring = \"smooth\"\n");
        page(&bench, &readings, "catalogue", "catalogue-entry.md")
    };
    let told = entry("made = \"before 1890\"\n");
    assert!(told.contains("Given as from before 1890 (no grade given)") && !told.contains("opinion of the trade"));
    assert!(entry("made = \"before 1890\"\ndate_grade = 4\n").contains("from before 1890 (opinion of the trade)"));
    assert!(entry("made = 1905\n").contains("known to be of 1905 (no grade given)"));
    assert!(entry("made = 1905\ndate_grade = 1\n").contains("known to be of 1905; by its clues"));
}
