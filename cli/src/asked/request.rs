//! What every dating command is asked: which clubs, by which calibration, prior and clues.

use crate::arguments::before_year::BeforeYear;
use crate::arguments::{ClubOrder, RecordArguments};
use crate::asked::at_once::at_once;
use crate::disk::records::read_records;
use crate::disk::text_file::read_text;
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::{ListedClub, LoadedCalibration, built_in, clue_named, read_marks};
use agewright_model::questions::overview::is_known;
use agewright_model::{Accounting, Asked, Club, Part, Posterior};
use agewright_pages::words::answered::Answered;
use agewright_pages::words::clue_orders::clue_orders;
use agewright_pages::words::years::{span, year};
use jiff::civil::Date;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// What of an account a reader is shown; bits are most of its work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShownAccount {
    Years,
    YearsAndBits,
}

impl ShownAccount {
    fn accounting(self) -> Accounting<'static> {
        let all = Accounting::by_orders(&clue_orders).with_halves(&at_once);
        if self == Self::Years { all.without_bits() } else { all }
    }
}

/// Clubs read against a calibration, and how they shall be dated.
pub struct Request {
    pub loaded: LoadedCalibration,
    pub clubs: Vec<ListedClub>,
    /// Name of the prior asked for; none asks for the calibration's own choice.
    pub prior: Option<String>,
    /// Ids of the clues left out.
    without: Vec<String>,
    /// Years by which clubs from elsewhere may lead or lag.
    elsewhere: Option<f64>,
}

/// The calibration named, or the built-in one, with a user's own marks added.
pub fn calibration(
    path: Option<&Path>,
    marks: &[PathBuf],
    streams: &mut Streams<'_>,
) -> Result<LoadedCalibration, Failure> {
    let mut loaded = match path {
        Some(path) => LoadedCalibration::read(&read_text(path, streams)?)?,
        None => built_in()?,
    };
    if loaded.is_of_older_layout
        && let Some(path) = path
    {
        streams.tell(&format!(
            "note: {}: saved by an older agewright: it tells of no traps of the trade and of nothing that calls for a \
             specialist, and has no prior of its own for collections; fit it again to have them",
            path.display()
        ))?;
    }
    for moved in loaded.calibration.moved_shares() {
        streams.tell(&format!("note: {moved}"))?;
    }
    for file in marks {
        let added = read_marks(&read_text(file, streams)?, loaded.calibration.catalogue())?;
        loaded.calibration = loaded.calibration.with_marks(added)?;
    }
    Ok(loaded)
}

/// A year further behind the calibration's last than this is a slip.
const MOST_YEARS_BEHIND: i32 = 200;

/// A number that stands where a file should, and is none.
fn stray_years(records: &[PathBuf]) -> Option<&str> {
    let mut texts = records.iter().filter(|path| !path.exists()).filter_map(|path| path.to_str());
    texts.find(|text| text.parse::<f64>().is_ok())
}

impl Request {
    pub fn read(arguments: &RecordArguments, streams: &mut Streams<'_>) -> Result<Self, Failure> {
        if let Some(years) = arguments.elsewhere.and_then(|_| stray_years(&arguments.records)) {
            return Err(Failure::Usage(format!(
                "--elsewhere {years}: there is no file {years}\nWhat to do: the years stand behind =: \
                 --elsewhere={years}"
            )));
        }
        let loaded = calibration(arguments.calibration.as_deref(), &arguments.marks, streams)?;
        let catalogue = loaded.calibration.catalogue();
        let id = |word: &String| {
            let ix = clue_named(catalogue, word).ok_or_else(|| {
                let ids: Vec<String> = catalogue.clues().iter().map(|clue| clue.id.clone()).collect();
                Failure::unknown_word(&format!("--without {word}: the catalogue has no such clue"), word, &ids)
            })?;
            Ok(catalogue.clues()[ix].id.clone())
        };
        let without = arguments.without.iter().map(id).collect::<Result<Vec<String>, Failure>>()?;
        loaded.calibration.prior(arguments.prior.as_deref())?;
        let clubs = read_records(&arguments.records, &arguments.clubs, catalogue, &arguments.table, streams)?;
        Ok(Self { loaded, clubs, prior: arguments.prior.clone(), without, elsewhere: arguments.elsewhere })
    }

    /// The same for one club that is being read, nothing left out.
    pub fn of_one(loaded: LoadedCalibration, prior: Option<String>) -> Result<Self, Failure> {
        loaded.calibration.prior(prior.as_deref())?;
        Ok(Self { loaded, clubs: Vec::new(), prior, without: Vec::new(), elsewhere: None })
    }

    /// The same question as was asked once, of a club as it is read today.
    pub fn as_then(
        loaded: LoadedCalibration,
        listed: ListedClub,
        prior: Option<String>,
        without: &[String],
        elsewhere: Option<f64>,
    ) -> Result<Self, Failure> {
        loaded.calibration.prior(prior.as_deref())?;
        Ok(Self { loaded, clubs: vec![listed], prior, without: without.to_vec(), elsewhere })
    }

    /// Ids of the clues left out.
    pub fn without(&self) -> &[String] {
        &self.without
    }

    /// Years by which clubs from elsewhere may lead or lag.
    pub fn elsewhere(&self) -> Option<f64> {
        self.elsewhere
    }

