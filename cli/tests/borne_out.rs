//! Dates that are given with clubs: what their clues do not bear out is said wherever the clubs are listed, and how
//! well a date is known follows from its words.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, unwrapped};

const CLUBS: &str = "id;hosel_to_crease;face_scoring;made\nA;3,5;smooth;1930\nB;5,5;smooth;1920s\n\
                     C;3,3;stamped_lines;1850\nD;3,3;stamped_lines;1920-25\n";

/// A list of clubs and the account of each agree on which of them wants another look.
#[test]
fn a_collection_names_the_clubs_whose_clues_say_otherwise() {
    let bench = Bench::new();
    bench.write("known.csv", CLUBS);
    let list = bench.run(&["date", "known.csv"]).stdout;
    let answer = &bench.json(&["collection", "known.csv", "--format", "json"])[0];
    let again: Vec<&str> =
        answer["look_again"].as_array().unwrap().iter().map(|club| club["id"].as_str().unwrap()).collect();
    for id in ["A", "B", "C", "D"] {
        let mut lines = list.lines().skip_while(|line| !line.starts_with(&format!("{id}: ")));
        let first = lines.next().unwrap_or_default();
        let rest: Vec<&str> = lines.take_while(|line| line.starts_with(' ')).collect();
        let told = unwrapped(&format!("{first}\n{}", rest.join("\n")));
        assert_eq!(told.contains("do not bear out"), again.contains(&id), "{id}: {told}");
    }
    assert!(again.contains(&"C") && !again.contains(&"D"), "{again:?} {list}");
    let text = unwrapped(&bench.run(&["collection", "known.csv"]).stdout);
    assert!(text.contains("its clues do not bear out the years given with it"), "{text}");
    assert!(!text.contains("No club asks for another look"), "{text}");
}

/// Words that only join two years are no opinion; those of an opinion are; where nobody knows, no date is given.
#[test]
fn a_dates_words_say_how_well_it_is_known() {
    let bench = Bench::new();
    let grade = |made: &str| {
        bench.write("t.csv", format!("id,hosel_to_crease,made\nA,3.5,{made}\n"));
        bench.json(&["date", "t.csv", "--format", "json"])[0]["given"]["grade"].as_i64()
    };
    for plain in ["1890-1900", "1890 to 1900", "between 1890 and 1900", "1893"] {
        assert_eq!(grade(plain), Some(1), "{plain}");
    }
    for vague in ["c. 1890", "before 1900", "late 1890s", "1890+", "1890 \u{b1} 5", "not after 1890"] {
        assert_eq!(grade(vague), Some(4), "{vague}");
    }
    for none in ["unknown", "n/a", "?", ""] {
        assert_eq!(grade(none), None, "{none}");
    }
}

/// What a date leaves open stays open where it is told: the first year of the axis was in nobody's mouth.
#[test]
fn a_date_that_is_open_to_one_side_is_told_as_given() {
    let bench = Bench::new();
    let told = |made: &str| {
        bench.write("t.csv", format!("id,hosel_to_crease,made\nA,3.5,{made}\nB,3.4,1890\n"));
        unwrapped(&bench.run(&["date", "t.csv"]).stdout)
    };
    for (made, words) in [
        ("before 1900", "given as before 1900"),
        ("1899 or earlier", "given as before 1900"),
        ("after 1900", "given as after 1900"),
        ("1895 or later", "given as after 1894"),
        ("c. 1900", "given as 1895-1905"),
        ("1750-1899", "known 1750-1899"),
    ] {
        let text = told(made);
        assert!(text.contains(words), "{made}: {text}");
    }
}

/// Without a reading that counts, no page says that clues speak for a date.
#[test]
fn a_label_without_readings_gives_no_year() {
    let bench = Bench::new();
    for readings in ["", "hosel_join = \"altered\"\n", "hosel_join = \"unreadable\"\n"] {
        bench.write("none.toml", format!("id = \"none\"\n[readings]\n{readings}"));
        let run =
            bench.run(&["write-up", "none.toml", "--page", "label", "--page", "catalogue", "--out", "p", "--force"]);
        assert_eq!(run.code, 0, "{}", run.stderr);
        let label = bench.read("p/none/label.md");
        assert!(label.contains("No clue of date could be read") && !label.contains("speak"), "{label}");
        let words = label.split("\n> Before").next().unwrap().split_whitespace().count();
        assert!((25..=50).contains(&words), "{words}: {label}");
    }
    // Of one that is dated otherwise the year is given.
    bench.write("none.toml", "id = \"none\"\nmade = \"1897\"\n[readings]\nhosel_join = \"unreadable\"\n");
    let run = bench.run(&["write-up", "none.toml", "--page", "label", "--page", "report", "--out", "p", "--force"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    let label = bench.read("p/none/label.md");
    assert!(label.contains("Known to be of 1897") && !label.contains("no year is given"), "{label}");
    let words = label.split("\n> Before").next().unwrap().split_whitespace().count();
    assert!((25..=50).contains(&words), "{words}: {label}");
    // What its figure does not have is not explained.
    let report = bench.read("p/none/report.md");
    assert!(report.contains("Columns: the chance of each decade") && !report.contains("Strips above"), "{report}");
}
