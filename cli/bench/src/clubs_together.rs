//! The clubs of the page together, and as files.

use crate::club_asked::{ClubAsked, club_of};
use crate::request::{ClubTexts, HowAsked};
use crate::wrong::{Wrong, text_of};
use agewright_files::{ListedClub, LoadedCalibration, SourceText, TableOptions};
use agewright_files::{clubs_table, dated_record_text, period_text, read_collection, read_dated_record, written_grade};
use agewright_model::questions::side_by_side::side_by_side;
use agewright_model::{Asked, Catalogue, Cell, KnownDate};
use agewright_pages::charts::club_bars::draw_bars;
use agewright_pages::laid_out::side_by_side::LaidOutClubs;
use agewright_pages::words::answered::Answered;
use agewright_pages::write_up::fragments::side_by_side_html;
use serde::Serialize;
use std::sync::Arc;

/// More clubs than this are a collection.
const MOST_COMPARED: usize = 12;

/// The clubs as bars on one axis, the oldest first; those with a reading that makes no sense are left out.
pub(crate) fn bars_of(loaded: &LoadedCalibration, clubs: &[ClubTexts], how: &HowAsked) -> Result<String, Vec<Wrong>> {
    let asked: Vec<ClubAsked<'_>> = clubs.iter().filter_map(|club| ClubAsked::new(loaded, club, how).ok()).collect();
    let mut answered: Vec<Answered<'_>> = asked.iter().map(ClubAsked::in_short).collect::<Result<_, _>>()?;
    answered.sort_by_key(|club| club.dating.posterior.median());
    text_of(&draw_bars(&loaded.calibration, &answered).map_err(Wrong::of_all)?)
}

/// Clubs side by side, clue by clue; a reading that makes no sense is told with its club.
pub(crate) fn compared(loaded: &LoadedCalibration, clubs: &[ClubTexts], how: &HowAsked) -> Result<String, Vec<Wrong>> {
    if !(2..=MOST_COMPARED).contains(&clubs.len()) {
        return Err(Wrong::of_all(format!("2 to {MOST_COMPARED} clubs are laid side by side; tick so many")));
    }
    let of_club = |club: &ClubTexts, wrong: Vec<Wrong>| wrong.into_iter().map(|one| one.of_club(&club.id)).collect();
    let asked = |club| ClubAsked::new(loaded, club, how).map_err(|wrong| of_club(club, wrong));
    let clubs: Vec<ClubAsked<'_>> = clubs.iter().map(asked).collect::<Result<_, Vec<Wrong>>>()?;
    let asked: Vec<Asked<'_>> = clubs.iter().map(ClubAsked::head).collect::<Result<_, _>>()?;
    let given: Vec<Option<KnownDate>> = clubs.iter().map(ClubAsked::given).collect();
    let told = LaidOutClubs::of(&asked, &side_by_side(&asked, &given)).ok_or_else(Vec::new)?;
    text_of(&side_by_side_html(&told).map_err(Wrong::of_all)?)
}

/// A table, and the clubs that have no place in it.
#[derive(Serialize)]
struct Table {
    text: String,
    left_out: Vec<String>,
}

/// The table of the clubs; those with a reading that makes no sense are named instead.
pub(crate) fn table_of(catalogue: &Catalogue, clubs: &[ClubTexts]) -> Result<String, Vec<Wrong>> {
    let read = |club: &ClubTexts| club_of(catalogue, club).map_err(|_| club.id.clone());
    let (good, bad): (Vec<_>, Vec<_>) = clubs.iter().map(read).partition(Result::is_ok);
    let good: Vec<ListedClub> = good.into_iter().flatten().collect();
    let left_out = bad.into_iter().filter_map(Result::err).collect();
    text_of(&Table { text: clubs_table(catalogue, &good), left_out })
}

/// The record of a club.
pub(crate) fn record_of(catalogue: &Catalogue, listed: &ListedClub) -> Result<String, Vec<Wrong>> {
    text_of(&dated_record_text(listed, catalogue))
}

/// The clubs of a record or a table, as the page has them.
pub(crate) fn clubs_of(catalogue: &Catalogue, source: &Arc<SourceText>) -> Result<String, Vec<Wrong>> {
    let is_record = source.name.to_lowercase().ends_with(".toml");
    let clubs = match is_record {
        true => read_dated_record(source, catalogue).map(|club| vec![club]),
        false => read_collection(source, catalogue, &TableOptions::default()).map(|read| read.clubs),
    };
    let clubs = clubs.map_err(Wrong::of_all)?;
    let mut clubs: Vec<ClubTexts> = clubs.iter().map(|listed| texts_of(catalogue, listed)).collect();
    if !is_record {
        clubs.iter_mut().for_each(unguarded);
    }
    text_of(&clubs)
}

/// Texts that a table marks by an apostrophe, so that a spreadsheet takes them for no formula, without it.
fn unguarded(club: &mut ClubTexts) {
    for text in club.text.values_mut().chain([&mut club.note]) {
        if text.strip_prefix('\'').is_some_and(|rest| rest.starts_with(['=', '+', '-', '@', '\t'])) {
            text.remove(0);
        }
    }
}

fn texts_of(catalogue: &Catalogue, listed: &ListedClub) -> ClubTexts {
    let club = &listed.club;
    let read = catalogue.read_on(club).filter(|(_, cell)| **cell != Cell::NotExamined);
    let readings = read.map(|(clue, cell)| (clue.id.clone(), cell.text().to_owned()));
    let grade = listed.date.as_ref().and_then(written_grade).map(|grade| grade.to_string());
    ClubTexts {
        id: club.id.clone(),
        readings: readings.collect(),
        made: listed.date.as_ref().map_or_else(String::new, period_text),
        date_grade: grade.unwrap_or_default(),
        set: listed.set.clone().unwrap_or_default(),
        note: club.note.clone(),
        text: club.text.clone(),
    }
}
