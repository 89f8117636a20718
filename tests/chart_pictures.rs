//! Charts as they are looked at: words lie on no other words and on no bar, nothing leaves the page, tones are told
//! apart on paper, in grey and by the colour-blind, and every band is in words too.
//!
//! Boxes of words are measured by usvg, a general-purpose reader of SVG that shapes text by itself. Contrast: W3C
//! (2018), WCAG 2.1, relative luminance. Colour-blindness: Vienot, Brettel and Mollon (1999), Color Research and
//! Application 24, their matrices from memory (that white stays white is checked).
#![allow(clippy::unwrap_used, reason = "a test stops where something is missing")]

use agewright_files::{SourceText, TableOptions, read_collection};
use agewright_model::{Accounting, Asked, Calibration, Catalogue, Club, Part};
use agewright_pages::charts::club_bars::draw_bars;
use agewright_pages::charts::drawing::{Shown, draw};
use agewright_pages::charts::like_rows::draw_like;
use agewright_pages::charts::outlined::outlined;
use agewright_pages::charts::pit_columns::draw_pit;
use agewright_pages::charts::posterior_panel::posterior_figure;
use agewright_pages::words::answered::Answered;
use agewright_pages::words::bands::bands_in_words;
use external_checks::{DEMO_COLLECTION, STARTER, changed, demo_calibration};
use nalgebra::{Matrix3, Vector3};
use resvg::usvg::{Group, Node, Options, Paint, Tree};
use std::collections::{BTreeMap, BTreeSet};

const FACE: &[u8] = include_bytes!("../cli/assets/agewright-sans.ttf");
const UNDATED: &str = include_str!("../demo-data/undated.csv");
const BOTH: Shown = Shown { posterior: true, ledger: true };

/// A box in pixels: left, top, right, bottom.
#[derive(Clone, Copy, Debug)]
struct Area([f32; 4]);

impl Area {
    fn of(rect: resvg::tiny_skia::Rect) -> Self {
        Self([rect.left(), rect.top(), rect.right(), rect.bottom()])
    }

    /// Whether both cover the same place by more than half a pixel each way.
    fn meets(self, other: Self) -> bool {
        let ([l, t, r, b], [l2, t2, r2, b2]) = (self.0, other.0);
        r.min(r2) - l.max(l2) > 0.5 && b.min(b2) - t.max(t2) > 0.5
    }
}

/// What is on a picture.
#[derive(Default)]
struct Seen {
    words: Vec<(String, Area, [u8; 3])>,
    /// Filled blocks with their tones; white ones are erasures and no ink.
    blocks: Vec<(Area, [u8; 3])>,
    lines: Vec<(Area, [u8; 3])>,
    size: [f32; 2],
}

fn tone(paint: &Paint) -> [u8; 3] {
    let Paint::Color(colour) = paint else { panic!("charts are of plain tones") };
    [colour.red, colour.green, colour.blue]
}

fn look(svg: &str) -> Seen {
    let mut options = Options { font_family: "agewright Sans".to_owned(), ..Options::default() };
    options.fontdb_mut().load_font_data(FACE.to_vec());
    let tree = Tree::from_str(svg, &options).unwrap();
    let mut seen = Seen { size: [tree.size().width(), tree.size().height()], ..Seen::default() };
    walk(tree.root(), &mut seen);
    seen
}

fn walk(group: &Group, seen: &mut Seen) {
    for node in group.children() {
        match node {
            Node::Group(inner) => walk(inner, seen),
            Node::Text(text) => {
                let words: String = text.chunks().iter().map(|chunk| chunk.text().trim()).collect();
                let fill = text.chunks()[0].spans()[0].fill().unwrap();
                seen.words.push((words, Area::of(text.flattened().abs_bounding_box()), tone(fill.paint())));
            }
            Node::Path(path) => {
                if let Some(fill) = path.fill() {
                    seen.blocks.push((Area::of(path.abs_bounding_box()), tone(fill.paint())));
                } else if let Some(stroke) = path.stroke() {
                    seen.lines.push((Area::of(path.abs_bounding_box()), tone(stroke.paint())));
                }
            }
            Node::Image(_) => panic!("charts hold no images"),
        }
    }
}

