//! The PIT of an audit as columns: even is right.

use crate::charts::canvas::{COLUMN, COLUMN_EDGE, Canvas, INK, SOFT_INK, Side, WIDTH, page};
use crate::charts::drawing::with_words;
use plotters::style::RGBColor;

const TENTHS: usize = 10;
const HEIGHT: i32 = 330;
const LEFT: f64 = 66.0;
const RIGHT: f64 = 30.0;
const TOP: f64 = 62.0;
const FOOT: f64 = 258.0;
/// What chance alone would do, lighter than any column.
const CHANCE: RGBColor = RGBColor(232, 235, 238);

/// Columns of the share of clubs in each tenth, with the even share and the range that it would keep within 19 times in
/// 20 by chance alone.
///
/// # Errors
/// What the drawing library says, which should be nothing.
#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "counts of clubs"
)]
pub fn draw_pit(pits: &[f64]) -> Result<String, String> {
    let mut counts = [0.0_f64; TENTHS];
    for pit in pits {
        counts[((pit * TENTHS as f64) as usize).min(TENTHS - 1)] += 1.0;
    }
    let n = (pits.len() as f64).max(1.0);
    let even = 1.0 / TENTHS as f64;
    let chance = 1.96 * (even * (1.0 - even) / n).sqrt();
    let highest = counts.iter().map(|c| c / n).fold(even + chance, f64::max);
    let right = f64::from(WIDTH) - RIGHT;
    let y = |share: f64| FOOT - share / (highest * 1.08) * (FOOT - TOP);
    let x = |part: usize| LEFT + part as f64 / TENTHS as f64 * (right - LEFT);
    let svg = page(HEIGHT, |canvas: &Canvas<'_>| {
        canvas.words(
            &format!("Where {} known dates fell in their own answers", pits.len()),
            LEFT,
            26.0,
            15.0,
            INK,
            Side::Left,
        )?;
        canvas.block((LEFT, y(even + chance)), (right, y((even - chance).max(0.0))), CHANCE)?;
        for (part, count) in counts.iter().enumerate() {
            let (x0, x1) = (x(part) + 3.0, x(part + 1) - 3.0);
            canvas.block((x0, y(count / n)), (x1, FOOT), COLUMN)?;
            canvas.line(&[(x0, FOOT), (x0, y(count / n)), (x1, y(count / n)), (x1, FOOT)], COLUMN_EDGE, 1)?;
            canvas.words(&format!("{count:.0}"), f64::midpoint(x0, x1), FOOT - 12.0, 12.0, INK, Side::Centre)?;
        }
        canvas.line(&[(LEFT, y(even)), (right, y(even))], INK, 1)?;
        canvas.words("even", LEFT - 8.0, y(even), 12.0, SOFT_INK, Side::Right)?;
        canvas.line(&[(LEFT, FOOT), (right, FOOT)], SOFT_INK, 1)?;
        for part in 0..=TENTHS {
            let label = format!("{:.1}", part as f64 / TENTHS as f64);
            canvas.words(&label, x(part), FOOT + 15.0, 12.0, SOFT_INK, Side::Centre)?;
        }
        let key = "share of the answer that lies before the known date; grey: what even answers would keep to, 19 \
                   times in 20";
        canvas.words(key, LEFT, FOOT + 42.0, 11.0, SOFT_INK, Side::Left)
    })?;
    let told = format!("Counts of the probability integral transform in tenths: {counts:?}");
    Ok(with_words(&svg, "Are the stated chances right?", &told))
}
