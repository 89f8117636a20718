//! Fits that are thin or odd, and charts that are the same bytes every time.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, unwrapped};

#[test]
fn clues_with_too_few_clubs_or_without_variety_are_left_out_and_the_rest_goes_on() {
    let bench = Bench::new();
    let mut table = "id,made_from,made_to,hosel,pin,nicking\n".to_owned();
    for n in 0..12 {
        let pin = if n < 2 { "front_back" } else { "" };
        table += &format!(
            "C{n},{0},{0},{1:.2},{pin},fine\n",
            1810 + 6 * n,
            5.0 - 0.05 * f64::from(n) + 0.02 * f64::from(n % 3)
        );
    }
    bench.write("dated.csv", &table);
    let fit = bench.run(&["fit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--out", "cal.toml"]);
    assert_eq!(fit.code, 0, "{}", fit.stderr);
    assert!(unwrapped(&fit.stderr).contains("(4 or more): pin (2)"), "{}", fit.stderr);
    assert!(unwrapped(&fit.stderr).contains("so the clue says nothing: nicking (12)"), "{}", fit.stderr);
    bench.write("r.csv", "id,hosel,pin\nA,4.6,front_back\n");
    let answer = &bench.json(&["date", "r.csv", "--calibration", "cal.toml", "--format", "json"])[0];
    assert_eq!(answer["warnings"][0]["kind"], "no-table");
    assert_eq!(answer["ledger"]["entries"].as_array().unwrap().len(), 1);
}

/// All clubs in one year, one club, measures without spread, measures that repeat each other: a useful result or a
/// clear refusal.
#[test]
fn degenerate_collections_never_give_not_a_number() {
    let cases = [
        (0..9).map(|n| format!("C{n},1850,1850,{},side_side,fine", 4 + n % 2)).collect::<Vec<_>>(),
        (0..9)
            .map(|n| format!("C{n},{0},{0},4,{1},fine", 1850 + n, if n < 5 { "front_back" } else { "side_side" }))
            .collect(),
        (0..9)
            .map(|n| {
                format!("C{n},1800,1899,{}.5,{},fine", 3 + n % 3, if n % 2 == 0 { "front_back" } else { "side_side" })
            })
            .collect(),
        vec!["C0,1850,1850,4,side_side,fine".to_owned()],
        (0..5).map(|n| format!("C{n},{0},{0},{1},side_side,", 1810 + 20 * n, 5.5 - 0.3 * f64::from(n))).collect(),
    ];
    for rows in cases {
        let bench = Bench::new();
        bench.write("dated.csv", format!("id,made_from,made_to,hosel,pin,nicking\n{}\n", rows.join("\n")));
        let fit = bench.run(&["fit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--out", "cal.toml"]);
        if fit.code == 3 {
            assert!(fit.stderr.contains("no clue has enough"), "{}", fit.stderr);
            continue;
        }
        assert_eq!(fit.code, 0, "{}", fit.stderr);
        assert!(!bench.read("cal.toml").to_lowercase().contains("nan"));
        bench.write("r.csv", "id,hosel,pin,nicking\nA,4.6,front_back,fine\nB,7.9,side_side,absent\n");
        for answer in bench.json(&["date", "r.csv", "--calibration", "cal.toml", "--format", "json"]) {
            let sum: f64 = answer["probability"].as_array().unwrap().iter().map(|p| p.as_f64().unwrap()).sum();
            assert!((sum - 1.0).abs() < 1e-12);
        }
    }
}

#[test]
fn a_wild_measure_is_set_aside_and_named() {
    let bench = Bench::new();
    let table = bench.read("dated.csv") + "WILD,1850,1850,1.6,side_side,fine\n";
    bench.write("dated.csv", table);
    let fit = bench.run(&["fit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--out", "cal.toml"]);
    assert!(fit.stderr.contains("club WILD, hosel = 1.6") && fit.stderr.contains("aside in the fit"), "{}", fit.stderr);
}

#[test]
fn clubs_of_own_opinion_do_not_count() {
    let bench = Bench::new();
    let graded = |extra: &str| {
        format!(
            "{}{extra}",
            bench
                .read("dated.csv")
                .replace("made_to,", "made_to,date_grade,")
                .lines()
                .enumerate()
                .map(|(n, line)| {
                    if n == 0 {
                        format!("{line}\n")
                    } else {
                        let mut cells: Vec<&str> = line.split(',').collect();
                        cells.insert(3, "1");
                        format!("{}\n", cells.join(","))
                    }
                })
                .collect::<String>()
        )
    };
    bench.write("a.csv", graded(""));
    bench.write("b.csv", graded("OWN,1805,1805,5,2.0,side_side,fine\n"));
    for name in ["a", "b"] {
        let (csv, out) = (format!("{name}.csv"), format!("{name}.toml"));
        let fit = bench.run(&["fit", "--catalogue", "cat.toml", "--collection", &csv, "--out", &out, "--name", "same"]);
        assert_eq!(fit.code, 0, "{}", fit.stderr);
        assert_eq!(fit.stderr.contains("grade 5"), name == "b");
    }
    let tables = |name: &str| bench.read(name).split_once("[[prior]]").unwrap().1.to_owned();
    assert_eq!(tables("a.toml"), tables("b.toml"));
}

