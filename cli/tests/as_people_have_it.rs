//! Tables, spreadsheets and folders as people have them.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, unwrapped};

/// A date as people write it, and the years it is read as; the small catalogue's are 1800 to 1899.
const DATES: [(&str, i64, i64); 16] = [
    ("1873", 1873, 1873),
    ("c.1870", 1865, 1875),
    ("circa 1870", 1865, 1875),
    ("1870s", 1870, 1879),
    ("early 1870s", 1870, 1874),
    ("1870-75", 1870, 1875),
    ("1870 to 1885", 1870, 1885),
    ("before 1850", 1800, 1849),
    ("pre-1850", 1800, 1849),
    ("after 1880", 1881, 1899),
    ("late 19th century", 1866, 1899),
    ("c. 1898", 1893, 1899),
    ("187?", 1870, 1879),
    ("before 1850?", 1800, 1849),
    ("1870 or so", 1865, 1875),
    ("late Victorian", 1880, 1899),
];

/// In a column of its own, by whatever name, and in `made_from` alone; a lone year there is still half a date.
#[test]
fn dates_are_read_as_people_write_them() {
    let bench = Bench::fitted();
    let given = |table: &str| {
        bench.write("t.csv", table);
        let answer = &bench.json(&["date", "t.csv", "--calibration", "cal.toml", "--format", "json"])[0]["given"];
        (answer["from"].as_i64().unwrap(), answer["to"].as_i64().unwrap())
    };
    for (text, from, to) in DATES {
        assert_eq!(given(&format!("id,made,hosel\nA,{text},4\n")), (from, to), "{text}");
        assert_eq!(given(&format!("id,Date,hosel\nA,{text},4\n")), (from, to), "{text}");
        if from != to {
            assert_eq!(given(&format!("id,made_from,made_to,hosel\nA,{text},,4\n")), (from, to), "{text}");
        }
    }
    assert_eq!(given("id,made_from,made_to,hosel\nA,1860s,c. 1880,4\n"), (1860, 1885));
    for (row, why) in [
        ("A,,1873,,4", "made_to is blank"),
        ("A,,,1873,4", "made_from is blank"),
        ("A,,,1873,4", "write \"1873 or earlier\""),
        ("A,,1873,,4", "write \"1873 or later\""),
        ("A,c. 1873,1870,1880,4", "give it once"),
        ("A,old,,,4", "write a year, or a period"),
        ("A,1890-80,,,4", "is no year"),
        ("A,1950,,,4", "outside the catalogue's years"),
    ] {
        bench.write("t.csv", format!("id,made,made_from,made_to,hosel\n{row}\n"));
        let run = bench.run(&["date", "t.csv", "--calibration", "cal.toml"]);
        assert_eq!(run.code, 3, "{row}: {}", run.stdout);
        assert!(unwrapped(&run.stderr).contains(why), "{why}: {}", run.stderr);
    }
}

