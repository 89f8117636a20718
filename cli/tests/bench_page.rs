//! The bench page: its engine gives the program's own answers, and a page of one's own holds one's own files. What the
//! page itself does is looked at in a browser (`.ci/bench-in-a-browser`).
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};
use agewright_bench::engine::Engine;
use agewright_bench::page_file::{page_file, with_own_files};
use agewright_bench::request::{NamedText, OwnFiles};
use serde_json::{Value, json};

fn asked(engine: &mut Engine, request: &Value) -> Value {
    serde_json::from_str(&engine.answer(&request.to_string())).unwrap()
}

/// What stands in a page for its engine to begin with.
fn own_files(page: &str) -> Value {
    let (_, rest) = page.split_once("<script type=\"application/json\" id=\"own\">").unwrap();
    serde_json::from_str(rest.split_once("</script>").unwrap().0).unwrap()
}

/// Every number and every word of the program's JSON, of clubs with and without shaft and grip.
#[test]
fn the_engine_answers_as_the_program_does() {
    let bench = Bench::new();
    let mut engine = Engine::default();
    for name in ["smooth-face", "later-shaft"] {
        let path = project().join(format!("demo-data/{name}.toml"));
        let text = std::fs::read_to_string(&path).unwrap();
        let club = asked(&mut engine, &json!({"ask": "import", "name": "a.toml", "text": text}))[0].clone();
        let answer = asked(&mut engine, &json!({"ask": "date", "club": club, "how": {"numbers": true}}));
        let program = bench.json(&["date", path.to_str().unwrap(), "--format", "json"]);
        assert_eq!(answer["numbers"], program[0], "{name}");
        assert_eq!(answer["date_line"], program[0]["date_line"]);
        // A clue left out, another prior: the page asks as the options do.
        let how = json!({"numbers": true, "without": ["hosel_to_crease"], "prior": "flat"});
        let answer = asked(&mut engine, &json!({"ask": "date", "club": club, "how": how}));
        let options = ["--without", "hosel_to_crease", "--prior", "flat", "--format", "json"];
        let program = bench.json(&[&["date", path.to_str().unwrap()][..], &options].concat());
        assert_eq!(answer["numbers"], program[0], "{name}");
    }
}

