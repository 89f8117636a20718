//! What the README and the manual show is what the program prints, and their commands run.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project};

fn readme() -> String {
    std::fs::read_to_string(project().join("README.md")).unwrap()
}

fn manual() -> String {
    std::fs::read_to_string(project().join("cli/MANUAL.md")).unwrap()
}

/// The bodies of the blocks of one kind.
fn blocks<'a>(text: &'a str, kind: &str) -> impl Iterator<Item = &'a str> {
    text.split(format!("```{kind}\n").as_str())
        .skip(1)
        .map(|block| block.split("```").next().unwrap())
        .collect::<Vec<_>>()
        .into_iter()
}

#[test]
fn the_ledger_shown_is_the_one_printed() {
    let bench = Bench::new();
    let record = project().join("demo-data/smooth-face.toml");
    let printed = bench.run(&["date", record.to_str().unwrap()]).stdout;
    let readme = readme();
    let shown = blocks(&readme, "text").next().unwrap();
    assert!(shown == printed, "README shows\n{shown}\nand the program prints\n{printed}");
}

#[test]
fn the_audit_shown_is_the_one_printed() {
    let bench = Bench::new();
    let demo = |name: &str| project().join("demo-data").join(name).to_string_lossy().into_owned();
    let (catalogue, collection) = (demo("irons.toml"), demo("wrackness.csv"));
    let printed = bench.run(&["audit", "--catalogue", &catalogue, "--collection", &collection]).stdout;
    let readme = readme();
    let shown = blocks(&readme, "text").find(|block| block.starts_with("Audit:")).unwrap();
    assert!(printed.starts_with(shown), "README shows\n{shown}\nand the program prints\n{printed}");
}

/// Every line that starts with `agewright` in a block of commands or in brackets, run in a copy of the demo; in each
/// text by itself, so that neither leans on what the other has made.
#[test]
fn every_command_shown_runs() {
    for (text, least) in [(readme(), 4), (manual(), 20)] {
        let bench = Bench::new();
        std::fs::create_dir(bench.path("demo-data")).unwrap();
        for entry in std::fs::read_dir(project().join("demo-data")).unwrap() {
            let path = entry.unwrap().path();
            if path.is_file() {
                std::fs::copy(&path, bench.path("demo-data").join(path.file_name().unwrap())).unwrap();
            }
        }
        // The reader's own collection, and what a first fit makes of it.
        let clubs = std::fs::read_to_string(project().join("demo-data/wrackness.csv")).unwrap();
        bench.write("yours.csv", clubs.lines().take(24).collect::<Vec<_>>().join("\n"));
        let fit = ["fit", "--collection", "yours.csv", "--out", "yours.toml", "--no-audit", "--no-shelf"];
        assert_eq!(bench.run(&fit).code, 0);
        // In blocks, set in, and within a sentence.
        let blocks = blocks(&text, "sh").flat_map(str::lines);
        let set_in = text.lines().filter(|line| line.starts_with("    ")).map(str::trim);
        let inline = text.split('`').skip(1).step_by(2);
        let mut ran = 0;
        for line in blocks.chain(set_in).chain(inline).filter(|line| line.starts_with("agewright ")) {
            let mut words: Vec<&str> = line.split_whitespace().skip(1).collect();
            match words.as_slice() {
                // The name of a command is one that there is.
                [_] => words.insert(0, "help"),
                ["fit", ..] if line.contains("yours.csv") => words.push("--force"),
                // Asks the reader, and is answered in `sheets_and_entry`.
                ["record", ..] => continue,
                _ => {}
            }
            let outcome = bench.run(&words);
            assert_eq!(outcome.code, 0, "{line}\n{}", outcome.stderr);
            ran += 1;
        }
        assert!(ran >= least, "only {ran} commands were found");
    }
}

/// Links within the texts and between them lead somewhere.
#[test]
fn links_lead_somewhere() {
    let anchors = |text: &str| -> Vec<String> {
        let headings = text.lines().filter_map(|line| line.strip_prefix("## ").or(line.strip_prefix("### ")));
        let anchor = |heading: &str| -> String {
            let kept = heading
                .to_lowercase()
                .chars()
                .filter(|c| c.is_alphanumeric() || [' ', '-'].contains(c))
                .collect::<String>();
            kept.replace(' ', "-")
        };
        headings.map(anchor).collect()
    };
    let mut links = 0;
    for name in ["README.md", "cli/MANUAL.md", "DEVELOPERS.md", "cli/JSON.md"] {
        let text = std::fs::read_to_string(project().join(name)).unwrap();
        for link in text.split("](").skip(1).map(|rest| rest.split(')').next().unwrap()) {
            if link.starts_with("http") {
                continue;
            }
            let (file, anchor) = link.split_once('#').unwrap_or((link, ""));
            let path = project().join(name).parent().unwrap().join(file);
            let target =
                if file.is_empty() { text.clone() } else { std::fs::read_to_string(&path).unwrap_or_default() };
            assert!(file.is_empty() || path.exists(), "{name}: {link}");
            assert!(anchor.is_empty() || anchors(&target).contains(&anchor.to_owned()), "{name}: {link}");
            links += 1;
        }
    }
    assert!(links > 20, "{links}");
}

/// The tables of a collection that are shown are such as are read.
#[test]
fn the_tables_shown_are_read() {
    for text in [readme(), manual()] {
        let table = blocks(&text, "text").find(|block| block.starts_with("id,made_from")).unwrap();
        let bench = Bench::new();
        bench.write("shown.csv", table);
        let outcome = bench.run(&["date", "shown.csv", "--format", "csv"]);
        assert_eq!(outcome.code, 0, "{}", outcome.stderr);
        assert_eq!(outcome.stdout.lines().count(), 4);
    }
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