/// A title above the headings, an id by another name, other columns told in one note; a heading that is nearly a clue
/// is an error, and so is a table without anything to tell clubs apart by.
#[test]
fn a_table_with_a_title_and_other_columns_is_read() {
    let bench = Bench::fitted();
    let date = |table: &str| {
        bench.write("t.csv", table);
        bench.run(&["date", "t.csv", "--calibration", "cal.toml", "--format", "csv"])
    };
    let plain = date("id,hosel,pin\nK7,4,side_side\n");
    let as_had = "My irons,,,,\n,,,,\nLot,Price,\"Hosel length, rim to crease\",Pin,Shelf\nK7,40,4,side-side,B\n";
    let read = date(as_had);
    assert_eq!((read.code, &read.stdout), (0, &plain.stdout), "{}", read.stderr);
    assert_eq!(read.stderr.lines().count(), 2, "{}", read.stderr);
    assert!(read.stderr.contains("column \"Lot\" is taken for id"), "{}", read.stderr);
    assert!(read.stderr.contains("passed over: Price; Shelf"), "{}", read.stderr);
    // Up to the comma of its label.
    assert_eq!(date("id,Hosel length,pin\nK7,4,side_side\n").stdout, plain.stdout);
    let nearly = date("id,hosel,pn\nK7,4,side_side\n");
    assert_eq!((nearly.code, nearly.stdout.as_str()), (3, ""));
    assert!(unwrapped(&nearly.stderr).contains("did you mean \"pin\"?"), "{}", nearly.stderr);
    let nameless = date("hosel,pin\n4,side_side\n");
    assert!(nameless.code == 3 && nameless.stderr.contains("no column \"id\""), "{}", nameless.stderr);
    // A decimal comma says nothing else; three digits behind it might.
    assert_eq!(date("id,hosel,pin\nK7,\"4,0\",side_side\n").stdout, plain.stdout);
    // What is nearly a heading of ours, or says less than one does, is an error; ordinary words are none.
    let small = crate::private_folder::CATALOGUE.replace("id = \"hosel\"", "id = \"hosel_length\"");
    bench.write("other.toml", small);
    for (heading, near) in [("Hosle length", "hosel_length"), ("Hosel", "hosel_length"), ("nickng", "nicking")] {
        bench.write("t.csv", format!("id,{heading},pin\nK7,4,side_side\n"));
        let run = bench.run(&["fit", "--catalogue", "other.toml", "--collection", "t.csv", "--out", "none.toml"]);
        assert!(run.code == 3 && unwrapped(&run.stderr).contains(&format!("\"{near}\"?")), "{heading}: {}", run.stderr);
    }
    for heading in ["Maker", "Grade", "Sex", "Seat", "Lot", "Number", "Year of sale", "Date (of sale)"] {
        let run = date(&format!("id,{heading},hosel,pin\nK7,x,4,side_side\n"));
        assert_eq!((run.code, &run.stdout), (0, &plain.stdout), "{heading}: {}", run.stderr);
    }
    // Semicolons in a note, and decimal commas beside semicolons.
    let noted = date("id,hosel,pin,note\nK7,4,side_side,\"a; b; c; d; e; f\"\n");
    assert_eq!(noted.stdout, plain.stdout, "{}", noted.stderr);
    assert_eq!(date("id;hosel;pin\nK7;4,0;side_side\n").stdout, plain.stdout);
    let ambiguous = date("id,hosel,pin\nK7,\"4,125\",side_side\n");
    assert!(ambiguous.code == 3 && ambiguous.stderr.contains("thousands"), "{}", ambiguous.stderr);
}

/// A comma within a measure is read by the table's own habit: `3,125` is no thousands where others are written `3,5`.
#[test]
fn a_decimal_comma_is_read_by_the_tables_habit() {
    let bench = Bench::fitted();
    let date = |table: &str| {
        bench.write("t.csv", table);
        bench.run(&["date", "t.csv", "--calibration", "cal.toml", "--format", "csv"])
    };
    let with_points = date("id,hosel,pin\nA,3.5,side_side\nB,3.125,\n");
    assert_eq!(with_points.code, 0, "{}", with_points.stderr);
    for table in [
        "id,hosel,pin\nA,\"3,5\",side_side\nB,\"3,125\",\n",
        "id\thosel\tpin\nA\t3,5\tside_side\nB\t3,125\t\n",
        "id;hosel;pin\nA;3,5;side_side\nB;3,125;\n",
    ] {
        let run = date(table);
        assert_eq!((run.code, &run.stdout), (0, &with_points.stdout), "{table}: {}", run.stderr);
    }
    // A nought before the comma says that it is no thousands, in a record too.
    bench.write("club.toml", "id = \"a\"\n[readings]\ntop_edge = \"0,125\"\n");
    let run = bench.run(&["date", "club.toml"]);
    assert_eq!(run.code, 0, "{}", run.stderr);
    // No other says how; another says the opposite.
    for table in ["id,hosel,pin\nB,\"3,125\",\n", "id,hosel,pin\nA,\"3,5\",\nC,3.5,\nB,\"3,125\",\n"] {
        let run = date(table);
        assert!(run.code == 3 && run.stderr.contains("thousands"), "{table}: {}", run.stderr);
    }
}

