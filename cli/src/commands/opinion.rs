//! `agewright opinion`: opinions that are kept, and what moved them.

use crate::arguments::{
    CompareOpinionArguments, OpinionArguments, OpinionCommand, PlainFormat, SaveArguments, TableArguments,
};
use crate::asked::opinion_asked::{AskedOpinion, opinion_of};
use crate::asked::opinion_day::opinion_day;
use crate::asked::request::{Request, calibration};
use crate::disk::folder_name::folder_name;
use crate::disk::json_line::print_json;
use crate::disk::records::read_collection_file;
use crate::disk::text_file::read_text;
use crate::disk::whole_file::{check_may_write, write_whole};
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::opinion::Opinion;
use agewright_model::Part;
use agewright_model::questions::opinion_change::{Ingredient, shares_of_change};
use agewright_pages::json::opinion::OpinionChangeAnswer;
use agewright_pages::terminal::opinion_text::opinion_text;
use agewright_pages::words::opinion_change::{OpinionChange, PartChange, ReadingChange};
use std::path::{Path, PathBuf};

pub fn run(arguments: &OpinionArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    match &arguments.what {
        OpinionCommand::Save(arguments) => save(arguments, streams),
        OpinionCommand::Compare(arguments) => compare(arguments, streams),
    }
}

fn save(arguments: &SaveArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let day = opinion_day(arguments.on.as_deref())?;
    let request = Request::read(&arguments.records, streams)?;
    let listed = request.one_listed()?;
    let before = request.year_before(arguments.before, day)?;
    let record = arguments.records.records.first().filter(|path| path.is_file());
    let name = record.and_then(|path| path.file_name()).map(|name| name.to_string_lossy().into_owned());
    let out = match &arguments.out {
        Some(out) => out.clone(),
        None => listed.folder.join(format!("{}.opinion-{day}.json", folder_name(&listed.club.id))),
    };
    if out.extension().is_none_or(|ending| !ending.eq_ignore_ascii_case("json")) {
        return Err(Failure::Usage(format!("{}: the name of an opinion must end in .json", out.display())));
    }
    check_may_write(&out, arguments.force)?;
    let opinion = opinion_of(&request, &day.to_string(), &name.unwrap_or_default(), before)?;
    write_whole(&out, opinion.text()?.as_bytes(), arguments.force)?;
    Ok(writeln!(streams.stdout, "{}", out.display())?)
}

fn compare(arguments: &CompareOpinionArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let old = Opinion::read(&read_text(&arguments.old, streams)?)?;
    let new = match &arguments.new {
        Some(path) => Opinion::read(&read_text(path, streams)?)?,
        None => today(arguments, &old, streams)?,
    };
    if old.id != new.id {
        streams.tell(&format!("note: the opinions are of clubs of two ids, {} and {}", old.id, new.id))?;
    }
    let change = change(&old, &new)?;
    match arguments.format {
        PlainFormat::Text => Ok(write!(streams.stdout, "{}", opinion_text(streams.page, &change))?),
        PlainFormat::Json => print_json(&OpinionChangeAnswer::new(&change), streams),
    }
}

/// The opinion of today: of the record that lies beside the saved one, or is named.
fn today(arguments: &CompareOpinionArguments, old: &Opinion, streams: &mut Streams<'_>) -> Result<Opinion, Failure> {
    let loaded = calibration(arguments.calibration.as_deref(), &arguments.marks, streams)?;
    let path = match &arguments.record {
        Some(path) => path.clone(),
        None => beside(&arguments.old, old)?,
    };
    let table = TableArguments::default();
    let read = read_collection_file(&path, loaded.calibration.catalogue(), &table, streams)?;
    let is_only = read.clubs.len() == 1;
    let own = read.clubs.into_iter().find(|listed| is_only || listed.club.id == old.id);
    let listed = own.ok_or_else(|| {
        Failure::Rejected(format!("{}: there is no club {} in it, of which the opinion is", path.display(), old.id))
    })?;
    let then = Some(old.asked.prior.clone()).filter(|name| loaded.calibration.prior(Some(name)).is_ok());
    let prior = arguments.prior.clone().or(then);
    let request = Request::as_then(loaded, listed, prior, &old.asked.without, old.asked.elsewhere)?;
    let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    opinion_of(&request, &opinion_day(None)?.to_string(), &name, old.asked.before)
}

fn beside(opinion: &Path, old: &Opinion) -> Result<PathBuf, Failure> {
    let name = Path::new(&old.record_file).file_name();
    let path = name.map(|name| opinion.parent().unwrap_or_else(|| Path::new("")).join(name));
    path.filter(|path| path.is_file()).ok_or_else(|| {
        Failure::Usage(
            "the record does not lie beside the opinion\nWhat to do: name it with --record, or name a later opinion"
                .to_owned(),
        )
    })
}

/// What moved, and what moved it.
fn change(old: &Opinion, new: &Opinion) -> Result<OpinionChange, Failure> {
    let (then, now) = (AskedOpinion::read(old)?, AskedOpinion::read(new)?);
    // Every part is asked of the same mixtures.
    let changed = AskedOpinion::changed(&then, &now);
    let of_part = |part: Part| -> Result<Option<PartChange>, Failure> {
        let of = |opinion: &Opinion| opinion.answers.iter().find(|answer| answer.part == part.word()).cloned();
        let (Some(old), Some(new)) = (of(old), of(new)) else { return Ok(None) };
        let mean = |set: &[Ingredient]| AskedOpinion::mixed(&then, &now, set)?.mean(part);
        let program = (mean(&[])? - old.mean) + (new.mean - mean(&changed)?);
        Ok(Some(PartChange { part, old, new, shares: shares_of_change(&changed, mean)?, program }))
    };
    let main = then.part();
    let others = Part::ALL.into_iter().filter(|part| *part != main).map(of_part);
    let others: Vec<Option<PartChange>> = others.collect::<Result<_, Failure>>()?;
    let of_none = || Failure::Rejected(format!("one of the opinions is of no {}", main.word()));
    Ok(OpinionChange {
        main: of_part(main)?.ok_or_else(of_none)?,
        others: others.into_iter().flatten().collect(),
        readings: ReadingChange::between(
            (then.loaded.calibration.catalogue(), &then.listed.club),
            (now.loaded.calibration.catalogue(), &now.listed.club),
        ),
        old: old.clone(),
        new: new.clone(),
    })
}
