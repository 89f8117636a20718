//! Drawings: every level that has a shape has one, no two levels of a clue look alike, and nothing leaves its field.
//!
//! Pictures are made by resvg, a general-purpose renderer of SVG; the text is read by usvg, its parser.
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_files::drawings::Drawings;
use agewright_model::reading::drawing::FIELD;
use agewright_model::{Catalogue, Clue};
use agewright_pages::drawings::shown::{clue_drawing, level_drawing};
use external_checks::{DEMO_CATALOGUE, STARTER, catalogue};
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};
use std::collections::BTreeSet;

/// Clues whose levels differ by shape, as the eye sees it on the club.
const SHAPED: [&str; 23] = [
    "nicking_coarseness",
    "nicking_regularity",
    "nicking_depth",
    "tine_finish",
    "clenched_teeth",
    "hosel_roundness",
    "hosel_join",
    "hammer_weld",
    "iron_grain",
    "pin_direction",
    "pin_kind",
    "hosel_form",
    "sole_form",
    "face_hollow",
    "toe_shape",
    "face_scoring",
    "scoring_regularity",
    "back_design",
    "stamping_method",
    "shaft_making",
    "shaft_fit",
    "grip_material",
    "grip_fixing",
];
/// Around the field, for what leaves it.
const MARGIN: u32 = 24;

/// A picture on white with a margin around the field, at so many pixels to a unit: grey by Rec. 709, 0 to 255.
fn grey(svg: &str, scale: u32) -> Vec<Vec<f64>> {
    let [width, height] = FIELD.map(|side| side + 2 * MARGIN);
    // The field is made wider, so that nothing is cut off at its edge.
    let wide = svg.replacen(
        "width=\"96\" height=\"72\" viewBox=\"0 0 96 72\"",
        &format!("width=\"{width}\" height=\"{height}\" viewBox=\"-{MARGIN} -{MARGIN} {width} {height}\""),
        1,
    );
    assert_ne!(wide, svg);
    let tree = Tree::from_str(&wide, &Options::default()).unwrap();
    let mut pixels = Pixmap::new(width * scale, height * scale).unwrap();
    pixels.fill(resvg::tiny_skia::Color::WHITE);
    let factor = f32::from(u16::try_from(scale).unwrap());
    resvg::render(&tree, Transform::from_scale(factor, factor), &mut pixels.as_mut());
    let luma = |p: &resvg::tiny_skia::PremultipliedColorU8| {
        0.2126 * f64::from(p.red()) + 0.7152 * f64::from(p.green()) + 0.0722 * f64::from(p.blue())
    };
    let row = (width * scale) as usize;
    pixels.pixels().chunks(row).map(|row| row.iter().map(luma).collect()).collect()
}

/// Every drawing of a catalogue: whose it is, and the SVG.
fn drawn(catalogue: &Catalogue) -> Vec<(String, String)> {
    let drawings = Drawings::of(catalogue);
    let of_clue = |clue: &Clue| {
        let levels = clue
            .levels
            .iter()
            .filter_map(|level| Some((format!("{}: {}", clue.id, level.id), level_drawing(drawings, clue, level)?)));
        clue_drawing(drawings, clue).map(|svg| (clue.id.clone(), svg)).into_iter().chain(levels).collect::<Vec<_>>()
    };
    catalogue.clues().iter().flat_map(of_clue).collect()
}

#[test]
fn what_has_a_shape_is_drawn() {
    let starter = STARTER.catalogue();
    let drawings = Drawings::of(starter);
    for id in SHAPED {
        let clue = starter.clue(id).unwrap();
        for level in &clue.levels {
            assert!(level_drawing(drawings, clue, level).is_some(), "{id}: {}", level.id);
        }
    }
    for clue in starter.clues().iter().filter(|clue| clue.kind.is_measure()) {
        assert!(clue_drawing(drawings, clue).is_some(), "{}", clue.id);
    }
    let demo = catalogue(DEMO_CATALOGUE);
    for clue in demo.clues() {
        let same = starter.clue(&clue.id).unwrap();
        assert_eq!(clue.drawing, same.drawing, "{}", clue.id);
        for level in &clue.levels {
            assert_eq!(Some(&level.drawing), same.levels.iter().find(|l| l.id == level.id).map(|l| &l.drawing));
        }
    }
}

/// At 96 x 72 pixels and in grey: of the pixels that either drawing has ink on, one in twenty differs by a tenth of the
/// scale or more.
#[test]
fn levels_of_a_clue_are_told_apart_in_grey() {
    let starter = STARTER.catalogue();
    let drawings = Drawings::of(starter);
    let mut least = (1.0_f64, String::new());
    for clue in starter.clues() {
        let pictures: Vec<_> = clue
            .levels
            .iter()
            .filter_map(|level| Some((&level.id, grey(&level_drawing(drawings, clue, level)?, 1))))
            .collect();
        for (at, (one, first)) in pictures.iter().enumerate() {
            for (other, second) in &pictures[at + 1..] {
                let pairs: Vec<(f64, f64)> =
                    first.iter().flatten().copied().zip(second.iter().flatten().copied()).collect();
                let inked = pairs.iter().filter(|(a, b)| a.min(*b) < 250.0).count();
                let differ = pairs.iter().filter(|(a, b)| (a - b).abs() >= 25.5).count();
                #[expect(clippy::cast_precision_loss, reason = "a share of pixels")]
                let share = differ as f64 / inked as f64;
                assert!(share >= 0.05, "{}: {one} and {other} differ in {share:.3}", clue.id);
                if share < least.0 {
                    least = (share, format!("{}: {one} and {other}", clue.id));
                }
            }
        }
    }
    println!("most alike: {} ({:.3} of the inked pixels)", least.1, least.0);
}

#[test]
fn nothing_leaves_its_field_and_every_drawing_has_words() {
    let mut outside = BTreeSet::new();
    for (whose, svg) in drawn(STARTER.catalogue()) {
        assert!(svg.contains("<title>") && svg.contains("<desc>") && !svg.contains("<text"), "{whose}");
        let picture = grey(&svg, 2);
        // A line at the edge reaches over it by half its width.
        let (edge, far) = (2 * MARGIN as usize - 3, |side: u32| (2 * (side + MARGIN) + 3) as usize);
        for (y, row) in picture.iter().enumerate() {
            for (x, tone) in row.iter().enumerate() {
                let within = (edge..far(FIELD[0])).contains(&x) && (edge..far(FIELD[1])).contains(&y);
                if !within && *tone <= 250.0 {
                    outside.insert(whose.clone());
                }
            }
        }
        let inked = picture.iter().flatten().filter(|tone| **tone < 250.0).count();
        assert!(inked > 4 * 300, "{whose}: {inked} pixels of ink");
    }
    assert!(outside.is_empty(), "ink outside the field: {outside:?}");
}

/// The same bytes at every run.
#[test]
fn drawings_are_the_same_every_time() {
    assert_eq!(drawn(STARTER.catalogue()), drawn(STARTER.catalogue()));
}
