//! `agewright bench`: writes the bench page, with its owner's files in it.

use crate::arguments::{BenchArguments, TableArguments};
use crate::asked::request::calibration;
use crate::disk::records::read_records;
use crate::disk::text_file::read_text;
use crate::disk::whole_file::{check_may_write, check_no_input, write_whole};
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_bench::page_file::with_own_files;
use agewright_bench::request::{NamedText, OwnFiles};
use agewright_files::dated_record_text;
use std::path::{Path, PathBuf};

/// The page as it was made for this program, so that none has to be built to write one.
const PAGE: &str = include_str!("../../../notebooks-out/bench.html");

pub fn run(arguments: &BenchArguments, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let out = &arguments.out;
    if !out.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("html")) {
        return Err(Failure::Usage(format!("{}: the name of a page must end in .html", out.display())));
    }
    check_may_write(out, arguments.force)?;
    let inputs: Vec<&Path> =
        arguments.records.iter().chain(&arguments.marks).chain(&arguments.calibration).map(PathBuf::as_path).collect();
    check_no_input(out, &inputs)?;
    // Read as every command reads them: a page that would refuse its own files is not written.
    let loaded = calibration(arguments.calibration.as_deref(), &arguments.marks, streams)?;
    let catalogue = loaded.calibration.catalogue();
    let clubs = read_records(&arguments.records, &[], catalogue, &TableArguments::default(), streams)?;
    let file = |path: &PathBuf, streams: &mut Streams<'_>| -> Result<NamedText, Failure> {
        let source = read_text(path, streams)?;
        Ok(NamedText { name: source.name.clone(), text: source.text.clone() })
    };
    let own = OwnFiles {
        calibration: arguments.calibration.as_ref().map(|path| file(path, streams)).transpose()?,
        marks: arguments.marks.iter().map(|path| file(path, streams)).collect::<Result<_, _>>()?,
        clubs: clubs
            .iter()
            .map(|listed| NamedText {
                name: format!("{}.toml", listed.club.id),
                text: dated_record_text(listed, catalogue),
            })
            .collect(),
    };
    let page = with_own_files(PAGE, &own).map_err(|error| Failure::Failed(error.to_string()))?;
    write_whole(out, page.as_bytes(), arguments.force)?;
    Ok(writeln!(streams.stdout, "{}", out.display())?)
}
