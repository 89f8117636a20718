//! A club as the page asks about it, and what it is told.

use crate::request::{ClubTexts, HowAsked};
use crate::wrong::{Wrong, text_of};
use agewright_files::nearest_word::cell_hint;
use agewright_files::{ListedClub, LoadedCalibration, listed_club};
use agewright_model::questions::why_not::{Period, likeliest_row_beside};
use agewright_model::{
    Accounting, Asked, Catalogue, Cell, Club, Clue, Dating, KnownDate, PeriodAccount, Posterior, next_looks,
    sensitivity,
};
use agewright_pages::charts::drawing::titled_figure;
use agewright_pages::json::dating::Answer;
use agewright_pages::laid_out::period_account::LaidOutPeriods;
use agewright_pages::words::answered::Answered;
use agewright_pages::words::clue_orders::clue_orders;
use agewright_pages::words::date_line::date_line;
use agewright_pages::words::label_date::stands_for;
use agewright_pages::words::next_look::next_sentence;
use agewright_pages::words::verbal::percent;
use agewright_pages::words::years::row_name;
use agewright_pages::write_up::facts::PageFacts;
use agewright_pages::write_up::fragments::period_account_html;
use agewright_pages::write_up::known::Known;
use agewright_pages::write_up::pages::{PageKind, answer_panel, pages};
use serde::Serialize;

/// Width in pixels of the figure that is shown first; the report's own for a narrow page.
const FIGURE_WIDTH: i32 = 400;

/// An answer to `date`.
#[derive(Serialize)]
struct DateAnswer {
    date_line: String,
    stands_for: String,
    /// The answer as the page shows it.
    html: String,
    /// The program's own JSON, where it is asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    numbers: Option<Answer>,
    /// Clues that the other readings leave nothing to read of.
    pointless: Vec<String>,
    /// The decades of the head, with their chances.
    decades: Vec<Decade>,
}

/// A row of the axis.
#[derive(Serialize)]
struct Decade {
    /// Its first year and its last, inclusive.
    years: (i32, i32),
    name: String,
    chance: String,
}

#[derive(Serialize)]
struct ShortAnswer {
    date_line: String,
    stands_for: String,
    figure: String,
}

#[derive(Serialize)]
struct NextLookAnswer {
    /// The clue, where one would help.
    clue: Option<String>,
    sentence: String,
}

#[derive(Serialize)]
struct PageText {
    name: &'static str,
    contents: String,
}

/// A club with the question that is asked of it.
pub(crate) struct ClubAsked<'a> {
    loaded: &'a LoadedCalibration,
    listed: ListedClub,
    how: &'a HowAsked,
}

impl<'a> ClubAsked<'a> {
    pub fn new(loaded: &'a LoadedCalibration, club: &ClubTexts, how: &'a HowAsked) -> Result<Self, Vec<Wrong>> {
        Ok(Self { loaded, listed: club_of(loaded.calibration.catalogue(), club)?, how })
    }