#[test]
fn the_same_fit_gives_the_same_bytes_whatever_the_threads() {
    let bench = Bench::new();
    for (out, threads) in [("one.toml", "1"), ("many.toml", "7")] {
        let status = assert_cmd::Command::cargo_bin("agewright")
            .unwrap()
            .args(["fit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--out", out])
            .env("RAYON_NUM_THREADS", threads)
            .current_dir(bench.path(""))
            .output()
            .unwrap();
        assert!(status.status.success());
    }
    assert_eq!(bench.read("one.toml"), bench.read("many.toml"));
}

#[test]
fn charts_are_the_same_bytes_and_carry_a_description() {
    let bench = Bench::fitted();
    bench.write("r.csv", "id,hosel,pin\nA <&> B,4.6,front_back\nB,3.9,side_side\n");
    let chart = |out: &str| {
        let outcome = bench.run(&["chart", "r.csv", "--calibration", "cal.toml", "--out", out, "--show", "both"]);
        assert_eq!(outcome.code, 0, "{}", outcome.stderr);
        std::fs::read(bench.path(out)).unwrap()
    };
    assert_eq!(chart("a.svg"), chart("b.svg"));
    assert_eq!(chart("a.png"), chart("b.png"));
    let svg = bench.read("a.svg");
    assert!(
        svg.contains("role=\"img\"") && svg.contains("<title>") && svg.contains("<desc>A &lt;&amp;&gt; B:"),
        "{}",
        &svg[..400]
    );
    assert!(!svg.contains("<&>"));
    assert!(std::fs::read(bench.path("a.png")).unwrap().starts_with(b"\x89PNG"));
    let to_stdout = bench.run(&["chart", "r.csv", "--calibration", "cal.toml", "--show", "both"]);
    assert_eq!(to_stdout.stdout, svg);
}

#[test]
fn the_bench_sheet_names_every_clue_and_level_within_eighty_columns() {
    let bench = Bench::new();
    let sheet = bench.run(&["clues"]).stdout;
    for word in ["hosel_to_crease", "front to back", "deep ribs", "chisel-cut", "rim to crease", "1.5 to 8"] {
        assert!(sheet.contains(word), "{word}");
    }
    assert!(sheet.lines().all(|line| line.chars().count() <= 80));
    assert!(bench.run(&["clues", "--catalogue", "cat.toml"]).stdout.contains("1. Hosel length, rim to crease"));
}

/// Two measures that are one: collinear to the last digit.
#[test]
fn measures_that_are_copies_of_each_other_are_survived() {
    let bench = Bench::new();
    let copy = "[[clue]]\nid = \"hosel_mm\"\nkind = \"measured\"\nunit = \"mm\"\nscale = \"log\"\npart = \"head\"\n\
     misread = 0.03\n";
    bench.write("cat.toml", format!("{}\n{copy}", crate::private_folder::CATALOGUE));
    let table = bench.read("dated.csv");
    let copied: String = table
        .lines()
        .enumerate()
        .map(|(n, line)| {
            let hosel = line.split(',').nth(3).unwrap();
            let other = hosel.parse::<f64>().map_or("hosel_mm".to_owned(), |inches| format!("{}", inches * 25.4));
            assert!(n == 0 || other != "hosel_mm");
            format!("{line},{other}\n")
        })
        .collect();
    bench.write("dated.csv", copied);
    let fit = bench.run(&["fit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--out", "cal.toml"]);
    assert_eq!(fit.code, 0, "{}", fit.stderr);
    bench.write("r.csv", "id,hosel,hosel_mm\nonce,4.5,\ntwice,4.5,114.3\nodd,4.5,60\n");
    let answers = bench.json(&["date", "r.csv", "--calibration", "cal.toml", "--format", "json"]);
    let width =
        |n: usize| answers[n]["bands"][1]["to"].as_f64().unwrap() - answers[n]["bands"][1]["from"].as_f64().unwrap();
    assert!(width(1) > 0.75 * width(0), "the copy narrows {} to {}", width(0), width(1));
    assert!(answers[2]["mean"].as_f64().unwrap().is_finite());
}
