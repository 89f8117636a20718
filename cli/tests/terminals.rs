//! Text on a terminal: several clubs, the order they stand in, narrow pages, and a stop at the bench.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};
use std::io::{Read as _, Write as _};

fn demo(name: &str) -> String {
    project().join("demo-data").join(name).to_string_lossy().into_owned()
}

/// Several clubs have a line each, in the order asked for, and their accounts on request; notes stand once.
#[test]
fn several_clubs_have_a_line_each() {
    let bench = Bench::new();
    let undated = demo("undated.csv");
    let date = |more: &[&str]| {
        let run = bench.run(&[&["date", undated.as_str()][..], more].concat());
        assert_eq!(run.code, 0, "{}", run.stderr);
        run.stdout
    };
    let ids = |text: &str| -> Vec<String> {
        let rows = text.lines().skip(1).take_while(|line| !line.is_empty());
        rows.map(|line| line.split_whitespace().next().unwrap().to_owned()).collect()
    };
    let given = date(&[]);
    let all: Vec<String> = std::fs::read_to_string(&undated)
        .unwrap()
        .lines()
        .skip(1)
        .map(|line| line.split(',').next().unwrap().to_owned())
        .collect();
    assert_eq!(ids(&given), all);
    assert!(given.matches("(4 in 5)").count() + given.matches(", 4 in 5)").count() >= all.len(), "{given}");
    assert!(given.contains("What moved each: --ledger") && !given.contains("Ledger"), "{given}");
    let mut sorted = all.clone();
    sorted.sort();
    assert_eq!(ids(&date(&["--sort", "id"])), sorted);
    let by_year = ids(&date(&["--sort", "year"]));
    let medians = bench.json(&["date", &undated, "--format", "json"]);
    let median = |id: &String| medians.iter().find(|club| club["id"] == **id).unwrap()["median"].as_i64().unwrap();
    assert!(by_year.windows(2).all(|pair| median(&pair[0]) <= median(&pair[1])), "{by_year:?}");
    assert!(date(&["--before", "1900"]).lines().next().unwrap().contains("Before 1900"));
    let accounts = date(&["--ledger"]);
    assert_eq!(accounts.matches("Ledger: ").count(), all.len(), "{accounts}");
    for once in ["Misread: chance of", "no appraisal", "Calibration: "] {
        assert_eq!(accounts.matches(once).count(), 1, "{once}: {accounts}");
    }
    // What the line says is what the account says.
    for id in &all {
        let account = unwrapped(&date(&["--club", id]));
        let line = given.lines().find(|line| line.starts_with(&format!("{id} "))).unwrap();
        let told = line.split_once(' ').unwrap().1.trim();
        assert!(account.starts_with(&format!("{id}: {told}")), "{line} {account}");
    }
}

/// Seventeen clues, two of them out of step, and a trap: all of it on a screen of forty lines. Clues that moved it
/// little share a line with the sum of their moves, and
/// have one each with `--detail` and where they are fewer than three.
#[test]
fn an_answer_fits_forty_lines() {
    let bench = Bench::new();
    let record = demo("smooth-face.toml");
    let text = |more: &[&str]| bench.run(&[&["date", record.as_str()][..], more].concat()).stdout;
    let short = text(&[]);
    assert!(short.lines().count() <= 40, "{} lines:\n{short}", short.lines().count());
    let answer = &bench.json(&["date", &record, "--format", "json"])[0];
    let entries = answer["ledger"]["entries"].as_array().unwrap();
    assert_eq!(entries.len(), 17);
    let moves: Vec<f64> = entries.iter().map(|entry| entry["years"].as_f64().unwrap()).collect();
    let small: Vec<f64> = moves.iter().copied().filter(|years| (years * 10.0).round().abs() <= 5.0).collect();
    assert!(small.len() >= 3);
    let line = short.lines().find(|line| line.contains("others, 0.5 or less each")).unwrap();
    let words: Vec<&str> = line.split_whitespace().collect();
    assert_eq!(words[0], small.len().to_string());
    assert_eq!(words[words.len() - 1], format!("{:+.1}", small.iter().sum::<f64>()));
    assert!(!text(&["--detail"]).contains("or less each"));
    // With more to be told above it the ledger is shorter: larger moves share the line.
    let warned = "id,hosel_to_crease,top_edge,hosel_join,pin_direction,nicking_coarseness,nicking_regularity,\
                  face_scoring,face_hollow,iron_grain,hammer_weld,marks_on_head,name_or_number,stamping_method,\
                  toe_shape,design_number,corrosion,quality_wording\n\
                  w,4.2,0.2,soft,side_side,medium,fair,smooth,dished,slight,trace,one_mark,club_name,die,round,\
                  351202 (?),pitted,hand_forged\n";
    bench.write("warned.csv", warned);
    let told = bench.run(&["date", "warned.csv"]).stdout;
    assert!(told.lines().count() <= 40, "{} lines:\n{told}", told.lines().count());
    assert!(!told.contains("others, 0.5 or less each") && told.contains(" or less each"), "{told}");
    // Where no clue has a line of its own there are no others.
    bench.write("some.csv", "id,toe_shape,loft,blade_height\nx,round,24,1.5\n");
    let all = bench.run(&["date", "some.csv"]).stdout;
    assert!(all.contains("3 clues, 0.5 or less each") && !all.contains("others,"), "{all}");
    // Left with two that moved it little, each has its line; what is out of step would take the room.
    let mut few = vec!["--without", "marks_on_head", "--without", "hammer_weld"];
    let ids: Vec<&str> = entries.iter().map(|entry| entry["clue"].as_str().unwrap()).collect();
    let kept: Vec<&str> = ["club_type", "loft"].into_iter().filter(|id| ids.contains(id)).collect();
    assert_eq!(kept.len(), 2);
    for (id, years) in ids.iter().zip(&moves) {
        if (years * 10.0).round().abs() <= 5.0 && !kept.contains(id) {
            few.extend(["--without", id]);
        }
    }
    let few = text(&few);
    assert!(few.contains("Club type *") && few.contains("Loft *") && !few.contains("or less each"), "{few}");
}

