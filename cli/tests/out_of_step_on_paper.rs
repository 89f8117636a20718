//! What pages say of clues that do not agree, of clues left out, and of clubs without a title or a grade.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};

/// A late head with whatever stands beside it.
const LATE: &str = "id = \"a\"\n[readings]\nhosel_to_crease = \"3 1/4 in\"\nface_scoring = \"stamped_lines\"\n\
                    head_finish = \"rustless\"\nnicking_coarseness = \"fine\"\n";

fn pages(bench: &Bench, record: &str, more: &[&str]) -> [String; 3] {
    bench.write("r.toml", record);
    let asked = ["write-up", "r.toml", "--out", "p", "--force"];
    let done = bench.run(&[&asked[..], more].concat());
    assert_eq!(done.code, 0, "{}", done.stderr);
    ["label.md", "catalogue-entry.md", "insurance-schedule.md"]
        .map(|file| unwrapped(&bench.read(&format!("p/a/{file}"))))
}

/// What a command tells of a club with these readings.
fn told(bench: &Bench, command: &str, readings: &str) -> String {
    bench.write("r.toml", format!("id = \"a\"\n[readings]\n{readings}"));
    unwrapped(&bench.run(&[command, "r.toml"]).stdout)
}

/// Whatever part the odd one is of, it is named; where none is, nothing is said.
#[test]
fn what_is_out_of_step_is_named_on_label_and_entry() {
    let bench = Bench::new();
    for (odd, named) in [
        ("", None),
        ("shaft_wood = \"ash\"\n", Some("Out of step with the rest: wood of the shaft (ash).")),
        ("pin_direction = \"front_back\"\n", Some("Out of step with the rest: pin direction (front to back).")),
        (
            "pin_direction = \"front_back\"\nshaft_wood = \"ash\"\n",
            Some("Out of step with the rest: pin direction (front to back) and wood of the shaft (ash)."),
        ),
    ] {
        let [label, entry, _] = pages(&bench, &format!("{LATE}{odd}"), &[]);
        for page in [label, entry] {
            match named {
                Some(named) => assert!(page.contains(named), "{page}"),
                None => assert!(!page.contains("step") && !page.contains("agree"), "{page}"),
            }
        }
    }
}

/// A clue left out on request is told on every page that does without its readings; where all are, it is not said that
/// nothing could be read.
#[test]
fn what_was_left_out_on_request_is_told_on_every_page() {
    let bench = Bench::new();
    let told = "Not counted, on request: hosel length, metal and finish.";
    for page in pages(&bench, LATE, &["--without", "head_finish", "--without", "hosel_to_crease"]) {
        assert!(page.contains(told), "{page}");
    }
    for page in pages(&bench, LATE, &[]) {
        assert!(!page.contains("on request"), "{page}");
    }
    let one = "id = \"a\"\n[readings]\nhosel_to_crease = \"3 1/4 in\"\n";
    let [label, entry, _] = pages(&bench, one, &["--without", "hosel_to_crease"]);
    for page in [label, entry] {
        let none = "No other clue of date could be read";
        assert!(page.contains("Not counted, on request: hosel length.") && page.contains(none), "{page}");
    }
}

/// The register number that decides is named, though the rest does not bear it out; what is not there is no stamp; and
/// where clues add little, no clue is said to carry the date.
#[test]
fn a_label_names_what_its_date_hangs_on() {
    let bench = Bench::new();
    let label = |readings: &str| pages(&bench, &format!("id = \"a\"\n[readings]\n{readings}"), &[])[0].clone();
    let number = label("us_patent_number = \"1872298\"\nhosel_join = \"soft\"\n");
    let hangs = "The date hangs most on US patent number (1872298), which the rest does not bear out.";
    assert!(number.contains(hangs) && number.contains("most of all from what is stamped on the club"), "{number}");
    assert!(!number.contains("No one clue") && !number.contains("Out of step"), "{number}");
    let absent = label("marks_on_head = \"absent\"\nname_or_number = \"absent\"\ngrip_listing = \"tape\"\n");
    assert!(!absent.contains("stamped") && absent.contains("from the form and the making"), "{absent}");
    let stamped = label("name_or_number = \"number\"\nmarks_on_head = \"two_marks\"\n");
    assert!(stamped.contains("most of all from what is stamped on the club"), "{stamped}");
    let both = label("name_or_number = \"number\"\nhead_finish = \"chrome\"\nsole_form = \"flanged\"\n");
    assert!(both.contains("from the making of the club and what is stamped on it"), "{both}");
}

