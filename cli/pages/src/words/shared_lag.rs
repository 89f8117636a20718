//! How far the clues of a club are taken to lead or lag together, in a sentence.

use agewright_model::Asked;

/// What an answer allows for; nothing where no clue that was read leads or lags.
#[must_use]
pub fn lag_sentence(asked: &Asked<'_>) -> Option<String> {
    let here = asked.calibration().shared_lag();
    let used = if asked.is_from_elsewhere() { Some(asked.lag_sd()) } else { None };
    if asked.evidence().has_fashion() { lag_words(here, used) } else { None }
}

/// The same of any club of a calibration with the lag `here`; `elsewhere` is the lag of clubs from another region,
/// where they are said to be of one.
#[must_use]
pub fn lag_words(here: f64, elsewhere: Option<f64>) -> Option<String> {
    let used = elsewhere.unwrap_or(here);
    if used < LEAST {
        return None;
    }
    let together = "Lead or lag: what a club looks like may run ahead of its time or behind it as a whole";
    let by = format!("by about {} either way (one standard deviation)", years(used));
    Some(match (elsewhere, here < LEAST) {
        (None, _) => format!("{together}, {by}."),
        (Some(_), true) => format!("{together}, {by} for a club from elsewhere, as asked; otherwise not at all."),
        (Some(_), false) => {
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
