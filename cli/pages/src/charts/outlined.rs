//! A chart whose words are drawn as shapes, so that it looks the same where its face is not known.

use crate::charts::face::{face, laid_side_by_side, units_per_em};
use ab_glyph::{Font as _, FontRef, GlyphId, OutlineCurve, Point};
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// A word of a chart: where its middle line begins, how large, and in which colour.
struct Words {
    x: f64,
    y: f64,
    size: f64,
    anchor: String,
    colour: String,
    text: String,
}

/// The SVG of a chart with each text as outlines of the bundled face; title and description stay as they are, and so
/// does a text with a letter that the face lacks.
///
/// # Errors
/// What the reader says of an SVG that is not well-formed, and of a face that cannot be read.
pub fn outlined(svg: &str) -> Result<String, String> {
    let face = face().ok_or("the bundled face cannot be read")?;
    let (mut out, mut shapes) = (String::with_capacity(2 * svg.len()), BTreeMap::new());
    let mut reader = Reader::from_str(svg);
    let (mut copied, mut began, mut words) = (0, 0, None::<Words>);
    loop {
        let begin = position(&reader);
        match reader.read_event().map_err(|error| error.to_string())? {
            Event::Start(tag) if tag.name().as_ref() == "text" => {
                out.push_str(&svg[copied..begin]);
                began = begin;
                words = Some(words_of(&tag)?);
            }
            Event::Text(text) => {
                if let Some(words) = &mut words {
                    words.text.push_str(&text);
                }
            }
            Event::GeneralRef(reference) => {
                if let Some(words) = &mut words {
                    let escaped = format!("&{};", &*reference);
                    words.text.push_str(&quick_xml::escape::unescape(&escaped).map_err(|error| error.to_string())?);
                }
            }
            Event::End(tag) if tag.name().as_ref() == "text" => {
                // What the face has no letters for stays a text, for a reader's own fonts.
                let has_all = |words: &Words| words.text.trim().chars().all(|c| face.glyph_id(c) != GlyphId(0));
                match words.take() {
                    Some(words) if has_all(&words) => out.push_str(&laid_out(face, &words, &mut shapes)),
                    Some(_) => out.push_str(&svg[began..position(&reader)]),
                    None => {}
                }
                copied = position(&reader);
            }
            Event::Eof => break,
            _ => {}
        }
    }
    out.push_str(&svg[copied..]);
    Ok(with_shapes(&out, &shapes))
}

fn position(reader: &Reader<&[u8]>) -> usize {
    usize::try_from(reader.buffer_position()).unwrap_or(usize::MAX)
}

fn words_of(tag: &BytesStart<'_>) -> Result<Words, String> {
    let mut words =
        Words { x: 0.0, y: 0.0, size: 0.0, anchor: String::new(), colour: String::new(), text: String::new() };
    for attribute in tag.attributes() {
        let attribute = attribute.map_err(|error| error.to_string())?;
        let value = attribute.value.into_owned();
        let number = || value.parse::<f64>().map_err(|error| error.to_string());
        match attribute.key.as_ref() {
            "x" => words.x = number()?,
            "y" => words.y = number()?,
            "font-size" => words.size = number()?,
            "text-anchor" => words.anchor = value,
            "fill" => words.colour = value,
            _ => {}
        }
    }
    Ok(words)
}

/// A text as uses of its letters' shapes, which are kept by the numbers of their glyphs.
fn laid_out(face: &FontRef<'_>, words: &Words, shapes: &mut BTreeMap<u16, String>) -> String {
    let (letters, width) = laid_side_by_side(face, words.text.trim());
    let per_unit = words.size / units_per_em(face);
    let start = match words.anchor.as_str() {
        "middle" => words.x - width * per_unit / 2.0,
        "end" => words.x - width * per_unit,
        _ => words.x,
    };
    // The middle of a text is that of its small letters.
    let baseline = words.y + x_height(face) * per_unit / 2.0;
    let mut out = format!(
        "<g aria-label=\"{}\" fill=\"{}\" transform=\"translate({start:.1} {baseline:.1}) scale({per_unit:.4})\">",
        quick_xml::escape::escape(words.text.trim()),
        quick_xml::escape::escape(words.colour.as_str())
    );
    for (letter, x) in letters {
        let shape = shapes.entry(letter.0).or_insert_with(|| shape(face, letter));
        if !shape.is_empty() {
            let _ = write!(out, "<use xlink:href=\"#letter-{}\" x=\"{x:.0}\"/>", letter.0);
        }
    }
    out.push_str("</g>");
    out
}