/// Clubs of many readings, every level of the catalogue among them: an entry has 120 words at the most and whole
/// sentences, a label 25 to 50 whatever is left out, a schedule no stop behind a stop.
#[test]
fn pages_of_many_readings_keep_their_lengths_and_their_sentences() {
    let bench = Bench::new();
    let text = std::fs::read_to_string(project().join("cli/irons/irons.toml")).unwrap();
    let catalogue: toml::Table = text.parse().unwrap();
    let clues: Vec<&toml::Value> = catalogue["clue"].as_array().unwrap().iter().collect();
    let levels = |clue: &toml::Value| clue.get("levels").map_or(0, |levels| levels.as_array().unwrap().len());
    for turn in 0..6 {
        let chosen = clues.iter().filter(|clue| clue["kind"].as_str() == Some("levels"));
        let reading = |clue: &&toml::Value| {
            let level = &clue["levels"][turn % levels(clue)]["id"];
            format!("{} = {level}\n", clue["id"].as_str().unwrap())
        };
        let readings: String = chosen.map(reading).collect();
        let record = format!(
            "id = \"a\"\n[readings]\n{readings}hosel_to_crease = \"4 in\"\n[text]\ncondition = \"Sound.\"\n\
             damage = \"Crack.\"\n"
        );
        let without = ["face_scoring", "marks_on_head", "hosel_join", "pin_direction", "iron_grain", "toe_shape"];
        let left: Vec<&str> = without.iter().flat_map(|clue| ["--without", clue]).collect();
        for more in [&[][..], &left] {
            let [label, entry, schedule] = pages(&bench, &record, more);
            let words = |page: &str| page.split("> Before").next().unwrap().split_whitespace().count();
            let heading = entry.split("** ").next().unwrap().split_whitespace().count();
            assert!(words(&entry) - heading <= 120, "{turn}: {entry}");
            assert!((25..=50).contains(&words(&label)), "{turn}: {label}");
            assert!(schedule.contains("| Sound; Crack") && !schedule.contains(".."), "{schedule}");
            for bad in [
                "Nicking deep",
                "Nicking teeth",
                "Nicking tips",
                "Nicking rim",
                ". Nailed",
                ". Whipped",
                ". With a cap",
            ] {
                assert!(!entry.contains(bad), "{bad}: {entry}");
            }
        }
    }
}

/// A sentence about nicking, shaft or grip names its noun once, whichever phrase it begins with.
#[test]
fn a_sentence_names_what_it_is_about_once() {
    let bench = Bench::new();
    for (reading, sentence) in [
        ("tine_finish = \"dressed\"", "Teeth dressed."),
        ("clenched_teeth = \"swollen\"", "Tips clenched down from a swollen rim."),
        ("nicking_regularity = \"even\"", "Nicking machine-even."),
        ("grip_fixing = \"nails\"\nearlier_grip = \"tide_marks\"", "Grip nailed, tide marks of an earlier grip."),
        ("shaft_making = \"turned\"", "Shaft turned true."),
        ("shaft_wood = \"ash\"", "Ash shaft."),
    ] {
        let [_, entry, _] = pages(&bench, &format!("id = \"a\"\n[readings]\nloft = 30\n{reading}\n"), &[]);
        assert!(entry.contains(sentence), "{sentence}: {entry}");
    }
}

