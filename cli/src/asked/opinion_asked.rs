//! A saved opinion as a question that can be asked again, alone or with ingredients of another.

use crate::asked::request::{Request, ShownAccount};
use crate::failure::Failure;
use agewright_files::opinion::{AnswerThen, AskedThen, Opinion};
use agewright_files::{ListedClub, LoadedCalibration, SourceText, calibration_text, read_dated_record, record_text};
use agewright_model::questions::opinion_change::Ingredient;
use agewright_model::{Asked, Part, Posterior};
use agewright_pages::words::before::is_at_least;
use agewright_pages::words::date_line::date_line;
use agewright_pages::write_up::facts::is_private;

/// The program and its version, as an opinion names them.
const PROGRAM: &str = concat!("agewright ", env!("CARGO_PKG_VERSION"));

/// The opinion of the only club, to be kept.
pub fn opinion_of(request: &Request, on: &str, record_file: &str, before: Option<i32>) -> Result<Opinion, Failure> {
    let listed = request.one_listed()?;
    let catalogue = request.loaded.calibration.catalogue();
    let answer = |part: Part| {
        let dating = request.answer(listed, part, ShownAccount::Years)?.dating;
        Ok(AnswerThen {
            part: part.word().to_owned(),
            date_line: date_line(&dating),
            mean: dating.posterior.mean(),
            median: dating.posterior.median(),
            probability_before: before.map(|year| dating.posterior.probability_before(year)),
            is_at_least: before.is_some_and(|year| is_at_least(&dating, year)),
            probability: dating.posterior.by_year().to_vec(),
        })
    };
    let opinion = Opinion {
        id: listed.club.id.clone(),
        on: on.to_owned(),
        program: PROGRAM.to_owned(),
        record_file: record_file.to_owned(),
        asked: AskedThen {
            prior: request.prior_name().to_owned(),
            without: request.without().to_vec(),
            elsewhere: request.elsewhere(),
            before,
        },
        answers: request.parts_of(&listed.club).map(answer).collect::<Result<Vec<_>, Failure>>()?,
        record: record_text(&listed.club, catalogue, &is_private),
        calibration_name: request.loaded.calibration.name().to_owned(),
        calibration_sha256: request.loaded.sha256.clone(),
        calibration: calibration_text(&request.loaded.calibration)?,
    };
    // What is kept must give the same answer again.
    let again = AskedOpinion::read(&opinion)?.mean(request.part())?;
    match opinion.answers.first() {
        Some(first) if (first.mean - again).abs() <= 1e-6 => Ok(opinion),
        _ => Err(Failure::Failed("what would be kept does not give this answer again; nothing was written".to_owned())),
    }
}

/// A question that was asked.
pub struct AskedOpinion {
    pub loaded: LoadedCalibration,
    pub listed: ListedClub,
    record: String,
    calibration: String,
    asked: AskedThen,
}

impl AskedOpinion {
    /// The question of a saved opinion.
    pub fn read(opinion: &Opinion) -> Result<Self, Failure> {
        Self::of(&opinion.record, &opinion.calibration, opinion.asked.clone())
    }

    fn of(record: &str, calibration: &str, asked: AskedThen) -> Result<Self, Failure> {
        let loaded = LoadedCalibration::read(&SourceText::new("the calibration of the opinion", calibration))?;
        // A record of one catalogue may be read by another where the readings are known to it.
        let lines = record.lines().filter(|line| !line.starts_with("catalogue = "));
        let readable = lines.collect::<Vec<_>>().join("\n");
        let source = SourceText::new("the record of the opinion", &readable);
        let listed = read_dated_record(&source, loaded.calibration.catalogue())?;
        Ok(Self { loaded, listed, record: record.to_owned(), calibration: calibration.to_owned(), asked })
    }

    /// The old question with these ingredients of the new.
    pub fn mixed(old: &Self, new: &Self, ingredients: &[Ingredient]) -> Result<Self, Failure> {
        let is_new = |ingredient: Ingredient| ingredients.contains(&ingredient);
        let of = |ingredient: Ingredient| if is_new(ingredient) { new } else { old };
        let asked =
            AskedThen { prior: of(Ingredient::Prior).asked.prior.clone(), ..of(Ingredient::Question).asked.clone() };
        Self::of(&of(Ingredient::Readings).record, &of(Ingredient::Calibration).calibration, asked)
    }

    /// What of two questions is not the same.
    pub fn changed(old: &Self, new: &Self) -> Vec<Ingredient> {
        let readings = |of: &Self| -> Vec<String> {
            let lines = of.record.lines().skip_while(|line| *line != "[readings]");
            let lines = lines.take_while(|line| *line != "[text]").filter(|line| !line.is_empty());
            let mut lines: Vec<String> = lines.map(str::to_owned).collect();
            // Catalogues differ in their order, and that is no reading.
            lines.sort();
            lines
        };
        let differs = |ingredient: &Ingredient| match ingredient {
            Ingredient::Readings => readings(old) != readings(new),
            Ingredient::Calibration => old.calibration != new.calibration,
            Ingredient::Prior => old.asked.prior != new.asked.prior,
            Ingredient::Question => {
                (&old.asked.without, old.asked.elsewhere) != (&new.asked.without, new.asked.elsewhere)
            }
        };
        Ingredient::ALL.into_iter().filter(differs).collect()
    }

    /// The part that answers are about first.
    pub fn part(&self) -> Part {
        self.loaded.calibration.main_part()
    }

    /// Average year of a part.
    pub fn mean(&self, part: Part) -> Result<f64, Failure> {
        let without: Vec<&str> = self.asked.without.iter().map(String::as_str).collect();
        let prior = Some(self.asked.prior.as_str());
        let asked = Asked::new(&self.loaded.calibration, &self.listed.club, part, prior, &without)?;
        let asked = match self.asked.elsewhere {
            Some(years) => asked.elsewhere(years),
            None => asked,
        };
        Ok(Posterior::of(asked.evidence(), asked.prior(), |_| true).mean())
    }
}
