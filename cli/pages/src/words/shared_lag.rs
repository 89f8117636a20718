//! How far all clues of a club are taken to lead or lag together, in a sentence.

use agewright_model::Asked;

/// What the answer allows for; nothing where clues are taken to be of their time.
#[must_use]
pub fn lag_sentence(asked: &Asked<'_>) -> Option<String> {
    let (here, used) = (asked.calibration().shared_lag(), asked.lag_sd());
    if used <= 0.0 {
        return None;
    }
    let together = "Lead or lag: all clues of a club may run ahead of their time or behind it together";
    Some(match asked.is_from_elsewhere() {
        false => format!("{together}, by about {} either way (one standard deviation).", years(used)),
        true if used > here => format!(
            "{together}; a club from elsewhere is taken to do so by about {} either way (one standard deviation), {}.",
            years(used),
            if here > 0.0 {
                format!("one of the collection's own region by about {}", years(here))
            } else {
                "one of the collection's own region not at all".to_owned()
            }
        ),
        true => format!(
            "{together}, by about {} either way (one standard deviation): as much as was asked for a club from \
             elsewhere, or more.",
            years(used)
        ),
    })
}

fn years(years: f64) -> String {
    let whole = years.round().max(1.0);
    if whole < 1.5 { "a year".to_owned() } else { format!("{whole:.0} years") }
}
