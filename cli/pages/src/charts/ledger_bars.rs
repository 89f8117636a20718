//! The ledger of one club: signed bars from one zero line on a scale of years, part by part.

use crate::charts::canvas::{Canvas, EARLIER, GRID, INK, LATER, SOFT_INK, Side, WIDTH};
use crate::words::after_the_years::is_shown;
use crate::words::answered::Answered;
use crate::words::moves::signed;
use crate::words::readings::reading_in_short;
use crate::words::sections::{Section, sections};
use crate::words::years::year;
use agewright_model::Calibration;
use agewright_model::answer::ledger::LedgerEntry;
use plotters::style::WHITE;

const ROW: f64 = 24.0;
const HEAD: f64 = 74.0;
const SCALE: f64 = 22.0;
const FOOT: f64 = 22.0;
const LEFT: f64 = 24.0;
const NAMES_TO: f64 = 236.0;
const READINGS_TO: f64 = 356.0;
const BARS: (f64, f64) = (410.0, 830.0);
const BAR_HALF: f64 = 7.0;
/// Marks of the scale on either side at the most.
const MOST_MARKS: f64 = 4.0;

/// Height of a club's ledger in pixels.
#[expect(clippy::cast_possible_truncation, clippy::cast_precision_loss, reason = "rows of a page")]
pub fn ledger_height(answered: &Answered<'_>) -> i32 {
    let rows: usize = sections(answered).iter().map(n_rows).sum();
    (HEAD + ROW * rows as f64 + SCALE + FOOT) as i32
}

fn n_rows(section: &Section<'_>) -> usize {
    section.entries.len() + usize::from(section.heading.is_some())
}

/// Draws a ledger whose top is at `top`, the clues of each part in a section of their own; the widest bar reaches its
/// side's end.
pub(crate) fn paint_ledger(canvas: &Canvas<'_>, answered: &Answered<'_>, top: f64) -> Result<(), String> {
    let (dating, ledger) = (&answered.dating, answered.ledger());
    let (calibration, id) = (answered.asked.calibration(), &answered.asked.club().id);
    // Where years after the axis are shown, the account says that it leaves them out.
    let of_axis = if is_shown(dating) {
        format!(", of the years up to {}", year(dating.posterior.axis().last()))
    } else {
        String::new()
    };
    let title = format!("{id}: how far each clue moved the average year{of_axis}");
    let title = Canvas::fitted(&title, f64::from(WIDTH) - 2.0 * LEFT, 15.0);
    canvas.words(&title, LEFT, top + 22.0, 15.0, INK, Side::Left)?;
    let account = format!("before any clue {:.1}, with all clues {:.1}", ledger.opening, ledger.closing);
    canvas.words(&account, LEFT, top + 42.0, 13.0, SOFT_INK, Side::Left)?;
    let furthest = ledger.entries.iter().map(|entry| entry.years.abs()).fold(1.0, f64::max);
    let bars = Bars { zero: f64::midpoint(BARS.0, BARS.1), per_year: (BARS.1 - BARS.0) / 2.0 / furthest };
    let foot = top + f64::from(ledger_height(answered)) - SCALE - FOOT;
    bars.paint_scale(canvas, furthest, top + HEAD, foot)?;
    let mut y = top + HEAD - ROW / 2.0;
    for Section { heading, entries, .. } in sections(answered) {
        if let Some(heading) = heading {
            y += ROW;
            canvas.words(heading, LEFT, y, 13.0, SOFT_INK, Side::Left)?;
        }
        for entry in entries {
            y += ROW;
            paint_entry(canvas, calibration, entry, &bars, y)?;
        }
    }
    canvas.line(&[(bars.zero, top + HEAD), (bars.zero, foot)], INK, 1)
}

/// Where bars stand on the page.
struct Bars {
    zero: f64,
    per_year: f64,
}

impl Bars {
    fn x(&self, years: f64) -> f64 {
        self.zero + years * self.per_year
    }

    /// Lines at round numbers of years, named below; which side is which stands above.
    fn paint_scale(&self, canvas: &Canvas<'_>, furthest: f64, top: f64, foot: f64) -> Result<(), String> {
        canvas.words("earlier", self.zero - 8.0, top - 12.0, 12.0, SOFT_INK, Side::Right)?;
        canvas.words("later", self.zero + 8.0, top - 12.0, 12.0, SOFT_INK, Side::Left)?;
        let step = round_step(furthest);
        let mut years = 0.0;
        while years <= furthest {
            for years in if years > 0.0 { vec![-years, years] } else { vec![0.0] } {
                canvas.line(&[(self.x(years), top), (self.x(years), foot)], GRID, 1)?;
                let sign = if years > 0.0 { "+" } else { "" };
                canvas.words(&format!("{sign}{years:.0}"), self.x(years), foot + 14.0, 12.0, SOFT_INK, Side::Centre)?;
            }
            years += step;
        }
        canvas.words("years", BARS.1 + 46.0, foot + 14.0, 12.0, SOFT_INK, Side::Right)
    }
}

/// Of 1, 2 and 5 times a power of ten the least that makes few marks.
fn round_step(furthest: f64) -> f64 {
    let steps = (0..6).flat_map(|power| [1.0, 2.0, 5.0].map(|times| times * 10_f64.powi(power)));
    steps.into_iter().find(|step| furthest / step <= MOST_MARKS).unwrap_or(furthest)
}

fn paint_entry(
    canvas: &Canvas<'_>,
    calibration: &Calibration,
    entry: &LedgerEntry,
    bars: &Bars,
    y: f64,
) -> Result<(), String> {
    canvas.words(
        &Canvas::fitted(&calibration.catalogue().name_of(&entry.clue), NAMES_TO - LEFT, 13.0),
        LEFT,
        y,
        13.0,
        INK,
        Side::Left,
    )?;
    let reading = reading_in_short(calibration.catalogue(), &entry.clue, &entry.reading);
    let reading = Canvas::fitted(&reading, READINGS_TO - NAMES_TO - 8.0, 13.0);
    canvas.words(&reading, READINGS_TO, y, 13.0, SOFT_INK, Side::Right)?;
    let (zero, tip) = (bars.zero, bars.x(entry.years));
    let (colour, side, label_x) =
        if entry.years < 0.0 { (EARLIER, Side::Right, tip - 6.0) } else { (LATER, Side::Left, tip + 6.0) };
    canvas.block((zero.min(tip), y - BAR_HALF), (zero.max(tip), y + BAR_HALF), colour)?;
    let label = signed(entry.years);
    let label_to =
        if entry.years < 0.0 { label_x - Canvas::width(&label, 12.0) } else { label_x + Canvas::width(&label, 12.0) };
    // The scale's lines do not cross a figure.
    canvas.block((label_x.min(label_to) - 2.0, y - BAR_HALF), (label_x.max(label_to) + 2.0, y + BAR_HALF), WHITE)?;
    canvas.words(&label, label_x, y, 12.0, INK, side)
}

const _: () = assert!(WIDTH == 900, "the columns of the ledger are set for a page of 900 pixels");
