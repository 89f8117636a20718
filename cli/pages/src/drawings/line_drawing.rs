//! One drawing as SVG: strokes in their order, titled and described, without a font.

use crate::drawings::pens::attributes;
use agewright_model::reading::drawing::{FIELD, Stroke};
use quick_xml::escape::escape;
use std::fmt::Write as _;

/// The strokes as an SVG that is as large as its field.
///
/// ```
/// use agewright_model::reading::drawing::{Pen, Stroke};
/// use agewright_pages::drawings::line_drawing::line_drawing;
///
/// let rim = Stroke { pen: Pen::Marked, path: "M28 38 H68".into(), at: Vec::new() };
/// let svg = line_drawing(&[&rim], "Nicking coarseness: absent", "sound rim, never nicked");
/// assert!(svg.contains("viewBox=\"0 0 96 72\"") && svg.contains("<path d=\"M28 38 H68\"/>"));
/// ```
#[must_use]
pub fn line_drawing(strokes: &[&Stroke], title: &str, description: &str) -> String {
    let [width, height] = FIELD;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {width} {height}\" stroke-linecap=\"round\" stroke-linejoin=\"round\" role=\"img\">\
         <title>{}</title><desc>{}</desc>",
        escape(title),
        escape(description)
    );
    for stroke in strokes {
        let _ = write!(svg, "<g {}>", attributes(stroke.pen));
        for &[x, y] in stroke.places() {
            let moved = if (x, y) == (0.0, 0.0) { String::new() } else { format!(" transform=\"translate({x} {y})\"") };
            let _ = write!(svg, "<path d=\"{}\"{moved}/>", escape(stroke.path.as_str()));
        }
        svg.push_str("</g>");
    }
    svg.push_str("</svg>");
    svg
}
