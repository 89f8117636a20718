//! The ledger of one club: signed bars from one zero line, the running balance as figures beside them.

use crate::charts::canvas::{Canvas, EARLIER, GRID, INK, LATER, SOFT_INK, Side, WIDTH};
use crate::words::after_the_years::is_shown;
use crate::words::moves::signed;
use crate::words::readings::reading_in_short;
use crate::words::years::year;
use agewright_model::answer::ledger::LedgerEntry;
use agewright_model::{Calibration, Dating};

const ROW: f64 = 24.0;
const HEAD: f64 = 74.0;
const FOOT: f64 = 22.0;
const LEFT: f64 = 24.0;
const NAMES_TO: f64 = 236.0;
const READINGS_TO: f64 = 356.0;
const BARS: (f64, f64) = (410.0, 760.0);
const BALANCE_AT: f64 = 876.0;
const BAR_HALF: f64 = 7.0;

/// Height of a club's ledger in pixels.
#[expect(clippy::cast_possible_truncation, clippy::cast_precision_loss, reason = "rows of a page")]
pub fn ledger_height(dating: &Dating) -> i32 {
    (HEAD + ROW * (dating.ledger.entries.len() as f64 + 2.0) + FOOT) as i32
}

/// Draws a ledger whose top is at `top`; the widest bar reaches its side's end.
pub(crate) fn paint_ledger(
    canvas: &Canvas<'_>,
    calibration: &Calibration,
    id: &str,
    dating: &Dating,
    top: f64,
) -> Result<(), String> {
    let ledger = &dating.ledger;
    let entries = ledger.by_size();
    let furthest = entries.iter().map(|entry| entry.years.abs()).fold(1.0, f64::max);
    let zero = f64::midpoint(BARS.0, BARS.1);
    let per_year = (BARS.1 - BARS.0) / 2.0 / furthest;
    // Where years after the axis are shown, the account says that it leaves them out.
    let of_axis = if is_shown(dating) {
        format!(", of the years up to {}", year(dating.posterior.axis().last()))
    } else {
        String::new()
    };
    let title = format!("{id}: how far each clue moved the average year{of_axis}");
    canvas.words(&title, LEFT, top + 22.0, 15.0, INK, Side::Left)?;
    let y = top + HEAD - 16.0;
    canvas.words("earlier", zero - 8.0, y, 12.0, SOFT_INK, Side::Right)?;
    canvas.words("later", zero + 8.0, y, 12.0, SOFT_INK, Side::Left)?;
    canvas.words("years so far", BALANCE_AT, y, 12.0, SOFT_INK, Side::Right)?;
    let mut y = top + HEAD + ROW / 2.0;
    paint_edge(canvas, "Before any clue", ledger.opening, y)?;
    let mut balance = ledger.opening;
    for entry in &entries {
        y += ROW;
        balance += entry.years;
        paint_entry(canvas, calibration, entry, zero, per_year, y)?;
        canvas.words(&format!("{balance:.1}"), BALANCE_AT, y, 13.0, INK, Side::Right)?;
    }
    y += ROW;
    paint_edge(canvas, "With all clues", ledger.closing, y)?;
    canvas.line(&[(zero, top + HEAD + ROW), (zero, y - ROW / 2.0)], INK, 1)
}

fn paint_edge(canvas: &Canvas<'_>, name: &str, mean: f64, y: f64) -> Result<(), String> {
    canvas.words(name, LEFT, y, 13.0, SOFT_INK, Side::Left)?;
    canvas.line(&[(READINGS_TO + 20.0, y), (BALANCE_AT - 56.0, y)], GRID, 1)?;
    canvas.words(&format!("{mean:.1}"), BALANCE_AT, y, 13.0, INK, Side::Right)
}

fn paint_entry(
    canvas: &Canvas<'_>,
    calibration: &Calibration,
    entry: &LedgerEntry,
    zero: f64,
    per_year: f64,
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
    let tip = zero + entry.years * per_year;
    let (colour, side, label_x) =
        if entry.years < 0.0 { (EARLIER, Side::Right, tip - 6.0) } else { (LATER, Side::Left, tip + 6.0) };
    canvas.block((zero.min(tip), y - BAR_HALF), (zero.max(tip), y + BAR_HALF), colour)?;
    canvas.words(&signed(entry.years), label_x, y, 12.0, INK, side)
}

const _: () = assert!(WIDTH == 900, "the columns of the ledger are set for a page of 900 pixels");