    /// The same, its clubs in this order; clubs of the same middle year or id stay as given.
    pub fn sorted(mut self, order: ClubOrder) -> Result<Self, Failure> {
        match order {
            ClubOrder::Given => {}
            ClubOrder::Id => self.clubs.sort_by(|a, b| a.club.id.cmp(&b.club.id)),
            ClubOrder::Year => {
                // A club of known date stands where it is known to.
                let middle = |listed: &ListedClub| {
                    if let Some(date) = listed.date.filter(is_known) {
                        return Ok(i32::midpoint(date.from(), date.to()));
                    }
                    let asked = self.ask(&listed.club, self.part())?;
                    Ok(Posterior::of(asked.evidence(), asked.prior(), |_| true).median())
                };
                let years = self.clubs.iter().map(middle).collect::<Result<Vec<i32>, Failure>>()?;
                let mut clubs: Vec<(i32, ListedClub)> = years.into_iter().zip(self.clubs).collect();
                clubs.sort_by_key(|(year, _)| *year);
                self.clubs = clubs.into_iter().map(|(_, listed)| listed).collect();
            }
        }
        Ok(self)
    }

    /// The parts that the calibration can date, the head first.
    pub fn parts(&self) -> Vec<Part> {
        self.loaded.calibration.parts_dated()
    }

    /// Those of a club that anything was looked for on, and the first in any case.
    pub fn parts_of<'a>(&'a self, club: &'a Club) -> impl Iterator<Item = Part> + 'a {
        let looked_at = |part: Part| self.loaded.calibration.catalogue().was_looked_at(club, part);
        self.parts().into_iter().filter(move |part| *part == self.part() || looked_at(*part))
    }

    /// The part that answers are about first.
    pub fn part(&self) -> Part {
        self.loaded.calibration.main_part()
    }

    /// Asks about a part of a club.
    pub fn ask<'a>(&'a self, club: &'a Club, part: Part) -> Result<Asked<'a>, Failure> {
        let without: Vec<&str> = self.without.iter().map(String::as_str).collect();
        let asked = Asked::new(&self.loaded.calibration, club, part, self.prior.as_deref(), &without)?;
        Ok(match self.elsewhere {
            Some(years) => asked.elsewhere(years),
            None => asked,
        })
    }

    /// The answer for a part of a club; its account is worked out where a page shows it.
    pub fn answer<'a>(
        &'a self,
        listed: &'a ListedClub,
        part: Part,
        shown: ShownAccount,
    ) -> Result<Answered<'a>, Failure> {
        Ok(Answered::new(self.ask(&listed.club, part)?, shown.accounting()).with_given(listed.date))
    }

    /// The answers for all parts of a club by itself, of no given date.
    pub fn answers_of<'a>(&'a self, club: &'a Club, shown: ShownAccount) -> Result<Vec<Answered<'a>>, Failure> {
        let answered = |part| Ok(Answered::new(self.ask(club, part)?, shown.accounting()));
        self.parts().into_iter().map(answered).collect()
    }

    /// The answers for all parts of a club, the head first.
    pub fn answers<'a>(&'a self, listed: &'a ListedClub, shown: ShownAccount) -> Result<Vec<Answered<'a>>, Failure> {
        self.parts().into_iter().map(|part| self.answer(listed, part, shown)).collect()
    }

    /// The lag in years that clubs may have, where they are said to be from elsewhere.
    pub fn lag_elsewhere(&self) -> Option<f64> {
        self.elsewhere.map(|years| self.loaded.calibration.shared_lag_elsewhere(years))
    }

    /// Name of the prior used.
    pub fn prior_name(&self) -> &str {
        self.prior.as_deref().unwrap_or(self.loaded.calibration.default_prior())
    }

    /// The clubs, dates aside.
    pub fn clubs(&self) -> impl Iterator<Item = &Club> {
        self.clubs.iter().map(|listed| &listed.club)
    }

    /// The year that `--before` asks about, of a question asked on this day; refuses a slip: a year before the
    /// calibration's first, or centuries behind its last.
    pub fn year_before(&self, before: Option<BeforeYear>, day: Date) -> Result<Option<i32>, Failure> {
        let Some(asked) = before.map(|before| before.year(i32::from(day.year()))) else { return Ok(None) };
        let axis = self.loaded.calibration.catalogue().axis();
        if asked < axis.from() || asked > axis.last() + MOST_YEARS_BEHIND {
            return Err(Failure::Usage(format!(
                "--before {asked}: ask for a year from {} to {}; the calibration's years are {}",
                year(axis.from()),
                year(axis.last() + MOST_YEARS_BEHIND),
                span(axis.from(), axis.last())
            )));
        }
        Ok(Some(asked))
    }

    /// Refuses clubs of different files that share an id, where one would be taken for the other.
    pub fn check_ids(&self) -> Result<(), Failure> {
        let mut seen = BTreeSet::new();
        match self.clubs().find(|club| !seen.insert(club.id.as_str())) {
            Some(club) => Err(Failure::Rejected(format!(
                "club \"{}\" stands in more than one of the files; give each an id of its own",
                club.id
            ))),
            None => Ok(()),
        }
    }

    /// The only club, for commands about one.
    pub fn one_club(&self) -> Result<&Club, Failure> {
        self.one_listed().map(|listed| &listed.club)
    }

    /// The same with its date.
    pub fn one_listed(&self) -> Result<&ListedClub, Failure> {
        match self.clubs.as_slice() {
            [listed] => Ok(listed),
            clubs => {
                let ids: Vec<&str> = self.clubs().take(8).map(|club| club.id.as_str()).collect();
                let more = if clubs.len() > 8 { ", ..." } else { "" };
                Err(Failure::Usage(format!(
                    "this command takes one club and {} were read\nWhat to do: choose one with --club: {}{more}",
                    clubs.len(),
                    ids.join(", ")
                )))
            }
        }
    }
}
