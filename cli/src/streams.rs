//! Streams that a command reads and writes.

use crate::failure::Failure;
use agewright_pages::terminal::page::Page;
use std::io::{Read, Write};

/// Standard input, output and error, or what stands for them.
pub struct Streams<'a> {
    pub stdin: &'a mut dyn Read,
    pub stdout: &'a mut dyn Write,
    pub stderr: &'a mut dyn Write,
    /// What text is set on.
    pub page: Page,
}

impl Streams<'_> {
    /// Tells what is no result: a note, a warning, what was written.
    pub fn tell(&mut self, text: &str) -> Result<(), Failure> {
        Ok(writeln!(self.stderr, "{}", self.page.wrapped(text, "  "))?)
    }
}
