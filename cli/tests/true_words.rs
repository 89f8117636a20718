//! Sentences that were once told of answers that said otherwise, each on a club of either kind.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, unwrapped};

fn record(bench: &Bench, readings: &str) {
    bench.write("r.toml", format!("id = \"r\"\n{readings}"));
}

fn page(bench: &Bench, page: &str, file: &str) -> (String, String) {
    let run = bench.run(&["write-up", "r.toml", "--page", page, "--out", "p", "--force"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    (bench.read(&format!("p/r/{file}")), unwrapped(&run.stderr))
}

/// A column of grades that would be passed over, so that a guess counted as documented, is asked about.
#[test]
fn a_grade_beside_a_date_is_not_lost() {
    let bench = Bench::new();
    bench.write("t.csv", "id,made,grade,hosel_to_crease\na,1925,5,3.5\n");
    let run = bench.run(&["date", "t.csv"]);
    assert!(run.code == 3 && run.stderr.contains("did you mean \"date_grade\"?"), "{}", run.stderr);
    assert_eq!(bench.run(&["date", "t.csv", "--ignore", "grade"]).code, 0);
    // Of a table without dates it is some other grade, and beside our own column too.
    bench.write("t.csv", "id,grade,hosel_to_crease\na,good,3.5\n");
    assert_eq!(bench.run(&["date", "t.csv"]).code, 0);
    bench.write("t.csv", "id,made,date_grade,grade,hosel_to_crease\na,1925,5,good,3.5\n");
    assert!(bench.run(&["date", "t.csv"]).stdout.contains("given as of 1925 (own opinion)"));
}

/// Words of a cell that nearly is a level, or says that nothing could be seen, get the hint that is meant.
#[test]
fn hints_do_not_say_the_opposite() {
    let bench = Bench::new();
    let hint = |column: &str, cell: &str| {
        bench.write("t.csv", format!("id,{column}\na,{cell}\n"));
        let run = bench.run(&["date", "t.csv"]);
        assert_eq!(run.code, 3, "{}", run.stdout);
        unwrapped(run.stderr.split("What to do: ").nth(1).unwrap_or_else(|| panic!("{}", run.stderr)))
    };
    assert!(hint("marks_on_head", "one").starts_with("did you mean \"one_mark\"?"));
    assert!(hint("face_scoring", "worn").starts_with("write unreadable where"));
    assert!(hint("face_scoring", "smoth").starts_with("did you mean \"smooth\"?"));
    assert!(!hint("corrosion", "pitted heavily").contains("write unreadable"), "a level says so");
    assert!(hint("head_finish", "rechromed").starts_with("write altered where it is later work"));
    assert!(hint("made", "1900s").starts_with("write 1900-09, or 20th century"));
    for text in ["1800s", "late 1800s", "c. 1800s", "before the 1800s"] {
        assert!(hint("made", text).starts_with("write 1800-09, or 19th century"), "{text}");
    }
}

/// "Probably" is said from 60 in 100 on; a specialist is called for from 50 on.
#[test]
fn an_even_chance_is_not_called_probable() {
    let bench = Bench::new();
    record(&bench, "[readings]\npin_direction = \"front_back\"\nhosel_to_crease = 5.8\nhosel_top_diameter = 0.95\n");
    let text = unwrapped(&bench.run(&["date", "r.toml"]).stdout);
    assert!(text.contains("the head is more likely than not older than 1850"), "{text}");
}

/// A label says what its date is an opinion from: form and making, a stamp, or what is fixed to the head.
#[test]
fn labels_say_what_the_date_comes_from() {
    let bench = Bench::new();
    let label = |readings: &str| {
        record(&bench, readings);
        page(&bench, "label", "label.md").0
    };
    assert!(label("[readings]\nhosel_to_crease = 3.5\n").contains("from the form and the making of the club"));
    let of_shaft = label("[readings]\nshaft_making = \"turned\"\nshaft_fit = \"step\"\n");
    assert!(of_shaft.contains("from what is fixed to the head; on that no clue of date was read"), "{of_shaft}");
    let stamped = label("[readings]\ndesign_number = \"345678\"\n");
    assert!(stamped.contains("most of all from what is stamped on the club"), "{stamped}");
}

/// What an entry has no room for is told to whoever prints it, and nothing is told where it has room for all.
#[test]
fn an_entry_that_leaves_something_out_is_told() {
    let bench = Bench::new();
    let few = "[readings]\nhosel_to_crease = 3.5\ncorrosion = \"light\"\n";
    record(&bench, &format!("{few}[text]\ncondition = \"good\"\n"));
    assert!(!page(&bench, "catalogue", "catalogue-entry.md").1.contains("no room"));
    let long = ["a crack in the grip"; 12].join(", ");
    record(&bench, &format!("{few}[text]\ncondition = \"{long}\"\nmarks = \"initials on the sole\"\n"));
    let (entry, told) = page(&bench, "catalogue", "catalogue-entry.md");
    assert!(told.contains("the catalogue entry of r has no room for the end of its condition"), "{told}");
    assert!(entry.contains("Marks: initials on the sole."), "{entry}");
    // What is read on the club keeps half of the room, and a text ends with a sentence where it can.
    let long = "Light rust over the whole blade, with pits near the toe. ".repeat(4);
    let texts =
        ["condition", "damage", "inscription", "marks", "provenance"].map(|key| format!("{key} = \"{long}\"\n"));
    record(&bench, &format!("[readings]\nclub_type = \"long\"\nhosel_to_crease = 3.5\n[text]\n{}", texts.concat()));
    let (entry, told) = page(&bench, "catalogue", "catalogue-entry.md");
    assert!(entry.contains("ong iron") && entry.contains("Hosel 3.5 in"), "{entry}");
    assert!(entry.contains("Condition: Light rust over") && entry.contains("near the toe. The date"), "{entry}");
    assert!(told.contains("its provenance") && !entry.contains("..."), "{entry} {told}");
}

/// Keys of texts that no page knows are named, with what they may have been meant as.
#[test]
fn texts_without_a_place_are_named() {
    let bench = Bench::new();
    record(&bench, "[readings]\nhosel_to_crease = 3.5\n[text]\ninscriptions = \"x\"\ncolour = \"red\"\n");
    let told = page(&bench, "report", "report.md").1;
    assert!(told.contains("text.inscriptions (did you mean text.inscription?)"), "{told}");
    assert!(told.contains("text.colour,") && !told.contains("text.colour (did"), "{told}");
    record(&bench, "[readings]\nhosel_to_crease = 3.5\n[text]\ninscription = \"x\"\n");
    assert!(!page(&bench, "report", "report.md").1.contains("no page has a place"));
}

/// A date that somebody gave is told wherever the clues are asked, and on paper with whose it is.
#[test]
fn a_given_date_is_told_beside_the_clues() {
    let bench = Bench::new();
    let with = |date: &str| {
        record(&bench, &format!("{date}[readings]\nhosel_to_crease = 5.8\npin_direction = \"front_back\"\n"));
        [&["why-not", "r.toml", "--periods", "1900s"][..], &["sensitivity", "r.toml"], &["next", "r.toml"]]
            .map(|asked| unwrapped(&bench.run(asked).stdout))
    };
    for text in with("made = \"1905\"\ndate_grade = 2\n") {
        assert!(text.contains("It is known to be of 1905 (by a register or a tenure)."), "{text}");
    }
    let (entry, _) = page(&bench, "catalogue", "catalogue-entry.md");
    assert!(!entry.contains("Given as"), "{entry}");
    for text in with("made = \"1905\"\ndate_grade = 4\n") {
        assert!(text.contains("It is given as of 1905 (opinion of the trade)."), "{text}");
    }
    let (entry, _) = page(&bench, "catalogue", "catalogue-entry.md");
    assert!(entry.contains("Given as of 1905 (opinion of the trade)."), "{entry}");
    for text in with("") {
        assert!(!text.contains("given as") && !text.contains("known to be"), "{text}");
    }
}

/// A chance before a year without any clue is the prior's, and says so.
#[test]
fn a_chance_by_the_prior_alone_says_so() {
    let bench = Bench::new();
    let text = |readings: &str| {
        record(&bench, readings);
        unwrapped(&bench.run(&["date", "r.toml", "--before", "1900"]).stdout)
    };
    assert!(text("[readings]\n").contains("; no clue of date was read, and it rests on the prior alone"));
    assert!(!text("[readings]\nhosel_to_crease = 4\n").contains("the prior alone"));
}

/// Words that stand in a catalogue's own looks, and that people say for them, are taken in.
#[test]
fn everyday_words_are_levels() {
    let bench = Bench::new();
    for (clue, word, level) in [
        ("grip_material", "suede", "sheepskin"),
        ("grip_material", "gusset leather", "gusset"),
        ("head_finish", "stainless steel", "rustless"),
        ("head_finish", "chrome plated", "chrome"),
        ("face_scoring", "Smooth face", "smooth"),
        ("marks_on_head", "unmarked", "absent"),
        ("shaft_wood", "steel", "metal"),
        ("club_type", "rut iron", "trouble"),
    ] {
        let mean = |cell: &str| {
            bench.write("t.csv", format!("id,{clue},shaft_diameter\na,{cell},0.5\n"));
            bench.json(&["date", "t.csv", "--format", "json"])[0].clone()
        };
        let told = |answer: serde_json::Value| (answer["mean"].clone(), answer["other_parts"][0]["mean"].clone());
        assert_eq!(told(mean(word)), told(mean(level)), "{clue}: {word}");
    }
}

/// Signs of repair are no clue of date and may move an answer: it is not called the prior alone then.
#[test]
fn the_prior_alone_is_said_of_nothing_else() {
    let bench = Bench::new();
    record(&bench, "[readings]\npin_kind = \"second_hole\"\nshaft_fit = \"step\"\n");
    for asked in [&["date", "r.toml"][..], &["sensitivity", "r.toml"]] {
        let text = unwrapped(&bench.run(asked).stdout);
        assert!(!text.contains("the prior alone") && text.contains("signs of repair"), "{text}");
    }
    record(&bench, "[readings]\n");
    for asked in [&["date", "r.toml"][..], &["sensitivity", "r.toml"]] {
        let text = unwrapped(&bench.run(asked).stdout);
        assert!(text.contains("the prior alone"), "{text}");
    }
}

/// A label names what speaks for its date: the one clue of a shaft, too, and nothing where nothing does.
#[test]
fn a_label_of_one_clue_does_not_speak_of_several() {
    let bench = Bench::new();
    for (readings, words) in [
        ("shaft_wood = \"metal\"", "What speaks most for this date: wood of the shaft (metal)."),
        ("shaft_wood = \"ash\"", "No clue of it speaks for these years by itself."),
        ("scoring_regularity = \"hand\"", "No clue of it speaks for these years by itself."),
    ] {
        record(&bench, &format!("[readings]\n{readings}\n"));
        let label = page(&bench, "label", "label.md").0;
        assert!(label.contains(words) && !label.contains("several say"), "{label}");
    }
}

/// Later work of a shaft or a grip is told as what it is, and not as a chance.
#[test]
fn later_work_is_no_chance() {
    let bench = Bench::new();
    record(&bench, "[readings]\nhosel_to_crease = 5.2\nshaft_wood = \"altered\"\npin_kind = \"second_hole\"\n");
    let label = page(&bench, "label", "label.md").0;
    assert!(
        label.contains("Of the shaft something is entered as later work.") && !label.contains("replaced"),
        "{label}"
    );
}

/// The chance of a shaft is that it is later than the head, of a grip that it is later than the shaft.
#[test]
fn a_grip_is_held_against_its_shaft() {
    let bench = Bench::new();
    let parts = "shaft_making = \"turned\"\nshaft_fit = \"step\"\ngrip_material = \"rubber\"\n";
    record(&bench, &format!("[readings]\nhosel_to_crease = 4.6\ntop_edge = 0.2\n{parts}"));
    let text = unwrapped(&bench.run(&["date", "r.toml"]).stdout);
    let (shaft, grip) = text.split_once("r, grip: ").unwrap();
    assert!(shaft.contains(" Replaced: ") && grip.contains(" Later than its shaft: "), "{text}");
    assert!(!grip.contains("Replaced: ") && !shaft.contains("Later than its shaft"), "{text}");
}

/// A date that is open to one side reads as such on label and entry, and one that somebody gave is not denied there.
#[test]
fn open_and_given_dates_are_told_on_paper() {
    let bench = Bench::new();
    let label = |date: &str, readings: &str| {
        record(&bench, &format!("{date}[readings]\n{readings}"));
        page(&bench, "label", "label.md").0
    };
    let hosel = "hosel_to_crease = 4\n";
    let known = label("made = \"before 1900\"\ndate_grade = 1\n", hosel);
    assert!(known.contains("Known to be from before 1900; by its clues alone"), "{known}");
    assert!(label("made = \"1897\"\ndate_grade = 1\n", hosel).contains("Known to be of 1897; by its clues alone"));
    let given = label("made = \"1905\"\ndate_grade = 4\n", "");
    assert!(
        given.contains("Given as of 1905 (opinion of the trade)") && !given.contains("no year is given"),
        "{given}"
    );
    assert!(label("", "").contains("so no year is given"));
}

/// Of several clubs as of one: what lies behind the calibration's years is not counted, and that is said.
#[test]
fn a_year_behind_the_last_is_a_lower_bound_for_several_clubs_too() {
    let bench = Bench::new();
    bench.write("t.csv", "id,hosel_to_crease,nicking_regularity\na,3.2,even\nb,5.5,coarse\n".replace("coarse", "fair"));
    let text = |before: &str| unwrapped(&bench.run(&["date", "t.csv", "--before", before]).stdout);
    let late = text("1947");
    assert!(late.contains(" in 100 at the least") && late.contains("what is of after 1939 is not counted"), "{late}");
    let early = text("1900");
    assert!(!early.contains("at the least") && !early.contains("not counted"), "{early}");
}

/// A chance that no page of a run has is not asked for in silence.
#[test]
fn a_year_that_no_page_tells_of_is_said_to_be_left_out() {
    let bench = Bench::new();
    record(&bench, "[readings]\nhosel_to_crease = 4\n");
    let told = |page: &str| {
        let asked = ["write-up", "r.toml", "--page", page, "--before", "1900", "--out", "p", "--force"];
        unwrapped(&bench.run(&asked).stderr)
    };
    assert!(told("label").contains("stands on the report alone") && !told("report").contains("report alone"));
}
