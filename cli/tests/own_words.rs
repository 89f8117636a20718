//! Cells as people write them: each works, or is answered with the right hint; and one's own clubs are fitted from the
//! installed program alone.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, unwrapped};

/// What is written for a clue, and what it means: the word that the bench sheet has for it, `-` for a cell that says
/// nothing, `unreadable`.
const TAKEN: [(&str, &str, &str); 56] = [
    ("pin_direction", "side to side", "side_side"),
    ("pin_direction", "Side-to-side", "side_side"),
    ("pin_direction", "heel to toe", "side_side"),
    ("pin_direction", "front to back", "front_back"),
    ("pin_direction", "back to front", "front_back"),
    ("pin_direction", "none", "none_visible"),
    ("pin_direction", "N/A", "-"),
    ("pin_direction", "unknown", "-"),
    ("pin_direction", "-", "-"),
    ("pin_direction", "not examined", "-"),
    ("pin_direction", "illegible", "unreadable"),
    ("club_type", "cleek", "long"),
    ("club_type", "Mashie", "lofting"),
    ("club_type", "niblick", "trouble"),
    ("club_type", "Driving Iron", "long"),
    ("hand_and_size", "left-handed", "left"),
    ("hosel_join", "curved", "curve"),
    ("hosel_join", "sharp | rounded", "sharp|soft"),
    ("hammer_weld", "none", "none_seen"),
    ("hammer_weld", "absent", "none_seen"),
    ("hosel_join", "curved?", "curve?"),
    ("hand_and_size", "LH", "left"),
    ("face_scoring", "unscored", "smooth"),
    ("face_scoring", "?", "-"),
    ("nicking_coarseness", "fine or medium", "medium|fine"),
    ("nicking_coarseness", "fine/medium?", "medium|fine?"),
    ("stamping_method", "rolled or etched", "roll_or_etch"),
    ("face_scoring", "Deep groove", "deep_ribs"),
    ("head_finish", "nickel plated", "nickel"),
    ("head_finish", "chromed", "chrome"),
    ("head_finish", "stainless", "rustless"),
    ("head_finish", "brass", "gunmetal"),
    ("marks_on_head", "none", "absent"),
    ("name_or_number", "none", "absent"),
    ("name_or_number", "numbered", "number"),
    ("hosel_to_crease", "4 1/4\"", "4.25"),
    ("hosel_to_crease", "108 mm", "108 mm"),
    ("hosel_to_crease", "unknown", "-"),
    ("hosel_to_crease", "4 to 4.5", "4.25 +/- 0.25"),
    ("hosel_to_crease", "4,2", "4.2"),
    ("nicking_coarseness", "medium?|fine?", "medium|fine?"),
    ("pin_direction", "\u{2013}", "-"),
    ("country_wording", "Scotland", "country"),
    ("country_wording", "Made in Great Britain", "made_in"),
    ("quality_wording", "rustless", "stainless"),
    ("toe_shape", "pointed", "other"),
    ("corrosion", "clean", "none"),
    ("sole_form", "rounded", "cambered"),
    ("face_scoring", "hand punched dots", "hand_dots"),
    ("face_hollow", "slightly hollow", "slight"),
    ("royal_device", "VR", "victoria"),
    ("hand_and_size", "boys", "juvenile"),
    ("hand_and_size", "women's", "ladies"),
    ("club_type", "sand wedge", "trouble"),
    ("nicking_coarseness", "no nicking", "absent"),
    ("quality_wording", "Hand forged", "hand_forged"),
];

/// What is refused, and what the answer says.
const REFUSED: [(&str, &str, &str); 20] = [
    ("pin_direction", "sidewise", "allowed: front_back, oblique, side_side, none_visible"),
    ("pin_direction", "frontback", "did you mean \"front_back\""),
    ("hosel_to_crease", "none", "no measure"),
    ("hosel_to_crease", "3-Jan", "looks like a date"),
    ("hosel_to_crease", "114", "write 114 mm, if it is that; a bare number is in inches"),
    ("head_weight", "c. 15 oz", "for example 15 oz +/- 0.5"),
    ("hosel_to_crease", "about 4", "with how far it may be off, for example 4 +/- 0.1"),
    ("hosel_to_crease", "4,125", "for thousands?"),
    ("pin_direction", "altered?", "write altered where it is so"),
    ("pin_direction", "frm front to back", "did you mean \"front_back\""),
    ("hosel_to_crease", "41", "outside the range"),
    ("face_scoring", "lines?|dots", "allowed:"),
    ("corrosion", "rusty", "allowed:"),
    ("design_number", "none", "leave it blank where no such number stands"),
    ("face_hollow", "hollow", "did you mean \"dished\" or \"slight\""),
    ("marks_on_head", "nil", "write absent where there is none"),
    ("face_scoring", "nil", "write what was seen (smooth,"),
    ("marks_on_head", "yes", "write what was seen (absent,"),
    ("face_scoring", "original", "how well it is kept stands under condition"),
    ("hosel_to_crease", "good", "how well it is kept stands under condition"),
];

/// The answer to a club with one more reading.
fn answer(bench: &Bench, clue: &str, word: &str) -> serde_json::Value {
    let base = if clue == "nicking_coarseness" { "nicking_regularity" } else { "nicking_coarseness" };
    let level = if base == "nicking_coarseness" { "fine" } else { "even" };
    let quoted = word.replace('"', "\"\"");
    bench.write("own.csv", format!("id,{base},{clue}\nown,{level},\"{quoted}\"\n"));
    bench.json(&["date", "own.csv", "--format", "json"]).remove(0)
}

