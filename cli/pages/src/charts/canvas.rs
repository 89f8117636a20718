//! A page to draw on: lines, blocks and words in pixels, in the few tones that print and grey both keep apart.

use crate::charts::face::{FACE, FAMILY, text_width};
use plotters::coord::Shift;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

/// Width of every chart in pixels.
pub const WIDTH: i32 = 900;

/// plotters writes a font size as size/1.24; sizes here are the ones that come out.
const SIZE_FACTOR: f64 = 1.24;
/// plotters draws in whole units: so many of them make a pixel, for curves that are smooth.
const UNITS: i32 = 10;

/// Near black, for words and outlines.
pub const INK: RGBColor = RGBColor(31, 36, 41);
/// For words of second rank (contrast 7:1 on white).
pub const SOFT_INK: RGBColor = RGBColor(84, 92, 100);
/// Grid lines and ticks.
pub const GRID: RGBColor = RGBColor(222, 226, 230);
/// From light to dark: the 95, 80 and 50 % bands.
pub const BANDS: [RGBColor; 3] = [RGBColor(188, 203, 194), RGBColor(122, 152, 133), RGBColor(45, 86, 68)];
/// Around every band.
pub const BAND_EDGE: RGBColor = RGBColor(70, 104, 84);
/// Columns by decade.
pub const COLUMN: RGBColor = RGBColor(218, 206, 180);
pub const COLUMN_EDGE: RGBColor = RGBColor(146, 128, 88);
/// Bars to the earlier and to the later side: told apart by side first, by hue and tone second; no hue of the bands.
pub const EARLIER: RGBColor = RGBColor(150, 84, 36);
pub const LATER: RGBColor = RGBColor(86, 136, 188);

/// Side that a word is set to.
#[derive(Clone, Copy)]
pub enum Side {
    Left,
    Centre,
    Right,
}

/// A drawing area of the SVG being made.
pub struct Canvas<'a> {
    area: DrawingArea<SVGBackend<'a>, Shift>,
}

/// Draws on a white page of a height and returns the SVG.
pub fn page(height: i32, paint: impl FnOnce(&Canvas<'_>) -> Result<(), String>) -> Result<String, String> {
    page_of(WIDTH, height, paint)
}

/// Draws on a white page of a width and a height and returns the SVG.
pub fn page_of(
    width: i32,
    height: i32,
    paint: impl FnOnce(&Canvas<'_>) -> Result<(), String>,
) -> Result<String, String> {
    register_face();
    let mut svg = String::new();
    {
        let size = ((width * UNITS).unsigned_abs(), (height * UNITS).unsigned_abs());
        let canvas = Canvas { area: SVGBackend::with_string(&mut svg, size).into_drawing_area() };
        canvas.area.fill(&WHITE).map_err(|error| error.to_string())?;
        paint(&canvas)?;
        canvas.area.present().map_err(|error| error.to_string())?;
    }
    Ok(in_pixels(&svg, width, height))
}

/// The drawing at its size in pixels, what is within it in units.
fn in_pixels(svg: &str, width: i32, height: i32) -> String {
    let (across, down) = (width * UNITS, height * UNITS);
    svg.replacen(&format!("width=\"{across}\" height=\"{down}\""), &format!("width=\"{width}\" height=\"{height}\""), 1)
}

/// plotters asks for a face before it writes a word, though its SVG holds none; in a browser there is no such register.
fn register_face() {
    #[cfg(not(target_arch = "wasm32"))]
    {
        static FACE_KNOWN: std::sync::Once = std::sync::Once::new();
        FACE_KNOWN.call_once(|| {
            // Only fails for a face that cannot be read, and every chart would show that.
            let _ = plotters::style::register_font(FAMILY, FontStyle::Normal, FACE);
        });
    }
}

impl Canvas<'_> {
    pub fn words(&self, text: &str, x: f64, y: f64, size: f64, colour: RGBColor, side: Side) -> Result<(), String> {
        let across = match side {
            Side::Left => HPos::Left,
            Side::Centre => HPos::Center,
            Side::Right => HPos::Right,
        };
        let style = TextStyle::from((FAMILY, size * SIZE_FACTOR * f64::from(UNITS)).into_font())
            .color(&colour)
            .pos(Pos::new(across, VPos::Center));
        self.area.draw(&Text::new(text.to_owned(), point(x, y), style)).map_err(|error| error.to_string())
    }

    /// Width of a text in pixels.
    pub fn width(text: &str, size: f64) -> f64 {
        text_width(text, size)
    }

    /// A text cut to a width in pixels, with dots where something is missing.
    pub fn fitted(text: &str, width: f64, size: f64) -> String {
        if Self::width(text, size) <= width {
            return text.to_owned();
        }
        let mut short: String = text.to_owned();
        while !short.is_empty() && Self::width(&format!("{short}…"), size) > width {
            short.pop();
        }
        format!("{}…", short.trim_end())
    }

    /// A text in lines of a width in pixels at the most; a word that is wider has a line of its own.
    pub fn wrapped(text: &str, width: f64, size: f64) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        for word in text.split_whitespace() {
            match lines.last_mut() {
                Some(line) if Self::width(&format!("{line} {word}"), size) <= width => {
                    line.push(' ');
                    line.push_str(word);
                }
                _ => lines.push(Self::fitted(word, width, size)),
            }
        }
        lines
    }

    pub fn block(&self, (x0, y0): (f64, f64), (x1, y1): (f64, f64), colour: RGBColor) -> Result<(), String> {
        self.area
            .draw(&Rectangle::new([point(x0, y0), point(x1, y1)], colour.filled()))
            .map_err(|error| error.to_string())
    }

    /// A block with an outline of another tone.
    pub fn outlined_block(
        &self,
        (x0, y0): (f64, f64),
        (x1, y1): (f64, f64),
        colour: RGBColor,
        edge: RGBColor,
    ) -> Result<(), String> {
        self.block((x0, y0), (x1, y1), colour)?;
        self.line(&[(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)], edge, 1)
    }

    pub fn line(&self, points: &[(f64, f64)], colour: RGBColor, width: u32) -> Result<(), String> {
        let path: Vec<(i32, i32)> = points.iter().map(|&(x, y)| point(x, y)).collect();
        self.area
            .draw(&PathElement::new(path, colour.stroke_width(width * UNITS.unsigned_abs())))
            .map_err(|error| error.to_string())
    }
}

#[expect(clippy::cast_possible_truncation, reason = "pixels of a page")]
fn point(x: f64, y: f64) -> (i32, i32) {
    let units = |pixels: f64| (pixels * f64::from(UNITS)).round() as i32;
    (units(x), units(y))
}
