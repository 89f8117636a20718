//! What to look at next: what each clue not yet examined may be expected to tell, given what is known.

use crate::answer::band::Interval;
use crate::answer::posterior::Posterior;
use crate::answer::short_answer::ShortAnswer;
use crate::evidence::asked::Asked;
use crate::evidence::evidence::Evidence;
use crate::reading::cell::{Cell, Reading, Seen};
use crate::reading::clue::{Clue, TableForm};
use crate::tables::measured_block::MeasuredTable;

/// A middle year that moves by this many years or more is a changed answer.
pub const CHANGED_YEARS: u32 = 10;
/// Measures are tried at places this far apart, in the smallest standard deviation of a row.
const NODE_STEP: f64 = 0.1;
/// How far beyond the outermost row means measures are tried, in standard deviations.
const NODE_REACH: f64 = 6.0;
const MOST_NODES: usize = 600;

/// What is known now, and what each clue not yet examined may be expected to tell.
#[derive(Debug, Clone, PartialEq)]
pub struct NextLooks {
    /// Entropy of the answer now, in bits.
    pub bits_now: f64,
    /// Years in the 80 % band now.
    pub width_now: i32,
    /// Median now.
    pub median_now: i32,
    /// The answers that the 80 % band is split into now; none where there is one answer.
    pub answers_now: Vec<Interval>,
    /// Chance now that the part is of after the axis; in a band those years count as one.
    pub after_now: f64,
    /// One for each clue not yet examined that the calibration has a table for; the largest expected gain first.
    pub looks: Vec<NextLook>,
    /// Clues not yet examined that are not weighed: marks, numbers of registers, signs of a later part and descriptions
    /// of which the tables do not say how often each is found. By their ids, in the order of the catalogue.
    pub not_weighed: Vec<String>,
}

/// What one clue may be expected to tell.
#[derive(Debug, Clone, PartialEq)]
pub struct NextLook {
    /// The clue's id.
    pub clue: String,
    /// Expected gain: entropy now, less the entropy after, averaged over the readings by their chances, in bits.
    pub bits: f64,
    /// Expected number of years in the 80 % band after looking.
    pub width: f64,
    /// Chance that the median moves by [`CHANGED_YEARS`] or more.
    pub change: f64,
    /// The possible readings of a level clue, in the order of the catalogue; none for a measure.
    pub outcomes: Vec<Outcome>,
}

/// One possible reading of a level clue.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The level's id.
    pub level: String,
    /// Its chance, given what is known.
    pub chance: f64,
    /// The answer if it is seen.
    pub answer: ShortAnswer,
}

/// By so much fewer must the years in question be to be called fewer.
pub const FEWER: f64 = 0.1;
/// A median that moves by [`CHANGED_YEARS`] with this chance is likely enough to move.
pub const LIKELY: f64 = 0.3;

impl NextLooks {
    /// Whether a look helps: it narrows and leaves a tenth fewer years in question, or is likely to move the median.
    #[must_use]
    pub fn helps(&self, look: &NextLook) -> bool {
        let is_narrower = look.width <= f64::from(self.width_now) * (1.0 - FEWER);
        look.change >= LIKELY || is_narrower && look.bits > 0.0
    }

    /// The looks that help first, the others behind them; among each the largest expected gain first.
    #[must_use]
    pub fn in_order(&self) -> Vec<&NextLook> {
        let mut looks: Vec<&NextLook> = self.looks.iter().collect();
        looks.sort_by_key(|look| !self.helps(look));
        looks
    }

    /// The first of them.
    #[must_use]
    pub fn best(&self) -> Option<&NextLook> {
        self.in_order().first().copied()
    }
}

/// A reading that may be found, with its relative chance.
struct Candidate {
    reading: Reading,
    weight: f64,
}

