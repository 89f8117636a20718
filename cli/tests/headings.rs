//! Headings of tables as people write them, where the starter catalogue calls a clue otherwise.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use crate::private_folder::{Bench, unwrapped};

/// What people head a column with that the starter catalogue calls otherwise; the note says what it was taken for, and
/// beside a column of that clue it is not taken.
#[test]
fn headings_of_the_trade_are_those_of_clues() {
    let bench = Bench::new();
    let date = |table: String| {
        bench.write("t.csv", table);
        bench.run(&["date", "t.csv", "--format", "csv"])
    };
    let cells = "A,no. 5,smooth,chrome,hickory,rubber,0.8";
    let own = "club_type,face_scoring,head_finish,shaft_wood,grip_material,hosel_top_diameter";
    let read = date(format!("id,Type,Face,Finish,Shaft,Grip,Hosel diameter (in)\n{cells}\n"));
    let plain = date(format!("id,{own}\n{}\n", cells.replace("no. 5", "lofting")));
    assert_eq!((read.code, &read.stdout), (0, &plain.stdout), "{}", read.stderr);
    for (heading, clue) in ["Type", "Face", "Finish", "Shaft", "Grip", "Hosel diameter (in)"].iter().zip(own.split(','))
    {
        let told = format!("\"{heading}\" is taken for {clue}");
        assert!(unwrapped(&read.stderr).contains(&told), "{told}: {}", read.stderr);
    }
    assert_eq!(read.stderr.lines().filter(|line| line.starts_with("note:")).count(), 1, "{}", read.stderr);
    assert!(!plain.stderr.contains("taken for"), "{}", plain.stderr);
    let twice = date("id,Face,face_scoring\nA,smooth,smooth\n".to_owned());
    assert!(twice.code == 3 && twice.stderr.contains("though nearly one"), "{}", twice.stderr);
    let other = date("id,Weight,Face\nA,400 g,smooth\n".to_owned());
    assert!(other.code == 3 && unwrapped(&other.stderr).contains("head_weight"), "{}", other.stderr);
}
