//! What each pen leaves on the page.

use agewright_model::reading::drawing::Pen;

/// Near black, as charts have it.
const INK: &str = "#1f2429";
const SOFT_INK: &str = "#545c64";
/// Marks what decides: contrast 6:1 on white, 4.6:1 on metal, so that print in grey keeps it.
const MARK: &str = "#b23a12";
const METAL: &str = "#dfe4e8";
const WOOD: &str = "#f0e4cb";
const COVER: &str = "#cdbfa6";

/// Attributes of what a pen draws.
pub fn attributes(pen: Pen) -> String {
    let fill = |tone: &str| format!("fill=\"{tone}\"");
    let line = |tone: &str, width: &str| format!("fill=\"none\" stroke=\"{tone}\" stroke-width=\"{width}\"");
    match pen {
        Pen::Metal => fill(METAL),
        Pen::Wood => fill(WOOD),
        Pen::Cover => fill(COVER),
        Pen::Hollow => fill("#ffffff"),
        Pen::Solid => fill(INK),
        Pen::MarkedSolid => fill(MARK),
        Pen::Outline => line(INK, "1.5"),
        Pen::Fine => line(SOFT_INK, "0.8"),
        Pen::Dashed => format!("{} stroke-dasharray=\"2.5 2\"", line(SOFT_INK, "0.9")),
        Pen::Marked => line(MARK, "1.9"),
        Pen::Measure => line(MARK, "1.3"),
        Pen::Sought => format!("{} stroke-dasharray=\"3 2.4\"", line(MARK, "1.3")),
    }
}
