//! Picture files: the SVG of a drawing, or the PNG made of it.

use crate::disk::whole_file::{check_may_write, check_no_input, write_whole};
use crate::failure::Failure;
use agewright_pages::charts::outlined::outlined;
use agewright_pages::charts::png::png;
use std::path::Path;

/// A picture file to be written.
pub struct PictureFile<'a> {
    path: &'a Path,
    form: Form,
    force: bool,
}

/// Form of a picture file.
#[derive(Clone, Copy)]
enum Form {
    Svg,
    Png,
}

impl<'a> PictureFile<'a> {
    /// Refuses early a picture whose name is of no form or is that of an input, or that cannot be written.
    pub fn new(path: &'a Path, inputs: &[&Path], force: bool) -> Result<Self, Failure> {
        let form = match path.extension().and_then(|e| e.to_str()).map(str::to_lowercase).as_deref() {
            Some("svg") => Form::Svg,
            Some("png") => Form::Png,
            _ => {
                let message = format!("{}: the name of a picture must end in .svg or .png", path.display());
                return Err(Failure::Usage(message));
            }
        };
        check_no_input(path, inputs)?;
        check_may_write(path, force)?;
        Ok(Self { path, form, force })
    }

    /// Writes a drawing.
    pub fn write(&self, svg: &str) -> Result<(), Failure> {
        match self.form {
            Form::Svg => write_whole(self.path, outlined(svg).map_err(Failure::Failed)?.as_bytes(), self.force),
            Form::Png => write_whole(self.path, &png(svg).map_err(Failure::Failed)?, self.force),
        }
    }
}
