//! Writes a file as a whole or not at all.

use crate::failure::Failure;
use std::io::Write as _;
use std::path::Path;

/// Refuses early, before any long work, an output that exists (without `--force`) or whose folder does not.
pub fn check_may_write(path: &Path, force: bool) -> Result<(), Failure> {
    if path.is_dir() {
        return Err(Failure::Usage(format!("{} is a folder", path.display())));
    }
    if path.exists() && !force {
        return Err(Failure::Rejected(format!(
            "{} exists and was left as it is\nWhat to do: choose another name, or add --force to replace it",
            path.display()
        )));
    }
    let folder = folder_of(path);
    if folder.is_dir() { Ok(()) } else { Err(Failure::Failed(format!("folder {} does not exist", folder.display()))) }
}

fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or_else(|| Path::new("."))
}

/// Refuses an output that is one of the inputs, even with `--force`: nothing that was read is lost.
pub fn check_no_input(path: &Path, inputs: &[&Path]) -> Result<(), Failure> {
    let Ok(own) = path.canonicalize() else { return Ok(()) };
    if inputs.iter().any(|input| input.canonicalize().is_ok_and(|input| input == own)) {
        return Err(Failure::Usage(format!(
            "{} is an input of this command; choose another name for the output",
            path.display()
        )));
    }
    Ok(())
}

/// Writes to a temporary file beside the target and renames it.
pub fn write_whole(path: &Path, contents: &[u8], force: bool) -> Result<(), Failure> {
    check_may_write(path, force)?;
    let failed =
        |error: &dyn std::fmt::Display| Failure::Failed(format!("{} cannot be written: {error}", path.display()));
    let mut temporary = tempfile::Builder::new()
        .prefix(".agewright-")
        .permissions_like_a_new_file()
        .tempfile_in(folder_of(path))
        .map_err(|error| failed(&error))?;
    temporary.write_all(contents).map_err(|error| failed(&error))?;
    if force {
        temporary.persist(path).map_err(|error| failed(&error.error))?;
    } else {
        temporary.persist_noclobber(path).map_err(|error| failed(&error.error))?;
    }
    Ok(())
}

/// A temporary file is private to its owner; the finished one should be as readable as any new file.
trait NewFilePermissions {
    fn permissions_like_a_new_file(&mut self) -> &mut Self;
}

impl NewFilePermissions for tempfile::Builder<'_, '_> {
    #[cfg(unix)]
    fn permissions_like_a_new_file(&mut self) -> &mut Self {
        use std::os::unix::fs::PermissionsExt as _;
        // The process's umask still applies.
        self.permissions(std::fs::Permissions::from_mode(0o666))
    }

    #[cfg(not(unix))]
    fn permissions_like_a_new_file(&mut self) -> &mut Self {
        self
    }
}
