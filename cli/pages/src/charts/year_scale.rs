//! The axis of years across a chart.

use crate::charts::canvas::{Canvas, SOFT_INK, Side};
use crate::words::after_the_years::is_shown;
use crate::words::years::{answer_year, year};
use agewright_model::{Axis, Dating, KnownDate};

const LEFT: f64 = 66.0;
const RIGHT: f64 = 30.0;
/// A label and the gap to the next, in pixels.
const LABEL_ROOM: f64 = 48.0;

/// Width of the place for all years after the axis.
const AFTER: f64 = 60.0;
/// Years shown on either side of what must be, at the least.
const MARGIN: i32 = 8;
/// Fewer years than this are not shown: a sharp answer would seem a broad one.
const FEWEST: i32 = 60;

/// Years that a chart shows, `from..to`, and whether what is after the axis has a place behind them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Window {
    pub from: i32,
    pub to: i32,
    pub has_after: bool,
}

impl Window {
    /// Whole rows of years that hold the 95 % bands of all clubs and the dates given with them, with a margin.
    pub fn of<'a>(axis: Axis, clubs: impl Iterator<Item = (&'a Dating, Option<KnownDate>)>) -> Self {
        let (mut from, mut to, mut has_after) = (axis.last(), axis.from(), false);
        for (dating, given) in clubs {
            let band = dating.band(0.95);
            let (first, last) =
                if dating.has_evidence() { (band.from(), band.to()) } else { (axis.from(), axis.last()) };
            let given = given.map_or((first, last), |date| (date.from(), date.to()));
            from = from.min(first).min(given.0);
            to = to.max(last).max(given.1);
            has_after |= is_shown(dating);
        }
        let (mut from, mut to) = (from - MARGIN, to + 1 + MARGIN);
        let lacking = (FEWEST - (to - from)).max(0);
        from -= lacking / 2;
        to += lacking - lacking / 2;
        // What would stand out of the axis at one end goes to the other.
        from -= (to - axis.to()).max(0).min(lacking);
        let step = axis.step();
        let (from, to) = (from.div_euclid(step) * step, (to + step - 1).div_euclid(step) * step);
        let to = if has_after { axis.to() } else { to.min(axis.to()) };
        Self { from: from.max(axis.from()).min(axis.last()), to, has_after }
    }
}

/// Years to pixels; behind the axis, where it is shown, a place for all years after it.
pub struct YearScale {
    pub axis: Axis,
    /// Years shown.
    pub window: Window,
    pub left: f64,
    /// Where the axis ends.
    pub right: f64,
}

impl YearScale {
    /// Across a page of this width, with room for a scale on the left.
    pub fn new(axis: Axis, window: Window, width: f64) -> Self {
        Self::between(axis, window, LEFT, width - RIGHT)
    }

    /// Between two edges.
    pub fn between(axis: Axis, window: Window, left: f64, edge: f64) -> Self {
        Self { axis, window, left, right: edge - if window.has_after { AFTER } else { 0.0 } }
    }

    /// Whether a year is shown.
    pub fn shows(&self, year: i32) -> bool {
        (self.window.from..self.window.to).contains(&year)
    }

    /// Where all that is drawn ends: behind the place for the years after the axis, if it is shown.
    pub fn edge(&self) -> f64 {
        self.right + if self.window.has_after { AFTER } else { 0.0 }
    }

    /// Pixel at the beginning of a year; the year behind the axis stands for all that are after it.
    pub fn x(&self, year: i32) -> f64 {
        if year > self.axis.to() {
            return self.edge();
        }
        let Window { from, to, .. } = self.window;
        self.left + f64::from(year.clamp(from, to) - from) / f64::from(to - from) * (self.right - self.left)
    }

    /// Pixel in the middle of a year.
    pub fn middle_of(&self, year: i32) -> f64 {
        f64::midpoint(self.x(year), self.x(year + 1))
    }

    /// Round years between labels: as many as there is room for, ten at the most.
    fn label_step(&self) -> i32 {
        let years = self.window.to - self.window.from;
        let most = ((self.right - self.left) / LABEL_ROOM).clamp(1.0, 10.0);
        let fits = |step: &i32| f64::from(years / step) <= most;
        [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000].into_iter().find(fits).unwrap_or(5000)
    }

    /// The years that carry a label.
    pub fn labels(&self) -> impl Iterator<Item = i32> + use<> {
        let (step, Window { from, to, .. }) = (self.label_step(), self.window);
        let first = from.div_euclid(step) * step;
        (0..).map(move |n| first + n * step).take_while(move |year| *year <= to).filter(move |y| *y >= from)
    }

    /// Ticks and years above a line at `y`.
    pub fn paint_labels_above(&self, canvas: &Canvas<'_>, y: f64) -> Result<(), String> {
        for label in self.labels().filter(|label| !self.window.has_after || *label < self.axis.to()) {
            canvas.line(&[(self.x(label), y - 6.0), (self.x(label), y)], SOFT_INK, 1)?;
            canvas.words(&year(label), self.x(label), y - 15.0, 12.0, SOFT_INK, Side::Centre)?;
        }
        Ok(())
    }

    /// Ticks and years below a line at `y`.
    pub fn paint_labels(&self, canvas: &Canvas<'_>, y: f64) -> Result<(), String> {
        for label in self.labels() {
            let x = self.x(label);
            canvas.line(&[(x, y), (x, y + 6.0)], SOFT_INK, 1)?;
            // Where the axis ends, the place behind it is named instead.
            if self.window.has_after && label >= self.axis.to() {
                continue;
            }
            canvas.words(&year(label), x, y + 15.0, 12.0, SOFT_INK, Side::Centre)?;
        }
        if self.window.has_after {
            let middle = f64::midpoint(self.right, self.edge());
            canvas.words(&answer_year(self.axis, self.axis.to()), middle, y + 15.0, 12.0, SOFT_INK, Side::Centre)?;
        }
        Ok(())
    }
}
