//! The posterior of one club: bands as nested strips, decades as columns, years as a line.

use crate::charts::canvas::{BAND_EDGE, BANDS, COLUMN, COLUMN_EDGE, Canvas, GRID, INK, SOFT_INK, Side, page_of};
use crate::charts::year_scale::{Window, YearScale};
use crate::words::bands::bands_in_words;
use crate::words::date_line::date_line;
use crate::words::times_of_a_year::times_of_a_year;
use crate::words::undated::rests_on;
use crate::words::years::{answer_year, row_word};
use agewright_model::{Calibration, Dating, Posterior};

/// Height of a panel without its year axis.
pub const PANEL_HEIGHT: i32 = 276;
const TITLE_Y: f64 = 24.0;
const NAME_Y: f64 = 46.0;
const MEDIAN_Y: f64 = 72.0;
const STRIP_Y: f64 = 96.0;
/// Half heights of the strips of the 95, 80 and 50 % bands.
const STRIPS: [f64; 3] = [5.0, 8.0, 11.0];
const PLOT_TOP: f64 = 126.0;
const PLOT_FOOT: f64 = 270.0;

/// Height of the year axis below a run of panels.
pub fn axis_height() -> i32 {
    50
}

/// Draws a panel whose top is at `top`.
pub(crate) fn paint_panel(
    canvas: &Canvas<'_>,
    scale: &YearScale,
    name: &str,
    dating: &Dating,
    shares: Shares,
    top: f64,
) -> Result<(), String> {
    let room = scale.edge() - scale.left;
    let line = Canvas::fitted(&date_line(dating), room, 18.0);
    canvas.words(&line, scale.left, top + TITLE_Y, 18.0, INK, Side::Left)?;
    let bands = if dating.has_evidence() { bands_in_words(dating) } else { String::new() };
    canvas.words(&bands, scale.edge(), top + NAME_Y, 12.0, SOFT_INK, Side::Right)?;
    let room = room - Canvas::width(&bands, 12.0) - 24.0;
    canvas.words(&Canvas::fitted(name, room, 12.0), scale.left, top + NAME_Y, 12.0, SOFT_INK, Side::Left)?;
    paint_strips(canvas, scale, dating, top)?;
    paint_columns(canvas, scale, &dating.posterior, shares, top)
}

fn paint_strips(canvas: &Canvas<'_>, scale: &YearScale, dating: &Dating, top: f64) -> Result<(), String> {
    let y = top + STRIP_Y;
    if !dating.has_evidence() {
        let words = format!("no clue of date: this rests on {}", rests_on(dating));
        let words = Canvas::fitted(&words, scale.edge() - scale.left, 12.0);
        return canvas.words(&words, scale.left, y, 12.0, SOFT_INK, Side::Left);
    }
    for ((band, colour), half) in dating.bands.iter().rev().zip(BANDS).zip(STRIPS) {
        for piece in &band.intervals {
            let corners = ((scale.x(piece.from), y - half), (scale.x(piece.to + 1), y + half));
            canvas.outlined_block(corners.0, corners.1, colour, BAND_EDGE)?;
        }
    }
    // Where there are two answers, the middle year lies between them and is no date.
    if !dating.band(0.8).modes().is_empty() {
        return Ok(());
    }
    let median = scale.middle_of(dating.posterior.median());
    canvas.line(&[(median, y - 15.0), (median, y + 15.0)], INK, 2)?;
    let label = answer_year(scale.axis, dating.posterior.median());
    let half = Canvas::width(&label, 13.0) / 2.0;
    let x = median.clamp(scale.left + half, scale.edge() - half);
    canvas.words(&label, x, top + MEDIAN_Y, 13.0, INK, Side::Centre)
}

/// What columns and line of several panels are drawn by, so that one can be laid beside another.
#[derive(Clone, Copy)]
pub(crate) struct Shares {
    /// So many times its chance a year is drawn.
    pub times: i32,
    /// The highest share of any.
    highest: f64,
}

impl Shares {
    /// Of these answers together.
    pub(crate) fn of<'a>(scale: &YearScale, posteriors: impl Iterator<Item = &'a Posterior> + Clone) -> Self {
        let times = times_of_a_year(posteriors.clone());
        let of_one = |posterior: &Posterior| {
            let rows = rows(scale, posterior).into_iter().map(|row| row.2);
            let years = posterior.by_year().iter().map(|p| p * f64::from(times));
            rows.chain(years).fold(posterior.after(), f64::max)
        };
        Self { times, highest: posteriors.map(of_one).fold(0.0, f64::max) }
    }
}

