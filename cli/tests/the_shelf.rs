//! The dated clubs that a calibration keeps: what is kept of them, what is shown, and what spoils them.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, unwrapped};

/// Clubs of the catalogue of the bench, with a note and an owner that nobody else is to see.
fn dated() -> String {
    let mut table = "id,made_from,made_to,hosel,pin,note,text.owner\n".to_owned();
    for n in 0..60 {
        let pin = if n < 20 + (n * 7) % 5 { "front_back" } else { "side_side" };
        table += &format!(
            "Smith-{n},{0},{0},{1:.2},{pin},found in the attic,J. Smith\n",
            1802 + n + n / 2,
            5.4 - 0.025 * f64::from(n) + 0.03 * f64::from(n % 3)
        );
    }
    table
}

fn fitted(more: &[&str]) -> (Bench, String) {
    let bench = Bench::new();
    bench.write("smith-attic.csv", dated());
    let mut arguments =
        vec!["fit", "--catalogue", "cat.toml", "--collection", "smith-attic.csv", "--out", "cal.toml", "--no-audit"];
    arguments.extend(more);
    let fit = bench.run(&arguments);
    assert_eq!(fit.code, 0, "{}", fit.stderr);
    (bench, unwrapped(&fit.stderr))
}

#[test]
fn readings_are_kept_and_nothing_else_of_a_club() {
    let (bench, told) = fitted(&[]);
    assert!(told.contains("keeps the readings of 60 dated clubs with their ids"), "{told}");
    let text = bench.read("cal.toml");
    assert!(told.contains(&format!("the file is {} kB", text.len().div_ceil(1000))), "{told}");
    assert!(text.contains("Smith-3") && !text.contains("attic\"") && !text.contains("J. Smith"));

    let (bench, told) = fitted(&["--anonymous"]);
    assert!(told.contains("without their ids"), "{told}");
    let text = bench.read("cal.toml");
    assert!(!text.to_lowercase().contains("smith") && text.contains("dated club 60"), "{text}");

    let (bench, told) = fitted(&["--no-shelf"]);
    assert!(!told.contains("keeps") && !bench.read("cal.toml").contains("[shelf]"));
}

#[test]
fn the_clubs_most_like_it_are_listed_with_what_differs() {
    let (bench, _) = fitted(&[]);
    bench.write("r.csv", "id,hosel,pin\nmine,4.71,side_side\nodd,7.9,\nblank,,\n");
    let run = |club: &str| {
        let shown = bench.run(&["date", "r.csv", "--calibration", "cal.toml", "--club", club, "--like"]);
        assert_eq!(shown.code, 0, "{}", shown.stderr);
        assert!(shown.stdout.lines().all(|line| line.chars().count() <= 80), "{}", shown.stdout);
        unwrapped(&shown.stdout)
    };
    let mine = run("mine");
    assert!(mine.contains("The 5 dated clubs of 60 that are most like it"), "{mine}");
    assert!(mine.contains("agrees: ") && mine.contains("of the votes"));
    let odd = run("odd");
    assert!(odd.contains("No dated club is much like it: the nearest of the 60 is further off"), "{odd}");
    let blank = run("blank");
    assert!(blank.contains("No clue was read that dated clubs could be laid beside it by."), "{blank}");

    let answer = &bench.json(&["date", "r.csv", "--calibration", "cal.toml", "--club", "mine", "--format", "json"])[0];
    let nearest = answer["like"]["nearest"].as_array().unwrap();
    assert_eq!((nearest.len(), answer["like"]["clubs"].as_u64()), (5, Some(60)));
    let shares: Vec<f64> = nearest.iter().map(|club| club["share"].as_f64().unwrap()).collect();
    assert!(shares.windows(2).all(|pair| pair[0] >= pair[1]) && shares.iter().sum::<f64>() <= 1.0);
    assert!(mine.contains(&format!("{}, {}: ", nearest[0]["id"].as_str().unwrap(), nearest[0]["from"])), "{mine}");

    let refused = bench.run(&["date", "r.csv", "--calibration", "cal.toml", "--like", "--format", "csv"]);
    assert_eq!(refused.code, 2);
    let built_in = bench.run(&["date", "r.csv", "--like", "--ignore", "hosel", "--ignore", "pin"]);
    assert!(unwrapped(&built_in.stdout).contains("keeps no dated clubs"), "{}{}", built_in.stdout, built_in.stderr);
}

