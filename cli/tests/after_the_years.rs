//! Shafts and grips of after the calibration's years, and replicas: what is told of them, and what rules may say.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};
use serde_json::Value;

const CLUBS: &str = "id,hosel_to_crease,face_scoring,shaft_making,shaft_fit,pin_kind,grip_material,grip_listing,\
                     earlier_grip\n\
                     again,4.3,smooth,turned,step,second_hole,tanned,tape,tide_marks\nplain,4.3,smooth,,,,,,\n";

/// The starter rules, nine in ten of their later grips of after the years.
fn mostly_after(bench: &Bench) {
    let own = std::fs::read_to_string(project().join("cli/irons/irons-calibration.toml")).unwrap();
    let (start, end) = (own.find("[[after.grip]]").unwrap(), own.find("[[after.look]]").unwrap());
    let grip = "[[after.grip]]\nyear = 1900\nchance = 0.9\n\n";
    bench.write("late.toml", format!("{}{grip}{}", &own[..start], &own[end..]));
}

#[test]
fn a_renewed_grip_is_told_to_be_of_after_the_years() {
    let bench = Bench::new();
    bench.write("r.csv", CLUBS);
    mostly_after(&bench);
    let text =
        bench.run(&["date", "r.csv", "--calibration", "late.toml", "--club", "again", "--before", "1947"]).stdout;
    let closing = text.lines().rfind(|line| line.starts_with("With all clues")).unwrap();
    assert!(closing.ends_with(" after 1939 (after 1939)"), "middle year and span of the grip: {text}");
    assert_eq!(text.matches("Misread: ").count(), 1, "how to read it stands once: {text}");
    let text = unwrapped(&text);
    assert!(text.contains("again, grip: after 1939 (4 in 5)"), "{text}");
    assert!(text.contains("After 1939: ") && text.contains("the ledger is of the years up to 1939."), "{text}");
    let grip = &text[text.find("again, grip:").unwrap()..];
    assert!(grip.contains(" at the least; ") && grip.contains("is for after 1939, where years are not told"), "{grip}");
    // Of a head that shows nothing of a replica nothing is said.
    let plain = unwrapped(&bench.run(&["date", "r.csv", "--calibration", "late.toml", "--club", "plain"]).stdout);
    assert!(!plain.contains("fter 1939"), "{plain}");
}

#[test]
fn tables_and_json_count_the_cell() {
    let bench = Bench::new();
    bench.write("r.csv", CLUBS);
    mostly_after(&bench);
    let answer = &bench.json(&[
        "date",
        "r.csv",
        "--calibration",
        "late.toml",
        "--club",
        "again",
        "--before",
        "1947",
        "--format",
        "json",
    ])[0];
    for part in [answer, &answer["other_parts"][0], &answer["other_parts"][1]] {
        let after = part["after"]["probability"].as_f64().unwrap();
        let years = part["probability"].as_array().unwrap().iter().map(|p| p.as_f64().unwrap()).sum::<f64>();
        assert!((years + after - 1.0).abs() < 1e-12 && part["after"]["from"] == 1940);
        assert!((part["before"]["probability"].as_f64().unwrap() + after - 1.0).abs() < 1e-12);
        assert!(part["before"]["at_least"] == true && part["before"]["verbal"] == Value::Null);
    }
    let grip = &answer["other_parts"][1];
    assert_eq!((&grip["median"], &grip["latest"], &grip["edtf"]), (&1940.into(), &Value::Null, &"[1940..]".into()));
    let csv = bench.run(&["date", "r.csv", "--calibration", "late.toml", "--format", "csv"]).stdout;
    let place = csv.lines().next().unwrap().split(',').position(|heading| heading == "probability_after").unwrap();
    let told: f64 = csv.lines().nth(1).unwrap().split(',').nth(place).unwrap().parse().unwrap();
    assert!((told - answer["after"]["probability"].as_f64().unwrap()).abs() < 6e-4);
    // A search by outer bounds finds the grip for ever.
    let art =
        &bench.json(&["date", "r.csv", "--calibration", "late.toml", "--club", "again", "--format", "linked-art"])[0];
    let span = |part: usize| &art["part"][part]["produced_by"]["timespan"];
    assert!(span(2)["end_of_the_end"] == Value::Null && span(2)["begin_of_the_begin"].is_string());
    assert!(span(0)["end_of_the_end"].is_string());
    let collection = bench.run(&["collection", "r.csv"]).stdout;
    assert!(collection.contains("after 1939"), "{collection}");
}