/// Expected gains of all clues of a part that were not examined and that make sense on the club.
///
/// The chance of a reading is the sum over years of posterior(y) x its likelihood at y given what is known; the answer
/// after it is computed as if it had been read. Exact over levels; measures by the midpoint rule over their own scale.
/// ```
/// use agewright_model::{Asked, Part, next_looks};
///
/// let calibration = agewright_files::built_in().unwrap().calibration;
/// let club = calibration.catalogue().club("new", &[("face_scoring", "smooth")]).unwrap();
/// let asked = Asked::new(&calibration, &club, Part::Head, None, &[]).unwrap();
/// let next = next_looks(&asked);
/// // The most telling look first; what was read is not asked for again.
/// assert!(next.looks.windows(2).all(|pair| pair[0].bits >= pair[1].bits));
/// assert!(next.looks[0].width < f64::from(next.width_now));
/// assert!(next.looks.iter().all(|look| look.clue != "face_scoring"));
/// ```
#[must_use]
pub fn next_looks(asked: &Asked<'_>) -> NextLooks {
    let bench = Bench { asked };
    let (calibration, part) = (asked.calibration(), asked.part());
    let now = Posterior::of(asked.evidence(), asked.prior(), |_| true);
    let read = calibration.catalogue().read_on(asked.club()).enumerate();
    let open: Vec<(usize, &Clue)> = read
        .filter(|(_, (clue, cell))| clue.part == part && **cell == Cell::NotExamined && !asked.leaves_out(&clue.id))
        .filter(|(_, (clue, _))| calibration.catalogue().makes_sense(clue, asked.club()))
        .filter(|(_, (clue, _))| !calibration.catalogue().is_silent(clue, asked.club()))
        .map(|(ix, (clue, _))| (ix, clue))
        .collect();
    let mut looks: Vec<NextLook> = open.iter().filter_map(|&(ix, clue)| bench.look(ix, clue, &now)).collect();
    let counts = |clue: &Clue| {
        let of_rules = calibration.sign(&clue.id).is_some() || calibration.tables().is_level_adjuster(part, &clue.id);
        of_rules || (clue.kind.is_known() && calibration.knows(clue))
    };
    let not_weighed = open
        .iter()
        .filter(|(_, clue)| counts(clue) && looks.iter().all(|look| look.clue != clue.id))
        .map(|(_, clue)| clue.id.clone())
        .collect();
    looks.sort_by(|a, b| b.bits.total_cmp(&a.bits).then_with(|| a.clue.cmp(&b.clue)));
    let band = now.band(0.8);
    NextLooks {
        bits_now: now.entropy_bits_with_after(),
        width_now: band.n_years(),
        median_now: now.median(),
        answers_now: band.modes(),
        after_now: now.after(),
        looks,
        not_weighed,
    }
}

/// The club as it lies there, and how it is dated.
struct Bench<'a> {
    asked: &'a Asked<'a>,
}