/// Height of small letters in units of the face.
fn x_height(face: &FontRef<'_>) -> f64 {
    face.outline(face.glyph_id('x')).map_or(0.0, |outline| f64::from(outline.bounds.max.y.max(outline.bounds.min.y)))
}

/// Contours of a letter as path data, y down.
fn shape(face: &FontRef<'_>, letter: GlyphId) -> String {
    let Some(outline) = face.outline(letter) else { return String::new() };
    let mut path = String::new();
    let mut pen: Option<Point> = None;
    for curve in outline.curves {
        let (from, to) = match &curve {
            OutlineCurve::Line(from, to) | OutlineCurve::Quad(from, _, to) | OutlineCurve::Cubic(from, _, _, to) => {
                (*from, *to)
            }
        };
        if pen != Some(from) {
            path.push_str(if pen.is_some() { "ZM" } else { "M" });
            add(&mut path, from);
        }
        match curve {
            OutlineCurve::Line(..) => path.push('L'),
            OutlineCurve::Quad(_, control, _) => {
                path.push('Q');
                add(&mut path, control);
                path.push(' ');
            }
            OutlineCurve::Cubic(_, first, second, _) => {
                path.push('C');
                add(&mut path, first);
                path.push(' ');
                add(&mut path, second);
                path.push(' ');
            }
        }
        add(&mut path, to);
        pen = Some(to);
    }
    if !path.is_empty() {
        path.push('Z');
    }
    path
}

fn add(path: &mut String, point: Point) {
    let down = if point.y == 0.0 { 0.0 } else { -point.y };
    let _ = write!(path, "{} {down}", point.x);
}

/// Puts the shapes of the letters behind the description, or behind the opening tag.
fn with_shapes(svg: &str, shapes: &BTreeMap<u16, String>) -> String {
    let mut definitions = "<defs>".to_owned();
    for (number, shape) in shapes.iter().filter(|(_, shape)| !shape.is_empty()) {
        let _ = write!(definitions, "<path id=\"letter-{number}\" d=\"{shape}\"/>");
    }
    definitions.push_str("</defs>\n");
    let named = svg.replacen("<svg ", "<svg xmlns:xlink=\"http://www.w3.org/1999/xlink\" ", 1);
    let behind = |mark: &str| named.find(mark).map(|at| at + mark.len());
    match behind("</desc>\n").or_else(|| behind(">\n")) {
        Some(at) => format!("{}{definitions}{}", &named[..at], &named[at..]),
        None => named,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::charts::face::text_width;

    #[test]
    fn a_text_becomes_shapes_and_the_rest_stays() {
        let svg = "<svg width=\"9\">\n<title>a &amp; b</title>\n<desc>c</desc>\n<rect x=\"1\"/>\n<text x=\"10\" \
                   y=\"5\" text-anchor=\"start\" font-size=\"20\" fill=\"#1F2429\">\nI&amp;I\n</text>\n\
                   <rect x=\"2\"/></svg>";
        let out = outlined(svg).unwrap();
        assert!(
            out.contains("<title>a &amp; b</title>")
                && out.contains("<rect x=\"1\"/>\n<g aria-label=\"I&amp;I\" fill=\"#1F2429\"")
        );
        assert!(out.ends_with("</g>\n<rect x=\"2\"/></svg>") && !out.contains("<text"), "{out}");
        assert_eq!((out.matches("<use ").count(), out.matches("<path id").count()), (3, 2), "{out}");
        let places: Vec<f64> = out
            .split("<use ")
            .skip(1)
            .map(|letter| letter.split(" x=\"").nth(1).unwrap().split('"').next().unwrap().parse().unwrap())
            .collect();
        let width = text_width("I&I", 1000.0);
        // The last letter is as wide as the first, behind which the second begins.
        assert!(places[0].abs() < 0.5 && (places[1] + places[2] - width).abs() < 1.5, "{places:?} {width}");
    }

    #[test]
    fn letters_that_the_face_lacks_stay_a_text() {
        let svg = "<svg>\n<text x=\"1\">\u{4e16}</text><text x=\"2\" font-size=\"10\">I</text></svg>";
        let out = outlined(svg).unwrap();
        assert!(out.contains("<text x=\"1\">\u{4e16}</text><g ") && out.matches("<text").count() == 1, "{out}");
    }

    #[test]
    fn what_is_not_well_formed_is_said() {
        assert!(outlined("<svg><text x=\"1\"></svg>").is_err());
    }
}
