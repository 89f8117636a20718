//! Many clubs on sheets, the page that lists them, photographs, and pages that are made anew.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};
use image::{ImageFormat, Rgb, RgbImage};
use std::io::Cursor;

fn demo(name: &str) -> String {
    project().join("demo-data").join(name).to_string_lossy().into_owned()
}

fn plain(html: &str) -> String {
    let body = html.split("</style>").nth(1).unwrap();
    let mut out = String::new();
    for piece in body.split('<') {
        out.push_str(piece.split_once('>').map_or("", |(_, text)| text));
        out.push(' ');
    }
    unwrapped(&out.replace("&#x27;", "'").replace("&#x2f;", "/").replace("&amp;", "&"))
}

/// Twelve clubs of the demo by the starter rules.
const CLUBS: [&str; 12] =
    ["W001", "W012", "W023", "W034", "W045", "W056", "W067", "W078", "W089", "W100", "W111", "W122"];

fn with_clubs(arguments: &[&str]) -> Vec<String> {
    let table = demo("wrackness.csv");
    let clubs = CLUBS.iter().flat_map(|club| ["--club".to_owned(), (*club).to_owned()]);
    let rest = arguments.iter().map(|word| (*word).to_owned());
    ["write-up".to_owned(), table].into_iter().chain(clubs).chain(rest).collect()
}

/// Where a list names a club, its date behind its name.
fn row_of(list: &str, club: &str, line: &str) -> Option<usize> {
    let place = list.find(&format!(" {club} "))?;
    let row = list[place + 1..].split(" W0").next()?;
    row.contains(line).then_some(place)
}

fn run(bench: &Bench, arguments: &[String]) -> crate::private_folder::Outcome {
    let run = bench.run(&arguments.iter().map(String::as_str).collect::<Vec<_>>());
    assert_eq!(run.code, 0, "{}", run.stderr);
    run
}

/// A sheet says of each club what its own page says, in the order asked for, and makes no folders.
#[test]
fn sheets_say_what_the_pages_say() {
    let bench = Bench::new();
    let sheets = ["--sheet", "labels", "--sheet", "entries", "--sheet", "schedules", "--sheet", "checklist"];
    run(&bench, &with_clubs(&[&sheets[..], &["--out", "s", "--on", "2026-03-31"]].concat()));
    let made = std::fs::read_dir(bench.path("s")).unwrap().map(|entry| entry.unwrap().file_name());
    let mut made: Vec<String> = made.map(|name| name.to_string_lossy().into_owned()).collect();
    made.sort();
    assert_eq!(made, ["checklist.html", "entries.html", "labels.html", "pages.sha256", "schedules.html"]);
    let pages = ["--page", "label", "--page", "catalogue", "--page", "insurance"];
    run(&bench, &with_clubs(&[&pages[..], &["--out", "p", "--on", "2026-03-31"]].concat()));
    let [labels, entries, schedules, checklist] =
        ["labels", "entries", "schedules", "checklist"].map(|sheet| plain(&bench.read(&format!("s/{sheet}.html"))));
    let mut last = [0; 4];
    for club in CLUBS {
        let own = |page: &str| {
            let text = bench.read(&format!("p/{club}/{page}.md"));
            let text = text.split("\n> Before").next().unwrap().replace("**", "").replace('\\', "");
            unwrapped(&text.replace("&gt;", ">").replace("&lt;", "<"))
        };
        let (label, entry) = (own("label"), own("catalogue-entry"));
        // The heading ends with the date line's level.
        let entry = entry.split_once("4 in 5) ").unwrap().1;
        let answer = &bench.json(&["date", &demo("wrackness.csv"), "--club", club, "--format", "json"])[0];
        let line = answer["date_line"].as_str().unwrap();
        let places = [
            labels.find(&label).unwrap_or_else(|| panic!("{club}: {label}")),
            entries.find(&format!("{club}. {entry}")).unwrap_or_else(|| panic!("{club}: {entry}")),
            schedules.find(&format!("Schedule of an object: {club}")).unwrap(),
            row_of(&checklist, club, line).unwrap_or_else(|| panic!("{club}: {line}: {checklist}")),
        ];
        assert!(places.iter().zip(last).all(|(place, last)| *place >= last), "{club} is out of order");
        last = places;
        assert!(schedules.contains(&format!("head: {line}")), "{club}");
    }
    // Ten labels to a sheet of paper.
    let sheet = bench.read("s/labels.html");
    let papers: Vec<usize> =
        sheet.split("class=\"sheet\"").skip(1).map(|paper| paper.matches("class=\"label\"").count()).collect();
    assert_eq!(papers, [10, 2]);
}