/// Clubs side by side and in bars stand in the order of their middle years, unless another is asked for.
#[test]
fn compared_clubs_stand_in_order() {
    let bench = Bench::new();
    let (undated, clubs) = (demo("undated.csv"), ["set-iron", "old-heavy", "plain-cleek"]);
    let named: Vec<&str> = clubs.iter().flat_map(|id| ["--club", id]).collect();
    let order = |more: &[&str]| -> Vec<String> {
        let of = [&["compare", undated.as_str(), "--format", "json"][..], &named, more].concat();
        let answer = bench.json(&of).remove(0);
        answer["clubs"].as_array().unwrap().iter().map(|club| club["id"].as_str().unwrap().to_owned()).collect()
    };
    assert_eq!(order(&["--sort", "given"]), clubs);
    assert_eq!(order(&[])[0], "old-heavy");
    assert_eq!(order(&["--sort", "id"]), ["old-heavy", "plain-cleek", "set-iron"]);
    let text = bench.run(&[&["compare", undated.as_str()][..], &named].concat()).stdout;
    assert!(text.lines().nth(2).unwrap().starts_with("old-heavy is almost certainly the oldest"), "{text}");
}

/// Text is set to the terminal's width, from 50 columns on; the narrow account has the clues and their years.
#[test]
fn text_fits_narrow_terminals() {
    let bench = Bench::new();
    let (table, one, calibration) = (demo("undated.csv"), demo("smooth-face.toml"), demo("demo-calibration.toml"));
    bench.write("bad.csv", "id,pin_direction\nx,sideways_or_something_else_that_is_long\n");
    let questions: [&[&str]; 14] = [
        &["date", &table],
        &["date", &table, "--club", "plated", "--club", "worn", "--ledger", "--calibration", &calibration],
        &["date", &table, "--detail"],
        &["date", &one, "--like", "--calibration", &calibration],
        &["sensitivity", &one],
        &["why-not", &one, "--periods", "1850s"],
        &["next", &table, "--club", "worn"],
        &["compare", &table],
        &["compare", &table, "--club", "plated", "--club", "two-ages", "--calibration", &calibration],
        &["collection", &table],
        &["clues"],
        &["date", "bad.csv"],
        &["date", "no-such-file.csv"],
        &["audit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--folds", "4"],
    ];
    for columns in ["50", "63", "80", "10", "300"] {
        let widest = columns.parse::<usize>().unwrap().clamp(50, 80);
        for question in questions {
            let run = bench.run_in_columns(question, columns);
            for line in run.stdout.lines().chain(run.stderr.lines()) {
                assert!(line.chars().count() <= widest, "{columns} {question:?}: {line}");
            }
        }
    }
    let narrow = bench.run_in_columns(&["date", &one], "50").stdout;
    assert!(narrow.contains("Years") && !narrow.contains("Without it"), "{narrow}");
}

/// The words for what the keys do at the bench; a Ctrl-C says what is saved and how to go on.
#[test]
fn entry_takes_words_and_a_stop() {
    let bench = Bench::fitted();
    let record = ["record", "--out", "r.toml", "--calibration", "cal.toml", "--id", "A"];
    let run = bench.run_with(&record, "skip\nback\nhelp\n4.5\nside_side\nback\nclear\nstop\n");
    assert_eq!(run.code, 0, "{}", run.stderr);
    let kept = bench.read("r.toml");
    assert!(kept.contains("hosel = \"4.5\"") && !kept.contains("pin"), "{kept}");
    assert!(!kept.contains("skip") && !kept.contains("stop"), "{kept}");
}

#[cfg(unix)]
#[test]
fn a_stop_at_the_bench_says_what_is_saved() {
    use std::process::{Command, Stdio};
    let bench = Bench::fitted();
    for (answers, said) in [("4.5\n", "--resume"), ("", "Nothing was answered")] {
        let mut child = Command::new(assert_cmd::cargo::cargo_bin("agewright"))
            .args(["record", "--out", "stop.toml", "--calibration", "cal.toml", "--id", "A"])
            .current_dir(bench.path(""))
            .stdin(Stdio::piped())
            .stderr(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.as_mut().unwrap().write_all(answers.as_bytes()).unwrap();
        let (mut errors, mut seen) = (child.stderr.take().unwrap(), Vec::new());
        // It waits for an answer once it has asked.
        let asked = if answers.is_empty() { "1 of 3" } else { "2 of 3" };
        let mut byte = [0];
        while !String::from_utf8_lossy(&seen).contains(asked) {
            assert_eq!(errors.read(&mut byte).unwrap(), 1, "{}", String::from_utf8_lossy(&seen));
            seen.push(byte[0]);
        }
        let interrupt = Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
        assert!(interrupt.success());
        errors.read_to_end(&mut seen).unwrap();
        assert_eq!(child.wait().unwrap().code(), Some(130));
        let told = unwrapped(&String::from_utf8_lossy(&seen));
        assert!(told.contains(said), "{told}");
        assert_eq!(bench.path("stop.toml").exists(), !answers.is_empty());
        let _ = std::fs::remove_file(bench.path("stop.toml"));
    }
}
