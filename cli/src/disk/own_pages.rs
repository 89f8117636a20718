//! Pages that this program made and may make anew: a list with their SHA-256 stands beside them, and what a person
//! changed since stays as it is, while the rest is made anew.

use crate::disk::whole_file::write_whole;
use crate::failure::Failure;
use agewright_files::sha256;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The list, in the form that `sha256sum --check` reads (GNU coreutils).
const LIST: &str = "pages.sha256";

/// A folder of pages, and those of them that were made here.
pub struct OwnPages {
    folder: PathBuf,
    made: BTreeMap<String, String>,
    to_write: Vec<(String, String)>,
    /// Names of all pages of this run.
    touched: Vec<String>,
    /// Pages that a person changed since, and that stay as they are.
    kept: Vec<String>,
    /// Pages that stand there already, word for word.
    pub unchanged: usize,
}

impl OwnPages {
    /// The pages of a folder, which need not be there yet.
    pub fn of(folder: &Path) -> Self {
        let list = std::fs::read_to_string(folder.join(LIST)).unwrap_or_default();
        let line = |line: &str| line.split_once("  ").map(|(hash, name)| (name.to_owned(), hash.to_owned()));
        let made = list.lines().filter_map(line).collect();
        Self {
            folder: folder.to_owned(),
            made,
            to_write: Vec::new(),
            touched: Vec::new(),
            kept: Vec::new(),
            unchanged: 0,
        }
    }

    /// Where it lies.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Takes a page in, or refuses it where a file stands that is not ours to replace.
    pub fn add(&mut self, name: &str, contents: String, force: bool) -> Result<(), Failure> {
        let path = self.folder.join(name);
        if self.folder.exists() && !self.folder.is_dir() {
            return Err(Failure::Rejected(format!(
                "{} is a file, and a folder is to be made there\nWhat to do: choose another folder with --out",
                self.folder.display()
            )));
        }
        if path.is_dir() {
            return Err(Failure::Usage(format!("{} is a folder", path.display())));
        }
        let hash = sha256(&contents);
        self.touched.push(name.to_owned());
        if path.exists() {
            let stands = std::fs::read(&path).ok().and_then(|bytes| String::from_utf8(bytes).ok());
            let stands = stands.map(|text| sha256(&text));
            if stands.as_ref() == Some(&hash) {
                self.unchanged += 1;
                self.made.insert(name.to_owned(), hash);
                return Ok(());
            }
            if !force && (stands.is_none() || stands.as_ref() != self.made.get(name)) {
                if self.made.contains_key(name) {
                    self.kept.push(name.to_owned());
                    return Ok(());
                }
                return Err(Failure::Rejected(format!(
                    "{} exists, is not of this command, and was left as it is\nWhat to do: choose another folder with \
                     --out, or add --force to replace it",
                    path.display()
                )));
            }
        }
        self.made.insert(name.to_owned(), hash);
        self.to_write.push((name.to_owned(), contents));
        Ok(())
    }

    /// Pages of this run that a person changed since they were made: they stay as they are.
    pub fn kept(&self) -> &[String] {
        &self.kept
    }

    /// Pages that an earlier run made and this one does not touch: they may be of another day or question.
    pub fn left(&self) -> Vec<&str> {
        let stands = |name: &&str| self.folder.join(name).is_file();
        let own = self.made.keys().map(String::as_str).filter(|name| !self.touched.iter().any(|own| own == name));
        own.filter(stands).collect()
    }

    /// Writes what is new or has changed, each file whole, and the list last; the paths written.
    pub fn write(&self) -> Result<Vec<PathBuf>, Failure> {
        if self.to_write.is_empty() && self.folder.join(LIST).exists() {
            return Ok(Vec::new());
        }
        std::fs::create_dir_all(&self.folder)
            .map_err(|error| Failure::Failed(format!("folder {} cannot be made: {error}", self.folder.display())))?;
        let mut written = Vec::new();
        for (name, contents) in &self.to_write {
            let path = self.folder.join(name);
            write_whole(&path, contents.as_bytes(), true)?;
            written.push(path);
        }
        let list: String = self.made.iter().map(|(name, hash)| format!("{hash}  {name}\n")).collect();
        write_whole(&self.folder.join(LIST), list.as_bytes(), true)?;
        Ok(written)
    }
}
