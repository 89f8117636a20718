//! How far the clues of a club are taken to lead or lag together, in a sentence.

use agewright_model::Asked;

/// What the answer allows for; nothing where no clue that was read leads or lags.
#[must_use]
pub fn lag_sentence(asked: &Asked<'_>) -> Option<String> {
    let (here, used) = (asked.calibration().shared_lag(), asked.lag_sd());
    if used < LEAST || !asked.evidence().has_fashion() {
        return None;
    }
    let together = "Lead or lag: what a club looks like may run ahead of its time or behind it as a whole";
    let by = format!("by about {} either way (one standard deviation)", years(used));
    Some(match (asked.is_from_elsewhere(), here < LEAST) {
        (false, _) => format!("{together}, {by}."),
        (true, true) => format!("{together}, {by} for a club from elsewhere, as asked; otherwise not at all."),
        (true, false) => {
            format!("{together}, {by} for a club from elsewhere, as asked; otherwise by about {}.", years(here))
        }
    })
}

/// Less is none, in years.
const LEAST: f64 = 0.5;

fn years(years: f64) -> String {
    let whole = years.round();
    if whole < 1.5 { "a year".to_owned() } else { format!("{whole:.0} years") }
}
