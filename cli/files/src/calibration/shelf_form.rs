//! The shelf in a calibration file: the dated clubs with their readings, a club a line, and how alike they are.

use crate::calibration::placed::{FileProblem, Placed, Read, find, numbers_by_level, placed};
use crate::calibration::tidy::{by_level, tidy};
use agewright_model::reading::document_path::DocumentPath;
use agewright_model::tables::shelf::{PartShelf, Shelf, ShelfClub, ShelfClue};
use agewright_model::tables::shelf_scale::ShelfScale;
use agewright_model::{Catalogue, Cell, Club, Clue, Part, Reading, Seen};
use indexmap::IndexMap;
use serde::{Deserialize, Serialize};

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ShelfFile {
    /// Whether the clubs have lost their ids.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    anonymous: bool,
    #[serde(rename = "part", default)]
    parts: Vec<PartShelfFile>,
    /// Clues that the clubs' readings stand in the order of.
    clues: Vec<String>,
    clubs: Vec<ClubFile>,
}

/// Id, first and last year, worth in clubs, readings; a blank one was not read.
#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct ClubFile(String, i32, i32, f64, Vec<String>);

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct PartShelfFile {
    part: Part,
    weight: f64,
    allowance: f64,
    width: f64,
    reach: f64,
    clues: Vec<ShelfClueFile>,
}

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(untagged)]
enum ShelfClueFile {
    Measured(MeasuredShelfFile),
    Levels(LevelShelfFile),
}

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct MeasuredShelfFile {
    clue: String,
    /// Relevance of whether the readings are the same, where they repeat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    same: Option<f64>,
    /// Relevance of their distance.
    distance: f64,
    centre: f64,
    spread: f64,
    slope: f64,
}

#[derive(Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
struct LevelShelfFile {
    clue: String,
    relevance: f64,
    shares: IndexMap<String, f64>,
    slopes: IndexMap<String, f64>,
}

/// A shelf as the file has it.
pub fn shelf_file(catalogue: &Catalogue, shelf: &Shelf) -> ShelfFile {
    let is_on = |clue: &&Clue| shelf.part(clue.part).is_some_and(|part| part.clue(&clue.id).is_some());
    let clues: Vec<&Clue> = catalogue.clues().iter().filter(is_on).collect();
    let club = |own: &ShelfClub| {
        let reading = |clue: &&Clue| {
            let cell = own.club.cells.get(catalogue.clue_ix(&clue.id)?)?;
            Some(reading_text(cell.reading()?))
        };
        let readings = clues.iter().map(|clue| reading(clue).unwrap_or_default()).collect();
        ClubFile(own.club.id.clone(), own.from, own.to, tidy(own.worth), readings)
    };
    ShelfFile {
        anonymous: shelf.anonymous,
        parts: shelf.parts.iter().map(|part| part_file(catalogue, part)).collect(),
        clubs: shelf.clubs.iter().map(club).collect(),
        clues: clues.iter().map(|clue| clue.id.clone()).collect(),
    }
}

/// A reading as it was written; with a decimal comma, which a calibration does not have, as a plain number.
fn reading_text(reading: &Reading) -> String {
    match reading.seen {
        Seen::Measure { value, tolerance } if reading.text.contains(',') => {
            let tolerance = tolerance.map_or_else(String::new, |tolerance| format!(" ± {tolerance}"));
            format!("{value}{tolerance}{}", if reading.doubtful { "?" } else { "" })
        }
        _ => reading.text.clone(),
    }
}

fn part_file(catalogue: &Catalogue, part: &PartShelf) -> PartShelfFile {
    let clue = |own: &ShelfClue| clue_file(catalogue.clue(&own.clue)?, own);
    PartShelfFile {
        part: part.part,
        weight: tidy(part.weight),
        allowance: tidy(part.allowance),
        width: tidy(part.width),
        reach: tidy(part.reach),
        clues: part.clues.iter().filter_map(clue).collect(),
    }
}

