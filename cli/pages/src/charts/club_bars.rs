//! Several clubs on one axis of years: for each a bar of nested bands and a tick at its median, never curve under
//! curve.

use crate::charts::canvas::{BAND_EDGE, BANDS, Canvas, GRID, INK, SOFT_INK, Side, WIDTH, page};
use crate::charts::drawing::{footer, in_words, with_words};
use crate::charts::year_scale::{Window, YearScale};
use crate::words::answered::Answered;
use crate::words::given_date::given_in_short;
use crate::words::years::{spans, year};
use agewright_model::{Calibration, Dating, KnownDate};
use plotters::style::WHITE;

const ROW: f64 = 40.0;
const TOP: f64 = 52.0;
const NAMES_TO: f64 = 276.0;
/// The column of the spans, from where it begins to the edge of the page.
const SPANS: f64 = 140.0;
const MARGIN: f64 = 24.0;
/// With more rows than this the years stand above them too.
const LONG: usize = 12;
/// Room for years above the rows.
const YEARS_ABOVE: f64 = 26.0;
/// Half heights of the 95, 80 and 50 % bands.
const HALVES: [f64; 3] = [4.0, 7.0, 10.0];
const MEDIAN_HALF: f64 = 13.0;
const FOOT: f64 = 64.0;
/// Height of a second line of the key.
const KEY_LINE: f64 = 16.0;

/// Draws the clubs in their order, one below another.
#[expect(clippy::cast_possible_truncation, clippy::cast_precision_loss, reason = "rows of a page")]
///
/// # Errors
/// What the drawing library says, which should be nothing.
pub fn draw_bars(calibration: &Calibration, clubs: &[Answered<'_>]) -> Result<String, String> {
    let footer = footer(calibration, clubs);
    let is_long = clubs.len() > LONG;
    let top = TOP + if is_long { YEARS_ABOVE } else { 0.0 };
    let rows_foot = top + ROW * clubs.len() as f64;
    let has_given = clubs.iter().any(|club| club.given.is_some());
    let foot = FOOT + if has_given { KEY_LINE } else { 0.0 };
    let height = (rows_foot + foot) as i32 + 20 * footer.len() as i32;
    let axis = calibration.catalogue().axis();
    let window = Window::of(axis, clubs.iter().map(|club| (&club.dating, club.given)));
    let scale = YearScale::between(axis, window, NAMES_TO + 12.0, f64::from(WIDTH) - SPANS - 8.0);
    let svg = page(height, |canvas: &Canvas<'_>| {
        canvas.words("When each club was made", MARGIN, 26.0, 18.0, INK, Side::Left)?;
        let spans_at = f64::from(WIDTH) - SPANS;
        // Above the years, where these stand above the rows.
        let heading = top - 14.0 - if is_long { YEARS_ABOVE } else { 0.0 };
        canvas.words("4 in 5", spans_at, heading, 11.0, SOFT_INK, Side::Left)?;
        if is_long {
            scale.paint_labels_above(canvas, top)?;
        }
        for label in scale.labels() {
            canvas.line(&[(scale.x(label), top), (scale.x(label), rows_foot)], GRID, 1)?;
        }
        for (place, club) in clubs.iter().enumerate() {
            let y = top + ROW * (place as f64 + 0.5);
            paint_name(canvas, club, y)?;
            let span = Canvas::fitted(&span_words(&club.dating), SPANS - MARGIN, 12.0);
            canvas.words(&span, spans_at, y, 12.0, INK, Side::Left)?;
            paint_bar(canvas, &scale, &club.dating, y)?;
            if let Some(given) = &club.given {
                paint_given(canvas, &scale, given, y)?;
            }
        }
        canvas.line(&[(scale.left, rows_foot), (scale.edge(), rows_foot)], SOFT_INK, 1)?;
        scale.paint_labels(canvas, rows_foot)?;
        let key = "bars, dark to light: 1 in 2, 4 in 5, 19 in 20; tick: the middle year, left out where there are two \
                   answers";
        canvas.words(key, scale.left, rows_foot + 38.0, 11.0, SOFT_INK, Side::Left)?;
        if has_given {
            let key = "line below a bar: the years that are given with the club; the bar is what its clues say";
            canvas.words(key, scale.left, rows_foot + 38.0 + KEY_LINE, 11.0, SOFT_INK, Side::Left)?;
        }
        for (line, text) in footer.iter().enumerate() {
            canvas.words(text, MARGIN, rows_foot + foot + 20.0 * line as f64, 11.0, SOFT_INK, Side::Left)?;
        }
        Ok(())
    })?;
    let of_club = |club: &Answered<'_>| {
        let given = club.given.as_ref().map_or_else(String::new, |date| format!(", {}", given_in_short(date)));
        format!("{}{given}", in_words(club))
    };
    let told: Vec<String> = clubs.iter().map(of_club).collect();
    Ok(with_words(&svg, "When each club was made", &format!("{}.", told.join(". "))))
}