impl Bench<'_> {
    fn look(&self, ix: usize, clue: &Clue, now: &Posterior) -> Option<NextLook> {
        let with = |candidate: Candidate| {
            let evidence = self.asked.evidence_with(ix, &candidate.reading);
            // What rules name of parts of after the axis is found there as often as they say.
            let of_cell = evidence.likelihood_after(&clue.id).unwrap_or(candidate.weight);
            let weight = (1.0 - now.after()) * candidate.weight + now.after() * of_cell;
            (Candidate { weight, ..candidate }, evidence)
        };
        let mut candidates: Vec<(Candidate, Evidence)> =
            self.candidates(ix, clue, now)?.into_iter().map(with).collect();
        let mut total: f64 = candidates.iter().map(|(candidate, _)| candidate.weight).sum();
        if total.is_nan() || total <= 0.0 {
            // Nothing is known of how often each is found: all alike.
            candidates.iter_mut().for_each(|(candidate, _)| candidate.weight = 1.0);
            total = candidates.iter().map(|(candidate, _)| candidate.weight).sum();
        }
        let (mut bits, mut width, mut change, mut outcomes) = (0.0, 0.0, 0.0, Vec::new());
        for (candidate, evidence) in candidates {
            let chance = candidate.weight / total;
            let after = Posterior::of(&evidence, self.asked.prior(), |_| true);
            bits += chance * (now.entropy_bits_with_after() - after.entropy_bits_with_after());
            width += chance * f64::from(after.band(0.8).n_years());
            if after.median().abs_diff(now.median()) >= CHANGED_YEARS {
                change += chance;
            }
            if clue.kind.table_form() == TableForm::Shares {
                let answer = ShortAnswer::of(&after);
                outcomes.push(Outcome { level: candidate.reading.text, chance, answer });
            }
        }
        Some(NextLook { clue: clue.id.clone(), bits, width, change: change.clamp(0.0, 1.0), outcomes })
    }

    /// Readings that may be found; `None` where the calibration has no table for the clue.
    fn candidates(&self, ix: usize, clue: &Clue, now: &Posterior) -> Option<Vec<Candidate>> {
        // A clue not yet read is one of fashion: its chances are by the year of fashion.
        let years = self.asked.evidence().fashion_years(self.asked.prior(), |_| true);
        let mean = |by_year: &[f64]| by_year.iter().zip(&years).map(|(v, p)| v * p).sum::<f64>();
        let axis = now.axis();
        let tables = self.asked.tables();
        if let Some(outcomes) = tables.outcomes(clue) {
            let candidate = |reading: Reading| {
                let weight = mean(&axis.rows_to_years(&tables.likelihood_rows(clue, &reading)?));
                Some(Candidate { reading, weight })
            };
            return outcomes.into_iter().map(candidate).collect();
        }
        let block = tables.block(self.asked.part())?;
        // What is known of the measures tells what to expect of this clue.
        let known = block_ln(self.asked.evidence());
        let ratio = |reading: &Reading| -> Vec<f64> {
            let with = block_ln(&self.asked.evidence_with(ix, reading));
            let ratio = |place: usize| with[place] - known.get(place).copied().unwrap_or(0.0);
            (0..with.len()).map(|place| ratio(place).exp()).collect()
        };
        let times = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).collect::<Vec<f64>>();
        if let Some(adjuster) = block.adjusters.iter().find(|adjuster| adjuster.clue == clue.id) {
            let expected = |k: usize| -> Vec<f64> { adjuster.expected.iter().map(|row| row[k].max(0.0)).collect() };
            // Rules alone may say nothing of how common each is.
            if !(0..clue.levels.len()).any(|k| expected(k).iter().any(|share| *share > 0.0)) {
                return None;
            }
            let level = |k: usize| {
                let reading = level_reading(clue, k);
                let weight = mean(&times(&axis.rows_to_years(&expected(k)), &ratio(&reading)));
                Candidate { reading, weight }
            };
            return Some((0..clue.levels.len()).map(level).collect());
        }
        let table = block.clues.iter().find(|table| table.clue == clue.id)?;
        let candidate = |place: f64| {
            let reading = measure(clue, place);
            let weight = mean(&ratio(&reading));
            Candidate { reading, weight }
        };
        Some(nodes(clue, table).map(candidate).collect())
    }
}

fn level_reading(clue: &Clue, level: usize) -> Reading {
    Reading { text: clue.levels[level].id.clone(), seen: Seen::Levels(vec![level]), doubtful: false }
}

fn measure(clue: &Clue, place: f64) -> Reading {
    let value = clue.scale.measure(place);
    Reading { text: format!("{value}"), seen: Seen::Measure { value, tolerance: None }, doubtful: false }
}

/// ln likelihood by year of all measures together, adjusting ones too; empty where nothing was measured.
fn block_ln(evidence: &Evidence) -> Vec<f64> {
    evidence.ln_measures_together().unwrap_or_default()
}

/// Places on the clue's scale where a measure is tried: evenly spaced, within its believable range.
#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "at most some hundred places"
)]
fn nodes(clue: &Clue, table: &MeasuredTable) -> impl Iterator<Item = f64> + use<> {
    let reach = |side: f64| table.rows.iter().map(move |row| row.mean + side * NODE_REACH * row.sd);
    let mut low = reach(-1.0).fold(f64::INFINITY, f64::min);
    let mut high = reach(1.0).fold(f64::NEG_INFINITY, f64::max);
    if let Some([from, to]) = clue.range {
        low = clue.scale.place(from).map_or(low, |from| low.max(from));
        high = clue.scale.place(to).map_or(high, |to| high.min(to));
    }
    let least_sd = table.rows.iter().map(|row| row.sd).fold(f64::INFINITY, f64::min);
    let n = ((high - low) / (NODE_STEP * least_sd)).ceil().clamp(1.0, MOST_NODES as f64) as usize;
    let step = (high - low) / n as f64;
    (0..n).map(move |i| low + (i as f64 + 0.5) * step)
}
