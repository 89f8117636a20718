//! The answer as JSON: a contract with a schema number. Numbers are given in full, for others to compute with.

use crate::json::grounds::GroundsAnswer;
use crate::json::like::LikeAnswer;
use crate::json::shared::{CalibrationName, Given, Method, SCHEMA, Span, method};
use crate::words::answered::Answered;
use crate::words::before::is_at_least;
use crate::words::date_line::date_line;
use crate::words::edtf::{earliest_and_latest, edtf, edtf_level_1};
use crate::words::verbal::in_words;
use crate::words::warning_words::{warning_clue, warning_kind, warning_message};
use agewright_files::LoadedCalibration;
use agewright_model::evidence::usable::WhyUnused;
use agewright_model::{Band, Ledger, Warning};
use serde::Serialize;

/// One part of one club.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Answer {
    schema: u32,
    id: String,
    part: &'static str,
    calibration: CalibrationName,
    /// What it is called, and what is noted of it, where that is told; none of it is evidence.
    #[serde(skip_serializing_if = "String::is_empty")]
    title: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    note: String,
    prior: String,
    /// Standard deviation in years of the lead or lag that all clues of fashion share.
    shared_lag: f64,
    /// Whether the club was said to be from another region than the collection.
    from_elsewhere: bool,
    years: Years,
    probability: Vec<f64>,
    by_row: Vec<Row>,
    /// What is after the years.
    after: After,
    mean: f64,
    median: i32,
    median_flat_prior: i32,
    /// The answer under each other prior of the calibration.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    other_priors: Vec<OtherPrior>,
    bands: Vec<BandAnswer>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drawn: Option<DrawnBands>,
    /// The date given with the club, which is no evidence.
    #[serde(skip_serializing_if = "Option::is_none")]
    given: Option<Given>,
    date_line: String,
    /// EDTF level 2: one of these years.
    edtf: String,
    /// EDTF level 1 for programs that read no sets; none where there are two answers.
    edtf_level_1: Option<String>,
    /// Outer years of the 80 % band.
    earliest: Option<i32>,
    latest: Option<i32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    before: Option<Before>,
    /// Of a shaft: the chance that it is later than the head; of a grip: that it is later than the shaft.
    #[serde(skip_serializing_if = "Option::is_none")]
    replaced: Option<Replaced>,
    ledger: LedgerAnswer,
    /// What the years of the date line rest on, where a clue of date was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    grounds: Option<GroundsAnswer>,
    /// The dated clubs most like it, where the calibration keeps them.
    #[serde(skip_serializing_if = "Option::is_none")]
    like: Option<LikeAnswer>,
    unused: Vec<Unused>,
    warnings: Vec<WarningAnswer>,
    /// Shaft and grip, in the same form.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub other_parts: Vec<Answer>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct OtherPrior {
    prior: String,
    #[serde(flatten)]
    answer: Span,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct Years {
    from: i32,
    to: i32,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct Row {
    from: i32,
    to: i32,
    probability: f64,
}

/// The cell behind the years: from its first year on, for ever.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct After {
    from: i32,
    probability: f64,
    before_any_clue: f64,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct BandAnswer {
    level: f64,
    from: i32,
    to: i32,
    intervals: Vec<[i32; 2]>,
}

/// The answer with other clubs in the collection.
#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct DrawnBands {
    draws: usize,
    bands: Vec<BandAnswer>,
    /// Medians that a tenth of the draws stay below and exceed.
    median: [i32; 2],
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct Before {
    year: i32,
    probability: f64,
    /// Whether it is no more than the least that it can be: the year lies behind the axis, where years are not told
    /// apart.
    at_least: bool,
    /// The fixed verbal scale: `probably`, `unlikely`, ...; none of what is the least alone.
    verbal: Option<&'static str>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct Replaced {
    probability: f64,
    verbal: &'static str,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct LedgerAnswer {
    opening: f64,
    closing: f64,
    opening_bits: f64,
    closing_bits: f64,
    #[serde(flatten)]
    method: Method,
    entries: Vec<Entry>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct Entry {
    clue: String,
    reading: String,
    years: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    bits: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    standard_error: Option<StandardError>,
    weight: f64,
    misread: f64,
    without: Span,
    favours: Option<[i32; 2]>,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct StandardError {
    years: f64,
    bits: f64,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct Unused {
    clue: String,
    why: &'static str,
}

#[derive(Debug, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct WarningAnswer {
    kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    clue: Option<String>,
    /// How many times rarer a reading out of step is at the time that the rest gives than at its own best.
    #[serde(skip_serializing_if = "Option::is_none")]
    times_rarer: Option<f64>,
    message: String,
}

impl Answer {
    /// The whole answer for one part of one club; probabilities by year and after them sum to 1.
    #[must_use]
    pub fn new(loaded: &LoadedCalibration, answered: &Answered<'_>, before: Option<i32>) -> Self {
        let dating = &answered.dating;
        let posterior = &dating.posterior;
        let axis = posterior.axis();
        Self {
            schema: SCHEMA,
            id: answered.asked.club().id.clone(),
            part: dating.part.word(),
            calibration: CalibrationName::of(loaded),
            title: answered.asked.club().text.get("title").cloned().unwrap_or_default(),
            note: answered.asked.club().note.clone(),
            prior: dating.prior.clone(),
            shared_lag: answered.asked.lag_sd(),
            from_elsewhere: answered.asked.is_from_elsewhere(),
            years: Years { from: axis.from(), to: axis.to() },
            probability: posterior.by_year().to_vec(),
            by_row: posterior
                .by_row()
                .into_iter()
                .map(|(from, to, probability)| Row { from, to, probability })
                .collect(),
            after: After { from: axis.to(), probability: posterior.after(), before_any_clue: dating.before.after() },
            mean: posterior.mean(),
            median: posterior.median(),
            median_flat_prior: dating.flat.median,
            other_priors: dating
                .other_priors
                .iter()
                .map(|(prior, answer)| OtherPrior { prior: prior.clone(), answer: Span::from(answer) })
                .collect(),
            bands: dating.bands.iter().map(band).collect(),
            drawn: dating.drawn.as_ref().map(|drawn| DrawnBands {
                draws: drawn.n,
                bands: drawn.bands.iter().map(band).collect(),
                median: [drawn.median.0, drawn.median.1],
            }),
            given: answered.given.as_ref().map(Given::of),
            date_line: date_line(dating),
            edtf: edtf(dating),
            edtf_level_1: edtf_level_1(dating),
            earliest: earliest_and_latest(dating, 0.8).0,
            latest: earliest_and_latest(dating, 0.8).1,
            before: before.map(|year| {
                let probability = posterior.probability_before(year);
                let at_least = is_at_least(dating, year);
                Before { year, probability, at_least, verbal: (!at_least).then(|| in_words(probability)) }
            }),
            replaced: dating.replaced.map(|probability| Replaced { probability, verbal: in_words(probability) }),
            ledger: ledger(answered.ledger()),
            grounds: GroundsAnswer::of(answered),
            like: LikeAnswer::of(&answered.asked),
            unused: dating.unused.iter().map(|u| Unused { clue: u.clue.clone(), why: why(u.why) }).collect(),
            warnings: answered.warnings.iter().map(|warning| warning_answer(answered, warning)).collect(),
            other_parts: Vec::new(),
        }
    }
}

fn band(band: &Band) -> BandAnswer {
    let intervals = band.intervals.iter().map(|piece| [piece.from, piece.to]).collect();
    BandAnswer { level: band.level, from: band.from(), to: band.to(), intervals }
}

fn ledger(ledger: &Ledger) -> LedgerAnswer {
    let entries = ledger.entries.iter().map(|entry| Entry {
        clue: entry.clue.clone(),
        reading: entry.reading.clone(),
        years: entry.years,
        bits: entry.bits,
        standard_error: entry.standard_error.map(|[years, bits]| StandardError { years, bits }),
        weight: entry.weight,
        misread: entry.misread,
        without: Span::from(&entry.without),
        favours: entry.favours.map(|(from, to)| [from, to]),
    });
    LedgerAnswer {
        opening: ledger.opening,
        closing: ledger.closing,
        opening_bits: ledger.opening_bits,
        closing_bits: ledger.closing_bits,
        method: method(ledger.method),
        entries: entries.collect(),
    }
}

fn why(why: WhyUnused) -> &'static str {
    match why {
        WhyUnused::Unreadable => "unreadable",
        WhyUnused::Altered => "altered",
        WhyUnused::LeftOut => "left-out",
        WhyUnused::ByDesign => "by-design",
        WhyUnused::Adjusts => "adjusts",
        WhyUnused::NoTable => "no-table",
    }
}

fn warning_answer(answered: &Answered<'_>, warning: &Warning) -> WarningAnswer {
    WarningAnswer {
        kind: warning_kind(warning),
        clue: warning_clue(warning).map(str::to_owned),
        times_rarer: match warning {
            Warning::OutOfStep(odd) => Some(odd.rarer),
            _ => None,
        },
        message: warning_message(answered.asked.calibration().catalogue(), warning),
    }
}

impl Answer {
    /// The answer for a club: its first part, the others within it; `None` of no part.
    #[must_use]
    pub fn of_club(loaded: &LoadedCalibration, parts: &[Answered<'_>], before: Option<i32>) -> Option<Self> {
        let (first, others) = parts.split_first()?;
        let mut answer = Self::new(loaded, first, before);
        // What the club is called stands once.
        let part = |other| Self { title: String::new(), note: String::new(), ..Self::new(loaded, other, before) };
        answer.other_parts = others.iter().map(part).collect();
        Some(answer)
    }
}