/// A club of the collection has no vote on itself; under another name it is told that one club has nearly all votes.
#[test]
fn a_club_of_the_collection_is_known_by_its_id_and_readings() {
    let (bench, _) = fitted(&[]);
    let row = dated().lines().nth(14).unwrap().to_owned();
    let cells: Vec<&str> = row.split(',').collect();
    bench.write(
        "own.csv",
        format!("id,hosel,pin\n{},{},{}\nother,{},{}\n", cells[0], cells[3], cells[4], cells[3], cells[4]),
    );
    let answers = bench.json(&["date", "own.csv", "--calibration", "cal.toml", "--format", "json"]);
    assert_eq!(answers[0]["like"]["on_the_shelf"], true);
    assert_eq!(answers[0]["like"]["clubs"], 59);
    assert!(answers[0]["like"]["nearest"].as_array().unwrap().iter().all(|club| club["id"] != cells[0]));
    assert_eq!(answers[1]["like"]["on_the_shelf"], false);
    assert_eq!(answers[1]["like"]["nearest"][0]["id"], cells[0]);
}

/// What was edited by hand is refused with its place, and never stops the program.
#[test]
fn a_shelf_that_was_spoilt_is_refused_where_it_is() {
    let (bench, _) = fitted(&[]);
    let text = bench.read("cal.toml");
    bench.write("r.csv", "id,hosel,pin\nmine,4.71,side_side\n");
    let edits = [
        ("\"Smith-4\", 1808, 1808", "\"Smith-4\", 1700, 1808", "Smith-4"),
        ("\"Smith-4\", 1808, 1808", "\"Smith-4\", 1809, 1808", "Smith-4"),
        ("[\"Smith-4\", 1808, 1808, 1.0, [", "[\"Smith-4\", 1808, 1808, 1.0, [\"3.5\", ", "Smith-4"),
        ("1808, 1808, 1.0, [", "1808, 1808, nan, [", "worth"),
        ("\"front_back\"]],", "\"sideways\"]],", "sideways"),
        ("width = ", "width = -", "width"),
        ("reach = ", "reach = inf # ", "reach"),
        ("[shelf]\nclues = [\"hosel\"", "[shelf]\nclues = [\"hozel\"", "hozel"),
    ];
    for (from, to, named) in edits {
        assert!(text.contains(from), "{from} is not in the file:\n{text}");
        bench.write("spoilt.toml", text.replacen(from, to, 1));
        let run = bench.run(&["date", "r.csv", "--calibration", "spoilt.toml"]);
        assert_eq!(run.code, 3, "{from} -> {to}: {}{}", run.stdout, run.stderr);
        assert!(run.stderr.contains(named) && run.stdout.is_empty(), "{from} -> {to}: {}", run.stderr);
    }
}

#[test]
fn charts_pages_and_comparisons_show_the_same_clubs() {
    let (bench, _) = fitted(&[]);
    bench.write("r.csv", "id,hosel,pin\nmine,4.71,side_side\nother,5.2,front_back\n");
    let answers = bench.json(&["date", "r.csv", "--calibration", "cal.toml", "--format", "json"]);
    let first = answers[0]["like"]["nearest"][0]["id"].as_str().unwrap();
    let compared = bench.run(&["compare", "r.csv", "--calibration", "cal.toml"]);
    assert!(unwrapped(&compared.stdout).contains(&format!("mine: {first}, ")), "{}", compared.stdout);
    let chart = bench.run(&["chart", "r.csv", "--calibration", "cal.toml", "--show", "like", "--club", "mine"]);
    assert!(chart.stdout.contains("<title>") && chart.stdout.contains(&format!("Most like it: {first}, ")));
    let pages = bench.run(&["write-up", "r.csv", "--calibration", "cal.toml", "--club", "mine", "--out", "pages"]);
    assert_eq!(pages.code, 0, "{}", pages.stderr);
    assert!(bench.read("pages/mine/report.md").contains(&format!("- {first}, ")));
}