    /// The answers for all parts, the head first.
    fn answers(&self) -> Result<Vec<Answered<'_>>, Vec<Wrong>> {
        let accounting = Accounting::by_orders(&clue_orders);
        let accounting = if self.how.numbers { accounting } else { accounting.without_bits() };
        let asked = self.asked()?.into_iter();
        Ok(asked.map(|asked| Answered::new(asked, accounting).with_given(self.listed.date)).collect())
    }

    /// The first part alone.
    pub fn in_short(&self) -> Result<Answered<'_>, Vec<Wrong>> {
        let head = self.asked()?.into_iter().next().ok_or_else(|| Wrong::of_all("nothing to date"))?;
        Ok(Answered::new(head, Accounting::by_orders(&clue_orders).without_bits()).with_given(self.listed.date))
    }

    fn asked(&self) -> Result<Vec<Asked<'_>>, Vec<Wrong>> {
        let calibration = &self.loaded.calibration;
        let without: Vec<&str> = self.how.without.iter().map(String::as_str).collect();
        let prior = self.how.prior.as_deref();
        let ask = |part| Asked::new(calibration, &self.listed.club, part, prior, &without);
        let asked = calibration.parts_dated().into_iter().map(ask).collect::<Result<Vec<_>, _>>();
        asked.map_err(Wrong::of_all)
    }

    pub fn date(&self) -> Result<String, Vec<Wrong>> {
        let parts = self.answers()?;
        let facts = self.facts(&parts)?;
        let catalogue = self.loaded.calibration.catalogue();
        let club = &self.listed.club;
        let is_pointless = |clue: &&Clue| !catalogue.makes_sense(clue, club) || catalogue.is_silent(clue, club);
        let clues = catalogue.clues().iter().filter(is_pointless);
        text_of(&DateAnswer {
            date_line: facts.date_line.clone(),
            stands_for: parts.first().map(|head| stands_for(&head.dating)).unwrap_or_default(),
            html: answer_panel(&facts).map_err(Wrong::of_all)?,
            numbers: if self.how.numbers { Answer::of_club(self.loaded, &parts, None) } else { None },
            pointless: clues.map(|clue| clue.id.clone()).collect(),
            decades: parts.first().map(|head| decades(&head.dating)).unwrap_or_default(),
        })
    }

    pub fn short(&self) -> Result<String, Vec<Wrong>> {
        let dating = self.in_short()?.dating;
        text_of(&ShortAnswer {
            date_line: date_line(&dating),
            stands_for: stands_for(&dating),
            figure: self.figure(&dating, FIGURE_WIDTH).map_err(Wrong::of_all)?,
        })
    }

    pub fn next(&self) -> Result<String, Vec<Wrong>> {
        let asked = self.asked()?;
        let Some(head) = asked.first() else { return Err(Wrong::of_all("nothing to date")) };
        let next = next_looks(head);
        let clue = next.best().filter(|best| next.helps(best)).map(|best| best.clue.clone());
        text_of(&NextLookAnswer { clue, sentence: next_sentence(head, &next) })
    }

    /// Why the head is not of these years.
    pub fn why_not(&self, years: Period) -> Result<String, Vec<Wrong>> {
        let asked = self.asked()?;
        let Some(head) = asked.first() else { return Err(Wrong::of_all("nothing to date")) };
        let posterior = Posterior::of(head.evidence(), head.prior(), |_| true);
        let other = likeliest_row_beside(&posterior, years).filter(|_| years.0 <= years.1);
        let accounting = Accounting::by_orders(&clue_orders);
        let account = other.and_then(|other| PeriodAccount::of(head, [years, other], accounting));
        let none = || Wrong::of_all("there is nothing to weigh these years against");
        let told = LaidOutPeriods::of(head, &account.ok_or_else(none)?);
        text_of(&period_account_html(&told).map_err(Wrong::of_all)?)
    }

    /// The head as it is asked about.
    pub fn head(&self) -> Result<Asked<'_>, Vec<Wrong>> {
        self.asked()?.into_iter().next().ok_or_else(|| Wrong::of_all("nothing to date"))
    }

    /// The date that is given with the club.
    pub fn given(&self) -> Option<KnownDate> {
        self.listed.date
    }

    pub fn pages(&self, kind: &str) -> Result<String, Vec<Wrong>> {
        let kind = match kind {
            "report" => PageKind::Report,
            "catalogue" => PageKind::Catalogue,
            "label" => PageKind::Label,
            "insurance" => PageKind::Insurance,
            other => return Err(Wrong::of_all(format!("\"{other}\" is no kind of page"))),
        };
        let parts = self.answers()?;
        let files = pages(&self.facts(&parts)?, &[kind]).map_err(Wrong::of_all)?;
        let page =
            |file: agewright_pages::write_up::pages::PageFile| PageText { name: file.name, contents: file.contents };
        text_of(&files.into_iter().map(page).collect::<Vec<_>>())
    }

    fn figure(&self, dating: &Dating, width: i32) -> Result<String, String> {
        titled_figure(&self.loaded.calibration, &self.listed.club, dating, width)
    }

    fn facts(&self, parts: &[Answered<'_>]) -> Result<PageFacts, Vec<Wrong>> {
        let sensitivities: Vec<_> = parts.iter().map(|part| sensitivity(&part.asked)).collect();
        let figure = |dating: &Dating, width: i32| self.figure(dating, width);
        let known = Known {
            loaded: self.loaded,
            parts,
            sensitivities: &sensitivities,
            before: None,
            with_private: false,
            command: "agewright date record.toml".to_owned(),
            on: self.how.on.clone(),
            photographs: &[],
            figure: &figure,
        };
        PageFacts::new(&known).map_err(Wrong::of_all)
    }
}

fn decades(dating: &Dating) -> Vec<Decade> {
    let step = dating.posterior.axis().step();
    let rows = dating.posterior.by_row().into_iter();
    rows.map(|(from, to, share)| Decade { years: (from, to), name: row_name(from, to, step), chance: percent(share) })
        .collect()
}

/// A club of the page as the files of the program would have it, every reading checked.
pub(crate) fn club_of(catalogue: &Catalogue, texts: &ClubTexts) -> Result<ListedClub, Vec<Wrong>> {
    let mut club =
        Club { id: texts.id.trim().to_owned(), note: texts.note.clone(), text: texts.text.clone(), ..Club::default() };
    club.cells = vec![Cell::NotExamined; catalogue.clues().len()];
    let mut wrong = Vec::new();
    for (id, text) in &texts.readings {
        let Some(ix) = catalogue.clues().iter().position(|clue| clue.id == *id) else {
            wrong.extend(Wrong::of_all(format!("\"{id}\" is no clue of the catalogue")));
            continue;
        };
        let clue = &catalogue.clues()[ix];
        match Cell::from_text(clue, text, false) {
            Ok(cell) => club.cells[ix] = cell,
            Err(error) => {
                let help = cell_hint(clue, text, &error).map_or_else(String::new, |help| format!("; {help}"));
                wrong.push(Wrong::of_clue(id, format!("{error}{help}")));
            }
        }
    }
    if !wrong.is_empty() {
        return Err(wrong);
    }
    let given = [&texts.made, &texts.date_grade, &texts.set].map(String::as_str);
    listed_club(catalogue, club, given).map_err(Wrong::of_all)
}