/// The list of several clubs: the oldest first, with a link to each report, and without script all the same.
#[test]
fn an_index_lists_the_reports_the_oldest_first() {
    let bench = Bench::new();
    run(&bench, &with_clubs(&["--page", "report", "--out", "p"]));
    let index = bench.read("p/index.html");
    let body = index.split("<script>").next().unwrap();
    let links: Vec<&str> = body.split("href=\"").skip(1).map(|rest| rest.split('"').next().unwrap()).collect();
    assert_eq!(links.len(), CLUBS.len());
    assert!(links.iter().all(|link| bench.path("p").join(link).is_file()), "{links:?}");
    let median = |link: &str| {
        let club = link.split('/').next().unwrap();
        bench.json(&["date", &demo("wrackness.csv"), "--club", club, "--format", "json"])[0]["median"].as_i64().unwrap()
    };
    assert!(links.iter().map(|link| median(link)).is_sorted());
    // One club has no list.
    let one = ["write-up", &demo("smooth-face.toml"), "--page", "report", "--out", "q"];
    assert_eq!(bench.run(&one).code, 0);
    assert!(!bench.path("q/index.html").exists());
    // A name that is no plain address is one in the link.
    bench.write("odd.csv", "id,hosel_to_crease\nK\u{fc}hn 1,4\n\"<b>\",3.5\n");
    assert_eq!(bench.run(&["write-up", "odd.csv", "--page", "report", "--out", "o"]).code, 0);
    let index = bench.read("o/index.html");
    assert!(index.contains("%C3%BC") && !index.contains("<b>") && index.contains("&lt;b&gt;"), "{index}");
}

/// A second run renews what it made and writes only what changed; what a person changed is left alone.
#[test]
fn pages_of_our_own_are_made_anew() {
    let bench = Bench::new();
    let record = |hosel: &str| format!("id = \"a\"\n[readings]\nhosel_to_crease = \"{hosel}\"\n");
    bench.write("r.toml", record("4 in"));
    let write =
        |more: &[&str]| bench.run(&[&["write-up", "r.toml", "--out", "p", "--on", "2026-03-31"][..], more].concat());
    let first = write(&[]);
    assert!(first.code == 0 && first.stdout.lines().count() > 5, "{}", first.stderr);
    let again = write(&[]);
    assert_eq!((again.code, again.stdout.as_str()), (0, ""), "{}", again.stderr);
    assert!(again.stderr.contains("stand there already, word for word"), "{}", again.stderr);
    // Of another reading all that says it is new; without a question, for all of it is ours.
    bench.write("r.toml", record("3.4 in"));
    let changed = write(&[]);
    assert!(changed.code == 0 && changed.stdout.contains("label.md"), "{} {}", changed.stdout, changed.stderr);
    assert!(bench.read("p/a/report.md").contains("3.4 in"));
    // The list is one that others can check.
    let list = bench.read("p/a/pages.sha256");
    for line in list.lines() {
        let (hash, name) = line.split_once("  ").unwrap();
        assert_eq!(agewright_files::sha256(&bench.read(&format!("p/a/{name}"))), hash, "{name}");
    }
    bench.write("p/a/label.md", "my own words");
    bench.write("r.toml", record("3 in"));
    let renewed = write(&[]);
    assert_eq!(renewed.code, 0, "{}", renewed.stderr);
    let told = unwrapped(&renewed.stderr);
    assert!(told.contains("changed by hand") && told.contains("label.md") && !told.contains("report.md"), "{told}");
    assert!(bench.read("p/a/label.md") == "my own words" && bench.read("p/a/report.md").contains("3 in"));
    // It is known as changed the next time as well.
    bench.write("r.toml", record("3.2 in"));
    assert!(unwrapped(&write(&[]).stderr).contains("label.md") && bench.read("p/a/label.md") == "my own words");
    assert_eq!(write(&["--force"]).code, 0);
    assert!(bench.read("p/a/label.md").contains("3.2 in"));
    // What was never ours is not replaced either.
    std::fs::create_dir_all(bench.path("q/a")).unwrap();
    bench.write("q/a/label.md", "another's");
    let others = bench.run(&["write-up", "r.toml", "--out", "q", "--page", "label"]);
    assert!(others.code == 3 && others.stderr.contains("is not of this command"), "{}", others.stderr);
}

fn picture(format: ImageFormat) -> Vec<u8> {
    let mut bytes = Vec::new();
    let picture = RgbImage::from_fn(1600, 900, |x, y| Rgb([(x % 251) as u8, (y % 241) as u8, 90]));
    picture.write_to(&mut Cursor::new(&mut bytes), format).unwrap();
    bytes
}

