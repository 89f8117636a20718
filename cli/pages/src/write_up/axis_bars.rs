//! The bands of an answer as bars on the axis of years, for a row of a table.

use agewright_model::{Axis, Dating};
use serde::Serialize;

/// Levels that a row shows, the widest first, each with the class of its bar.
const SHOWN: [(f64, &str); 2] = [(0.95, "most"), (0.8, "likely")];

/// Bars in parts of a hundred of the axis.
#[derive(Debug, Serialize)]
pub struct AxisBars {
    /// Pieces of the bands, the widest band first; none where no clue was read.
    pub pieces: Vec<BarPiece>,
    /// Where the middle year lies; nothing where there are several answers or none.
    pub middle: Option<String>,
    /// What rows are sorted by: the middle year, or a year behind all where nothing was read.
    pub order: i32,
}

/// A run of years.
#[derive(Debug, Serialize)]
pub struct BarPiece {
    /// Class of its band.
    pub class: &'static str,
    /// Where it begins.
    pub from: String,
    /// How wide it is.
    pub width: String,
}

impl AxisBars {
    /// Of an answer.
    pub fn of(dating: &Dating) -> Self {
        let axis = dating.posterior.axis();
        let median = dating.posterior.median();
        if !dating.has_evidence() {
            return Self { pieces: Vec::new(), middle: None, order: i32::MAX };
        }
        let pieces = SHOWN.into_iter().flat_map(|(level, class)| {
            let band = dating.band(level);
            let on_axis = band.intervals.into_iter().filter(move |piece| piece.from <= axis.last());
            on_axis.map(move |piece| {
                let (from, to) = (share(axis, piece.from), share(axis, piece.to.min(axis.last()) + 1));
                BarPiece { class, from: percent(from), width: percent(to - from) }
            })
        });
        let is_one = !dating.has_two_answers() && median <= axis.last();
        Self {
            pieces: pieces.collect(),
            middle: is_one.then(|| percent(share(axis, median) + 0.5 / f64::from(axis.to() - axis.from()))),
            order: median,
        }
    }
}

/// Where a year begins on the axis, from 0 to 1.
fn share(axis: Axis, year: i32) -> f64 {
    f64::from(year - axis.from()) / f64::from(axis.to() - axis.from())
}

fn percent(share: f64) -> String {
    format!("{:.2}", 100.0 * share)
}