/// What is no table says what it is.
#[test]
fn the_cause_is_named_where_a_file_cannot_be_read() {
    let bench = Bench::fitted();
    let date = |bytes: &[u8]| {
        bench.write("t.dat", bytes);
        bench.run(&["date", "t.dat", "--calibration", "cal.toml", "--format", "csv"])
    };
    let container = [0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1];
    let stream: Vec<u8> = "EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes).collect();
    let causes: [(Vec<u8>, &str); 4] = [
        ([&container[..], &[0; 40]].concat(), "a spreadsheet of the old kind (.xls)"),
        ([&container[..], &[0; 40], &stream].concat(), "has a password"),
        (b"i\0d\0\n\0".to_vec(), "zero bytes"),
        (b"id,hosel\nK\xfchne,4\n".to_vec(), ":2:2: byte 0xfc is not UTF-8"),
    ];
    for (bytes, cause) in causes {
        let run = date(&bytes);
        assert_eq!((run.code, run.stdout.as_str()), (3, ""), "{cause}");
        let told = unwrapped(&run.stderr);
        assert!(told.contains(cause) && told.contains("What to do: save"), "{cause}: {told}");
    }
    // UTF-16 as a spreadsheet saves it is read.
    let table = "id\thosel\tpin\r\nA\t4\tside_side\r\n";
    let marked: Vec<u8> = [0xff, 0xfe].into_iter().chain(table.encode_utf16().flat_map(u16::to_le_bytes)).collect();
    let (utf_16, utf_8) = (date(&marked), date(table.as_bytes()));
    assert_eq!((utf_16.code, &utf_16.stdout), (0, &utf_8.stdout), "{}", utf_16.stderr);
}

