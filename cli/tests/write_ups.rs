//! Write-ups: their numbers are the JSON's, their words are safe, and their folders stay where they belong.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};
use serde_json::Value;
use std::collections::BTreeSet;

fn demo(name: &str) -> String {
    project().join("demo-data").join(name).to_string_lossy().into_owned()
}

fn text<'a>(value: &'a Value, field: &str) -> &'a str {
    value[field].as_str().unwrap()
}

fn words(file: &str) -> usize {
    file.split_whitespace().filter(|word| word.chars().any(char::is_alphanumeric)).count()
}

/// The figures that a JSON holds, as a page would print them: whole, to a tenth, and as hundredths.
fn printed(value: &Value, figures: &mut BTreeSet<String>) {
    match value {
        Value::Number(number) => {
            let v = number.as_f64().unwrap();
            figures.extend([
                format!("{v:.0}"),
                format!("{v:.1}"),
                format!("{:.1}", v.abs()),
                format!("{:.0}", 100.0 * v),
            ]);
        }
        Value::String(text) => figures.extend(numbers(text)),
        Value::Array(values) => values.iter().for_each(|value| printed(value, figures)),
        Value::Object(fields) => fields.values().for_each(|value| printed(value, figures)),
        _ => {}
    }
}

/// Runs of digits with their decimals; `1885-1902` is two, `1870-85` too.
fn numbers(text: &str) -> Vec<String> {
    text.split(|c: char| !(c.is_ascii_digit() || c == '.'))
        .map(|word| word.trim_matches('.').to_owned())
        .filter(|word| !word.is_empty())
        .collect()
}

