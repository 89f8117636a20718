//! The PNG of a drawing, at twice its size, with no font but the bundled one.

use crate::charts::face::FACE;
use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree};

const SCALE: f32 = 2.0;

/// Renders an SVG.
///
/// # Errors
/// What the renderer says of an SVG that it cannot read.
pub fn png(svg: &str) -> Result<Vec<u8>, String> {
    let mut options = Options { font_family: "agewright Sans".to_owned(), ..Options::default() };
    options.fontdb_mut().load_font_data(FACE.to_vec());
    let tree = Tree::from_str(svg, &options).map_err(|error| error.to_string())?;
    let size = tree.size().to_int_size().scale_by(SCALE).ok_or("the drawing has no size")?;
    let mut pixels = Pixmap::new(size.width(), size.height()).ok_or("the drawing has no size")?;
    resvg::render(&tree, Transform::from_scale(SCALE, SCALE), &mut pixels.as_mut());
    pixels.encode_png().map_err(|error| error.to_string())
}
