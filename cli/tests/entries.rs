//! What a catalogue's entry and a schedule say of the readings: phrases of the catalogue's making, in its sentences.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project};

fn write_up(bench: &Bench, readings: &str, more: &[&str]) -> (String, String) {
    bench.write("club.toml", format!("id = \"a\"\n[readings]\n{readings}\n"));
    let pages = ["write-up", "club.toml", "--page", "catalogue", "--page", "insurance", "--out", "p", "--force"];
    let run = bench.run(&[&pages[..], more].concat());
    assert_eq!(run.code, 0, "{}", run.stderr);
    (bench.read("p/a/catalogue-entry.md"), bench.read("p/a/insurance-schedule.md"))
}

#[test]
fn readings_are_told_in_sentences_measures_last() {
    let bench = Bench::new();
    let readings = "top_edge = \"0.125\"\nhammer_weld = \"trace?\"\nface_scoring = \"smooth\"\nhosel_join = \"curve\"\n\
                    nicking_coarseness = \"coarse|medium\"\nmarks_on_head = \"one_mark\"\niron_grain = \"unreadable\"\n\
                    grip_material = \"wool\"\nclub_type = \"trouble\"";
    let (entry, schedule) = write_up(&bench, readings, &[]);
    let sentences = [
        "Track iron, niblick or bunker iron.",
        "Coarse nicking or medium nicking.",
        "Hosel curving into the blade, trace of a hosel seam (doubtful).",
        "Smooth face.",
        "One mark on the head.",
        "Grip of wool or cloth.",
        "Top edge 0.125 in.",
    ];
    let places: Vec<usize> =
        sentences.iter().map(|told| entry.find(told).unwrap_or_else(|| panic!("{told}: {entry}"))).collect();
    assert!(places.is_sorted(), "{entry}");
    assert!(!entry.contains("grain"), "what could not be read is not told: {entry}");
    let line = |heading: &str| schedule.lines().find(|line| line.contains(heading)).unwrap();
    assert!(line("Inscriptions").contains("Marks on the head: one mark"), "{schedule}");
    assert!(!line("Distinguishing").contains("Marks on the head") && line("Distinguishing").contains("Hosel seam"));
    let (_, schedule) = write_up(&bench, "hosel_join = \"curve\"", &[]);
    assert!(schedule.lines().any(|line| line.contains("Inscriptions") && line.contains("not recorded")), "{schedule}");
}

/// A catalogue without phrases is told by the names of its clues.
#[test]
fn without_phrases_the_names_of_the_clues_stand() {
    let bench = Bench::fitted();
    let (entry, _) = write_up(&bench, "hosel = \"4\"\npin = \"side_side?\"", &["--calibration", "cal.toml"]);
    assert!(entry.contains("ide side (doubtful)") && entry.contains("osel length, rim to crease: 4 in"), "{entry}");
}

/// Every phrase of the starter catalogue stands in an entry as it is written: no level is told by another's.
#[test]
fn every_level_is_told_by_its_own_phrase() {
    let bench = Bench::new();
    let text = std::fs::read_to_string(project().join("cli/irons/irons.toml")).unwrap();
    let catalogue: toml::Table = text.parse().unwrap();
    let clues: Vec<&toml::Value> = catalogue["clue"].as_array().unwrap().iter().collect();
    for clue in clues.iter().filter(|clue| clue["kind"].as_str() == Some("levels")).take(12) {
        let levels = clue["levels"].as_array().unwrap();
        for level in levels.iter().filter(|level| level.get("phrase").is_some()) {
            let (id, level_id) = (clue["id"].as_str().unwrap(), level["id"].as_str().unwrap());
            let (entry, _) = write_up(&bench, &format!("{id} = \"{level_id}\""), &[]);
            let phrase = level["phrase"].as_str().unwrap();
            assert!(entry.contains(&phrase[1..]), "{id}: {level_id}: {entry}");
        }
    }
}

/// A label says that size and make disagree where they do, and there alone; with room it sends to a specialist.
#[test]
fn a_label_tells_of_size_and_make_that_disagree() {
    let bench = Bench::new();
    let (mut told, mut silent) = (0, 0);
    for (hosel, edge) in [("5 1/2 in", "0.1"), ("3 in", "0.25"), ("4 in", "0.14")] {
        for make in ["pin_direction = \"front_back\"\nnicking_regularity = \"irregular\"", "head_finish = \"chrome\""] {
            let readings = format!("hosel_to_crease = \"{hosel}\"\ntop_edge = \"{edge}\"\n{make}");
            bench.write("club.toml", format!("id = \"a\"\n[readings]\n{readings}\n[text]\ntitle = \"Iron\"\n"));
            let run = bench.run(&["write-up", "club.toml", "--page", "label", "--out", "p", "--force"]);
            assert_eq!(run.code, 0, "{}", run.stderr);
            let label = bench.read("p/a/label.md");
            let warnings = bench.json(&["date", "club.toml", "--format", "json"])[0]["warnings"].clone();
            let has = |kind: &str| warnings.as_array().unwrap().iter().any(|warning| warning["kind"] == kind);
            let expected = has("conflict") && !has("two-answers");
            assert_eq!(label.contains("Its size and make point to different times"), expected, "{warnings} {label}");
            assert!(!expected || label.contains("let a specialist see it"), "{label}");
            let words = label.split("\n> Before").next().unwrap().split_whitespace().count();
            assert!((25..=50).contains(&words), "{words}: {label}");
            if expected { told += 1 } else { silent += 1 }
        }
    }
    assert!(told > 0 && silent > 0, "{told} {silent}");
}
