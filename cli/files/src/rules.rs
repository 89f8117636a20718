//! Reads rules of thumb.

use crate::calibration::parts::{AfterFile, PartsFile, SignFile, parts_model};
use crate::calibration::prior_form::SpreadFile;
use crate::nearest_word::{hint, nearest};
use crate::problem::{InputProblem, Problems, Refused, SourceText};
use crate::toml_places::{problem_at, toml_problem};
use agewright_calibration::Rules;
use agewright_calibration::tables::rules::{Cause, Effect, LevelRule, MeasuredRule, PriorRule};
use agewright_model::reading::scale::Scale;
use agewright_model::tables::prior::{PriorRow, Spread};
use agewright_model::{Catalogue, Clue, Prior, TableForm};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::Arc;
use toml::Spanned;

#[derive(Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub(crate) struct RulesFile {
    #[serde(default)]
    measured: Vec<MeasuredFile>,
    #[serde(default)]
    levels: Vec<LevelsFile>,
    #[serde(default)]
    effect: Vec<EffectFile>,
    #[serde(default)]
    prior: Vec<PriorFile>,
    parts: Option<PartsFile>,
    #[serde(default)]
    sign: Vec<SignFile>,
    after: Option<AfterFile>,
}

/// `standing` says where a number comes from, for the reader of the file; the model takes all alike.
#[derive(Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct MeasuredFile {
    #[cfg_attr(feature = "schema", schemars(with = "String"))]
    clue: Spanned<String>,
    #[cfg_attr(feature = "schema", schemars(with = "i32"))]
    year: Spanned<i32>,
    #[cfg_attr(feature = "schema", schemars(with = "f64"))]
    mean: Spanned<f64>,
    #[cfg_attr(feature = "schema", schemars(with = "f64"))]
    sd: Spanned<f64>,
    #[cfg_attr(feature = "schema", schemars(with = "f64"))]
    worth: Spanned<f64>,
    #[serde(default, rename = "standing")]
    _standing: String,
}

#[derive(Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct LevelsFile {
    #[cfg_attr(feature = "schema", schemars(with = "String"))]
    clue: Spanned<String>,
    #[cfg_attr(feature = "schema", schemars(with = "i32"))]
    from: Spanned<i32>,
    #[cfg_attr(feature = "schema", schemars(with = "i32"))]
    to: Spanned<i32>,
    #[cfg_attr(feature = "schema", schemars(with = "f64"))]
    worth: Spanned<f64>,
    #[cfg_attr(feature = "schema", schemars(with = "BTreeMap<String, f64>"))]
    shares: BTreeMap<Spanned<String>, Spanned<f64>>,
    #[serde(default, rename = "standing")]
    _standing: String,
}

#[derive(Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct EffectFile {
    #[cfg_attr(feature = "schema", schemars(with = "String"))]
    on: Spanned<String>,
    #[cfg_attr(feature = "schema", schemars(with = "String"))]
    by: Spanned<String>,
    #[cfg_attr(feature = "schema", schemars(with = "Option<String>"))]
    level: Option<Spanned<String>>,
    #[cfg_attr(feature = "schema", schemars(with = "Option<f64>"))]
    per: Option<Spanned<f64>>,
    #[cfg_attr(feature = "schema", schemars(with = "f64"))]
    shift: Spanned<f64>,
    #[serde(default, rename = "standing")]
    _standing: String,
}

#[derive(Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct PriorFile {
    #[cfg_attr(feature = "schema", schemars(with = "String"))]
    name: Spanned<String>,
    /// `even` in every year of a row, or `smooth` from row to row.
    #[serde(default = "even")]
    spread: SpreadFile,
    #[cfg_attr(feature = "schema", schemars(with = "Vec<PriorRowFile>"))]
    rows: Vec<Spanned<PriorRowFile>>,
    /// What clubs it is of, in a few words.
    #[serde(default)]
    about: String,
    /// The one for a whole collection, where none is asked for.
    #[serde(default)]
    for_collections: bool,
    #[serde(default, rename = "standing")]
    _standing: String,
}

fn even() -> SpreadFile {
    SpreadFile::Even
}

#[derive(Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct PriorRowFile {
    from: i32,
    to: i32,
    mass: f64,
}

/// Shares of a rule may be off by this much, as rounded percentages are; they are brought to 1.
const SHARES_OFF: f64 = 0.02;
/// A level that a rule gives no share keeps this one: a misreading or a later alteration is always possible.
const LEAST_SHARE: f64 = 0.002;

const MOST_WORTH: f64 = 1000.0;
const MOST_YEARS_OFF: i32 = 100;