/// Every number of the date, the ledger and what the answer hangs on is one that `date` and `sensitivity` give in JSON.
#[test]
fn every_number_of_a_report_is_the_jsons() {
    let bench = Bench::new();
    let table = demo("undated.csv");
    let run = bench.run(&["write-up", &table, "--out", "pages", "--before", "1900", "--on", "1900-02-19"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    for id in ["smooth-face", "two-ages", "plated", "worn", "set-iron"] {
        let answer = &bench.json(&["date", &table, "--club", id, "--format", "json", "--before", "1900"])[0];
        let hangs_on = &bench.json(&["sensitivity", &table, "--club", id, "--format", "json"])[0];
        let mut figures = BTreeSet::new();
        printed(answer, &mut figures);
        printed(hangs_on, &mut figures);
        // Years within a century are printed by their last two digits, changes as differences of two medians.
        figures.extend(figures.clone().iter().filter(|f| f.len() == 4).map(|f| f[2..].to_owned()));
        let all = hangs_on["all"]["median"].as_i64().unwrap();
        let medians = hangs_on["without"].as_array().unwrap().iter().chain(hangs_on["priors"].as_array().unwrap());
        figures.extend(medians.map(|m| (m["median"].as_i64().unwrap() - all).abs().to_string()));
        // The words of chances and levels, the scale of the line, and rows by their decades.
        figures.extend(["20", "19", "4", "5", "1", "2", "10", "100"].map(str::to_owned));
        let report = bench.read(&format!("pages/{id}/report.md"));
        let (page, _) = report.split_once("## What was read").unwrap();
        for number in numbers(page) {
            let entries = answer["ledger"]["entries"].as_array().unwrap();
            // "6 more clues": a count of entries.
            let is_count = number.parse::<usize>().is_ok_and(|n| n <= entries.len());
            assert!(is_count || figures.contains(&number), "{id}: {number} stands in no JSON");
        }
        // And the ledger line by line, from the JSON to the page.
        for entry in answer["ledger"]["entries"].as_array().unwrap() {
            let years =
                format!("{:+.1}", entry["years"].as_f64().unwrap()).replace("+0.0", "0.0").replace("-0.0", "0.0");
            let misread = match entry["misread"].as_f64().unwrap() {
                ..0.005 => "<1 %".to_owned(),
                0.995.. => ">99 %".to_owned(),
                misread => format!("{:.0} %", 100.0 * misread),
            };
            // Of a split answer the median is no date.
            let without = match entry["without"]["pieces"].as_array() {
                Some(pieces) => pieces[0][0].to_string(),
                None => format!("{} (", entry["without"]["median"]),
            };
            let misread = misread.replace('<', "&lt;").replace('>', "&gt;");
            let cells = format!("| {years} | {misread} | {without}");
            assert!(page.contains(&cells), "{id}, {}: {cells}", entry["clue"]);
        }
        let facts: Value = serde_json::from_str(&bench.read(&format!("pages/{id}/facts.json"))).unwrap();
        assert_eq!(facts["answer"]["median"], answer["median"]);
        assert_eq!(text(&facts["answer"], "date_line"), text(answer, "date_line"));
        let (given, full) = (facts["answer"]["mean"].as_f64().unwrap(), answer["mean"].as_f64().unwrap());
        assert!((given - full).abs() <= 5.1e-7);
        assert!(bench.read(&format!("pages/{id}/report.html")).contains(text(answer, "date_line")));
    }
}

#[test]
fn the_same_run_gives_the_same_bytes_and_nothing_is_overwritten() {
    let bench = Bench::new();
    let record = demo("smooth-face.toml");
    for out in ["a", "b"] {
        assert_eq!(bench.run(&["write-up", &record, "--out", out]).code, 0);
    }
    let files = [
        "report.html",
        "report.md",
        "catalogue-entry.md",
        "label.md",
        "insurance-schedule.html",
        "insurance-schedule.md",
        "head.svg",
        "facts.json",
    ];
    for file in files {
        assert_eq!(
            bench.read(&format!("a/smooth-face/{file}")),
            bench.read(&format!("b/smooth-face/{file}")),
            "{file}"
        );
    }
    bench.write("a/smooth-face/label.md", "mine");
    let again = bench.run(&["write-up", &record, "--out", "a"]);
    assert_eq!(again.code, 0, "{}", again.stderr);
    assert!(unwrapped(&again.stderr).contains("changed by hand since it was made, and left as it is"));
    assert_eq!(bench.read("a/smooth-face/label.md"), "mine");
    let listed = &bench.json(&["write-up", &record, "--out", "a", "--force", "--format", "json", "--page", "label"])[0];
    assert_eq!((text(listed, "id"), listed["files"].as_array().unwrap().len()), ("smooth-face", 1));
    assert_ne!(bench.read("a/smooth-face/label.md"), "mine");
}

#[test]
fn pages_lie_beside_the_record_unless_told_otherwise() {
    let bench = Bench::fitted();
    bench.write("r.toml", "id = \"one\"\n[readings]\nhosel = 4\n");
    let run = bench.run(&["write-up", "r.toml", "--calibration", "cal.toml", "--page", "catalogue"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    assert!(bench.read("one/catalogue-entry.md").contains("4 in 5"));
    assert_eq!(bench.run_with(&["write-up", "-", "--calibration", "cal.toml"], "id,hosel\na,4\n").code, 2);
}

#[test]
fn markup_in_words_is_shown_and_never_obeyed() {
    let bench = Bench::fitted();
    let evil = "<script>alert('x')</script><img src=x onerror=y> [a](javascript:b) *c* | `d` & \\\"e\\\"";
    bench.write(
        "r.toml",
        format!(
            "id = \"<b>&1</b>\"\nnote = \"{evil}\"\n[readings]\nhosel = 4\n[text]\ntitle = \"{evil}\"\n\"<i>key\" \
         = \"{evil}\"\n"
        ),
    );
    let run = bench.run(&["write-up", "r.toml", "--calibration", "cal.toml", "--out", "p"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    let folder = run.stdout.lines().next().unwrap().rsplit_once('/').unwrap().0.to_owned();
    for page in ["report.html", "insurance-schedule.html"] {
        let html = bench.read(&format!("{folder}/{page}"));
        for tag in ["<script", "<img", "<b>", "<i>"] {
            assert!(!html.contains(tag), "{page} holds {tag}");
        }
        assert!(html.contains("&lt;script&gt;"), "it is shown as text");
    }
    let fence = "~~~~";
    for page in ["report.md", "insurance-schedule.md", "label.md", "catalogue-entry.md"] {
        let markdown = bench.read(&format!("{folder}/{page}"));
        let outside: Vec<&str> = markdown.split(fence).step_by(2).collect();
        for mark in ["<script", "<img", "<b>", "[a](", " *c*"] {
            assert!(!outside.concat().contains(mark), "{page} holds {mark}");
        }
    }
    let svg = bench.read(&format!("{folder}/head.svg"));
    assert!(!svg.contains("<b>"), "{svg}");
}

#[test]
fn no_record_leads_out_of_the_folder() {
    let bench = Bench::fitted();
    for (n, id) in ["../../x", "/tmp/agewright-x", "..", "a/../../b", "c:\\\\d", ".hidden", "con"].iter().enumerate() {
        bench.write("r.toml", format!("id = \"{id}\"\n[readings]\nhosel = 4\n"));
        let out = format!("out{n}");
        let run = bench.run(&["write-up", "r.toml", "--calibration", "cal.toml", "--out", &out, "--page", "label"]);
        assert_eq!(run.code, 0, "{id}: {}", run.stderr);
        let root = bench.path(&out).canonicalize().unwrap();
        let written = bench.path(run.stdout.trim()).canonicalize().unwrap();
        assert_eq!(written.parent().unwrap().parent().unwrap(), root, "{id}: {}", written.display());
    }
    bench.write("two.csv", "id,hosel\nA,4\na,4\n");
    let run = bench.run(&["write-up", "two.csv", "--calibration", "cal.toml", "--out", "q"]);
    assert_eq!((run.code, bench.path("q").exists()), (3, false), "{}", run.stderr);
}

#[test]
fn a_club_with_nothing_readable_says_so_and_gives_the_prior() {
    let bench = Bench::fitted();
    bench.write("r.csv", "id,hosel,pin\nrelic,unreadable,altered\n");
    assert_eq!(bench.run(&["write-up", "r.csv", "--calibration", "cal.toml", "--out", "p"]).code, 0);
    for page in ["report.html", "report.md"] {
        let page = unwrapped(&bench.read(&format!("p/relic/{page}")));
        for said in
            ["No clue of date could be read", "prior alone", "1800-99", "as-collected", "Unreadable, worn or covered"]
        {
            assert!(page.contains(said), "{said}: {page}");
        }
        assert!(!page.contains("moved the estimate"));
    }
    let entry = bench.read("p/relic/catalogue-entry.md");
    assert!(entry.contains("undated") && entry.contains("no date is given"), "{entry}");
    assert!(bench.read("p/relic/label.md").contains("not known"));
}

/// Catalogue entries of at most 120 words below their heading, labels of 25 to 50 without "c.", schedules without a
/// value.
#[test]
fn short_texts_keep_their_lengths() {
    let bench = Bench::new();
    for table in [demo("undated.csv"), demo("wrackness.csv")] {
        let run = bench.run(&[
            "write-up",
            &table,
            "--out",
            "p",
            "--force",
            "--calibration",
            &demo("demo-calibration.toml"),
            "--page",
            "catalogue",
            "--page",
            "label",
            "--page",
            "insurance",
        ]);
        assert_eq!(run.code, 0, "{}", run.stderr);
        for line in run.stdout.lines() {
            let page = bench.read(line);
            let (body, _) = page.split_once("\n> Before this is printed").unwrap_or((&page, ""));
            if line.ends_with("catalogue-entry.md") {
                let (heading, entry) = body.split_once("\n\n").unwrap();
                assert!(heading.contains("4 in 5") || heading.contains("undated"), "{heading}");
                assert!((10..=120).contains(&words(entry)), "{} words: {entry}", words(entry));
            } else if line.ends_with("label.md") {
                assert!((25..=50).contains(&words(body)), "{} words: {body}", words(body));
                assert!(!body.contains("c. "), "{body}");
            } else {
                assert!(page.contains("left to a valuer"), "{page}");
            }
            assert!(page.contains("invented"), "{page}");
        }
    }
}

#[test]
fn owners_and_values_stay_off_the_page_unless_asked_for() {
    let bench = Bench::fitted();
    bench.write(
        "r.toml",
        "id = \"a\"\n[readings]\nhosel = 4\n[text]\nowner = \"Somebody\"\nvalue = \"1234567\"\n\
     provenance = \"A sale\"\n",
    );
    assert_eq!(bench.run(&["write-up", "r.toml", "--calibration", "cal.toml", "--out", "p"]).code, 0);
    for page in ["report.html", "report.md", "insurance-schedule.md", "facts.json"] {
        let page = bench.read(&format!("p/a/{page}"));
        assert!(!page.contains("Somebody") && !page.contains("1234567"), "{page}");
    }
    let report = bench.read("p/a/report.md");
    assert!(report.contains("Kept back from this page: Owner, Value") && report.contains("A sale"), "{report}");
    let run =
        bench.run(&["write-up", "r.toml", "--calibration", "cal.toml", "--out", "p", "--force", "--with-private"]);
    assert_eq!(run.code, 0);
    assert!(bench.read("p/a/report.md").contains("Somebody"));
    assert!(!bench.read("p/a/insurance-schedule.md").contains("1234567"), "a schedule gives no value");
}

/// Text on the pages keeps a contrast of 4.5:1 (WCAG 2.1, W3C 2018, success criterion 1.4.3), by the formula of its
/// relative luminance; each colour of words against the lightest and the darkest ground that the style has.
#[test]
fn colours_of_words_keep_their_contrast() {
    let css = std::fs::read_to_string(project().join("cli/pages/src/write_up/templates/page.css")).unwrap();
    let luminance = |hex: &str| {
        let channel = |at: usize| {
            let v = f64::from(u8::from_str_radix(&hex[at..at + 2], 16).unwrap()) / 255.0;
            if v <= 0.04045 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    };
    assert!((luminance("#ffffff") - 1.0).abs() < 1e-12 && luminance("#000000").abs() < 1e-12);
    let after = |property: &str| -> Vec<String> {
        let found = css.match_indices(property).filter(|(at, _)| !css[..*at].ends_with('-'));
        found
            .filter_map(|(at, _)| css[at + property.len()..].trim_start().get(..7))
            .filter(|c| c.starts_with('#'))
            .map(str::to_owned)
            .collect()
    };
    let inks = after("color:");
    let bars = ["#96541f", "#5688bc"];
    let grounds: Vec<String> = after("background:").into_iter().filter(|c| !bars.contains(&c.as_str())).collect();
    assert!(inks.len() > 4 && grounds.len() > 2, "{inks:?} {grounds:?}");
    for ink in &inks {
        for ground in &grounds {
            let contrast = (luminance(ground) + 0.05) / (luminance(ink) + 0.05);
            assert!(contrast >= 4.5, "{ink} on {ground}: {contrast:.2}");
        }
    }
}

/// A head of which nothing was read, with a shaft that was: the entry denies neither.
#[test]
fn an_entry_says_what_its_date_comes_from() {
    let bench = Bench::new();
    bench.write("r.csv", "id,heart_and_sap,face_scoring\nshaft,both,\nhead,,stamped_dots\nnone,,\nprior,,smooth\n");
    let entry = |id: &str| {
        assert_eq!(bench.run(&["write-up", "r.csv", "--club", id, "--out", id, "--page", "catalogue"]).code, 0);
        let page = bench.read(&format!("{id}/{id}/catalogue-entry.md"));
        ["from what is fixed to it", "from one clue", "no date is given", "not on a clue of its own"]
            .map(|words| page.contains(words))
    };
    assert_eq!(entry("shaft"), [true, false, false, false]);
    assert_eq!(entry("head"), [false, true, false, false]);
    assert_eq!(entry("none"), [false, false, true, false]);
    // A smooth face is found at all times: its years are the prior's, on the label too.
    assert_eq!(entry("prior"), [false, false, false, true]);
    let label = |id: &str, prior: &str| {
        let of = ["write-up", "r.csv", "--club", id, "--prior", prior, "--out", prior, "--page", "label", "--force"];
        assert_eq!(bench.run(&of).code, 0);
        bench.read(&format!("{prior}/{id}/label.md"))
    };
    assert!(label("prior", "specialist").contains("how clubs are taken to be spread over time"));
    let stated = label("head", "specialist");
    assert!(stated.contains("What speaks most") && !stated.contains("spread over time"), "{stated}");
}

/// That not all clues agree is said of clubs whose clues are told to disagree, not of all that go to a specialist.
#[test]
fn an_entry_denies_agreement_only_where_there_is_none() {
    let bench = Bench::new();
    let (table, calibration) = (demo("undated.csv"), demo("demo-calibration.toml"));
    let entry = |id: &str| {
        let asked =
            ["write-up", &table, "--calibration", &calibration, "--club", id, "--out", "p", "--page", "catalogue"];
        assert_eq!(bench.run(&asked).code, 0);
        bench.read(&format!("p/{id}/catalogue-entry.md"))
    };
    let two_ages = entry("two-ages");
    assert!(two_ages.contains("Size and make point to different times. "), "{two_ages}");
    let plated = entry("plated");
    assert!(plated.contains("Out of step with the rest: metal and finish (chrome). "), "{plated}");
    let old_heavy = entry("old-heavy");
    assert!(!old_heavy.contains("Out of step") && !old_heavy.contains("different times"), "{old_heavy}");
    // Nor is the chrome ever what the date rests on.
    assert!(plated.contains(", most of all top edge, hosel length and hosel diameter at the top."));
}

/// A label names what speaks for its date, not what was outvoted; it says that it is an opinion, and that a shaft is
/// later.
#[test]
fn labels_say_what_speaks_for_the_date() {
    let bench = Bench::new();
    for record in [demo("smooth-face.toml"), demo("later-shaft.toml")] {
        let pages = ["--page", "label", "--page", "catalogue", "--page", "insurance"];
        assert_eq!(bench.run(&[&["write-up", &record, "--out", "p"][..], &pages].concat()).code, 0);
    }
    let smooth = bench.read("p/smooth-face/label.md");
    assert!(!smooth.contains("face scoring") && smooth.contains("opinion"), "{smooth}");
    for page in ["label.md", "catalogue-entry.md", "insurance-schedule.md"] {
        let page = bench.read(&format!("p/later-shaft/{page}"));
        assert!(page.contains("shaft was very probably replaced ("), "{page}");
    }
    assert!(!bench.read("p/later-shaft/catalogue-entry.md").contains("fit of shaft"));
}
