//! Puts the panels of all clubs on one page.

use crate::charts::canvas::{Canvas, SOFT_INK, Side, WIDTH, page};
use crate::charts::ledger_bars::{ledger_height, paint_ledger};
use crate::charts::posterior_panel::{
    PANEL_HEIGHT, Shares, axis_height, paint_panel, paint_year_axis, posterior_figure,
};
use crate::charts::year_scale::{Window, YearScale};
use crate::words::answered::Answered;
use crate::words::bands::bands_in_words;
use crate::words::date_line::date_line;
use crate::words::label_date::stands_for;
use crate::words::moves::signed;
use crate::words::sources::OPINION;
use agewright_model::{Calibration, Club, Dating};
use quick_xml::escape::escape;
use std::fmt::Write as _;

/// What to draw of each.
#[derive(Debug, Clone, Copy)]
pub struct Shown {
    /// Its posterior.
    pub posterior: bool,
    /// Its ledger.
    pub ledger: bool,
}

/// Draws the clubs one below another; the year axis stands once, at the foot of each run of panels.
///
/// # Errors
/// What the drawing library says, which should be nothing.
pub fn draw(calibration: &Calibration, clubs: &[Answered<'_>], shown: Shown) -> Result<String, String> {
    // Beside a posterior an account without entries tells nothing more; by itself it says that there is none.
    let has_ledger = |club: &Answered<'_>| shown.ledger && !(shown.posterior && club.ledger().entries.is_empty());
    // The key is that of the panels above it: of one, where an account stands between them.
    let has_strips = |place: usize| {
        let first = if shown.ledger { place } else { 0 };
        clubs[first..=place].iter().any(|club| club.dating.has_evidence())
    };
    let axis_after = |place: usize| shown.ledger || place + 1 == clubs.len();
    let height_of = |place: usize, club: &Answered<'_>| {
        let panel = if shown.posterior { PANEL_HEIGHT + if axis_after(place) { axis_height() } else { 0 } } else { 0 };
        panel + if has_ledger(club) { ledger_height(club) } else { 0 }
    };
    let footer = footer(calibration, clubs);
    let foot = 20 * i32::try_from(footer.len()).unwrap_or(0) + 12;
    let height = clubs.iter().enumerate().map(|(place, club)| height_of(place, club)).sum::<i32>() + foot;
    let axis = calibration.catalogue().axis();
    let window = Window::of(axis, clubs.iter().map(|club| (&club.dating, None)));
    let scale = YearScale::new(axis, window, f64::from(WIDTH));
    let shares = Shares::of(&scale, clubs.iter().map(|club| &club.dating.posterior));
    let svg = page(height, |canvas: &Canvas<'_>| {
        let mut top = 0.0;
        for (place, club) in clubs.iter().enumerate() {
            if shown.posterior {
                paint_panel(canvas, &scale, &named(club), &club.dating, shares, top)?;
                top += f64::from(PANEL_HEIGHT);
                if axis_after(place) {
                    paint_year_axis(canvas, &scale, shares.times, has_strips(place), top)?;
                    top += f64::from(axis_height());
                }
            }
            if has_ledger(club) {
                paint_ledger(canvas, club, top)?;
                top += f64::from(ledger_height(club));
            }
        }
        for line in &footer {
            canvas.words(line, 24.0, top + 10.0, 11.0, SOFT_INK, Side::Left)?;
            top += 20.0;
        }
        Ok(())
    })?;
    Ok(described(&svg, calibration, clubs, shown))
}

/// A club's date and its bands, for readers who do not see the picture.
pub(crate) fn in_words(club: &Answered<'_>) -> String {
    let bands = if club.dating.has_evidence() { format!(" ({})", bands_in_words(&club.dating)) } else { String::new() };
    format!("{}: {}{bands}", club.asked.club().id, date_line(&club.dating))
}

/// A club by its id, and its title where it has one.
pub(crate) fn named(club: &Answered<'_>) -> String {
    let club = club.asked.club();
    match club.text.get("title") {
        Some(title) => format!("{}: {title}", club.id),
        None => club.id.clone(),
    }
}

/// What every answer says of itself, in lines that fit the page.
#[must_use]
pub fn footer(calibration: &Calibration, clubs: &[Answered<'_>]) -> Vec<String> {
    let prior = clubs.first().map_or("", |club| club.dating.prior.as_str());
    let mut text = format!("Calibration: {}; prior: {prior}.", calibration.name());
    if calibration.is_of_rules_alone() {
        text.push_str(" It is made of rules of thumb: no dated collection backs it.");
    }
    if !calibration.origin().notice.is_empty() {
        let _ = write!(text, " {}", calibration.origin().notice);
    }
    let _ = write!(text, " {OPINION}");
    Canvas::wrapped(&text, f64::from(WIDTH) - 48.0, 11.0)
}

/// Adds a title and a description for readers who do not see the picture.
fn described(svg: &str, calibration: &Calibration, clubs: &[Answered<'_>], shown: Shown) -> String {
    let mut told = String::new();
    for club in clubs {
        let _ = write!(told, "{}. ", in_words(club));
        if shown.ledger {
            for entry in &club.ledger().entries {
                let _ = write!(
                    told,
                    "{} moved the average by {} years. ",
                    calibration.catalogue().name_of(&entry.clue),
                    signed(entry.years)
                );
            }
        }
    }
    let title =
        if shown.posterior { "When the clubs were made, by year" } else { "How far each clue moved the estimate" };
    with_words(svg, title, told.trim_end())
}

/// The posterior of a club's part by itself, at a width in pixels, with words for readers who do not see the picture.
///
/// # Errors
/// What the drawing library says, which should be nothing.
pub fn titled_figure(calibration: &Calibration, club: &Club, dating: &Dating, width: i32) -> Result<String, String> {
    let svg = posterior_figure(calibration, dating, width)?;
    let called = club.text.get("title").map_or_else(String::new, |title| format!(" ({title})"));
    let title = format!("When the {} of {}{called} was made, by year", dating.part.word(), club.id);
    Ok(with_words(&svg, &title, &format!("{}. {}", date_line(dating), stands_for(dating))))
}

/// An SVG with a title and a description behind its opening tag.
#[must_use]
pub fn with_words(svg: &str, title: &str, description: &str) -> String {
    let words = format!("<title>{}</title>\n<desc>{}</desc>\n", escape(title), escape(description));
    match svg.find('>') {
        Some(at) => {
            let (tag, rest) = svg.split_at(at);
            format!("{tag} role=\"img\">\n{words}{}", rest[1..].trim_start())
        }
        None => svg.to_owned(),
    }
}