/// A folder of records dates and fits as the table of the same clubs.
#[test]
fn a_folder_of_records_is_a_collection() {
    let bench = Bench::fitted();
    std::fs::create_dir(bench.path("irons")).unwrap();
    bench.write("irons/notes.txt", "no record");
    for line in bench.read("dated.csv").lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let [id, from, to, hosel, pin, nicking] = cells[..] else { panic!("{line}") };
        let record = format!(
            "id = \"{id}\"\nmade_from = {from}\nmade_to = \"{to}\"\n[readings]\nhosel = {hosel}\npin = \"{pin}\"\n\
             nicking = \"{nicking}\"\n"
        );
        bench.write(&format!("irons/{id}.toml"), record);
    }
    let same = |arguments: &[&str]| {
        let run = |collection: &str| {
            let given: Vec<&str> =
                arguments.iter().map(|word| if *word == "HERE" { collection } else { *word }).collect();
            let run = bench.run(&given);
            assert_eq!(run.code, 0, "{arguments:?}: {}", run.stderr);
            run.stdout
        };
        assert_eq!(run("irons"), run("dated.csv"), "{arguments:?}");
    };
    same(&["date", "HERE", "--calibration", "cal.toml", "--format", "json"]);
    same(&["collection", "HERE", "--calibration", "cal.toml"]);
    same(&["audit", "--catalogue", "cat.toml", "--collection", "HERE", "--folds", "5"]);
    let fit = |collection: &str, out: &str| {
        let fit = ["fit", "--catalogue", "cat.toml", "--collection", collection, "--name", "one", "--out", out];
        let run = bench.run(&fit);
        assert_eq!(run.code, 0, "{}", run.stderr);
        let text = bench.read(out);
        text.lines().filter(|line| !line.starts_with("collection_")).collect::<Vec<_>>().join("\n")
    };
    assert_eq!(fit("irons", "a.toml"), fit("dated.csv", "b.toml"));
    // Mistakes of several records are told together, and two clubs of one id are one.
    bench.write("irons/C01.toml", "id = \"C01\"\n[readings]\npin = \"sideside\"\n");
    bench.write("irons/C02.toml", "id = \"C03\"\nmade = \"long ago\"\n");
    let wrong = bench.run(&["date", "irons", "--calibration", "cal.toml"]);
    let told = unwrapped(&wrong.stderr);
    assert_eq!(wrong.code, 3, "{told}");
    assert!(told.contains("C01.toml:3") && told.contains("C02.toml:2") && told.contains("2 mistakes in all"), "{told}");
    // The file that has the id first is the one that is named, whatever is wrong before it.
    bench.write("irons/C02.toml", "id = \"C05\"\n");
    let twice = unwrapped(&bench.run(&["date", "irons", "--calibration", "cal.toml"]).stderr);
    assert!(twice.contains("C05.toml: id \"C05\" stands twice; the first is in irons/C02.toml"), "{twice}");
    // Records in a folder within are told to be passed over; a folder of pictures is not worth a word.
    for folder in ["none", "none/pictures", "none/drawer 2"] {
        std::fs::create_dir(bench.path(folder)).unwrap();
    }
    bench.write("none/drawer 2/a.toml", "id = \"a\"\n");
    bench.write("none/b.toml", "id = \"b\"\n");
    let told = bench.run(&["date", "none", "--calibration", "cal.toml"]);
    let note = "note: none: records in folders within it were passed over: drawer 2; name these folders too";
    assert!(told.code == 0 && unwrapped(&told.stderr).contains(note), "{}", told.stderr);
    assert!(!told.stderr.contains("pictures"));
    std::fs::remove_file(bench.path("none/b.toml")).unwrap();
    assert_eq!(bench.run(&["date", "none", "--calibration", "cal.toml"]).code, 3);
}