/// Rows of years that are shown, with their chances; a short last one by its density, as wide as it is.
fn rows(scale: &YearScale, posterior: &Posterior) -> Vec<(i32, i32, f64)> {
    let step = f64::from(scale.axis.step());
    let shown = posterior.by_row().into_iter().filter(|(from, _, _)| scale.shows(*from));
    shown.map(|(from, to, p)| (from, to, (p * step / f64::from(to - from + 1)).min(1.0))).collect()
}

/// Columns and line share one scale, which ends at 100 %.
fn paint_columns(
    canvas: &Canvas<'_>,
    scale: &YearScale,
    posterior: &Posterior,
    shares: Shares,
    top: f64,
) -> Result<(), String> {
    let times = f64::from(shares.times);
    let rows = rows(scale, posterior);
    let (tick, most) = percent_ticks(shares.highest);
    let (foot, plot_top) = (top + PLOT_FOOT, top + PLOT_TOP);
    let y = |share: f64| foot - share / most * (foot - plot_top);
    let mut share = 0.0;
    while share <= most + 1e-9 {
        canvas.line(&[(scale.left, y(share)), (scale.edge(), y(share))], GRID, 1)?;
        canvas.words(&format!("{:.0} %", share * 100.0), scale.left - 8.0, y(share), 12.0, SOFT_INK, Side::Right)?;
        share += tick;
    }
    let after = (scale.axis.to(), scale.axis.to(), posterior.after());
    for (from, to, share) in rows.into_iter().chain((scale.edge() > scale.right).then_some(after)) {
        if share > 0.0005 {
            let (x0, x1) = (scale.x(from) + 1.0, scale.x(to + 1) - 1.0);
            canvas.block((x0, y(share)), (x1, foot), COLUMN)?;
            canvas.line(&[(x0, foot), (x0, y(share)), (x1, y(share)), (x1, foot)], COLUMN_EDGE, 1)?;
        }
    }
    let line: Vec<(f64, f64)> = scale
        .axis
        .years()
        .zip(posterior.by_year())
        .filter(|(year, _)| scale.shows(*year))
        .map(|(year, p)| (f64::midpoint(scale.x(year), scale.x(year + 1)), y(p * times)))
        .collect();
    canvas.line(&line, INK, 2)?;
    canvas.line(&[(scale.left, foot), (scale.edge(), foot)], SOFT_INK, 1)
}

/// Tick and top of the scale for a highest share.
fn percent_ticks(highest: f64) -> (f64, f64) {
    let tick = [0.01, 0.02, 0.05, 0.1, 0.2, 0.25, 0.5, 1.0, 2.0, 5.0]
        .into_iter()
        .find(|tick| highest / tick <= 5.0)
        .unwrap_or(10.0);
    (tick, ((highest - 1e-9) / tick).ceil().max(1.0) * tick)
}

/// Draws the year axis and the key below the last panel.
pub(crate) fn paint_year_axis(
    canvas: &Canvas<'_>,
    scale: &YearScale,
    times: i32,
    has_strips: bool,
    top: f64,
) -> Result<(), String> {
    let y = top - (f64::from(PANEL_HEIGHT) - PLOT_FOOT);
    scale.paint_labels(canvas, y)?;
    let times = if times == 1 { String::new() } else { format!(", times {times}") };
    let strips = if has_strips { "; strips, dark to light: 1 in 2, 4 in 5, 19 in 20" } else { "" };
    let row = row_word(scale.axis.step());
    let key = format!("columns and scale: chance by {row}; line: chance by year{times}{strips}");
    canvas.words(&key, scale.left, y + 38.0, 11.0, SOFT_INK, Side::Left)
}

/// The posterior by itself, for a page that has its own heading and key, at a width in pixels.
///
/// # Errors
/// What the drawing library says, which should be nothing.
pub fn posterior_figure(calibration: &Calibration, dating: &Dating, width: i32) -> Result<String, String> {
    // The panel's title is left out, and what stands below it moves up.
    let up = MEDIAN_Y - 12.0;
    #[expect(clippy::cast_possible_truncation, reason = "pixels of a page")]
    let height = (PLOT_FOOT - up) as i32 + 30;
    let axis = calibration.catalogue().axis();
    let scale = YearScale::new(axis, Window::of(axis, std::iter::once((dating, None))), f64::from(width));
    page_of(width, height, |canvas| {
        paint_strips(canvas, &scale, dating, -up)?;
        paint_columns(canvas, &scale, &dating.posterior, Shares::of(&scale, std::iter::once(&dating.posterior)), -up)?;
        scale.paint_labels(canvas, PLOT_FOOT - up)
    })
}
