//! Clubs that belong together: as a user enters them.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};

/// Clubs of one set are counted, and left out of the audit together; the same clubs without the column are not.
#[test]
fn a_column_of_sets_is_read_and_told() {
    let bench = Bench::new();
    let demo = std::fs::read_to_string(project().join("demo-data/wrackness.csv")).unwrap();
    let with_sets: String = demo
        .lines()
        .take(61)
        .enumerate()
        .map(|(n, line)| match n {
            0 => format!("{line},Set\n"),
            // Two of each set, and the last twenty by themselves.
            // However it is written.
            1..=40 if n % 2 == 0 => format!("{line}, LOT  {} \n", n.div_ceil(2)),
            1..=40 => format!("{line},lot {}\n", n.div_ceil(2)),
            _ => format!("{line},\n"),
        })
        .collect();
    std::fs::write(bench.path("sets.csv"), with_sets).unwrap();
    let catalogue = project().join("demo-data/irons.toml").to_string_lossy().into_owned();
    let audit = bench.run(&["audit", "--catalogue", &catalogue, "--collection", "sets.csv"]);
    assert_eq!(audit.code, 0, "{}", audit.stderr);
    let told = unwrapped(&audit.stdout);
    assert!(
        told.starts_with("Audit: 60 clubs, 40 of them in 20 sets, each dated by a fit without it and its set"),
        "{told}"
    );
    let no_name = bench.read("sets.csv").replacen(",lot 1\n", ",unreadable\n", 1);
    bench.write("no_name.csv", no_name);
    let refused = bench.run(&["audit", "--catalogue", &catalogue, "--collection", "no_name.csv"]);
    assert!(refused.code == 3 && refused.stderr.contains("is no name of a set"), "{}", refused.stderr);
    let fit = bench.run(&["fit", "--catalogue", &catalogue, "--collection", "sets.csv", "--out", "sets.toml"]);
    assert!(unwrapped(&fit.stderr).contains("(40 of them in 20 sets)"), "{}", fit.stderr);
    let saved = std::fs::read_to_string(bench.path("sets.toml")).unwrap();
    assert!(saved.contains("in_sets = { clubs = 40, sets = 20 }") || saved.contains("[origin.in_sets]"), "{saved}");
    std::fs::write(bench.path("none.csv"), demo.lines().take(61).map(|line| format!("{line}\n")).collect::<String>())
        .unwrap();
    let audit = bench.run(&["audit", "--catalogue", &catalogue, "--collection", "none.csv"]);
    assert!(audit.stdout.starts_with("Audit: 60 clubs, each dated by a fit without it\n"), "{}", audit.stdout);
}

/// All clubs in one set: told as that, by fit and audit. Mates of held-out clubs are not counted as fitted on.
#[test]
fn one_set_and_mates_of_held_out_clubs_are_told_as_what_they_are() {
    let bench = Bench::new();
    let demo = std::fs::read_to_string(project().join("demo-data/wrackness.csv")).unwrap();
    let catalogue = project().join("demo-data/irons.toml").to_string_lossy().into_owned();
    let with_set = |set: &dyn Fn(usize) -> String| -> Vec<String> {
        let lines = demo.lines().take(49).enumerate();
        lines.map(|(n, line)| if n == 0 { format!("{line},set\n") } else { format!("{line},{}\n", set(n)) }).collect()
    };
    bench.write("one.csv", with_set(&|_| "all".into()).concat());
    for command in ["audit", "fit"] {
        let out = if command == "fit" { &["--out", "cal.toml"][..] } else { &[] };
        let run = bench.run(&[&[command, "--catalogue", &catalogue, "--collection", "one.csv"][..], out].concat());
        assert_eq!(run.code, 3, "{command}: {}", run.stderr);
        assert!(unwrapped(&run.stderr).contains("all dated clubs are of one set"), "{command}: {}", run.stderr);
    }
    let lines = with_set(&|n| if n <= 8 { "lot".into() } else { String::new() });
    bench.write("held.csv", lines[..5].concat());
    bench.write("rest.csv", format!("{}{}", lines[0], lines[5..].concat()));
    let run = bench.run(&["audit", "--catalogue", &catalogue, "--collection", "rest.csv", "--held-out", "held.csv"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    assert!(run.stdout.starts_with("Audit: 4 clubs held out, dated by a fit on 40 others\n"), "{}", run.stdout);
    assert!(run.stderr.contains("4 clubs of the collection are of the sets of held-out clubs"), "{}", run.stderr);
}
