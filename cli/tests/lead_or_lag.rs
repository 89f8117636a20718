//! What is said of a lead or lag that all clues of a club share, and of signs of a later shaft or grip.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, project, unwrapped};
use serde_json::Value;

fn demo(name: &str) -> String {
    project().join("demo-data").join(name).to_string_lossy().into_owned()
}

fn width(answer: &Value) -> i64 {
    let band = &answer["bands"][1];
    band["to"].as_i64().unwrap() - band["from"].as_i64().unwrap()
}

/// A club from elsewhere is dated more widely, and every page says by how much; the number stands behind `=`, so that
/// none is taken for a file.
#[test]
fn a_club_from_elsewhere_is_dated_more_widely_and_says_so() {
    let bench = Bench::new();
    let (record, calibration) = (demo("smooth-face.toml"), demo("demo-calibration.toml"));
    let json = |extra: &[&str]| {
        let asked = ["date", "--format", "json", "--calibration", &calibration];
        bench.json(&[&asked[..], extra, &[&record]].concat()).remove(0)
    };
    let (home, ten, twenty) = (json(&[]), json(&["--elsewhere"]), json(&["--elsewhere=20"]));
    let lag = |answer: &Value| answer["shared_lag"].as_f64().unwrap();
    assert!(lag(&home) > 0.0 && lag(&home) < 10.0, "{}", lag(&home));
    // The region's beside the club's own.
    assert!(
        (lag(&ten) - lag(&home).hypot(10.0)).abs() < 1e-12 && (lag(&twenty) - lag(&home).hypot(20.0)).abs() < 1e-12
    );
    assert!(width(&home) < width(&ten) && width(&ten) < width(&twenty), "{} {}", width(&home), width(&ten));
    assert_eq!([&home, &ten].map(|answer| answer["from_elsewhere"].as_bool().unwrap()), [false, true]);
    let text = |extra: &[&str]| {
        unwrapped(&bench.run(&[&["date", "--calibration", &calibration, &record][..], extra].concat()).stdout)
    };
    let own = format!("by about {:.0} years either way (one standard deviation).", lag(&home));
    let detail = text(&["--detail"]);
    assert!(detail.contains(&own) && !detail.contains("elsewhere"), "{detail}");
    assert!(!text(&[]).contains("elsewhere") && !text(&[]).contains("standard deviation"), "{}", text(&[]));
    let elsewhere = text(&["--elsewhere=20"]);
    let by =
        format!("by about {:.0} years either way (one standard deviation) for a club from elsewhere", lag(&twenty));
    assert!(elsewhere.contains(&by), "{elsewhere}");
    assert!(elsewhere.contains(&format!("otherwise by about {:.0} years.", lag(&home))), "{elsewhere}");
    // Under the built-in rules too, and the longer the wider.
    let built_in = |extra: &[&str]| bench.json(&[&["date", "--format", "json", &record][..], extra].concat()).remove(0);
    let widths: Vec<i64> = [&[][..], &["--elsewhere"], &["--elsewhere=40"], &["--elsewhere=100"]]
        .map(|extra| width(&built_in(extra)))
        .to_vec();
    assert!(widths.windows(2).all(|pair| pair[0] < pair[1]), "{widths:?}");
    // Every other answer says so too, and a number that stands as a file is told where it belongs.
    bench.write("two.csv", "id,face_scoring\none,smooth\nother,stamped_lines\n");
    for command in
        [&["sensitivity", &record][..], &["next", &record], &["why-not", &record, "--periods", "1850s", "1900s"]]
    {
        let text = unwrapped(&bench.run(&[command, &["--elsewhere=20"]].concat()).stdout);
        assert!(
            text.contains("by about 22 years either way (one standard deviation) for a club"),
            "{command:?} {text}"
        );
    }
    for command in ["compare", "collection"] {
        let text = |extra: &[&str]| unwrapped(&bench.run(&[&[command, "two.csv"][..], extra].concat()).stdout);
        assert!(text(&["--elsewhere=20"]).contains("by about 22 years either way"), "{command}");
        assert!(text(&[]).contains("by about 10 years either way (one standard deviation)."), "{command}");
    }
    let stray = bench.run(&["date", "--elsewhere", "20", &record]);
    assert_eq!(stray.code, 2);
    assert!(stray.stderr.contains("--elsewhere=20"), "{}", stray.stderr);
    for slip in ["--elsewhere=0", "--elsewhere=-3", "--elsewhere=far", "--elsewhere=1000", "--elsewhere=NaN"] {
        let refused = bench.run(&["date", &record, slip]);
        assert_eq!(refused.code, 2, "{slip}");
        assert!(refused.stderr.contains("1 to 100"), "{}", refused.stderr);
    }
    // A page can be asked for again as it was.
    let write_up = ["write-up", &record, "--calibration", &calibration, "--elsewhere=15", "--page", "report"];
    assert_eq!(bench.run(&[&write_up[..], &["--out", "p"]].concat()).code, 0);
    let report = bench.read("p/smooth-face/report.md");
    assert!(report.contains("--elsewhere=15") && report.contains("for a club from elsewhere, as asked"), "{report}");
}

