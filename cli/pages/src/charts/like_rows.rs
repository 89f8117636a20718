//! A club among the dated clubs most like it, on one axis of years: its bands above, below them each of those clubs at
//! its date, and all dated clubs as ticks along the foot.

use crate::charts::canvas::{BANDS, Canvas, GRID, INK, SOFT_INK, Side, WIDTH, page};
use crate::charts::club_bars::paint_bar;
use crate::charts::drawing::{footer, in_words, named, with_words};
use crate::charts::year_scale::{Window, YearScale};
use crate::words::answered::Answered;
use crate::words::verbal::{in_a_hundred, percent};
use crate::words::years::span;
use agewright_model::questions::like::{LikeClub, Likeness};
use agewright_model::reading::known_date::DateGrade;
use agewright_model::{Calibration, KnownDate};

const TITLE: f64 = 52.0;
const OWN_ROW: f64 = 40.0;
const ROW: f64 = 24.0;
const NAMES_TO: f64 = 190.0;
const RIGHT: f64 = 30.0;
/// The strip of ticks and the labels of years below it.
const FOOT: f64 = 84.0;
const TICK: f64 = 8.0;
/// Half heights of the mark of a club with hardly any vote, and of one with all of them.
const HALVES: [f64; 2] = [2.0, 10.0];

/// Draws each club with those most like it, one below another.
///
/// # Errors
/// What the drawing library says, which should be nothing.
#[expect(clippy::cast_possible_truncation, clippy::cast_precision_loss, reason = "rows of a page")]
pub fn draw_like(calibration: &Calibration, clubs: &[Answered<'_>]) -> Result<String, String> {
    let likes: Vec<Option<Likeness>> = clubs.iter().map(|club| Likeness::of(&club.asked)).collect();
    let height_of = |like: &Option<Likeness>| {
        TITLE + OWN_ROW + FOOT + ROW * like.as_ref().map_or(1, |like| like.nearest.len()) as f64
    };
    let footer = footer(calibration, clubs);
    let height = likes.iter().map(height_of).sum::<f64>() as i32 + 20 * footer.len() as i32 + 12;
    let axis = calibration.catalogue().axis();
    // The clubs beside it are shown too, wherever they stand.
    let near = clubs.iter().zip(&likes).flat_map(|(club, like)| {
        let dates = like.iter().flat_map(|like| &like.nearest);
        dates.map(|near| (&club.dating, KnownDate::new(axis, near.from, near.to, DateGrade::default()).ok()))
    });
    let own = clubs.iter().map(|club| (&club.dating, None));
    let scale = YearScale::between(axis, Window::of(axis, own.chain(near)), NAMES_TO + 12.0, f64::from(WIDTH) - RIGHT);
    let svg = page(height, |canvas: &Canvas<'_>| {
        let mut top = 0.0;
        for (club, like) in clubs.iter().zip(&likes) {
            paint_club(canvas, &scale, calibration, club, like.as_ref(), top)?;
            top += height_of(like);
        }
        for line in &footer {
            canvas.words(line, 24.0, top + 10.0, 11.0, SOFT_INK, Side::Left)?;
            top += 20.0;
        }
        Ok(())
    })?;
    let told: Vec<String> = clubs.iter().zip(&likes).map(|(club, like)| told(club, like.as_ref())).collect();
    Ok(with_words(&svg, "Clubs among the dated clubs most like them", &told.join(" ")))
}

/// The picture in words.
fn told(club: &Answered<'_>, like: Option<&Likeness>) -> String {
    let near = |near: &LikeClub| {
        format!("{}, {}, {} of the votes", near.id, span(near.from, near.to), in_a_hundred(near.share))
    };
    let nearest = like.map_or_else(
        || "no dated club is laid beside it".to_owned(),
        |like| like.nearest.iter().map(near).collect::<Vec<_>>().join("; "),
    );
    format!("{}. Most like it: {nearest}.", in_words(club))
}

fn paint_club(
    canvas: &Canvas<'_>,
    scale: &YearScale,
    calibration: &Calibration,
    club: &Answered<'_>,
    like: Option<&Likeness>,
    top: f64,
) -> Result<(), String> {
    let id = &club.asked.club().id;
    let title = format!("{} among the dated clubs most like it", named(club));
    canvas.words(&Canvas::fitted(&title, f64::from(WIDTH) - 48.0, 15.0), 24.0, top + 26.0, 15.0, INK, Side::Left)?;
    let nearest: Vec<&LikeClub> = like.map_or_else(Vec::new, |like| like.nearest.iter().collect());
    #[expect(clippy::cast_precision_loss, reason = "five rows")]
    let rows = TITLE + OWN_ROW + ROW * nearest.len().max(1) as f64;
    let foot = top + rows + 2.0 * TICK;
    for label in scale.labels() {
        canvas.line(&[(scale.x(label), top + TITLE), (scale.x(label), foot)], GRID, 1)?;
    }
    let own = top + TITLE + OWN_ROW / 2.0;
    canvas.words(&Canvas::fitted(id, NAMES_TO - 24.0, 13.0), NAMES_TO, own, 13.0, INK, Side::Right)?;
    paint_bar(canvas, scale, &club.dating, own)?;
    let mut y = top + TITLE + OWN_ROW + ROW / 2.0;
    if nearest.is_empty() {
        canvas.words("no dated club to lay beside it", scale.left, y, 12.0, SOFT_INK, Side::Left)?;
    }
    for near in nearest {
        paint_near(canvas, scale, near, y)?;
        y += ROW;
    }
    for dated in calibration.shelf().iter().flat_map(|shelf| &shelf.clubs) {
        let year = i32::midpoint(dated.from, dated.to);
        if !scale.shows(year) {
            continue;
        }
        let x = scale.middle_of(year);
        canvas.line(&[(x, foot - TICK), (x, foot)], SOFT_INK, 1)?;
    }
    canvas.line(&[(scale.left, foot), (scale.edge(), foot)], SOFT_INK, 1)?;
    scale.paint_labels(canvas, foot)?;
    let key = "above: its bands, dark to light 1 in 2, 4 in 5, 19 in 20; below: dated clubs at their dates, the \
               thicker the more like it; ticks: all dated clubs of these years";
    canvas.words(key, 24.0, foot + 40.0, 11.0, SOFT_INK, Side::Left)
}

/// A dated club at its date, as thick as its share of the votes, which stands beside it.
fn paint_near(canvas: &Canvas<'_>, scale: &YearScale, near: &LikeClub, y: f64) -> Result<(), String> {
    canvas.words(&Canvas::fitted(&near.id, NAMES_TO - 24.0, 12.0), NAMES_TO, y, 12.0, SOFT_INK, Side::Right)?;
    let half = HALVES[0] + (HALVES[1] - HALVES[0]) * near.share.sqrt();
    let (from, to) = (scale.x(near.from), scale.x(near.to + 1));
    let middle = f64::midpoint(from, to);
    let (from, to) = (from.min(middle - 3.0), to.max(middle + 3.0));
    canvas.block((from, y - half), (to, y + half), BANDS[2])?;
    let label = format!("{}, {}", span(near.from, near.to), percent(near.share));
    if to + 8.0 + Canvas::width(&label, 11.0) <= scale.right {
        canvas.words(&label, to + 8.0, y, 11.0, SOFT_INK, Side::Left)
    } else {
        canvas.words(&label, from - 8.0, y, 11.0, SOFT_INK, Side::Right)
    }
}
