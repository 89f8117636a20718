//! Line drawings of levels and measures, as SVG.

pub mod line_drawing;
mod pens;
pub mod shown;