/// Where clues are taken to be of their time nothing is said of a lag, and a club from elsewhere is told apart from
/// that.
#[test]
fn without_a_lag_none_is_told() {
    let bench = Bench::new();
    let own = std::fs::read_to_string(demo("demo-calibration.toml")).unwrap();
    let line = own.lines().find(|line| line.starts_with("shared_lag")).unwrap();
    bench.write("none.toml", own.replace(line, "shared_lag = 0.0"));
    // A mark alone neither leads nor lags, and a description alone is none of date.
    bench.write("r.csv", "id,royal_device,club_type\nmark,edward_vii,\nkind,,long\n");
    assert!(!bench.run(&["date", "r.csv", "--detail"]).stdout.contains("Lead or lag"));
    bench.write("absurd.toml", own.replace(line, "shared_lag = -4.0"));
    let record = demo("smooth-face.toml");
    let text = |extra: &[&str]| {
        unwrapped(&bench.run(&[&["date", &record, "--calibration", "none.toml"][..], extra].concat()).stdout)
    };
    assert!(!text(&["--detail"]).contains("Lead or lag"));
    let elsewhere = text(&["--elsewhere"]);
    assert!(elsewhere.contains("by about 10 years either way (one standard deviation) for a club from"), "{elsewhere}");
    assert!(elsewhere.contains("elsewhere, as asked; otherwise not at all"), "{elsewhere}");
    let refused = bench.run(&["date", &record, "--calibration", "absurd.toml"]);
    assert_eq!(refused.code, 3);
    assert!(refused.stderr.contains("shared_lag"), "{}", refused.stderr);
}

/// A sign of a later shaft is no evidence by itself; the reason is that of the calibration's own chances.
#[test]
fn signs_say_why_they_bear_on_the_head() {
    let bench = Bench::new();
    let rules = project().join("cli/irons/irons-calibration.toml");
    let own = std::fs::read_to_string(rules).unwrap();
    let start = own.find("[[parts.shaft_replaced]]").unwrap();
    let end = own.find("[[parts.grip_replaced]]").unwrap();
    let point = |(year, chance): &(i32, f64)| format!("[[parts.shaft_replaced]]\nyear = {year}\nchance = {chance}\n\n");
    let with = |points: &[(i32, f64)]| {
        format!("{}{}{}", &own[..start], points.iter().map(point).collect::<String>(), &own[end..])
    };
    bench.write("even.toml", with(&[(1800, 0.3)]));
    bench.write("later.toml", with(&[(1800, 0.1), (1930, 0.6)]));
    bench.write("r.csv", "id,face_scoring,shaft_fit,earlier_grip\nboth,smooth,step,tide_marks\nnone,smooth,,\n");
    let text = |extra: &[&str]| unwrapped(&bench.run(&[&["date", "--detail", "r.csv"][..], extra].concat()).stdout);
    let own = text(&["--club", "both"]);
    let shaft = "Telling whether the shaft is a later one: Fit of shaft and hosel.";
    assert!(
        own.contains(&format!("{shaft} The older a head, the more often its shaft was replaced, so that this")),
        "{own}"
    );
    let grip =
        "Telling whether the grip is a later one: Signs of an earlier grip. The older a shaft, the more often its grip";
    assert!(own.contains(grip), "{own}");
    let later = text(&["--club", "both", "--calibration", "later.toml"]);
    assert!(later.contains(&format!("{shaft} The later a head, the more often its shaft was replaced")), "{later}");
    let even = text(&["--club", "both", "--calibration", "even.toml"]);
    assert!(even.contains(&format!("{shaft} A later shaft says less of its head.")), "{even}");
    assert!(!text(&["--club", "none"]).contains("Telling whether"));
    // Signs and a mark alone: neither leads nor lags.
    bench.write("signs.csv", "id,royal_device,shaft_fit\nsigns,edward_vii,step\n");
    assert!(!bench.run(&["date", "signs.csv", "--detail"]).stdout.contains("Lead or lag"));
    // They count with the exponent of the rules, as all else.
    let answer = &bench.json(&["date", "r.csv", "--club", "both", "--format", "json"])[0];
    let entries = answer["ledger"]["entries"].as_array().unwrap();
    let weight = |clue: &str| {
        let entry = entries.iter().find(|entry| entry["clue"] == clue).unwrap();
        entry["weight"].as_f64().unwrap()
    };
    assert!((weight("shaft_fit") - weight("face_scoring")).abs() < 1e-12);
}
