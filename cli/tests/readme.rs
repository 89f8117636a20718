//! What the README shows is what the program prints, and its commands run.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

mod private_folder;

use private_folder::{Bench, project};

fn readme() -> String {
    std::fs::read_to_string(project().join("README.md")).unwrap()
}

#[test]
fn the_ledger_shown_is_the_one_printed() {
    let bench = Bench::new();
    let record = project().join("demo-data/smooth-face.toml");
    let printed = bench.run(&["date", record.to_str().unwrap()]).stdout;
    let readme = readme();
    let shown = readme.split("```text\n").nth(1).unwrap().split("```").next().unwrap();
    assert!(shown == printed, "README shows\n{shown}\nand the program prints\n{printed}");
}

#[test]
fn the_audit_shown_is_the_one_printed() {
    let bench = Bench::new();
    let demo = |name: &str| project().join("demo-data").join(name).to_string_lossy().into_owned();
    let (catalogue, collection) = (demo("irons.toml"), demo("wrackness.csv"));
    let printed = bench.run(&["audit", "--catalogue", &catalogue, "--collection", &collection]).stdout;
    let readme = readme();
    let shown =
        readme.split("```text\n").find(|block| block.starts_with("Audit:")).unwrap().split("```").next().unwrap();
    assert!(printed.starts_with(shown), "README shows\n{shown}\nand the program prints\n{printed}");
}

/// Every line that starts with `agewright` in a block of commands, run in a copy of the demo.
#[test]
fn every_command_shown_runs() {
    let bench = Bench::new();
    std::fs::create_dir(bench.path("demo-data")).unwrap();
    for entry in std::fs::read_dir(project().join("demo-data")).unwrap() {
        let path = entry.unwrap().path();
        if path.is_file() {
            std::fs::copy(&path, bench.path("demo-data").join(path.file_name().unwrap())).unwrap();
        }
    }
    let readme = readme();
    let blocks = readme.split("```sh\n").skip(1).map(|block| block.split("```").next().unwrap());
    let inline = readme.split("(`").skip(1).map(|rest| rest.split('`').next().unwrap());
    let mut ran = 0;
    for line in blocks.flat_map(str::lines).chain(inline).filter(|line| line.starts_with("agewright ")) {
        let words: Vec<&str> = line.split_whitespace().skip(1).collect();
        let outcome = bench.run(&words);
        assert_eq!(outcome.code, 0, "{line}\n{}", outcome.stderr);
        ran += 1;
    }
    assert!(ran >= 6, "only {ran} commands were found");
}

/// The table of a collection in the README is one that `fit` reads.
#[test]
fn the_table_shown_is_read() {
    let readme = readme();
    let table =
        readme.split("```text\n").find(|block| block.starts_with("id,made_from")).unwrap().split("```").next().unwrap();
    let bench = Bench::new();
    bench.write("shown.csv", table);
    let outcome = bench.run(&["date", "shown.csv", "--format", "csv"]);
    assert_eq!(outcome.code, 0, "{}", outcome.stderr);
    assert_eq!(outcome.stdout.lines().count(), 4);
}

/// The demo's calibration is what `fit` makes of its collection, to the byte.
#[test]
fn the_calibration_of_the_demo_is_its_fit() {
    let bench = Bench::new();
    let demo = |name: &str| project().join("demo-data").join(name).to_string_lossy().into_owned();
    let notice = "The clubs are invented: this is a demo, not knowledge.";
    let (catalogue, collection) = (demo("irons.toml"), demo("wrackness.csv"));
    let fit = bench.run(&[
        "fit",
        "--catalogue",
        &catalogue,
        "--collection",
        &collection,
        "--name",
        "Wrackness demo",
        "--notice",
        notice,
        "--out",
        "again.toml",
    ]);
    assert_eq!(fit.code, 0, "{}", fit.stderr);
    let committed = std::fs::read_to_string(project().join("demo-data/demo-calibration.toml")).unwrap();
    assert!(bench.read("again.toml") == committed, "fit the demo calibration again (demo-data/README.md)");
}

/// The built-in calibration is what `fit` makes of the starter rules, to the byte.
#[test]
fn the_built_in_calibration_is_made_of_its_rules() {
    let bench = Bench::new();
    let file = |name: &str| project().join("cli/irons").join(name).to_string_lossy().into_owned();
    let (catalogue, rules) = (file("irons.toml"), file("rules.toml"));
    let name = ["--name", "Starter rules for irons", "--prior", "specialist", "--out", "again.toml"];
    let fit = bench.run(&[&["fit", "--catalogue", &catalogue, "--rules", &rules][..], &name].concat());
    assert_eq!(fit.code, 0, "{}", fit.stderr);
    assert!(bench.read("again.toml") == std::fs::read_to_string(file("irons-calibration.toml")).unwrap());
}
