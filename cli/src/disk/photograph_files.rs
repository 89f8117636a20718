//! The photographs that a record names, read from beside it and made ready for a page.

use crate::failure::Failure;
use agewright_files::ListedClub;
use agewright_files::photograph::{PhotographError, photograph};
use agewright_files::photograph_list::{NamedPhotograph, PHOTOGRAPHS, named_photographs, outside};
use agewright_pages::write_up::known::ShownPhotograph;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use std::io::Read as _;

/// A file of more bytes than this is not read.
const MOST_BYTES: u64 = 64 << 20;

/// Photographs of a club, in the order that its record names them.
pub fn photographs_of(listed: &ListedClub) -> Result<Vec<ShownPhotograph>, Failure> {
    let Some(text) = listed.club.text.get(PHOTOGRAPHS) else { return Ok(Vec::new()) };
    let of_club = |message: String| Failure::Rejected(format!("club {}: {message}", listed.club.id));
    let named = named_photographs(text).map_err(of_club)?;
    named.into_iter().map(|named| shown(listed, named).map_err(of_club)).collect()
}

fn shown(listed: &ListedClub, NamedPhotograph { file, caption }: NamedPhotograph) -> Result<ShownPhotograph, String> {
    let path = listed.folder.join(&file);
    // A link may lead anywhere: what is read lies where it says.
    let beside = if listed.folder.as_os_str().is_empty() { ".".into() } else { listed.folder.clone() };
    let not_there = |error: std::io::Error| match error.kind() {
        std::io::ErrorKind::NotFound if file.contains(',') => format!(
            "photograph \"{file}\": there is no such file beside the record\nWhat to do: put it there, or, if these \
             are several files, write ; between them"
        ),
        std::io::ErrorKind::NotFound => format!(
            "photograph \"{file}\": there is no such file beside the record\nWhat to do: put it there, or take it out \
             of text.{PHOTOGRAPHS}"
        ),
        _ => format!("photograph \"{file}\" cannot be read: {error}"),
    };
    let real = path.canonicalize().map_err(not_there)?;
    if !beside.canonicalize().is_ok_and(|beside| real.starts_with(beside)) {
        return Err(outside(&file));
    }
    if real.is_dir() {
        return Err(format!("photograph \"{file}\": this is a folder\nWhat to do: name the pictures in it one by one"));
    }
    if !real.is_file() {
        return Err(format!("photograph \"{file}\": this is no file but a device or a pipe"));
    }
    let mut bytes = Vec::new();
    let read = std::fs::File::open(&real).and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes));
    read.map_err(not_there)?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(format!("photograph \"{file}\": larger than {} MB\nWhat to do: save it smaller", MOST_BYTES >> 20));
    }
    let ready = photograph(&bytes).map_err(|error| {
        let help = match error {
            PhotographError::OtherKind(_) => "save it as JPEG or PNG",
            PhotographError::TooLarge => "save it smaller",
            _ => "copy it from the camera again, or take it out",
        };
        format!("photograph \"{file}\": {error}\nWhat to do: {help}")
    })?;
    Ok(ShownPhotograph {
        address: format!("data:image/jpeg;base64,{}", STANDARD.encode(&ready.jpeg)),
        file,
        caption,
        width: ready.width,
        height: ready.height,
    })
}
