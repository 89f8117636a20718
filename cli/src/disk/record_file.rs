//! A record that grows answer by answer; what a person wrote into the file by hand stays as it is.

use crate::disk::text_file::read_text;
use crate::disk::whole_file::{check_may_write, write_whole};
use crate::failure::Failure;
use crate::streams::Streams;
use agewright_files::{SourceText, read_record};
use agewright_model::{Catalogue, Club};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use toml_edit::{DocumentMut, Item, Table, value};

/// A record file open for entry.
pub struct RecordFile {
    path: PathBuf,
    document: DocumentMut,
    /// Whether the file is ours to replace: it was there and is gone on with, or we have written it.
    ours: bool,
}

impl RecordFile {
    /// A new record; nothing is written before the first answer.
    pub fn new(path: &Path, id: &str, catalogue: &Catalogue) -> Result<Self, Failure> {
        check_may_write(path, false)?;
        let mut document = DocumentMut::new();
        document["id"] = value(id);
        document["catalogue"] = value(catalogue.name());
        document["readings"] = Item::Table(Table::new());
        Ok(Self { path: path.to_owned(), document, ours: false })
    }

    /// A record that exists, with the club as far as it was read.
    pub fn resume(path: &Path, catalogue: &Catalogue, streams: &mut Streams<'_>) -> Result<(Self, Club), Failure> {
        let source: Arc<SourceText> = read_text(path, streams)?;
        let club = read_record(&source, catalogue)?;
        let document =
            source.text.parse().map_err(|error| Failure::Rejected(format!("{}: {error}", path.display())))?;
        Ok((Self { path: path.to_owned(), document, ours: true }, club))
    }

    /// Whether anything is in the file.
    pub fn is_saved(&self) -> bool {
        self.ours
    }

    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Sets a reading, or takes it out, and saves.
    pub fn set_reading(&mut self, clue: &str, reading: Option<&str>) -> Result<(), Failure> {
        self.set("readings", clue, reading)
    }

    /// Sets a text of the page, or takes it out, and saves.
    pub fn set_text(&mut self, key: &str, text: Option<&str>) -> Result<(), Failure> {
        match (key, text) {
            ("note", Some(text)) => self.document["note"] = value(text),
            ("note", None) => {
                self.document.remove("note");
            }
            _ => return self.set("text", key, text),
        }
        self.save()
    }

    fn set(&mut self, table: &str, key: &str, entry: Option<&str>) -> Result<(), Failure> {
        let item = self.document.entry(table).or_insert_with(|| Item::Table(Table::new()));
        let Some(table) = item.as_table_like_mut() else {
            return Err(Failure::Rejected(format!("{}: \"{table}\" is no table", self.path.display())));
        };
        match entry {
            Some(text) => {
                table.insert(key, value(text));
            }
            None => {
                table.remove(key);
            }
        }
        self.save()
    }

    fn save(&mut self) -> Result<(), Failure> {
        write_whole(&self.path, self.document.to_string().as_bytes(), self.ours)?;
        self.ours = true;
        Ok(())
    }
}