/// Photographs beside the record stand in report and schedule, scaled down; what is no picture, lies elsewhere or is
/// not there is told, and nothing is written.
#[test]
fn photographs_stand_on_the_pages() {
    let bench = Bench::new();
    std::fs::create_dir_all(bench.path("box/pictures")).unwrap();
    bench.write("box/face.jpg", picture(ImageFormat::Jpeg));
    bench.write("box/pictures/hosel.png", picture(ImageFormat::Png));
    bench.write("box/liar.jpg", "<svg onload='alert(1)'/>");
    bench.write("outside.jpg", picture(ImageFormat::Jpeg));
    let record = |photos: &str| {
        format!("id = \"a\"\n[readings]\nhosel_to_crease = 4\n[text]\ntitle = \"Iron\"\nphotos = \"{photos}\"\n")
    };
    let write = |photos: &str, out: &str| {
        bench.write("box/r.toml", record(photos));
        bench.run(&["write-up", "box/r.toml", "--out", out])
    };
    let run = write("face.jpg (the <face>); pictures/hosel.png", "p");
    assert_eq!(run.code, 0, "{}", run.stderr);
    for page in ["report", "insurance-schedule"] {
        let html = bench.read(&format!("p/a/{page}.html"));
        let pictures: Vec<&str> = html.split("<img src=\"").skip(1).collect();
        assert_eq!(pictures.len(), 2, "{page}");
        assert!(pictures[0].contains("width=\"960\" height=\"540\" alt=\"Photograph: the &lt;face&gt;\""), "{page}");
        assert!(pictures.iter().all(|picture| picture.starts_with("data:image/jpeg;base64,/9j/")), "{page}");
    }
    assert!(bench.read("p/a/insurance-schedule.md").contains("face.jpg (the &lt;face&gt;); pictures/hosel.png"));
    assert!(bench.read("p/a/report.md").contains("Photographs: face.jpg"));
    for (photos, why) in [
        ("gone.jpg", "photograph \"gone.jpg\": there is no such file beside the record"),
        ("liar.jpg", "photograph \"liar.jpg\": this is an SVG or a page, and no JPEG or PNG"),
        ("../outside.jpg", "photograph \"../outside.jpg\" lies outside the record's folder"),
        ("/etc/hostname", "lies outside the record's folder"),
        ("pictures", "this is a folder"),
        ("r.toml", "this is no picture"),
    ] {
        let run = write(photos, "q");
        assert_eq!(run.code, 3, "{photos}");
        let told = unwrapped(&run.stderr);
        assert!(told.contains("club a: ") && told.contains(why), "{photos}: {told}");
        assert!(!bench.path("q").exists(), "{photos}");
    }
    // A link that leads out of the folder is no way out.
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(bench.path("outside.jpg"), bench.path("box/link.jpg")).unwrap();
        assert_eq!(write("link.jpg", "q").code, 3);
    }
    // A club without photographs has none on its pages.
    let none = write("", "n");
    assert!(none.code == 0 && !bench.read("n/a/report.html").contains("<img"), "{}", none.stderr);
}

/// The year that `today-100` means is printed and kept; the day of an opinion stands on its pages.
#[test]
fn today_is_a_day_that_can_be_said() {
    let bench = Bench::new();
    bench.write("r.toml", "id = \"a\"\n[readings]\nhosel_to_crease = 4\n");
    let run = bench.run(&["write-up", "r.toml", "--out", "p", "--on", "2031-02-05", "--before", "today-100"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    let report = bench.read("p/a/report.md");
    assert!(report.contains("An opinion of 5 February 2031.") && report.contains("Made before 1931: "), "{report}");
    assert!(bench.read("p/a/facts.json").contains("\"year\": 1931"));
    assert!(bench.read("p/a/insurance-schedule.md").contains("An opinion of 5 February 2031 from the readings."));
    for (day, before, code) in [
        ("2031-02-30", "1900", 2),
        ("yesterday", "1900", 2),
        ("2031-02-05", "today", 2),
        ("2031-02-05", "today-500", 2),
    ] {
        let run = bench.run(&["write-up", "r.toml", "--out", "q", "--on", day, "--before", before]);
        assert_eq!(run.code, code, "{day} {before}: {}", run.stderr);
    }
    let year = |on: &str| {
        let answer = &bench.json(&["date", "r.toml", "--before", on, "--format", "json"])[0];
        answer["before"]["year"].as_i64().unwrap()
    };
    assert!(year("today-100") >= 1926 && year("1947") == 1947);
}

/// A title that a label has no room for is cut, and whoever prints it is told.
#[test]
fn a_title_that_is_cut_is_told() {
    let bench = Bench::new();
    let note = |title: &str| {
        bench.write("t.toml", format!("id = \"t\"\n[readings]\nhosel_to_crease = 4\n[text]\ntitle = \"{title}\"\n"));
        let run = bench.run(&["write-up", "t.toml", "--out", "p", "--force"]);
        assert_eq!(run.code, 0, "{}", run.stderr);
        run.stderr
    };
    let words = |n: usize| vec!["word"; n].join(" ");
    assert!(!note(&words(12)).contains("cut"));
    let told = note(&words(13));
    assert!(told.contains("the title of t is cut to 12 words on its label") && !told.contains("entry"), "{told}");
    assert!(note(&words(21)).contains("cut to 20 words above its catalogue entry"));
}
