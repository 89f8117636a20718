//! The axis of years across a chart.

use crate::charts::canvas::{Canvas, SOFT_INK, Side};
use crate::words::years::{answer_year, year};
use agewright_model::Axis;

const LEFT: f64 = 66.0;
const RIGHT: f64 = 30.0;
/// A label and the gap to the next, in pixels.
const LABEL_ROOM: f64 = 60.0;

/// Width of the place for all years after the axis.
const AFTER: f64 = 60.0;

/// Years to pixels; behind the axis, where it is shown, a place for all years after it.
pub struct YearScale {
    pub axis: Axis,
    pub left: f64,
    /// Where the axis ends.
    pub right: f64,
    has_after: bool,
}

impl YearScale {
    /// Across a page of this width, with room for a scale on the left.
    pub fn new(axis: Axis, width: f64, has_after: bool) -> Self {
        Self::between(axis, LEFT, width - RIGHT, has_after)
    }

    /// Between two edges.
    pub fn between(axis: Axis, left: f64, edge: f64, has_after: bool) -> Self {
        Self { axis, left, right: edge - if has_after { AFTER } else { 0.0 }, has_after }
    }

    /// Where all that is drawn ends: behind the place for the years after the axis, if it is shown.
    pub fn edge(&self) -> f64 {
        self.right + if self.has_after { AFTER } else { 0.0 }
    }

    /// Pixel at the beginning of a year; the year behind the axis stands for all that are after it.
    pub fn x(&self, year: i32) -> f64 {
        if year > self.axis.to() {
            return self.edge();
        }
        let years = f64::from(self.axis.to() - self.axis.from());
        self.left + f64::from(year - self.axis.from()) / years * (self.right - self.left)
    }

    /// Pixel in the middle of a year.
    pub fn middle_of(&self, year: i32) -> f64 {
        f64::midpoint(self.x(year), self.x(year + 1))
    }

    /// Round years between labels: as many as there is room for, ten at the most.
    fn label_step(&self) -> i32 {
        let years = self.axis.to() - self.axis.from();
        let most = ((self.right - self.left) / LABEL_ROOM).clamp(1.0, 10.0);
        let fits = |step: &i32| f64::from(years / step) <= most;
        [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000].into_iter().find(fits).unwrap_or(5000)
    }

    /// The years that carry a label.
    pub fn labels(&self) -> impl Iterator<Item = i32> + use<> {
        let (step, axis) = (self.label_step(), self.axis);
        let first = axis.from().div_euclid(step) * step;
        (0..)
            .map(move |n| first + n * step)
            .take_while(move |year| *year <= axis.to())
            .filter(move |y| *y >= axis.from())
    }

    /// Ticks and years below a line at `y`.
    pub fn paint_labels(&self, canvas: &Canvas<'_>, y: f64) -> Result<(), String> {
        for label in self.labels() {
            let x = self.x(label);
            canvas.line(&[(x, y), (x, y + 6.0)], SOFT_INK, 1)?;
            // Where the axis ends, the place behind it is named instead.
            if self.has_after && label >= self.axis.to() {
                continue;
            }
            canvas.words(&year(label), x, y + 15.0, 12.0, SOFT_INK, Side::Centre)?;
        }
        if self.has_after {
            let middle = f64::midpoint(self.right, self.edge());
            canvas.words(&answer_year(self.axis, self.axis.to()), middle, y + 15.0, 12.0, SOFT_INK, Side::Centre)?;
        }
        Ok(())
    }
}