fn clue_file(clue: &Clue, own: &ShelfClue) -> Option<ShelfClueFile> {
    let relevance = |row: usize| own.relevance.get(row).copied().map(tidy);
    Some(match &own.scale {
        ShelfScale::Measured { centre, spread, repeats } => ShelfClueFile::Measured(MeasuredShelfFile {
            clue: clue.id.clone(),
            same: if *repeats { relevance(0) } else { None },
            distance: relevance(usize::from(*repeats))?,
            centre: tidy(*centre),
            spread: tidy(*spread),
            slope: tidy(own.slopes.first().copied()?),
        }),
        ShelfScale::Levels { shares } => ShelfClueFile::Levels(LevelShelfFile {
            clue: clue.id.clone(),
            relevance: relevance(0)?,
            shares: by_level(clue, shares.iter().copied()),
            slopes: by_level(clue, own.slopes.iter().copied()),
        }),
    })
}

/// The shelf that a file says.
pub fn shelf(catalogue: &Catalogue, file: &ShelfFile) -> Read<Shelf> {
    let path = || DocumentPath::key("shelf");
    let place_of = |(place, id): (usize, &String)| {
        find(catalogue, id, &path().then("clues").at(place))?;
        Ok(catalogue.clue_ix(id).unwrap_or(0))
    };
    let clues: Vec<usize> = file.clues.iter().enumerate().map(place_of).collect::<Read<_>>()?;
    let club = |(place, club): (usize, &ClubFile)| shelf_club(catalogue, &clues, club, &path().then("clubs").at(place));
    let part = |(place, part): (usize, &PartShelfFile)| part_shelf(catalogue, part, &path().then("part").at(place));
    Ok(Shelf {
        anonymous: file.anonymous,
        clubs: file.clubs.iter().enumerate().map(club).collect::<Read<_>>()?,
        parts: file.parts.iter().enumerate().map(part).collect::<Read<_>>()?,
    })
}

fn shelf_club(catalogue: &Catalogue, clues: &[usize], file: &ClubFile, path: &DocumentPath) -> Read<ShelfClub> {
    let ClubFile(id, from, to, worth, readings) = file;
    if readings.len() != clues.len() {
        let problem = FileProblem::ShelfReadings { club: id.clone(), found: readings.len(), wanted: clues.len() };
        return Err(placed(path.clone(), problem));
    }
    let mut cells = vec![Cell::NotExamined; catalogue.clues().len()];
    for (place, (&clue, text)) in clues.iter().zip(readings).enumerate() {
        let refused = |error: &agewright_model::reading::cell_error::CellError| Placed {
            path: path.clone().at(4).at(place),
            message: format!("club \"{id}\": {error}"),
        };
        cells[clue] = Cell::from_text(&catalogue.clues()[clue], text, false).map_err(|error| refused(&error))?;
    }
    Ok(ShelfClub { club: Club { id: id.clone(), cells, ..Club::default() }, from: *from, to: *to, worth: *worth })
}

fn part_shelf(catalogue: &Catalogue, file: &PartShelfFile, path: &DocumentPath) -> Read<PartShelf> {
    let clue =
        |(place, own): (usize, &ShelfClueFile)| shelf_clue(catalogue, own, &path.clone().then("clues").at(place));
    Ok(PartShelf {
        part: file.part,
        clues: file.clues.iter().enumerate().map(clue).collect::<Read<_>>()?,
        allowance: file.allowance,
        width: file.width,
        weight: file.weight,
        reach: file.reach,
    })
}

fn shelf_clue(catalogue: &Catalogue, file: &ShelfClueFile, path: &DocumentPath) -> Read<ShelfClue> {
    match file {
        ShelfClueFile::Measured(own) => {
            find(catalogue, &own.clue, path)?;
            let scale = ShelfScale::Measured { centre: own.centre, spread: own.spread, repeats: own.same.is_some() };
            let relevance = own.same.into_iter().chain([own.distance]).collect();
            Ok(ShelfClue { clue: own.clue.clone(), scale, relevance, slopes: vec![own.slope] })
        }
        ShelfClueFile::Levels(own) => {
            let clue = find(catalogue, &own.clue, path)?;
            let shares = numbers_by_level(clue, &own.shares, &path.clone().then("shares"))?;
            let slopes = numbers_by_level(clue, &own.slopes, &path.clone().then("slopes"))?;
            let (scale, relevance) = (ShelfScale::Levels { shares }, vec![own.relevance]);
            Ok(ShelfClue { clue: own.clue.clone(), scale, relevance, slopes })
        }
    }
}
