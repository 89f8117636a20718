//! Evidence of one clue by itself, by year: a level, a mark or a number of a register.

use crate::evidence::usable::Usable;
use crate::evidence::weighed::{AfterTheAxis, BySet};
use crate::numbers::axis::Axis;
use crate::reading::cell::Seen;
use crate::reading::clue::ClueKind;
use crate::reading::misread::LEAST_MISREAD;
use crate::reading::part::Part;
use crate::reading::register::lag_chance;
use crate::tables::calibration::Calibration;
use crate::tables::table_set::{Cases, TableSet};

/// The two cases of a reading: right, times 1 - e, by year; and misread, the same in all years.
#[derive(Debug, Clone)]
pub(crate) struct OneClue {
    right: Vec<f64>,
    wrong: f64,
    /// ln of both together, asked for again and again.
    ln: Vec<f64>,
    is_fashion: bool,
    /// Likelihood on a part made after the axis ends, where the rules say how that looks.
    after: Option<f64>,
}

impl OneClue {
    /// What a reading says by itself, with its exponent; `None` for clues that speak through measures or not at all.
    pub fn of(calibration: &Calibration, tables: &TableSet, usable: Usable<'_>) -> Option<(Self, f64)> {
        let axis = calibration.catalogue().axis();
        match usable.clue.kind {
            // Known, not fitted: nothing repeats them that a fit could see.
            ClueKind::Mark => Some((Self::of_mark(calibration, usable), 1.0)),
            ClueKind::Register => Some((Self::of_number(calibration, usable), 1.0)),
            _ => {
                let Cases { right, wrong, weight } = tables.cases(usable.clue, usable.reading)?;
                let looks = calibration.parts_model().and_then(|model| model.after.look(&usable.clue.id));
                let after = looks.map(|look| (1.0 - usable.misread()) * look.share(usable.reading) + wrong);
                let right = axis.rows_to_years(&right);
                Some((Self { after, ..Self::of_cases(right, wrong, true) }, weight))
            }
        }
    }

    fn of_cases(right: Vec<f64>, wrong: f64, is_fashion: bool) -> Self {
        let ln = right.iter().map(|right| (right + wrong).ln()).collect();
        Self { right, wrong, ln, is_fashion, after: None }
    }

    /// Cases by year from how likely the reading is in each year, if read right; misread, it is as likely as on the
    /// whole.
    fn dated(axis: Axis, usable: Usable<'_>, right: impl Fn(i32) -> f64) -> Self {
        let right: Vec<f64> = axis.years().map(right).collect();
        #[expect(clippy::cast_precision_loss, reason = "years are few")]
        let mean = right.iter().sum::<f64>() / right.len() as f64;
        // A reading that is beyond doubt would make years impossible, and nothing is.
        let misread = usable.misread().max(LEAST_MISREAD);
        let wrong = if mean > 0.0 { misread * mean } else { 1.0 };
        Self::of_cases(right.iter().map(|v| (1.0 - misread) * v).collect(), wrong, false)
    }

    /// A mark: the most that any of its periods of use gives; of several marks their mean.
    fn of_mark(calibration: &Calibration, usable: Usable<'_>) -> Self {
        let uses = calibration.uses_of(&usable.clue.id);
        let seen = match &usable.reading.seen {
            Seen::Levels(levels) => levels.as_slice(),
            _ => &[],
        };
        let of_mark = |year: i32, k: usize| {
            let own = uses.iter().filter(|mark| mark.mark == usable.clue.levels[k].id).map(|mark| mark.in_year(year));
            // A mark whose years nobody knows says nothing.
            own.fold(None, |most: Option<f64>, used| Some(most.map_or(used, |m| m.max(used)))).unwrap_or(1.0)
        };
        #[expect(clippy::cast_precision_loss, reason = "marks are few")]
        let mean = |year| seen.iter().map(|&k| of_mark(year, k)).sum::<f64>() / seen.len().max(1) as f64;
        let axis = calibration.catalogue().axis();
        let dated = Self::dated(axis, usable, mean);
        // Its use goes on behind the axis as its years say; told by the first row of years there.
        let later = (axis.to()..axis.to() + axis.step()).map(mean).sum::<f64>() / f64::from(axis.step());
        let misread = usable.misread().max(LEAST_MISREAD);
        let is_possible = calibration.parts_model().is_some_and(|model| model.after.is_possible());
        Self { after: is_possible.then_some((1.0 - misread) * later + dated.wrong), ..dated }
    }

    /// A number. The lag from registration to making is a chance of the year given the number, so that its likelihood
    /// is that chance over the calibration's own prior, whatever prior is asked for: alone, read right, it then gives
    /// the lag itself. Misread it says nothing, and is as likely in all years.
    fn of_number(calibration: &Calibration, usable: Usable<'_>) -> Self {
        let axis = calibration.catalogue().axis();
        let years = match &usable.reading.seen {
            Seen::Number(years) => years.as_slice(),
            _ => &[],
        };
        let made = |year: i32| -> f64 {
            years.iter().map(|registered| registered.share * lag_chance(year - registered.year)).sum()
        };
        let chances: Vec<f64> = axis.years().map(made).collect();
        let on_axis: f64 = chances.iter().sum();
        let misread = usable.misread().max(LEAST_MISREAD);
        let part_after = match (usable.clue.part, calibration.parts_model()) {
            (Part::Head, Some(model)) => model.after.head,
            _ => 0.0,
        };
        if on_axis <= 0.0 && part_after > 0.0 {
            // Registered after the axis it proves a year after it, or it was misread.
            let after = Some((1.0 - misread) / part_after + misread);
            return Self { after, ..Self::of_cases(chances, misread, false) };
        }
        if on_axis <= 0.0 {
            // Without such years it fits none: all that is known then is that it was misread.
            return Self::of_cases(chances, 1.0, false);
        }
        let prior = calibration.prior(None).map(|prior| prior.ln_by_year().to_vec());
        let before = own_prior(axis, &prior.unwrap_or_default());
        let right = chances.iter().zip(before).map(|(chance, before)| (1.0 - misread) * chance / on_axis / before);
        Self::of_cases(right.collect(), misread, false)
    }
}

/// No year is less likely before than this share of what it would be if all were alike: a number may not be worth
/// more than that.
const LEAST_PRIOR: f64 = 1e-4;

/// A prior by year, kept clear of 0; all years alike where there is none.
#[expect(clippy::cast_precision_loss, reason = "years are few")]
fn own_prior(axis: Axis, ln_by_year: &[f64]) -> Vec<f64> {
    let flat = 1.0 / axis.n_years() as f64;
    let of = |ix: usize| ln_by_year.get(ix).map_or(flat, |ln| ln.exp().max(LEAST_PRIOR * flat));
    (0..axis.n_years()).map(of).collect()
}

impl BySet for OneClue {
    fn n_years(&self) -> usize {
        self.right.len()
    }

    fn ln_by_year(&self, _set: usize) -> Vec<f64> {
        self.ln.clone()
    }

    fn add_ln(&self, _set: usize, weight: f64, total: &mut [f64]) {
        total.iter_mut().zip(&self.ln).for_each(|(sum, ln)| *sum += weight * ln);
    }

    fn misread_by_year(&self) -> Vec<Vec<f64>> {
        vec![self.right.iter().map(|right| self.wrong / (right + self.wrong)).collect()]
    }

    fn after(&self) -> Option<AfterTheAxis> {
        self.after.map(|after| AfterTheAxis { ln: after.ln(), misread: self.wrong / after })
    }

    fn is_fashion(&self) -> bool {
        self.is_fashion
    }
}