/// In a collection clubs without a middle year stand last, and no clue is said to date one on which none was read.
#[test]
fn what_is_undated_is_dated_by_nothing() {
    let bench = Bench::new();
    let mine = "id,made,hosel_to_crease,pin_direction,name_or_number,nicking_coarseness,head_finish\n\
                undated,c. 1890,,,,,\nsplit,,5.2,front_back,number,coarse,chrome\nlate,c. 1930,3.2,,number,,\n";
    bench.write("mine.csv", mine);
    let told = unwrapped(&bench.run(&["collection", "mine.csv"]).stdout);
    let place = |row: &str| told.find(row).unwrap_or_else(|| panic!("{row}: {told}"));
    assert!(place(" late 192") < place(" split - ") && place(" split - ") < place(" undated - "), "{told}");
    let grades = "dated here by their clues: late (1925-35); no clue of date on: undated (1885-95).";
    assert!(told.contains(grades), "{told}");
}

/// On a child's club and on a patented form what is so by design is not counted: neither for a date nor against it.
#[test]
fn what_is_so_by_design_is_not_counted() {
    let bench = Bench::new();
    let asked = |readings: &str| {
        bench.write("r.toml", format!("id = \"a\"\n[readings]\n{readings}"));
        bench.json(&["date", "r.toml", "--format", "json"]).remove(0)
    };
    for (clue, reading, by) in [
        ("overall_length", "25 in", "hand_and_size = \"juvenile\""),
        ("shaft_diameter", "0.45 in", "hand_and_size = \"ladies\""),
        ("hosel_to_crease", "1.8 in", "special_form = \"short_through_hosel\""),
        ("hosel_to_crease", "2.4 in", "hosel_form = \"brazed\""),
    ] {
        let own = format!("{clue} = \"{reading}\"\n");
        let base = format!("{by}\nnicking_coarseness = \"fine\"\n");
        let (with, without) = (asked(&format!("{base}{own}")), asked(&base));
        assert_eq!(with["probability"], without["probability"], "{clue}");
        let part = if clue == "hosel_to_crease" { &with } else { &with["other_parts"][0] };
        let unused = part["unused"].as_array().unwrap();
        assert!(unused.iter().any(|one| one["clue"] == clue && one["why"] == "by-design"), "{clue}: {unused:?}");
        // Of any other club it counts.
        let plain = format!("nicking_coarseness = \"fine\"\n{own}");
        assert_ne!(asked(&plain)["probability"], asked("nicking_coarseness = \"fine\"\n")["probability"], "{clue}");
        // And nobody is sent to look at it.
        bench.write("r.toml", format!("id = \"a\"\n[readings]\n{base}"));
        let next = bench.run(&["next", "r.toml", "--format", "json"]).stdout;
        assert!(!next.contains(&format!("\"{clue}\"")), "{clue}: {next}");
    }
}

/// What hangs on the prior is told, beside clues without which there are several answers too.
#[test]
fn sensitivity_tells_of_a_prior_that_matters_more() {
    let bench = Bench::new();
    let told = |readings: &str| told(&bench, "sensitivity", readings);
    let split = told(
        "pin_direction = \"front_back\"\nname_or_number = \"number\"\nface_scoring = \"stamped_lines\"\n\
                      hosel_join = \"sharp\"\nhosel_to_crease = \"5 in\"\nnicking_coarseness = \"coarse\"\n",
    );
    let answers: Vec<&str> = split.split("(the prior)").collect();
    let is_split_by_prior = split.contains("Under the prior") || answers.len() > 1;
    assert!(is_split_by_prior, "{split}");
    let firm = told("head_finish = \"chrome\"\nname_or_number = \"number\"\nface_scoring = \"stamped_lines\"\n");
    assert!(!firm.contains("Under the prior"), "{firm}");
}