/// What would be read as something else than it says, or lose a club, is refused.
#[test]
fn nothing_is_lost_or_taken_for_another() {
    let bench = Bench::fitted();
    let refused = |table: &str, why: &str| {
        bench.write("t.csv", table);
        let run = bench.run(&["date", "t.csv", "--calibration", "cal.toml"]);
        assert_eq!((run.code, run.stdout.as_str()), (3, ""), "{table}");
        assert!(unwrapped(&run.stderr).contains(why), "{why}: {}", run.stderr);
    };
    // A quote for ditto would swallow the next club.
    let ditto = "id,text.maker,pin,hosel\nA,x,side_side,4\nB,\",side_side,4\nC,\",side_side,4\nD,y,side_side,4\n";
    refused(ditto, "runs over several lines");
    refused("id,hosel,\nA,4,trace\n", "this column has no heading");
    // Without anything below them such columns are nothing.
    bench.write("t.csv", "id,hosel,,\nA,4,,\n");
    assert_eq!(bench.run(&["date", "t.csv", "--calibration", "cal.toml"]).code, 0);
    // A sign names itself alone, and no blank heading.
    bench.write("t.csv", "id,#,hosel,\nA,1,4,trace\n");
    let run = bench.run(&["date", "t.csv", "--ignore", "#", "--calibration", "cal.toml"]);
    assert!(run.code == 3 && run.stderr.contains("no heading"), "{}", run.stderr);
    refused("K-1,4,side_side\nid,hosel,pin\nK-2,4,side_side\n", "stands above the headings");
    refused("id,hosel,pin\nA,#N/A,side_side\n", "an error of a spreadsheet");
    refused("id,hosel,pin\nA,12/6,side_side\n", "no measure");
    refused("id,hosel,pin\nA,4,side_side?|front_back\n", "is no level");
    refused("id,hosel,pin\nA,4,!side_side\n", "is no level");
    for century in ["1800s", "late 1800s", "c. 1800s"] {
        refused(&format!("id,made,hosel\nA,{century},4\n"), "may be a decade or a century");
    }
    for open in ["from 1850", "between 1850"] {
        refused(&format!("id,made,hosel\nA,{open},4\n"), "is no year");
    }
    refused("id,made,date_grade,hosel\nA,,banana,4\n", "is no date grade");
    let thrice = "id,hosel\nA,4\nA,4\nA,4\n";
    bench.write("t.csv", thrice);
    let run = bench.run(&["date", "t.csv", "--calibration", "cal.toml"]);
    assert_eq!(run.stderr.matches("the first is on line 2").count(), 2, "{}", run.stderr);
    // In a set of no name nobody has a mate, and doubt is doubt however it is written.
    let misread = |word: &str| {
        bench.write("t.csv", format!("id,hosel,pin,nicking\nA,4,{word},fine\n"));
        let answer = bench.json(&["date", "t.csv", "--calibration", "cal.toml", "--format", "json"]).remove(0);
        let entries = answer["ledger"]["entries"].as_array().unwrap().clone();
        entries.iter().find(|entry| entry["clue"] == "pin").unwrap()["misread"].as_f64().unwrap()
    };
    let doubted = misread("side_side?");
    assert!(misread("side_side") < doubted);
    for word in ["side_side (?)", "?side_side", "side-side?"] {
        assert!((misread(word) - doubted).abs() < 1e-12, "{word}");
    }
    // A date in words of opinion is not called documented; a year and a span are as they were.
    for (made, how) in
        [("c. 1850", "opinion of the trade"), ("before 1850", "opinion of the trade"), ("1850-55", "documented")]
    {
        bench.write("t.csv", format!("id,made,hosel\nA,{made},4\n"));
        let text = bench.run(&["date", "t.csv", "--calibration", "cal.toml"]).stdout;
        assert!(unwrapped(&text).contains(&format!("(taken as {how}: no grade is given)")), "{made}: {text}");
        bench.write("t.csv", format!("id,made,date_grade,hosel\nA,{made},3,4\n"));
        let text = bench.run(&["date", "t.csv", "--calibration", "cal.toml"]).stdout;
        assert!(unwrapped(&text).contains("(published)"), "{made}: {text}");
    }
}

/// Numbers of registers are numbers, and not what stands beside them on a club.
#[test]
fn dates_of_patents_are_no_numbers() {
    let bench = Bench::new();
    let date = |clue: &str, cell: &str| {
        bench.write("t.csv", format!("id,{clue}\nA,\"{cell}\"\n"));
        bench.run(&["date", "t.csv", "--format", "csv"])
    };
    for (clue, cell) in
        [("us_patent_number", "Pat. Aug. 18, 1903"), ("design_number", "35120.4"), ("gb_patent_number", "10811/-9")]
    {
        assert_eq!(date(clue, cell).code, 3, "{cell}");
    }
    assert_eq!(date("design_number", "351202.0").stdout, date("design_number", "351202").stdout);
}

/// Where a file is wrong in many places, ten are told, the rest counted, and where to begin.
#[test]
fn many_mistakes_are_told_with_where_to_begin() {
    let bench = Bench::fitted();
    let rows: String =
        (0..300).map(|n| format!("c{n},{},{}\n", if n % 10 == 0 { "x" } else { "4" }, "sideside")).collect();
    bench.write("t.csv", format!("id,hosel,pin\n{rows}"));
    let run = bench.run(&["date", "t.csv", "--calibration", "cal.toml"]);
    let told = unwrapped(&run.stderr);
    assert_eq!((run.code, run.stderr.matches("error: ").count()), (3, 10), "{told}");
    assert!(
        told.ends_with("and 320 more: 330 mistakes in all. Begin with column pin: 90 of the first 100 are of it."),
        "{told}"
    );
}

