//! Linked Art against its published model, by the library of the J. Paul Getty Trust (reference/SOURCES.md): every
//! property is one that its class has, every class one that it knows, every term has the number that it has there; and
//! what every record must have, it has.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use serde_json::Value;
use std::collections::BTreeSet;

fn rows(kind: &str) -> BTreeSet<(String, String)> {
    let mut reader = csv::Reader::from_reader(include_str!("reference/linked_art_terms.csv").as_bytes());
    let rows = reader.records().map(Result::unwrap).filter(|row| &row[0] == kind);
    rows.map(|row| (row[1].to_owned(), row[2].to_owned())).collect()
}

fn answers(record: &str) -> Vec<Value> {
    let arguments = ["agewright", "date", "-", "--prior", "flat", "--format", "linked-art"].map(Into::into).to_vec();
    let (mut out, mut err) = (Vec::new(), Vec::new());
    agewright::run(arguments, 80, &mut record.as_bytes(), &mut out, &mut err);
    assert!(err.is_empty(), "{}", String::from_utf8_lossy(&err));
    String::from_utf8(out).unwrap().lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

fn check(value: &Value, properties: &BTreeSet<(String, String)>, terms: &BTreeSet<(String, String)>) {
    match value {
        Value::Array(values) => values.iter().for_each(|value| check(value, properties, terms)),
        Value::Object(fields) => {
            let class = fields["type"].as_str().unwrap();
            for (name, value) in fields {
                let is_own = ["@context", "id", "type"].contains(&name.as_str());
                assert!(is_own || properties.contains(&(class.to_owned(), name.clone())), "{class} has no {name}");
                check(value, properties, terms);
            }
            if class == "Type" {
                let term = (fields["_label"].as_str().unwrap().to_owned(), fields["id"].as_str().unwrap().to_owned());
                assert!(terms.contains(&term), "{term:?}");
            }
            if ["Name", "Identifier", "LinguisticObject"].contains(&class) {
                assert!(fields["content"].as_str().is_some_and(|text| !text.is_empty()), "{class} without content");
            }
        }
        _ => {}
    }
}

#[test]
fn every_property_and_term_is_of_the_published_model() {
    let table = "id,text.title,hosel_to_crease,pin_direction,name_or_number,head_finish\n\
                 A,\"Iron, smooth\",3 1/2 in,side_side,absent,bare\nB,,5.9,front_back,absent,\n\
                 C,,3.2,,number,rustless\nD,,,,,\n";
    let (properties, terms) = (rows("property"), rows("term"));
    let objects = answers(table);
    assert_eq!(objects.len(), 4);
    for object in &objects {
        check(object, &properties, &terms);
        assert_eq!(object["@context"], "https://linked.art/ns/v1/linked-art.json");
        assert_eq!(object["type"], "HumanMadeObject");
        assert!(object["id"].as_str().unwrap().starts_with("urn:uuid:") && object["_label"].is_string());
        assert!(object["identified_by"].as_array().unwrap().iter().any(|name| name["type"] == "Name"));
    }
    let ids: BTreeSet<&str> = objects.iter().map(|object| object["id"].as_str().unwrap()).collect();
    assert_eq!(ids.len(), 4, "every club has its own");
    assert_eq!(answers(table), objects, "and always the same");
}

/// The bounds are those of the 95 % band, whole years, and the names tell the 80 % band; a side that reaches the end of
/// the calibration's years stays open.
#[test]
fn time_spans_are_the_bands() {
    let objects = answers(
        "id,hosel_to_crease,top_edge,face_scoring,name_or_number,pin_direction,design_number\n\
         A,4,0.17,stamped_dots,club_name,,351202\nC,5.9,0.38,,,front_back,\nD,,,,,,\n",
    );
    let span = |n: usize| &objects[n]["part"][0]["produced_by"]["timespan"];
    let [begin, end] = ["begin_of_the_begin", "end_of_the_end"];
    let shown = span(0)["identified_by"][0]["content"].as_str().unwrap();
    let year = |field: &str, n: usize| span(n)[field].as_str().map(|date| date[..4].to_owned());
    let (from, to) = (year(begin, 0).unwrap(), year(end, 0).unwrap());
    let band = span(0)["referred_to_by"][0]["content"].as_str().unwrap();
    assert!(band.contains(&format!("nineteen in twenty that it was made in {from}-")), "{band}: {from}-{to}");
    assert!(span(0)[begin].as_str().unwrap().ends_with("-01-01T00:00:00Z"));
    assert!(span(0)[end].as_str().unwrap().ends_with("-12-31T23:59:59Z"));
    // Inside the outer bounds lie those of the 80 % band, which the names tell.
    let edtf = span(0)["identified_by"][1]["content"].as_str().unwrap();
    let inner: Vec<i32> = edtf.trim_matches(['[', ']']).split("..").map(|year| year.parse().unwrap()).collect();
    assert!(from.parse::<i32>().unwrap() <= inner[0] && inner[1] <= to.parse().unwrap(), "{edtf} in {from}-{to}");
    assert!(shown.contains(&inner[0].to_string()), "{shown}: {edtf}");
    assert!(year(begin, 1).is_none() && year(end, 1).is_some(), "{}", span(1));
    assert!(year(begin, 2).is_none() && year(end, 2).is_none(), "nothing read, nothing bounded");
}
