//! Bad input: a message with file, line, column, value and the nearest word; exit code 3; nothing written.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, CATALOGUE, project, unwrapped};

/// Fits with one file replaced, and expects a refusal that says all of `told`.
fn refused(name: &str, contents: impl AsRef<[u8]>, told: &[&str]) {
    let bench = Bench::new();
    bench.write(name, contents);
    let before = bench.files();
    let outcome = bench.run(&["fit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--out", "cal.toml"]);
    assert_eq!(outcome.code, 3, "{}", outcome.stderr);
    assert_eq!(outcome.stdout, "");
    assert_eq!(bench.files(), before, "nothing is written");
    for part in told {
        assert!(outcome.stderr.contains(part), "{part:?} is missing from:\n{}", outcome.stderr);
    }
    assert!(!outcome.stderr.contains("panicked"), "{}", outcome.stderr);
    assert!(!outcome.stderr.chars().any(|c| c.is_control() && c != '\n'), "{:?}", outcome.stderr);
    for line in outcome.stderr.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

fn rows(rows: &str) -> String {
    format!("id,made_from,made_to,hosel,pin,nicking\n{rows}\n")
}

#[test]
fn cells_of_a_collection() {
    refused(
        "dated.csv",
        rows("A,1850,1850,4,frontback,fine"),
        &["dated.csv:2:15", "frontback", "did you mean \"front_back\"", "club A, column pin"],
    );
    refused(
        "dated.csv",
        rows("A,1850,1850,4 furlongs,side_side,fine"),
        &["dated.csv:2:13", "furlongs", "allowed: in, mm, cm"],
    );
    refused("dated.csv", rows("A,1850,1850,12,side_side,fine"), &["dated.csv:2:13", "\"12\"", "1.5 to 8 in"]);
    refused(
        "dated.csv",
        rows("A,1850,1850,03-Jan,side_side,fine"),
        &["dated.csv:2:13", "03-Jan", "looks like a date", "format the column", "as text"],
    );
    refused("dated.csv", rows("A,1850,1850,\"3,125\",side_side,fine"), &["dated.csv:2:13", "for thousands"]);
    refused("dated.csv", rows("A,1850,1850,4,absent,fine"), &["dated.csv:2:15", "absent", "unreadable"]);
    refused("dated.csv", rows("A,1850,1850,NaN,side_side,fine"), &["dated.csv:2:13", "NaN"]);
}

#[test]
fn dates_and_ids_of_a_collection() {
    refused(
        "dated.csv",
        rows("A,1860,1850,4,side_side,fine"),
        &["dated.csv:2:3", "made_from 1860 is after made_to 1850"],
    );
    refused("dated.csv", rows("A,1790,1850,4,side_side,fine"), &["dated.csv:2:3", "1790", "1800 to 1899"]);
    refused(
        "dated.csv",
        rows("A,1850,1900,4,side_side,fine"),
        &["dated.csv:2:8", "1900", "1800 to 1899", "column made_to"],
    );
    refused("dated.csv", rows("A,old,1850,4,side_side,fine"), &["dated.csv:2:3", "old", "no year", "c. 1890"]);
    refused("dated.csv", rows("A,1850,,4,side_side,fine"), &["dated.csv:2:8", "made_to is blank"]);
    refused(
        "dated.csv",
        rows("A,1850,1850,4,side_side,fine\nA,1851,1851,4,side_side,fine"),
        &["dated.csv:3:1", "\"A\" stands twice", "line 2"],
    );
    refused("dated.csv", rows(",1850,1850,4,side_side,fine"), &["dated.csv:2:1", "no id"]);
    refused(
        "dated.csv",
        "id,made_from,made_to,date_grade,hosel\nA,1850,1850,6,4\n",
        &["dated.csv:2:13", "date grade 6"],
    );
}

#[test]
fn shapes_of_a_collection() {
    refused(
        "dated.csv",
        "id,made_from,made_to,hosel,pinn\nA,1850,1850,4,side_side\n",
        &["dated.csv:1:28", "pinn", "did you mean \"pin\"", "--ignore \"pinn\""],
    );
    refused(
        "dated.csv",
        "id,made_from,made_to,hosel,Hosel (in)\nA,1850,1850,4,4\n",
        &["dated.csv:1:28", "columns \"hosel\" and \"Hosel (in)\" mean the same"],
    );
    refused("dated.csv", "made_from,made_to,hosel\n1850,1850,4\n", &["dated.csv:1:1", "no column \"id\""]);
    refused("dated.csv", rows("A,1850,1850,4,side_side"), &["dated.csv:2:1", "5 cells", "6"]);
    refused("dated.csv", rows("A,1850,1850,4,\"side_side,fine"), &["dated.csv:2:15", "never closed"]);
    refused("dated.csv", rows(""), &["dated.csv", "no club"]);
    refused("dated.csv", "", &["dated.csv", "empty"]);
    refused("dated.csv", b"id,made_from,made_to,hosel\nA,1850,1850,3\xbd\n", &["dated.csv:2:14", "0xbd", "UTF-8"]);
    refused("dated.csv", rows("A,,,4,side_side,fine"), &["no dated club"]);
}

/// CRLF, quotes and blank lines do not move the places named.
#[test]
fn places_are_exact_with_crlf_quotes_and_blank_lines() {
    let table = "id,made_from,made_to,hosel,pin,nicking\r\n\r\n\"A, first\",1850,1850,4,side_side,fine\r\n\
     B,1850,1850,\"3 1/2\"\"\",sideside,fine\r\n";
    refused("dated.csv", table, &["dated.csv:4:23", "sideside", "side_side"]);
}

#[test]
fn catalogues() {
    refused("cat.toml", CATALOGUE.replace("kind = \"levels\"", "kind = \"level\""), &["cat.toml:", "level"]);
    refused(
        "cat.toml",
        CATALOGUE.replace("id = \"nicking\"", "id = \"pin\""),
        &["cat.toml:21:6", "\"pin\" stands twice"],
    );
    refused("cat.toml", CATALOGUE.replace("misread = 0.05", "misread = 1.5"), &["cat.toml:", "pin", "1.5"]);
    refused("cat.toml", CATALOGUE.replace("[1.5, 8]", "[8, 1.5]"), &["cat.toml:", "hosel", "[8, 1.5]"]);
    refused("cat.toml", CATALOGUE.replace("to = 1900", "to = 1800"), &["cat.toml", "1800"]);
    refused("cat.toml", CATALOGUE.replace("id = \"pin\"", "id = \"Pin\""), &["cat.toml:", "Pin", "a-z"]);
    refused("cat.toml", format!("{CATALOGUE}\nbroken ="), &["cat.toml:", "broken ="]);
    refused("cat.toml", CATALOGUE.replace("part = \"head\"", "part = \"hed\""), &["cat.toml:", "hed", "head"]);
}

#[test]
fn an_output_that_exists_stays_as_it_is() {
    let bench = Bench::new();
    bench.write("cal.toml", "mine");
    let arguments = ["fit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--out", "cal.toml"];
    let outcome = bench.run(&arguments);
    assert_eq!((outcome.code, bench.read("cal.toml").as_str()), (3, "mine"), "{}", outcome.stderr);
    assert!(outcome.stderr.contains("cal.toml exists") && outcome.stderr.contains("--force"));
    let forced = bench.run(&[&arguments[..], &["--force"]].concat());
    assert_eq!(forced.code, 0, "{}", forced.stderr);
    assert!(bench.read("cal.toml").contains("schema = 1"));
}

#[test]
fn records() {
    let bench = Bench::fitted();
    let refused = |record: &str, told: &[&str]| {
        bench.write("r.toml", record);
        let outcome = bench.run(&["date", "r.toml", "--calibration", "cal.toml"]);
        assert_eq!((outcome.code, outcome.stdout.as_str()), (3, ""), "{}", outcome.stderr);
        for part in told {
            assert!(outcome.stderr.contains(part), "{part:?} is missing from:\n{}", outcome.stderr);
        }
    };
    refused("id = \"a\"\ncatalogue = \"Other\"\n[readings]\nhosel = 4\n", &["r.toml:2:13", "\"Other\"", "\"Small\""]);
    refused("id = \"a\"\n[readings]\nhossel = 4\n", &["r.toml:3:1", "hossel", "did you mean \"hosel\""]);
    refused("id = \"a\"\n[readings]\nhosel = 40\n", &["r.toml:3:9", "40", "1.5 to 8"]);
    refused("id = \"a\"\n[readings]\npin = \"side\"\n", &["r.toml:3:7", "\"side\"", "side_side"]);
    refused("id = \"a\"\n[readings]\npin = [1]\n", &["r.toml:3:7", "array"]);
    refused("id = \"a\"\n[readings\n", &["r.toml:2:"]);
    refused("[readings]\npin = \"side_side\"\n", &["id"]);
    refused("id = \"a\"\nreading = 1\n", &["r.toml:2:1", "reading"]);
}

#[test]
fn calibrations() {
    let bench = Bench::fitted();
    bench.write("r.toml", "id = \"a\"\n[readings]\nhosel = 4\n");
    let good = bench.read("cal.toml");
    let date = |calibration: &str| {
        bench.write("edited.toml", calibration);
        bench.run(&["date", "r.toml", "--calibration", "edited.toml"])
    };
    let refused = |calibration: &str, told: &[&str]| {
        let outcome = date(calibration);
        assert_eq!((outcome.code, outcome.stdout.as_str()), (3, ""), "{}", outcome.stderr);
        for part in told {
            assert!(outcome.stderr.contains(part), "{part:?} is missing from:\n{}", outcome.stderr);
        }
    };
    refused(&good.replace("schema = 1", "schema = 9"), &["schema 9"]);
    refused(&good.replacen("sd = 0.0", "sd = -0.0", 1), &["hosel", "sd"]);
    refused(&good.replacen("misread = 0.05", "misread = 5.0", 1), &["pin", "misread", "5"]);
    refused(&good.replacen("[[prior]]", "[[priors]]", 1), &["edited.toml:", "priors"]);
    refused(&good.replace("default_prior = \"as-collected\"", "default_prior = \"mine\""), &["mine"]);
    refused(&good.replacen("bandwidth = ", "bandwidth = -", 1), &["pin", "bandwidth"]);
    let mean = good.find("mean = ").unwrap() + 7;
    refused(&format!("{}9{}", &good[..mean], &good[mean..]), &["hosel", "mean = 9", "must lie between"]);
    refused("", &["edited.toml"]);
    // A share moved by hand: a little is brought to 1 with a note, much is refused.
    let at = good.find("front_back = ").unwrap();
    let share: f64 = good[at + 13..].split([',', ' ']).next().unwrap().parse().unwrap();
    let edited = |by: f64| {
        format!(
            "{}front_back = {}{}",
            &good[..at],
            share + by,
            &good[at + 13 + good[at + 13..].find([',', ' ']).unwrap()..]
        )
    };
    let noted = date(&edited(0.002));
    assert_eq!(noted.code, 0, "{}", noted.stderr);
    assert!(noted.stderr.contains("note: pin") && noted.stderr.contains("brought to 1"), "{}", noted.stderr);
    refused(&edited(0.02), &["pin", "sum to"]);
}

#[test]
fn wrong_usage_is_exit_code_2_and_a_missing_file_1() {
    let bench = Bench::fitted();
    bench.write("r.toml", "id = \"a\"\n[readings]\nhosel = 4\n");
    let code = |arguments: &[&str]| {
        let outcome = bench.run(arguments);
        assert_eq!(outcome.stdout, "");
        (outcome.code, outcome.stderr)
    };
    assert_eq!(code(&["date"]).0, 2);
    assert_eq!(code(&["undate"]).0, 2);
    let (number, told) = code(&["date", "r.toml", "--calibration", "cal.toml", "--without", "hosle"]);
    assert!(number == 2 && told.contains("did you mean \"hosel\""), "{told}");
    let (number, told) = code(&["date", "r.toml", "--calibration", "cal.toml", "--prior", "flatt"]);
    assert!(number == 2 && told.contains("did you mean \"flat\""), "{told}");
    let (number, told) = code(&["sensitivity", "dated.csv", "--calibration", "cal.toml"]);
    assert!(number == 2 && told.contains("--club"), "{told}");
    let (number, told) = code(&["date", "none.toml"]);
    assert!(number == 1 && told.contains("none.toml"), "{told}");
    let (number, told) = code(&["chart", "r.toml", "--calibration", "cal.toml", "--out", "x.gif"]);
    assert!(number == 2 && told.contains(".png"), "{told}");
    let (number, told) = code(&["date", "dated.csv", "--club", "C99", "--calibration", "cal.toml"]);
    assert!(number == 2 && told.contains("C99") && told.contains("did you mean \"C"), "{told}");
}

/// Nothing that was read is written over, whatever is forced.
#[test]
fn an_output_is_never_an_input() {
    let bench = Bench::fitted();
    let fit = ["fit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--force", "--out"];
    for out in ["cat.toml", "dated.csv", "./dated.csv"] {
        let before = bench.read(out);
        let outcome = bench.run(&[&fit[..], &[out]].concat());
        assert!(outcome.code == 2 && outcome.stderr.contains("is an input"), "{}", outcome.stderr);
        assert_eq!(bench.read(out), before);
    }
    let against = bench.run(&[&fit[..], &["cal.toml", "--against", "cal.toml"]].concat());
    assert_eq!(against.code, 2, "{}", against.stderr);
}

#[test]
fn control_characters_never_reach_a_page() {
    refused("dated.csv", rows("A,1850,1850,4,\u{1b}[31mside,fine"), &["dated.csv:2:15", "U+001B"]);
    refused("dated.csv", rows("A\u{1b}[31m,1850,1850,4,side_side,fine"), &["dated.csv:2:1", "U+001B"]);
    refused("dated.csv", rows("A,1850,1850,4 ± 9,side_side,fine"), &["dated.csv:2:13", "tolerance that wide"]);
    refused("dated.csv", rows("A,1850,1850,fine,side_side,fine"), &["dated.csv:2:13", "no measure", "unreadable"]);
}

#[test]
fn a_file_in_the_wrong_place_is_told_by_its_look() {
    let bench = Bench::fitted();
    bench.write("r.toml", "id = \"a\"\n[readings]\nhosel = 4\n");
    let told = |arguments: &[&str], part: &str| {
        let outcome = bench.run(arguments);
        assert!(outcome.code == 3 && outcome.stderr.contains(part), "{part}: {}", outcome.stderr);
    };
    told(&["date", "r.toml", "--calibration", "cat.toml"], "looks like a catalogue");
    told(&["date", "cal.toml", "--calibration", "cal.toml"], "looks like a calibration");
    told(&["clues", "--catalogue", "r.toml"], "looks like the record of a club");
    let bad_share =
        bench.run(&["audit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--require-coverage", "95"]);
    assert!(bad_share.code == 4 && bad_share.stderr.contains("0.95 for 95 %"), "{}", bad_share.stderr);
    let no_share =
        bench.run(&["audit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--require-coverage", "nan"]);
    assert_eq!(no_share.code, 2, "{}", no_share.stderr);
    // A mark that falls within a letter of several bytes.
    bench.write("r.toml", "id = \"a\"\n[readings]\nhosel = \"\" ± 0.02\"\n");
    let broken = bench.run(&["date", "r.toml", "--calibration", "cal.toml"]);
    assert!(broken.code == 3 && !broken.stderr.contains("panicked"), "{}", broken.stderr);
}

/// Traps that could never be sprung or would tell nothing, and labels that cannot be told apart, with their line.
#[test]
fn traps_and_labels_that_mean_nothing_are_refused() {
    let bench = Bench::new();
    let trap = |any: &str, message: &str| {
        format!("{CATALOGUE}\n[[trap]]\nclue = \"hosel\"\nany = {any}\nmessage = \"{message}\"\n")
    };
    let short = "[[{ clue = \"hosel\", below = \"3 in\" }]]";
    let labelled = |label: &str| {
        let levels = format!("levels = [\"front_back\", {{ id = \"side_side\", label = \"{label}\" }}]");
        CATALOGUE.replace("levels = [\"front_back\", \"side_side\"]", &levels)
    };
    let cases = [
        (trap(short, " "), "needs a message"),
        (trap(short, "a \\u001b[31m red one"), "needs a message"),
        (trap("[]", "m"), "conditions in each case"),
        (trap("[[]]", "m"), "conditions in each case"),
        (trap("[[{ clue = \"pin\", is = [] }]]", "m"), "conditions in each case"),
        (trap("[[{ clue = \"pin\", is = [\"sideways\"] }]]", "m"), "\"sideways\" is no level of pin"),
        (trap("[[{ clue = \"pin\", below = \"3 in\" }]]", "m"), "pin is not measured"),
        (trap("[[{ clue = \"hosel\", below = \"3 oz\" }]]", "m"), "its unit (in)"),
        (trap("[[{ clue = \"hosel\", below = \"3\" }]]", "m"), "\"3\" is no measure of hosel"),
        (trap("[[{ clue = \"hosel\", below = \"300 in\" }]]", "m"), "write one within its range"),
        (labelled("front back"), "another level's word"),
        (labelled("this|that"), "another level's word"),
        (labelled("unreadable"), "another level's word"),
    ];
    for (catalogue, why) in cases {
        bench.write("cat.toml", &catalogue);
        let run = bench.run(&["clues", "--catalogue", "cat.toml"]);
        assert_eq!(run.code, 3, "{why}: {}", run.stderr);
        let told = unwrapped(&run.stderr);
        assert!(told.contains(why) && told.contains("cat.toml:"), "{why}: {told}");
    }
    for catalogue in [trap(short, "So short?"), labelled("side to side")] {
        bench.write("cat.toml", &catalogue);
        assert_eq!(bench.run(&["clues", "--catalogue", "cat.toml"]).code, 0);
    }
}

/// A prior that stands twice is refused where it stands.
#[test]
fn a_prior_that_stands_twice_is_named_with_its_line() {
    let bench = Bench::new();
    let rules = std::fs::read_to_string(project().join("demo-data/rules.toml")).unwrap();
    let prior = &rules[rules.find("[[prior]]").unwrap()..];
    let prior = &prior[..prior[1..].find("\n[[").map_or(prior.len(), |end| end + 1)];
    bench.write("rules.toml", format!("{rules}\n{prior}\n"));
    let demo = |name: &str| project().join("demo-data").join(name).to_string_lossy().into_owned();
    let (catalogue, clubs) = (demo("irons.toml"), demo("wrackness.csv"));
    let fit = ["fit", "--catalogue", &catalogue, "--collection", &clubs, "--rules", "rules.toml", "--out", "o.toml"];
    let run = bench.run(&fit);
    assert_eq!(run.code, 3, "{}", run.stderr);
    let told = unwrapped(&run.stderr);
    assert!(told.contains("stands twice") && told.contains("rules.toml:"), "{told}");
    assert!(!bench.path("o.toml").exists());
}