/// Reads rules against a catalogue; errors carry their place.
///
/// # Errors
/// [`Refused`] with every rule that makes no sense; how parts belong together is looked at once the others do.
pub fn read_rules(source: &Arc<SourceText>, catalogue: &Catalogue) -> Result<Rules, Refused> {
    let file: RulesFile = toml::from_str(&source.text).map_err(|error| toml_problem(source, &error))?;
    let reader = Reader { source, catalogue };
    let (mut rules, mut problems) = (Rules::default(), Problems::default());
    for rule in &file.measured {
        if let Some((clue, rule)) = problems.keep(reader.measured(rule)) {
            rules.measured.entry(clue).or_default().push(rule);
        }
    }
    for rule in &file.levels {
        if let Some((clue, rule)) = problems.keep(reader.levels(rule)) {
            rules.levels.entry(clue).or_default().push(rule);
        }
    }
    for effect in &file.effect {
        rules.effects.extend(problems.keep(reader.effect(effect)));
    }
    for (place, prior) in file.prior.iter().enumerate() {
        let name = prior.name.get_ref();
        if file.prior[..place].iter().any(|other| other.name.get_ref() == name) {
            problems.push(|| reader.problem(prior.name.span(), format!("prior \"{name}\" stands twice")));
            continue;
        }
        rules.priors.extend(problems.keep(reader.prior(prior)));
    }
    if !problems.is_empty() {
        return Err(Refused::Problems(problems));
    }
    if let Some(parts) = &file.parts {
        let model = parts_model(catalogue, parts, &file.sign, file.after.as_ref());
        rules.parts = Some(model.map_err(|error| problem_at(source, &error.path, error.problem.to_string()))?);
    } else if !file.sign.is_empty() {
        return Err(InputProblem::new(source, None, "signs of a replacement stand without [parts]").into());
    } else if file.after.is_some() {
        return Err(InputProblem::new(source, None, "what is made after the years stands without [parts]").into());
    }
    Ok(rules)
}

struct Reader<'a> {
    source: &'a Arc<SourceText>,
    catalogue: &'a Catalogue,
}