/// Every clue of a catalogue and every rule that makes no sense is told, not the first alone.
#[test]
fn mistakes_of_catalogue_and_rules_are_told_together() {
    let bench = Bench::new();
    let fit = |catalogue: &str, rules: &str| {
        bench.write("c.toml", catalogue);
        bench.write("r.toml", rules);
        let run = bench.run(&["fit", "--catalogue", "c.toml", "--rules", "r.toml", "--out", "out.toml"]);
        assert_eq!((run.code, bench.path("out.toml").exists()), (3, false), "{}", run.stderr);
        unwrapped(&run.stderr)
    };
    let rules = "[[measured]]\nclue = \"hosel\"\nyear = 1850\nmean = 5\nsd = -1\nworth = 3\n\
                 [[levels]]\nclue = \"pinn\"\nfrom = 1800\nto = 1850\nworth = 3\nshares = { front_back = 1.0 }\n";
    let told = fit(crate::private_folder::CATALOGUE, rules);
    assert!(told.contains("r.toml:5") && told.contains("r.toml:8") && told.contains("2 mistakes in all"), "{told}");
    let broken =
        crate::private_folder::CATALOGUE.replace("[1.5, 8]", "[8, 1.5]").replace("misread = 0.1", "misread = 7");
    let told = fit(&broken, "");
    assert!(told.contains("clue \"hosel\"") && told.contains("clue \"nicking\""), "{told}");
    assert!(told.contains("2 mistakes in all"), "{told}");
}

/// Marks are named as they are written on the club, in the table of marks and in the record.
#[test]
fn marks_are_named_as_they_are_written() {
    let bench = Bench::new();
    let marks = "clue,mark,used_from,used_to,fade,leak,source,standing\n\
                 sellers_stamp,\"Quay & Sons, Lynmouth\",1881,1890,3,0.02,an invented directory,invented\n";
    bench.write("marks.csv", marks);
    for written in ["Quay & Sons, Lynmouth", "QUAY & SONS LYNMOUTH", "quay_sons_lynmouth"] {
        bench.write("r.csv", format!("id,hosel_to_crease,sellers_stamp\nsold,4,\"{written}\"\n"));
        let text = bench.run(&["date", "r.csv", "--marks", "marks.csv"]);
        assert_eq!(text.code, 0, "{written}: {}", text.stderr);
        assert!(unwrapped(&text.stdout).contains("Quay & Sons, Lynmouth"), "{written}: {}", text.stdout);
    }
}

/// The unit of a heading is that of the bare numbers below it; a number with a unit of its own keeps that.
#[test]
fn a_unit_in_a_heading_is_that_of_its_column() {
    let bench = Bench::new();
    let mean = |heading: &str, cell: &str| {
        bench.write("t.csv", format!("id,{heading}\nA,{cell}\n"));
        let run = bench.run(&["date", "t.csv", "--format", "json"]);
        assert_eq!(run.code, 0, "{heading} {cell}: {}", run.stderr);
        serde_json::from_str::<serde_json::Value>(&run.stdout).unwrap()["mean"].as_f64().unwrap()
    };
    let inches = mean("hosel_to_crease", "4");
    for (heading, cell) in [
        ("Hosel length (mm)", "101.6"),
        ("hosel_to_crease [cm]", "10.16"),
        ("Hosel length (mm)", "4 in"),
        ("Hosel length (in)", "4"),
        ("Hosel length (mm)", "101.6 mm"),
    ] {
        assert!((mean(heading, cell) - inches).abs() < 1e-6, "{heading} {cell}");
    }
    assert!((mean("Hosel length (mm)", "101.6?") - mean("hosel_to_crease", "4?")).abs() < 1e-6);
    assert!(
        (mean("Hosel length (mm)", "101.6 \u{b1} 5") - mean("hosel_to_crease", "101.6 mm \u{b1} 5 mm")).abs() < 1e-6
    );
}