#[test]
fn cells_as_people_write_them_are_taken() {
    let bench = Bench::new();
    for (clue, written, meant) in TAKEN {
        let meant = if meant == "-" { "" } else { meant };
        let (got, want) = (answer(&bench, clue, written), answer(&bench, clue, meant));
        assert_eq!(got["probability"], want["probability"], "{clue}: {written:?} is {meant:?}");
        assert_eq!(got["unused"], want["unused"], "{clue}: {written:?} is {meant:?}");
        // What is taken for a reading is one: it is in the ledger, or stands among those that do not count.
        let entries = got["ledger"]["entries"].as_array().unwrap().len() + got["unused"].as_array().unwrap().len();
        assert_eq!(entries, if meant.is_empty() { 1 } else { 2 }, "{clue}: {written:?}");
    }
}

/// An editor that checks by the schema takes what the reader takes, and marks words that are none of the clue's.
#[test]
fn the_schema_of_a_record_takes_the_same_words() {
    let schema: serde_json::Value = serde_json::from_str(&Bench::new().run(&["schema", "record"]).stdout).unwrap();
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    let is_valid = |clue: &str, word: &str, grade: serde_json::Value| {
        validator.is_valid(&serde_json::json!({ "id": "a", "date_grade": grade, "readings": { (clue): word } }))
    };
    for (clue, written, _) in TAKEN {
        assert!(is_valid(clue, written, 1.into()), "{clue}: {written:?}");
    }
    for (clue, written) in [
        ("pin_direction", "sidewise"),
        ("pin_direction", "frontback"),
        ("pin_direction", "frm front to back"),
        ("corrosion", "rusty"),
        ("nicking_coarseness", "fine or mediun"),
        ("hosel_to_crease", "none"),
    ] {
        assert!(!is_valid(clue, written, 1.into()), "{clue}: {written:?}");
    }
    assert!(is_valid("face_scoring", "smooth", "3".into()) && is_valid("royal_device", "my own mark", 5.into()));
    for wrong in [serde_json::json!(9), serde_json::json!(0), serde_json::json!("good"), serde_json::json!(1.5)] {
        assert!(!is_valid("face_scoring", "smooth", wrong.clone()), "{wrong}");
    }
}

#[test]
fn what_cannot_be_taken_is_answered_with_a_hint() {
    let bench = Bench::new();
    for (clue, written, hint) in REFUSED {
        bench.write("own.csv", format!("id,{clue}\nown,\"{written}\"\n"));
        let outcome = bench.run(&["date", "own.csv"]);
        assert_eq!(outcome.code, 3, "{clue}: {written:?}: {}", outcome.stdout);
        let told = unwrapped(&outcome.stderr);
        assert!(told.contains("own.csv:2:5, club own, column") && told.contains(hint), "{told}");
    }
}

/// From the installed program alone: clubs by the starter catalogue, with its rules and without, and then by a
/// catalogue of one's own that began as it.
#[test]
fn own_clubs_are_fitted_without_a_file_of_the_project() {
    let bench = Bench::new();
    let mut clubs = "id,made_from,made_to,hosel_to_crease,nicking_coarseness,club_type\n".to_owned();
    for n in 0..24 {
        let (year, kind) = (1862 + 3 * n, ["cleek", "mashie"][n % 2]);
        let word = if n * 5 % 7 + n / 4 > 5 { "fine" } else { "coarse" };
        clubs += &format!("k{n},{year},{year},{:.2},{word},{kind}\n", 5.2 - 0.07 * n as f64 + 0.1 * (n % 3) as f64);
    }
    bench.write("own.csv", clubs);
    let fit = |extra: &[&str]| {
        let outcome = bench.run(&[&["fit", "--collection", "own.csv", "--no-audit", "--force"][..], extra].concat());
        assert_eq!(outcome.code, 0, "{}", outcome.stderr);
        unwrapped(&outcome.stderr)
    };
    assert!(fit(&["--out", "with.toml"]).contains("fitted on 24 dated clubs of 1862-1931 and rules of thumb"));
    assert!(!fit(&["--no-rules", "--out", "alone.toml"]).contains("and rules of thumb"));
    let write = ["catalogue", "--out", "mine.toml", "--rules", "my-rules.toml"];
    assert_eq!(bench.run(&write).code, 0);
    fit(&["--catalogue", "mine.toml", "--rules", "my-rules.toml", "--out", "mine-with.toml"]);
    fit(&["--catalogue", "mine.toml", "--out", "mine-alone.toml"]);
    let dated = |calibration: &str| {
        let answers =
            bench.json(&["date", "own.csv", "--calibration", calibration, "--club", "k9", "--format", "json"]);
        answers[0]["probability"].clone()
    };
    assert_eq!(dated("with.toml"), dated("mine-with.toml"), "the rules that are built in are those that are written");
    assert_ne!(dated("with.toml"), dated("alone.toml"));
    assert_ne!(dated("mine-with.toml"), dated("mine-alone.toml"));
    // A second time nothing is replaced, and nothing is written where one of the files is in the way.
    let before = bench.files();
    let again = bench.run(&["catalogue", "--out", "other.toml", "--rules", "mine.toml"]);
    assert_eq!((again.code, bench.files()), (3, before.clone()), "{}", again.stderr);
    let one_for_two = bench.run(&["catalogue", "--out", "new.toml", "--rules", "new-marks.csv"]);
    assert_eq!((one_for_two.code, bench.files()), (2, before), "{}", one_for_two.stderr);
    // The audit takes the same.
    let audit = bench.run(&["audit", "--collection", "own.csv", "--no-rules", "--folds", "4", "--no-shelf"]);
    assert_eq!(audit.code, 0, "{}", audit.stderr);
}