fn luminance(tone: [u8; 3]) -> f64 {
    let [r, g, b] = linear(tone);
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

fn linear(tone: [u8; 3]) -> [f64; 3] {
    tone.map(|c| {
        let c = f64::from(c) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    })
}

fn contrast(a: [u8; 3], b: [u8; 3]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// A sign that the face lacks.
const FOREIGN: char = '\u{1F3CC}';
const WHITE: [u8; 3] = [255; 3];

/// Words on words, words on bars, things off the page, words too pale: nothing of it. `on_columns`: a word may stand on
/// a block, if it can be read there.
fn assert_clean(name: &str, svg: &str, on_columns: bool) {
    let seen = look(svg);
    assert!(!seen.words.is_empty(), "{name}");
    for (place, (words, area, tone)) in seen.words.iter().enumerate() {
        let Area([l, t, r, b]) = *area;
        assert!(l >= 0.0 && t >= 0.0 && r <= seen.size[0] && b <= seen.size[1], "{name}: {words:?} leaves the page");
        for (other, second, _) in &seen.words[place + 1..] {
            assert!(!area.meets(*second), "{name}: {words:?} lies on {other:?}: {area:?} {second:?}");
        }
        let mut ground = WHITE;
        for (block, fill) in seen.blocks.iter().filter(|(block, _)| block.meets(*area)) {
            assert!(on_columns || *fill == WHITE, "{name}: {words:?} lies on a block: {area:?} {block:?}");
            ground = *fill;
        }
        assert!(contrast(*tone, ground) >= 4.5, "{name}: {words:?} is too pale");
    }
    for (area, _) in seen.blocks.iter().chain(&seen.lines) {
        let Area([l, t, r, b]) = *area;
        assert!(l >= -0.01 && t >= -0.01 && r <= seen.size[0] + 0.01 && b <= seen.size[1] + 0.01, "{name}: {area:?}");
    }
    let shapes = outlined(svg).unwrap();
    // Only what the face has no letters for stays a text.
    let foreign = seen.words.iter().filter(|(words, ..)| words.contains(FOREIGN)).count();
    assert_eq!(shapes.matches("<text").count(), foreign, "{name}: needs a font");
    let tree = Tree::from_str(&shapes, &Options::default()).unwrap();
    assert!(shapes.contains("<title>") && shapes.contains("<desc>") && tree.size().width() > 0.0, "{name}");
    for word in seen.words.iter().map(|(words, ..)| words) {
        assert!(word.chars().all(|c| !c.is_control()), "{name}: {word:?}");
    }
}

fn answered<'a>(calibration: &'a Calibration, clubs: &'a [Club]) -> Vec<Answered<'a>> {
    let answer = |club| {
        let asked = Asked::new(calibration, club, Part::Head, None, &[]).unwrap();
        Answered::new(asked, Accounting::default())
    };
    clubs.iter().map(answer).collect()
}

fn listed(text: &str, catalogue: &Catalogue) -> Vec<Club> {
    let read = read_collection(&SourceText::new("clubs.csv", text), catalogue, &TableOptions::default()).unwrap();
    read.clubs.into_iter().map(|listed| listed.club).collect()
}

/// The demo's tables without its shelf: the pictures are laid out alike, and a test build dates a hundred clubs.
fn quick() -> Calibration {
    changed(&demo_calibration(), |contents| contents.shelf = None)
}

#[test]
fn eight_clubs_and_one_of_them() {
    let calibration = quick();
    let clubs = listed(UNDATED, calibration.catalogue());
    assert_eq!(clubs.len(), 8);
    let answers = answered(&calibration, &clubs);
    assert_clean("eight", &draw_bars(&calibration, &answers).unwrap(), false);
    for answer in &answers {
        let one = std::slice::from_ref(answer);
        let svg = draw(&calibration, one, BOTH).unwrap();
        assert_clean(&answer.asked.club().id, &svg, false);
        assert!(svg.contains(&bands_in_words(&answer.dating)), "every band stands in words");
        for width in [860, 400] {
            let figure = posterior_figure(&calibration, &answer.dating, width).unwrap();
            let figure = agewright_pages::charts::drawing::with_words(&figure, "a", "b");
            assert_clean(&format!("{} {width}", answer.asked.club().id), &figure, false);
        }
    }
}

#[test]
fn a_hundred_and_twenty_four_clubs() {
    let calibration = quick();
    let mut clubs = listed(DEMO_COLLECTION, calibration.catalogue());
    assert_eq!(clubs.len(), 124);
    // Five clues of each are enough for bars of every length, and quick in a test build.
    let kept: BTreeSet<&str> =
        ["hosel_to_crease", "nicking_coarseness", "pin_direction", "face_scoring", "head_finish"].into();
    for club in &mut clubs {
        for (clue, cell) in calibration.catalogue().clues().iter().zip(&mut club.cells) {
            if !kept.contains(clue.id.as_str()) {
                *cell = agewright_model::Cell::NotExamined;
            }
        }
    }
    let answers = answered(&calibration, &clubs);
    assert_clean("124", &draw_bars(&calibration, &answers).unwrap(), false);
    let panels = draw(&calibration, &answers[..8], BOTH).unwrap();
    assert_clean("eight panels", &panels, false);
    // All on one scale: every share on the scale of one panel stands on that of each.
    let mut shares: BTreeMap<String, usize> = BTreeMap::new();
    for (words, ..) in look(&panels).words.into_iter().filter(|(words, ..)| words.ends_with(" %")) {
        *shares.entry(words).or_default() += 1;
    }
    assert!(shares.len() > 2 && shares.values().all(|times| *times == 8), "{shares:?}");
}

/// The first of some clubs whose clues pull apart that has two answers.
fn two_answers() -> Club {
    let clubs = ["3 1/4 in", "4.2", "5", "5 3/4 in"].into_iter().flat_map(|hosel| {
        ["coarse", "fine"].into_iter().flat_map(move |nicking| {
            ["deep_ribs", "stamped_lines"].map(|face| {
                let readings = [
                    ("name_or_number", "number"),
                    ("iron_grain", "strong"),
                    ("hosel_to_crease", hosel),
                    ("pin_direction", "front_back"),
                    ("nicking_coarseness", nicking),
                    ("face_scoring", face),
                ];
                STARTER.catalogue().club("x", &readings).unwrap()
            })
        })
    });
    let has_two = |club: &Club| answered(&STARTER, std::slice::from_ref(club))[0].dating.has_two_answers();
    clubs.into_iter().find(has_two).unwrap()
}

/// A very sharp answer, one without evidence, one beyond the axis, long names, and clubs laid beside others.
#[test]
fn extremes() {
    let readings: [&[(&str, &str)]; 6] = [
        &[("design_number", "325000"), ("gb_patent_number", "10811/97"), ("hosel_to_crease", "3 3/4 in")],
        &[],
        &[("head_finish", "chrome"), ("name_or_number", "yardage"), ("shaft_wood", "metal")],
        &[("hosel_to_crease", "4 in?"), ("nicking_coarseness", "coarse|medium"), ("pin_direction", "front_back")],
        &[("face_scoring", "smooth")],
        &[],
    ];
    let mut clubs: Vec<Club> =
        readings.iter().map(|readings| STARTER.catalogue().club("x", readings).unwrap()).collect();
    clubs[5] = two_answers();
    for (club, name) in clubs.iter_mut().zip(["sharp", "nothing-read", "late", "W", "plain", "two-answers"]) {
        club.id = name.repeat(if name == "W" { 60 } else { 1 });
        if name == "W" {
            club.text
                .insert("title".to_owned(), "A club with a title that goes on & on <for> \u{1F3CC} ever ".repeat(4));
        }
    }
    let answers = answered(&STARTER, &clubs);
    let width = |answer: &Answered<'_>| answer.dating.band(0.95).to() - answer.dating.band(0.95).from();
    assert!(width(&answers[0]) < 30, "the first is sharp");
    assert!(!answers[1].dating.has_evidence(), "the second has no evidence");
    assert!(answers[5].dating.has_two_answers());
    assert_clean("bars", &draw_bars(&STARTER, &answers).unwrap(), false);
    for answer in &answers {
        assert_clean(&answer.asked.club().id, &draw(&STARTER, std::slice::from_ref(answer), BOTH).unwrap(), false);
    }
    let nothing = &answers[1];
    for width in [860, 400] {
        let figure = posterior_figure(&STARTER, &nothing.dating, width).unwrap();
        let figure = agewright_pages::charts::drawing::with_words(&figure, "a", "b");
        assert_clean(&format!("nothing read, {width}"), &figure, false);
    }
    let strips = |svg: &str| svg.contains("strips, dark to light");
    let two = draw(&STARTER, &answers[..2], BOTH).unwrap();
    assert_eq!(two.matches("strips, dark to light").count(), 1, "one of two has them");
    let alone = Shown { posterior: true, ledger: false };
    assert!(strips(&draw(&STARTER, &answers[..2], alone).unwrap()));
    assert!(!strips(&draw(&STARTER, std::slice::from_ref(nothing), BOTH).unwrap()), "there are none");
    let calibration = demo_calibration();
    let own = [calibration.catalogue().club("like", &[("face_scoring", "smooth"), ("hosel_to_crease", "4")]).unwrap()];
    assert_clean("like", &draw_like(&calibration, &answered(&calibration, &own)).unwrap(), false);
    assert_clean("no shelf", &draw_like(&STARTER, &answers).unwrap(), false);
}

#[test]
fn columns_of_an_audit() {
    let even: Vec<f64> = (0..124).map(|n| (f64::from(n) + 0.5) / 124.0).collect();
    assert_clean("even", &draw_pit(&even).unwrap(), true);
    assert_clean("one", &draw_pit(&[0.31]).unwrap(), true);
}

/// Tones as they come out of the pictures: bands, edges, columns and the two sides of a ledger.
#[test]
fn tones_are_told_apart() {
    let calibration = quick();
    let clubs = listed(UNDATED, calibration.catalogue());
    let answers = answered(&calibration, &clubs[..1]);
    let seen = look(&draw(&calibration, &answers, BOTH).unwrap());
    let fills: Vec<[u8; 3]> =
        seen.blocks.iter().map(|(_, tone)| *tone).filter(|tone| *tone != WHITE).fold(Vec::new(), |mut kept, tone| {
            if !kept.contains(&tone) {
                kept.push(tone);
            }
            kept
        });
    // In the order of drawing: bands from light to dark, columns, the sides of the ledger.
    let [light, middle, dark, column, side, other] = fills[..] else { panic!("{fills:?}") };
    for (a, b) in [(WHITE, light), (light, middle), (middle, dark), (WHITE, column), (side, other), (WHITE, side)] {
        assert!(contrast(a, b) >= 1.5, "{a:?} beside {b:?}: {}", contrast(a, b));
    }
    assert!(contrast(WHITE, side) >= 3.0 && contrast(WHITE, other) >= 3.0);
    // Every band and column has an edge of 3:1 on white.
    for (block, _) in seen.blocks.iter().filter(|(_, tone)| [light, middle, dark, column].contains(tone)) {
        let around = |line: &Area| line.0.iter().zip(block.0).all(|(a, b)| (a - b).abs() < 1.5);
        let edge = seen.lines.iter().find(|(line, _)| around(line)).unwrap_or_else(|| panic!("no edge: {block:?}"));
        assert!(contrast(WHITE, edge.1) >= 3.0, "{edge:?}");
    }
    for kind in [Kind::Protan, Kind::Deutan, Kind::Tritan] {
        assert!(distance(seen_by(kind, WHITE), [1.0; 3]) < 0.01, "white stays white");
        // A band and the bars of what is later; the two sides of a ledger.
        for (a, b) in [(side, other), (other, dark), (other, middle), (other, light)] {
            let apart = distance(seen_by(kind, a), seen_by(kind, b));
            assert!(apart >= 0.08, "{kind:?}: {a:?} and {b:?} lie {apart:.3} apart");
        }
    }
}

#[derive(Clone, Copy, Debug)]
enum Kind {
    Protan,
    Deutan,
    Tritan,
}

/// A tone as a dichromat sees it, in linear light.
fn seen_by(kind: Kind, tone: [u8; 3]) -> [f64; 3] {
    let to_cones = Matrix3::new(17.8824, 43.5161, 4.11935, 3.45565, 27.1554, 3.86714, 0.029_956_6, 0.184_309, 1.46709);
    let cones = to_cones * Vector3::from(linear(tone));
    let (l, m, s) = (cones[0], cones[1], cones[2]);
    let seen = match kind {
        Kind::Protan => Vector3::new(2.02344 * m - 2.52581 * s, m, s),
        Kind::Deutan => Vector3::new(l, 0.494_207 * l + 1.24827 * s, s),
        Kind::Tritan => Vector3::new(l, m, -0.395_913 * l + 0.801_109 * m),
    };
    let back = to_cones.try_inverse().unwrap() * seen;
    [back[0], back[1], back[2]].map(|c| c.clamp(0.0, 1.0))
}

/// How far apart two tones lie, each channel by its cube root, as lightness goes.
fn distance(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a.cbrt() - b.cbrt()).powi(2)).sum::<f64>().sqrt()
}