impl Reader<'_> {
    fn problem(&self, at: Range<usize>, message: impl Into<String>) -> InputProblem {
        InputProblem::new(self.source, Some(at), message)
    }

    fn clue(&self, id: &Spanned<String>, form: Option<TableForm>) -> Result<&Clue, InputProblem> {
        let clue = self.catalogue.clue(id.get_ref());
        let Some(clue) = clue else {
            let ids = self.catalogue.clues().iter().map(|clue| clue.id.as_str());
            let help = nearest(id.get_ref(), ids).map(|near| format!("did you mean \"{near}\"?"));
            let message = format!("\"{}\" is no clue of the catalogue", id.get_ref());
            return Err(self.problem(id.span(), message).help(help));
        };
        match form {
            Some(form) if clue.kind.table_form() != form => {
                let message = format!("{} is not of that kind in the catalogue", clue.id);
                Err(self.problem(id.span(), message))
            }
            _ => Ok(clue),
        }
    }

    fn positive(&self, what: &str, number: &Spanned<f64>) -> Result<f64, InputProblem> {
        let value = *number.get_ref();
        if value.is_finite() && value > 0.0 {
            Ok(value)
        } else {
            Err(self.problem(number.span(), format!("{what} = {value}: it must be above 0")))
        }
    }

    fn worth(&self, number: &Spanned<f64>) -> Result<f64, InputProblem> {
        match self.positive("worth", number)? {
            worth if worth <= MOST_WORTH => Ok(worth),
            worth => Err(self
                .problem(number.span(), format!("worth = {worth}: a rule counts for {MOST_WORTH} clubs at the most"))),
        }
    }

    /// A rule may speak of years somewhat before or after the axis, to lead up to it; further off is a slip.
    fn near_axis(&self, year: i32, at: Range<usize>) -> Result<(), InputProblem> {
        let axis = self.catalogue.axis();
        if (axis.from() - MOST_YEARS_OFF..axis.to() + MOST_YEARS_OFF).contains(&year) {
            return Ok(());
        }
        let message = format!("{year} is far outside the catalogue's years, {} to {}", axis.from(), axis.last());
        Err(self.problem(at, message))
    }

    fn level(&self, clue: &Clue, id: &Spanned<String>) -> Result<usize, InputProblem> {
        clue.levels.iter().position(|level| &level.id == id.get_ref()).ok_or_else(|| {
            let allowed: Vec<String> = clue.levels.iter().map(|level| level.id.clone()).collect();
            let message = format!("\"{}\" is no level of {}", id.get_ref(), clue.id);
            self.problem(id.span(), message).help(hint(id.get_ref(), &allowed))
        })
    }

    fn measured(&self, rule: &MeasuredFile) -> Result<(String, MeasuredRule), InputProblem> {
        let clue = self.clue(&rule.clue, Some(TableForm::Measures))?;
        let mean = *rule.mean.get_ref();
        if !mean.is_finite() || (clue.scale == Scale::Log && mean <= 0.0) {
            return Err(self.problem(rule.mean.span(), format!("mean = {mean}: no measure of {}", clue.id)));
        }
        if let Some([low, high]) = clue.range.filter(|[low, high]| !(*low..=*high).contains(&mean)) {
            let message = format!("mean = {mean}: outside the range of {}, {low} to {high}", clue.id);
            return Err(self.problem(rule.mean.span(), message));
        }
        self.near_axis(*rule.year.get_ref(), rule.year.span())?;
        let (sd, worth) = (self.positive("sd", &rule.sd)?, self.worth(&rule.worth)?);
        Ok((clue.id.clone(), MeasuredRule { year: *rule.year.get_ref(), mean, sd, worth }))
    }

    fn levels(&self, rule: &LevelsFile) -> Result<(String, LevelRule), InputProblem> {
        let clue = self.clue(&rule.clue, Some(TableForm::Shares))?;
        let (from, to) = (*rule.from.get_ref(), *rule.to.get_ref());
        if from > to {
            return Err(self.problem(rule.from.span(), format!("from {from} is after to {to}")));
        }
        let mut shares = vec![0.0; clue.levels.len()];
        for (id, share) in &rule.shares {
            let value = *share.get_ref();
            if !(value.is_finite() && value >= 0.0) {
                return Err(self.problem(share.span(), format!("share {value}: it must not be below 0")));
            }
            shares[self.level(clue, id)?] = value;
        }
        let sum: f64 = shares.iter().sum();
        if (sum - 1.0).abs() > SHARES_OFF {
            let message =
                format!("{} {from}-{to}: the shares sum to {sum}; they must sum to 1 within {SHARES_OFF}", clue.id);
            return Err(self.problem(rule.clue.span(), message));
        }
        let kept: Vec<f64> = shares.iter().map(|share| share.max(LEAST_SHARE)).collect();
        let sum: f64 = kept.iter().sum();
        self.near_axis(from, rule.from.span())?;
        self.near_axis(to, rule.to.span())?;
        let worth = self.worth(&rule.worth)?;
        Ok((clue.id.clone(), LevelRule { from, to, worth, shares: kept.iter().map(|share| share / sum).collect() }))
    }

    fn effect(&self, effect: &EffectFile) -> Result<Effect, InputProblem> {
        let on = self.clue(&effect.on, Some(TableForm::Measures))?;
        let by = self.clue(&effect.by, None)?;
        if !by.adjusts {
            let message = format!("{} does not adjust others: the catalogue must say adjusts = true", by.id);
            return Err(self.problem(effect.by.span(), message));
        }
        let cause = match (&effect.level, &effect.per) {
            (Some(level), None) => Cause::Level(self.level(by, level)?),
            (None, Some(per)) if by.kind.is_measure() => Cause::Per(self.positive("per", per)?),
            _ => {
                let message =
                    format!("an effect by {} takes `level` for a level clue, `per` for a measured one", by.id);
                return Err(self.problem(effect.by.span(), message));
            }
        };
        let shift = *effect.shift.get_ref();
        if !shift.is_finite() {
            return Err(self.problem(effect.shift.span(), format!("shift = {shift}: no number")));
        }
        Ok(Effect { on: on.id.clone(), by: by.id.clone(), cause, shift })
    }

    fn prior(&self, prior: &PriorFile) -> Result<PriorRule, InputProblem> {
        let axis = self.catalogue.axis();
        let name = prior.name.get_ref();
        if [Prior::FLAT, Prior::AS_COLLECTED].contains(&name.as_str()) {
            return Err(self.problem(prior.name.span(), format!("\"{name}\" is a prior already; choose another name")));
        }
        let mut rows = Vec::new();
        for row in &prior.rows {
            let PriorRowFile { from, to, mass } = *row.get_ref();
            let overlaps = |other: &&Spanned<PriorRowFile>| other.get_ref().from <= to && other.get_ref().to >= from;
            if prior.rows.iter().filter(overlaps).count() > 1 {
                return Err(self.problem(
                    row.span(),
                    format!("{from}-{to} overlaps another row of the prior (years are inclusive)"),
                ));
            }
            // Years before or after the axis cannot be answered; the part of a row on the axis keeps its density.
            let (first, last) = (from.max(axis.from()), to.min(axis.last()));
            if from > to || !(mass.is_finite() && mass >= 0.0) {
                return Err(self.problem(row.span(), format!("{from}-{to}, mass {mass}: no row of a prior")));
            }
            if first <= last {
                let share = f64::from(last - first + 1) / f64::from(to - from + 1);
                rows.push(PriorRow { from: first, to: last, mass: mass * share });
            }
        }
        let spread = Spread::from(prior.spread);
        let (about, for_collections) = (prior.about.clone(), prior.for_collections);
        let rule = PriorRule { name: name.clone(), spread, rows, about, for_collections };
        rule.prior(axis).map_err(|error| self.problem(prior.name.span(), error.to_string()))?;
        Ok(rule)
    }
}
