//! Streams that a command reads and writes.

use std::io::{Read, Write};

/// Standard input, output and error, or what stands for them.
pub struct Streams<'a> {
    pub stdin: &'a mut dyn Read,
    pub stdout: &'a mut dyn Write,
    pub stderr: &'a mut dyn Write,
}