/// Lists say what kind of club has no title, and whose grade nobody gave.
#[test]
fn lists_have_a_name_for_every_club_and_a_grade_for_no_date_without() {
    let bench = Bench::new();
    let mine = "id,made,date_grade,text.title,club_type,hosel_to_crease\n\
                a,1897,1,A cleek,long,4.2\nb,1897,,,trouble,4.3\nc,1897,,,,4.3\n";
    bench.write("mine.csv", mine);
    let done = bench.run(&["write-up", "mine.csv", "--out", "p", "--page", "report", "--sheet", "checklist"]);
    assert_eq!(done.code, 0, "{}", done.stderr);
    for list in ["p/index.html", "p/checklist.html"] {
        let page = bench.read(list);
        let row = |id: &str| {
            let rows = page.split("<tr").filter(|row| row.contains("scope=\"row\""));
            let own = format!(">{id}<");
            rows.into_iter().find(|row| row.contains(&own)).unwrap().to_owned()
        };
        let [a, b, c] = ["a", "b", "c"].map(row);
        assert!(a.contains("A cleek") && a.contains("; known: 1897<"), "{a}");
        assert!(b.contains(">Track iron, niblick or bunker iron<"), "{b}");
        assert!(b.contains("; known: 1897 (no grade given)<"), "{b}");
        assert!(c.contains(">No title<"), "{c}");
    }
    let answers = bench.json(&["date", "mine.csv", "--format", "json"]);
    let given = |club: usize| answers[club]["given"]["grade_is_given"].as_bool().unwrap();
    assert!(given(0) && !given(1));
    let table = bench.run(&["date", "mine.csv", "--format", "csv"]).stdout;
    let mut rows = csv::Reader::from_reader(table.as_bytes());
    let place = rows.headers().unwrap().iter().position(|heading| heading == "grade_is_given").unwrap();
    let told: Vec<String> = rows.records().map(|row| row.unwrap()[place].to_owned()).collect();
    assert!(told.starts_with(&["yes".to_owned()]) && told.contains(&"no".to_owned()), "{told:?}");
}

/// What a clue of the shaft moves far is not said to rest on the head; a clue that is alone is not called several.
#[test]
fn what_a_shaft_rests_on_is_true() {
    let bench = Bench::new();
    let shaft = |readings: &str| told(&bench, "date", readings).split("a, shaft: ").nth(1).unwrap().to_owned();
    let head = "hosel_to_crease = \"4.2 in\"\nnicking_coarseness = \"medium\"\n";
    let moved = shaft(&format!("{head}shaft_making = \"split\"\n"));
    assert!(moved.contains("Before the shaft's own clues these years had"), "{moved}");
    assert!(!moved.contains("rest on the head"), "{moved}");
    let hardly = shaft(&format!("{head}shaft_wood = \"other_wood\"\n"));
    assert!(hardly.contains("These years rest on the head"), "{hardly}");
    let alone = shaft(&format!("{head}shaft_wood = \"metal\"\n"));
    assert!(alone.contains("No sound clue carries these years by itself. They lean on"), "{alone}");
}

/// Concave sand clubs were sold about 1930: a hollow face is no mistake there, and one on a plain head of 1905 is odd.
#[test]
fn a_sand_club_of_1930_is_no_mistake() {
    let bench = Bench::new();
    let told = |readings: &str| told(&bench, "date", &format!("{readings}face_hollow = \"dished\"\n"));
    let late = "club_type = \"trouble\"\nhead_finish = \"chrome\"\nface_scoring = \"stamped_lines\"\n\
                name_or_number = \"number\"\nsole_form = \"flanged\"\n";
    let sand = told(late);
    assert!(!sand.contains("out of step") && sand.contains("concave sand clubs of about 1930"), "{sand}");
    let earlier = "face_scoring = \"stamped_dots\"\nhosel_to_crease = \"3.6 in\"\nnicking_regularity = \"even\"\n\
                   marks_on_head = \"two_marks\"\nname_or_number = \"club_name\"\n";
    assert!(told(earlier).contains("hollow of the face (dished"), "{}", told(earlier));
}

/// A remark is told of what it is of, and not of a reading that is in doubt already.
#[test]
fn remarks_are_for_those_who_need_them() {
    let bench = Bench::new();
    let told = |readings: &str| told(&bench, "date", readings);
    let rust = "Rust rounds a sharp join";
    assert!(told("hosel_join = \"soft\"\ncorrosion = \"pitted\"\n").contains(rust));
    assert!(!told("hosel_join = \"soft?\"\ncorrosion = \"pitted\"\n").contains(rust));
    assert!(!told("hosel_join = \"soft\"\ncorrosion = \"none\"\n").contains(rust));
}
