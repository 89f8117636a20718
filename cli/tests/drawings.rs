//! Drawings of levels and measures: on the sheet to print, in the report, and those that a catalogue brings.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, CATALOGUE, Outcome, project, unwrapped};

/// The small catalogue with a drawing of its own for one level, on a built-in part.
fn with_a_drawing(drawing: &str) -> String {
    let named = CATALOGUE.replace("\"coarse\",", "{ id = \"coarse\", look = \"few teeth\", drawing = \"my_rim\" },");
    assert_ne!(named, CATALOGUE);
    format!("{named}\n[[drawing]]\nid = \"my_rim\"\n{drawing}\n")
}

const OWN: &str = "of = [\"part_shaft_in_rim\"]\nstrokes = [{ pen = \"marked\", path = \"M31 41 L38 25 L45 41\" }, \
                   { pen = \"fine\", path = \"M0 0 V5\", at = [[50, 8], [60, 9.5]] }]";

fn sheet(bench: &Bench) -> Outcome {
    bench.run(&["clues", "--catalogue", "cat.toml", "--sheet", "sheet.html"])
}

#[test]
fn the_sheet_to_print_shows_every_clue_and_level() {
    let bench = Bench::new();
    let run = bench.run(&["clues", "--sheet", "irons.html"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    let page = bench.read("irons.html");
    let catalogue: toml::Table =
        std::fs::read_to_string(project().join("cli/irons/irons.toml")).unwrap().parse().unwrap();
    let mut drawn = 0;
    for clue in catalogue["clue"].as_array().unwrap() {
        let id = clue["id"].as_str().unwrap();
        assert!(page.contains(&format!("<p class=\"second\">{id}")), "{id}");
        let levels = clue.get("levels").and_then(toml::Value::as_array).into_iter().flatten();
        drawn += levels.chain([clue]).filter(|one| one.get("drawing").is_some()).count();
    }
    assert!(drawn > 100);
    assert_eq!(page.matches("<svg").count(), drawn);
    for said in ["<b>front to back</b>", "more than 4.5 mm from tooth to tooth", "in (1.5 to 8)", "look, do not feel"] {
        assert!(page.contains(said), "{said}");
    }
    assert!(!page.contains("<script") && !page.contains("http://www.w3.org/1999/xhtml"), "nothing is fetched or run");
    assert_eq!(bench.run(&["clues", "--sheet", "irons.html"]).code, 3, "not overwritten");
}

/// A reading has the drawing of its level beside it; one of two levels has both, and what could not be read none.
#[test]
fn a_report_shows_what_was_read() {
    let bench = Bench::new();
    let drawings = |readings: &str| {
        bench.write("club.toml", format!("id = \"a\"\n[readings]\n{readings}\n"));
        let run = bench.run(&["write-up", "club.toml", "--page", "report", "--out", "out", "--force"]);
        assert_eq!(run.code, 0, "{}", run.stderr);
        let page = bench.read("out/a/report.html");
        let table = page.split("What was read").nth(1).unwrap().split("</table>").next().unwrap();
        let titles = table.split("<title>").skip(1).map(|rest| rest.split("</title>").next().unwrap().to_owned());
        titles.collect::<Vec<_>>()
    };
    assert_eq!(drawings("hammer_weld = \"trace?\""), ["Hosel seam: trace"]);
    assert_eq!(
        drawings("nicking_coarseness = \"coarse|medium\""),
        ["Nicking coarseness: coarse", "Nicking coarseness: medium"]
    );
    assert_eq!(drawings("hosel_to_crease = \"4 in\"\nhammer_weld = \"open\"").len(), 2);
    assert!(bench.read("out/a/report.html").contains("A drawing shows what was seen"));
    assert!(drawings("hammer_weld = \"unreadable\"\niron_grain = \"altered\"\nhead_finish = \"bare\"").is_empty());
    assert!(!bench.read("out/a/report.html").contains("A drawing shows"), "where there is none");
    let bench = Bench::new();
    assert_eq!(sheet(&bench).code, 0);
    let page = bench.read("sheet.html");
    assert!(!page.contains("<svg") && !page.contains("In colour") && page.contains("front back"), "{page}");
}

/// A drawing of one's own goes with the catalogue into the calibration, and from there into a report.
#[test]
fn a_catalogue_brings_its_own_drawings() {
    let bench = Bench::new();
    bench.write("cat.toml", with_a_drawing(OWN));
    assert_eq!(sheet(&bench).code, 0, "{}", sheet(&bench).stderr);
    let page = bench.read("sheet.html");
    assert_eq!(page.matches("<svg").count(), 1);
    let shaft = page.find("M30 0 H66 V50 H30 Z").unwrap();
    assert!(shaft < page.find("M31 41 L38 25 L45 41").unwrap(), "it is laid on what it is built of");
    assert!(page.contains("<path d=\"M0 0 V5\" transform=\"translate(60 9.5)\"/>"), "{page}");
    let fit = bench.run(&["fit", "--catalogue", "cat.toml", "--collection", "dated.csv", "--out", "cal.toml"]);
    assert_eq!(fit.code, 0, "{}", fit.stderr);
    bench.write("club.toml", "id = \"a\"\n[readings]\nnicking = \"coarse\"\n");
    let run = bench.run(&["write-up", "club.toml", "--calibration", "cal.toml", "--page", "report", "--out", "out"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    assert!(bench.read("out/a/report.html").contains("M31 41 L38 25 L45 41"));
}

#[test]
fn what_cannot_be_drawn_is_refused_where_it_stands() {
    let stroke = |path: &str| format!("strokes = [{{ pen = \"fine\", path = \"{path}\" }}]");
    let cases = [
        (stroke("M0 0 L\\\"/><script>"), "my_rim", "no path data of SVG"),
        (stroke("10 10 L20 20"), "my_rim", "no path data"),
        (stroke("M10 10"), "my_rim", "draws nothing"),
        (stroke("M10 10 L1e30 5"), "my_rim", "far from the field"),
        (stroke(&"M1 1 L2 2 ".repeat(2000)), "my_rim", "letters; at most"),
        (stroke("M1 1 L2 2").replace("fine", "finest"), "finest", "unknown variant"),
        (format!("of = [\"part_shaft_in_rin\"]\n{}", stroke("M1 1 L2 2")), "part_shaft_in_rin", "did you mean"),
        (format!("of = [\"my_rim\"]\n{}", stroke("M1 1 L2 2")), "my_rim", "no earlier drawing"),
        ("strokes = [{ pen = \"fine\", path = \"M1 1 L2 2\", at = [[nan, 1]] }]".to_owned(), "my_rim", "far from"),
        (format!("{}\n[[drawing]]\nid = \"my_rim\"\n{}", stroke("M1 1 L2 2"), stroke("M1 1 L2 2")), "my_rim", "twice"),
        (format!("{}\n[[drawing]]\nid = \"My Rim\"\n{}", stroke("M1 1 L2 2"), stroke("M1 1 L2 2")), "My Rim", "a to z"),
    ];
    for (drawing, names, why) in cases {
        let bench = Bench::new();
        bench.write("cat.toml", with_a_drawing(&drawing));
        let run = sheet(&bench);
        let told = unwrapped(&run.stderr);
        assert_eq!(run.code, 3, "{drawing}: {told}");
        assert!(told.contains("cat.toml:") && told.contains(names) && told.contains(why), "{drawing}: {told}");
        assert!(!bench.files().contains(&"sheet.html".to_owned()));
    }
    // Built on itself twice over and over it would fill a memory.
    let many: String = (0..40)
        .map(|n| format!("[[drawing]]\nid = \"d{}\"\nof = [\"d{n}\", \"d{n}\"]\nstrokes = []\n", n + 1))
        .collect();
    let bench = Bench::new();
    let first = "[[drawing]]\nid = \"d0\"\nstrokes = [{ pen = \"fine\", path = \"M1 1 L2 2\" }]";
    bench.write("cat.toml", format!("{CATALOGUE}\n{first}\n{many}"));
    let run = sheet(&bench);
    assert!(run.code == 3 && unwrapped(&run.stderr).contains("strokes; at most 1000"), "{}", run.stderr);
    // A level that names a drawing which is not there.
    let bench = Bench::new();
    bench.write("cat.toml", CATALOGUE.replace("\"fine\",", "{ id = \"fine\", drawing = \"nicking_fines\" },"));
    let run = sheet(&bench);
    assert_eq!(run.code, 3);
    assert!(unwrapped(&run.stderr).contains("there is no drawing \"nicking_fines\"; did you mean \"nicking_fine\"?"));
}
