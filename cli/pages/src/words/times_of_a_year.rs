//! On what scale the chance of a year stands beside that of a row of years.

use agewright_model::Posterior;

/// By how much the chance of a year is multiplied on one page to stand on the scale of rows: by the years of a row, so
/// that it is what a whole row of such years would have; by nothing where that would be more than everything.
///
/// ```
/// use agewright_model::{Asked, Dating, Part};
/// use agewright_pages::words::times_of_a_year::times_of_a_year;
///
/// let calibration = agewright_files::built_in().unwrap().calibration;
/// let club = calibration.catalogue().club("x", &[("pin_direction", "front_back")]).unwrap();
/// let asked = Asked::new(&calibration, &club, Part::Head, None, &[]).unwrap();
/// assert_eq!(times_of_a_year([&Dating::of(&asked).posterior]), 10);
/// ```
#[must_use]
pub fn times_of_a_year<'a>(posteriors: impl IntoIterator<Item = &'a Posterior>) -> i32 {
    let fits = |posterior: &Posterior| {
        let step = posterior.axis().step();
        let highest = posterior.by_year().iter().copied().fold(0.0, f64::max);
        if highest * f64::from(step) <= 1.0 { step } else { 1 }
    };
    posteriors.into_iter().map(fits).min().unwrap_or(1)
}