/// A piece of HTML without its tags, each run of spaces one.
fn plain(html: &Value) -> String {
    let html = html.as_str().unwrap();
    let text: String = html.split('<').map(|piece| piece.split_once('>').map_or(piece, |(_, text)| text)).collect();
    let text = text.replace("&#x2f;", "/").replace("&#x27;", "'").replace("&quot;", "\"").replace("&amp;", "&");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Why one decade and not another, and clubs side by side: the sentences and the rows of the program, of a part of the
/// clues too; what makes no sense is refused in words.
#[test]
fn the_engine_weighs_and_compares_as_the_program_does() {
    let bench = Bench::new();
    let mut engine = Engine::default();
    let [one, other] = ["smooth-face", "later-shaft"].map(|name| project().join(format!("demo-data/{name}.toml")));
    let mut import = |path: &std::path::Path| {
        let text = std::fs::read_to_string(path).unwrap();
        asked(&mut engine, &json!({"ask": "import", "name": "a.toml", "text": text}))[0].clone()
    };
    let (first, second) = (import(&one), import(&other));
    let [one, other] = [&one, &other].map(|path| path.to_str().unwrap());
    for (years, period, without) in
        [([1850, 1859], "1850s", &[][..]), ([1900, 1909], "1900s", &[]), ([1850, 1859], "1850s", &["hosel_to_crease"])]
    {
        let how = json!({"without": without});
        let told = asked(&mut engine, &json!({"ask": "why-not", "club": first, "how": how, "years": years}));
        let told = plain(&told);
        let left: Vec<&str> = without.iter().flat_map(|clue| ["--without", clue]).collect();
        let text = bench.run(&[&["why-not", one, "--periods", period][..], &left].concat()).stdout;
        let text = unwrapped(&text);
        let closing = told.split_once("? ").unwrap().1.split_once(" What each clue says").unwrap().0;
        assert!(closing.contains("Before any clue the odds are") && text.contains(closing), "{closing}\n{text}");
        assert!(told.contains(&format!("Why not the {period}?")), "{told}");
        assert_eq!(told.contains("Hosel length"), without.is_empty(), "{told}");
    }
    let both = json!({"ask": "compare", "clubs": [first, second]});
    let told = plain(&asked(&mut engine, &both));
    let text = unwrapped(&bench.run(&["compare", one, other, "--sort", "given"]).stdout);
    let opening = told.strip_prefix("Side by side ").unwrap().split_once(" Club").unwrap().0;
    assert!(text.contains(opening), "{opening}\n{text}");
    let answers = bench.json(&["compare", one, other, "--sort", "given", "--format", "json"]);
    let oldest = answers[0]["clubs"][0]["chance_of_oldest"].as_f64().unwrap();
    assert!(told.contains(&format!("{:.0} %", 100.0 * oldest)), "{told}");
    for (request, words) in [
        (json!({"ask": "compare", "clubs": [first]}), "2 to 12 clubs"),
        (json!({"ask": "compare", "clubs": vec![&first; 13]}), "2 to 12 clubs"),
        (json!({"ask": "why-not", "club": first, "years": [1, 2]}), "nothing to weigh"),
        (json!({"ask": "why-not", "club": first, "years": [1900, 1890]}), "nothing to weigh"),
        (json!({"ask": "why-not", "club": first, "years": [i32::MIN, i32::MAX]}), "nothing to weigh"),
        (json!({"ask": "why-not", "club": {"id": "a", "readings": {"loft": "steep"}}, "years": [1900, 1909]}), "loft"),
    ] {
        let answer = asked(&mut engine, &request);
        assert!(answer["refused"][0]["message"].as_str().unwrap().contains(words), "{answer}");
    }
}

/// Calibration, marks and clubs of the command are those that the page asks by; nothing in them becomes markup.
#[test]
fn a_page_of_ones_own_asks_by_ones_own() {
    let bench = Bench::fitted();
    let title = "</script><script>alert(1)</script><!-- ";
    bench.write(
        "a.toml",
        format!("id = \"a\"\nmade = \"1860?\"\n[readings]\nhosel = 4.1\n[text]\ntitle = \"{title}\"\n"),
    );
    bench.write("b.csv", "id,hosel,pin\nB1,3.9,side_side\nB2,4.4,front_back?\n");
    let run = bench.run(&["bench", "a.toml", "b.csv", "--calibration", "cal.toml", "--out", "mine.html"]);
    assert_eq!((run.code, run.stdout.as_str()), (0, "mine.html\n"), "{}", run.stderr);
    let page = bench.read("mine.html");
    let own = own_files(&page);
    let mut engine = Engine::default();
    let opened = asked(&mut engine, &json!({"ask": "open", "own": own}));
    let date = ["date", "a.toml", "--calibration", "cal.toml", "--format", "json"];
    assert_eq!(opened["sha256"], bench.json(&date)[0]["calibration"]["sha256"], "{opened}");
    for (place, (file, id)) in [("a.toml", "a"), ("b.csv", "B1"), ("b.csv", "B2")].into_iter().enumerate() {
        let kept = &own["clubs"][place];
        let request = json!({"ask": "import", "name": kept["name"], "text": kept["text"]});
        let club = asked(&mut engine, &request)[0].clone();
        let answer = asked(&mut engine, &json!({"ask": "date", "club": club, "how": {"numbers": true}}));
        let date = ["date", file, "--club", id, "--calibration", "cal.toml", "--format", "json"];
        assert_eq!(answer["numbers"], bench.json(&date)[0], "{id}");
    }
    // As many scripts as a page without files has.
    assert_eq!(bench.run(&["bench", "--out", "plain.html"]).code, 0);
    let scripts = |page: &str| page.matches("<script").count();
    assert_eq!(scripts(&page), scripts(&bench.read("plain.html")));
    assert!(!page.contains("<script>alert"));
}

/// What cannot be a page, or would replace something, is refused, and nothing is written.
#[test]
fn a_page_replaces_nothing() {
    let bench = Bench::fitted();
    bench.write("a.toml", "id = \"a\"\n[readings]\nhosel = 4.1\n");
    bench.write("wrong.toml", "id = \"a\"\n[readings]\nhosel = \"long\"\n");
    bench.write("old.html", "mine");
    for (arguments, code, told) in [
        (&["bench", "a.toml", "--out", "page.txt"][..], 2, "must end in .html"),
        (&["bench", "a.toml", "--calibration", "cal.toml", "--out", "old.html"], 3, "exists and was left as it is"),
        (&["bench", "wrong.toml", "--calibration", "cal.toml", "--out", "page.html"], 3, "is no measure for hosel"),
        (&["bench", "--calibration", "a.toml", "--out", "page.html"], 3, "a.toml"),
    ] {
        let run = bench.run(arguments);
        assert!(
            run.code == code && unwrapped(&run.stderr).contains(told),
            "{arguments:?}: {} {}",
            run.code,
            run.stderr
        );
    }
    assert!(bench.read("old.html") == "mine" && !bench.path("page.html").exists());
}

/// The page forbids all but its own script, by its hash (Content Security Policy Level 3, W3C): one changed letter of
/// it, and a browser does not run it.
#[test]
fn the_page_runs_its_own_script_alone() {
    let page = page_file(b"engine", "0").unwrap();
    assert!(page.contains("default-src 'none'; script-src 'sha256-") && !page.contains("'unsafe-eval'"));
    assert!(!page.contains("http://") && !page.contains("https://"), "an address of a network");
    let club = NamedText { name: "a".to_owned(), text: "</script>".to_owned() };
    let own = OwnFiles { clubs: vec![club], ..OwnFiles::default() };
    let with = with_own_files(&page, &own).unwrap();
    assert_eq!(own_files(&with)["clubs"][0]["text"], "</script>");
    assert_eq!(with_own_files(&with, &OwnFiles::default()).unwrap(), page);
}

/// A date as people write it comes back as of the same years, as well known as it was, from a record and from a table;
/// `c.` stays `c.`.
#[test]
fn a_date_is_the_same_when_it_is_read_again() {
    let bench = Bench::new();
    let mut engine = Engine::default();
    let written = [
        "c. 1890",
        "1860?",
        "c. 1855-60",
        "circa 1850s",
        "1752?",
        "1938?",
        "before 1850",
        "after 1900",
        "1893",
        "1880s",
        "Victorian",
        "late 19th century",
        "[1890]",
        "189?",
        "before 1850?",
    ];
    for (text, grade) in written.iter().flat_map(|text| [(text, ""), (text, "1"), (text, "4"), (text, "5")]) {
        bench.write("a.csv", format!("id,made,date_grade,hosel_to_crease\na,{text},{grade},4.1\n"));
        let given = |file: &str| bench.json(&["date", file, "--format", "json"])[0]["given"].clone();
        let table = bench.read("a.csv");
        let club = asked(&mut engine, &json!({"ask": "import", "name": "a.csv", "text": table}))[0].clone();
        bench.write("r.toml", asked(&mut engine, &json!({"ask": "record", "club": club})).as_str().unwrap());
        let again = asked(&mut engine, &json!({"ask": "clubs", "clubs": [club], "table": true}));
        bench.write("b.csv", again["text"].as_str().unwrap());
        let want = given("a.csv");
        assert_eq!(want["grade_is_given"], !grade.is_empty(), "{text}");
        assert!(given("r.toml")["from"] == want["from"] && given("r.toml")["grade"] == want["grade"], "{text} {grade}");
        assert_eq!(given("b.csv"), given("r.toml"), "{text} {grade}: {club}");
        assert_eq!(given("r.toml")["to"], want["to"], "{text} {grade}");
    }
    for text in ["c. 1890", "1890?"] {
        bench.write("a.csv", format!("id,made,hosel_to_crease\na,{text},4.1\n"));
        let table = bench.read("a.csv");
        let club = asked(&mut engine, &json!({"ask": "import", "name": "a.csv", "text": table}))[0].clone();
        assert_eq!((&club["made"], &club["date_grade"]), (&json!("c. 1890"), &json!("")));
    }
}

/// Whatever stands in a cell comes back from a record and from a table as it was, and a figure is told of its club.
#[test]
fn what_is_saved_is_what_was_entered() {
    let mut engine = Engine::default();
    let readings = json!({"top_edge": "altered", "hosel_join": "unreadable", "face_scoring": "smooth?",
                          "nicking_coarseness": "fine|medium", "hosel_to_crease": "3 1/2 in"});
    let club = json!({"id": "A7", "readings": readings, "made": "before 1890", "date_grade": "", "set": "",
                      "note": "=1+1", "text": {"title": "An iron, \"so called\""}});
    let record = asked(&mut engine, &json!({"ask": "record", "club": club}));
    let again = asked(&mut engine, &json!({"ask": "import", "name": "a.toml", "text": record}));
    assert_eq!(again, json!([club]));
    let table = asked(&mut engine, &json!({"ask": "clubs", "clubs": [club], "table": true}));
    let again = asked(&mut engine, &json!({"ask": "import", "name": "a.csv", "text": table["text"]}));
    assert_eq!(again, json!([club]));
    let wrong = json!({"id": "B8", "readings": {"loft": "steep"}});
    let table = asked(&mut engine, &json!({"ask": "clubs", "clubs": [club, wrong], "table": true}));
    assert!(table["left_out"] == json!(["B8"]) && table["text"].as_str().unwrap().contains("A7"), "{table}");
    for ask in ["short", "date"] {
        let answer = asked(&mut engine, &json!({"ask": ask, "club": club})).to_string();
        assert!(answer.contains("When the head of A7 (An iron, "), "{ask}");
    }
}
