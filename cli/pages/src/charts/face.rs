//! The typeface of charts: its file, and how wide and how high its letters are.

use ab_glyph::{Font as _, FontRef, GlyphId};
use std::sync::LazyLock;

/// The family as browsers shall look for it; the bundled face is registered under the same name.
pub const FAMILY: &str = "agewright Sans, Verdana, sans-serif";
/// Bundled face: a subset of an open one (licence beside it).
pub const FACE: &[u8] = include_bytes!("../../../assets/agewright-sans.ttf");

static GLYPHS: LazyLock<Option<FontRef<'static>>> = LazyLock::new(|| FontRef::try_from_slice(FACE).ok());

/// The face, read; `None` only for a file that is no face, and every chart would show that.
pub fn face() -> Option<&'static FontRef<'static>> {
    GLYPHS.as_ref()
}

/// Units of the face to the height of a letter's square.
pub fn units_per_em(face: &FontRef<'_>) -> f64 {
    f64::from(face.units_per_em().unwrap_or(1000.0))
}

/// The glyph of each letter, and where it begins, in units of the face; and where the last ends. A letter that the face
/// lacks is glyph 0.
pub fn laid_side_by_side(face: &FontRef<'_>, text: &str) -> (Vec<(GlyphId, f64)>, f64) {
    let mut end = 0.0;
    let place = |letter: char| {
        let glyph = face.glyph_id(letter);
        let begin = end;
        end += f64::from(face.h_advance_unscaled(glyph));
        (glyph, begin)
    };
    let letters: Vec<(GlyphId, f64)> = text.chars().map(place).collect();
    (letters, end)
}

/// Width of a text in pixels, by the advances of the face: nothing is kerned.
pub fn text_width(text: &str, size: f64) -> f64 {
    face().map_or(0.0, |face| laid_side_by_side(face, text).1 * size / units_per_em(face))
}