/// A club by its id, with its title below where it has one.
fn paint_name(canvas: &Canvas<'_>, club: &Answered<'_>, y: f64) -> Result<(), String> {
    let club = club.asked.club();
    let title = club.text.get("title");
    let up = if title.is_some() { 7.0 } else { 0.0 };
    let room = NAMES_TO - MARGIN;
    canvas.words(&Canvas::fitted(&club.id, room, 13.0), NAMES_TO, y - up, 13.0, INK, Side::Right)?;
    match title {
        Some(title) => canvas.words(&Canvas::fitted(title, room, 10.0), NAMES_TO, y + 8.0, 10.0, SOFT_INK, Side::Right),
        None => Ok(()),
    }
}

/// The 80 % band in words.
fn span_words(dating: &Dating) -> String {
    if dating.has_evidence() {
        spans(dating.posterior.axis(), &dating.band(0.8).intervals)
    } else {
        "undated".to_owned()
    }
}

/// The years that are given with a club, as a line under its bar.
fn paint_given(canvas: &Canvas<'_>, scale: &YearScale, given: &KnownDate, y: f64) -> Result<(), String> {
    let (from, to) = (scale.x(given.from()), scale.x(given.to() + 1));
    canvas.block((from, y + MEDIAN_HALF + 1.0), (to.max(from + 3.0), y + MEDIAN_HALF + 3.0), INK)
}

/// The bands of one club, and its median with the year beside it.
pub(super) fn paint_bar(canvas: &Canvas<'_>, scale: &YearScale, dating: &Dating, y: f64) -> Result<(), String> {
    // Of a club without a clue nothing is known but the prior, and that is no bar of its own.
    if !dating.has_evidence() {
        return Ok(());
    }
    for ((band, colour), half) in dating.bands.iter().rev().zip(BANDS).zip(HALVES) {
        for piece in &band.intervals {
            let corners = ((scale.x(piece.from), y - half), (scale.x(piece.to + 1), y + half));
            canvas.outlined_block(corners.0, corners.1, colour, BAND_EDGE)?;
        }
    }
    if !dating.band(0.8).modes().is_empty() {
        return Ok(());
    }
    let median = scale.middle_of(dating.posterior.median());
    // A white edge keeps the tick apart from the darkest band.
    canvas.block((median - 3.0, y - MEDIAN_HALF), (median + 3.0, y + MEDIAN_HALF), WHITE)?;
    canvas.block((median - 1.0, y - MEDIAN_HALF), (median + 1.0, y + MEDIAN_HALF), INK)?;
    // The place for what is after the axis has its name below; a bar on the axis is not called by it.
    if dating.posterior.median() > scale.axis.last() {
        return Ok(());
    }
    // Beside the bar, on the side that has room.
    let label = year(dating.posterior.median());
    let last = dating.bands.last().map_or(median, |band| scale.x(band.to() + 1));
    let first = dating.bands.last().map_or(median, |band| scale.x(band.from()));
    // A year is not written into the place for what is after the axis.
    if last + 8.0 + Canvas::width(&label, 12.0) <= scale.right {
        canvas.words(&label, last + 8.0, y, 12.0, INK, Side::Left)
    } else {
        canvas.words(&label, first - 8.0, y, 12.0, INK, Side::Right)
    }
}