/// Charts and pages show the cell with the parts that may be of it, and with no others.
#[test]
fn pages_show_the_cell_where_it_matters() {
    let bench = Bench::new();
    bench.write("r.csv", CLUBS);
    mostly_after(&bench);
    assert_eq!(
        bench.run(&["write-up", "r.csv", "--calibration", "late.toml", "--club", "again", "--out", "p"]).code,
        0
    );
    let figure = |part: &str| bench.read(&format!("p/again/{part}.svg"));
    assert!(figure("grip").contains("after 1939") && figure("shaft").contains("after 1939"));
    assert!(!figure("head").contains("after 1939"));
    let report = unwrapped(&bench.read("p/again/report.md"));
    assert!(report.contains("the grip was made after 1939"), "{report}");
    assert!(report.contains("the ledger is of the years up to 1939"), "{report}");
    // A head with a number of 1957 is of after 1939, and what looks old on it is no reason for that.
    bench.write("n.csv", "id,hosel_to_crease,pin_direction,design_number\ncopy,5.2,front_back,882949\n");
    assert_eq!(bench.run(&["write-up", "n.csv", "--out", "p", "--page", "label"]).code, 0);
    let label = bench.read("p/copy/label.md");
    assert!(label.contains("Made after 1939.") && label.contains("What looks older on it may be copied."), "{label}");
    assert!(!label.contains("speaks for"), "{label}");
    // In a chart of bars the place for those years is named once, beside the span of the club; the account of one club
    // says that it is of others.
    bench.write("two.csv", "id,hosel_to_crease,pin_direction,design_number\ncopy,5.2,front_back,882949\nold,4.3,,\n");
    let chart = |club: &[&str]| bench.run(&[&["chart", "two.csv"][..], club].concat()).stdout;
    let words = |svg: &str| svg.split("</desc>").nth(1).unwrap().matches("after 1939").count();
    assert_eq!(words(&chart(&[])), 2);
    assert!(!chart(&[]).contains("1940"), "the year that stands for all later ones is no year to print");
    assert!(chart(&["--club", "copy"]).contains("moved the average year, of the years up to 1939"));
    assert!(!chart(&["--club", "old"]).contains("of the years up to"));
    // Of a head that shows nothing of such years neither question speaks of them.
    let told = |club: &[&str], asked: &[&str]| {
        let text = bench.run(&[asked, club].concat()).stdout;
        unwrapped(text.split(", shaft").next().unwrap())
    };
    let why_not = ["why-not", "--periods", "1880s", "1850s"];
    for (asked, words) in [
        (&["next"][..], "in a band those years count as one."),
        (&why_not, "In neither period, by all clues: after 1939: 9"),
    ] {
        let (copy, plain) = (told(&["n.csv"], asked), told(&["r.csv", "--club", "plain"], asked));
        assert!(copy.contains(words), "{copy}");
        assert!(plain.contains("plain: ") && !plain.contains("fter 1939"), "{plain}");
    }
    let copy = unwrapped(&bench.run(&["date", "n.csv"]).stdout);
    assert!(copy.contains("that it was made after 1939, as copies and late pieces are"), "{copy}");
}

#[test]
fn rules_of_later_years_are_checked() {
    let bench = Bench::new();
    let rules = std::fs::read_to_string(project().join("cli/irons/rules.toml")).unwrap();
    let catalogue = project().join("cli/irons/irons.toml").display().to_string();
    let refused = |changed: &str, told: &[&str]| {
        bench.write("rules.toml", changed);
        let run = bench.run(&["fit", "--catalogue", &catalogue, "--rules", "rules.toml", "--out", "c.toml"]);
        let stderr = unwrapped(&run.stderr);
        assert!(run.code == 3 && told.iter().all(|words| stderr.contains(words)), "{told:?}: {stderr}");
        assert!(!bench.path("c.toml").exists(), "nothing is written");
    };
    refused(&rules.replace("head = 0.01\n", "head = 0.7\n"), &["chance of a head after the years = 0.7", "0.5"]);
    let grip = "{ year = 1890, chance = 0.3 }";
    refused(&rules.replace(grip, "{ year = 1890, chance = 1.5 }"), &["a later grip after the years at 1890 = 1.5"]);
    refused(&rules.replace(grip, "{ year = 1840, chance = 0.3 }"), &["chances of a later grip after the years"]);
    let look = "clue = \"grip_listing\"\nshares = { cloth = 0.1, tape = 0.55,";
    assert!(rules.contains(look));
    refused(&rules.replace(look, &look.replace("tape", "tapes")), &["\"tapes\" is no level of the clue"]);
    refused(
        &rules.replace(look, &look.replace("0.55", "0.95")),
        &["look \"grip_listing\" after the years", "sum to 1"],
    );
    refused(&rules.replace(look, &look.replace("grip_listing", "grip_lining")), &["no such clue with levels"]);
    let twice =
        format!("{rules}\n[[after.look]]\nclue = \"heart_and_sap\"\nshares = {{ both = 0.1, one_only = 0.9 }}\n");
    refused(&twice, &["look \"heart_and_sap\" after the years stands twice"]);
    let sign =
        format!("{rules}\n[[after.look]]\nclue = \"shaft_fit\"\nshares = {{ flush = 0.5, step = 0.3, askew = 0.2 }}\n");
    refused(&sign, &["it is a sign of a later part already"]);
    refused("[after]\nhead = 0.01\n", &["stands without [parts]"]);
}

/// Old in its make and new in its marks and metal: no one club. One that agrees with itself is told no such thing.
#[test]
fn a_club_that_agrees_with_nothing_is_sent_to_a_specialist() {
    let bench = Bench::new();
    bench.write(
        "odd.csv",
        "id,hosel_to_crease,pin_direction,iron_grain,nicking_coarseness,hosel_join,clenched_teeth,hammer_weld,\
         face_hollow,name_or_number,head_finish,stamping_method,country_wording,face_scoring,scoring_regularity\n\
         mixed,5.2,front_back,strong,coarse,sharp,swollen,open,dished,number,chrome,roll_or_etch,made_in,\
         deep_ribs,die\n\
         old,5.2,front_back,strong,coarse,sharp,swollen,open,dished,absent,bare,letters,absent,smooth,\n",
    );
    let told = |id: &str| unwrapped(&bench.run(&["date", "odd.csv", "--club", id]).stdout);
    let (mixed, old) = (told("mixed"), told("old"));
    assert!(mixed.contains("of its 14 readings are out of step with the rest: the kind of club"), "{mixed}");
    assert!(!old.contains("as copies are") && !old.contains("are out of step"), "{old}");
}
