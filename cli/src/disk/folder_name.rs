//! A folder for a club, named for its id and never anything but a folder's name.

use agewright_files::sha256;

/// Names that some systems keep for devices.
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];
const LONGEST: usize = 60;

/// The id itself where it is a plain name; otherwise what is plain of it, and a few digits that keep two of them apart.
pub fn folder_name(id: &str) -> String {
    let is_plain = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.');
    let kept: String = id.chars().map(|c| if is_plain(c) { c } else { '_' }).take(LONGEST).collect();
    let kept = kept.trim_matches('.');
    let stem = kept.split('.').next().unwrap_or("").to_lowercase();
    let digit = |word: &str| stem.strip_prefix(word).is_some_and(|rest| rest.len() == 1 && rest.is_ascii());
    let is_device = DEVICES.contains(&stem.as_str()) || digit("com") || digit("lpt");
    if kept == id && !is_device {
        return id.to_owned();
    }
    let mark: String = sha256(id).chars().take(8).collect();
    let kept = kept.trim_matches('_');
    if kept.is_empty() { format!("club-{mark}") } else { format!("{kept}-{mark}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_id_leaves_the_folder() {
        assert_eq!(folder_name("smooth-face"), "smooth-face");
        for id in [
            "../x",
            "/etc/x",
            "a/b",
            "a\\b",
            "..",
            ".",
            "con",
            "COM1",
            "nul.txt",
            "x ",
            "<b>",
            ".hidden",
            &"x".repeat(300),
        ] {
            let name = folder_name(id);
            assert!(!name.contains(['/', '\\', '<', ' ']) && !name.starts_with('.'), "{id}: {name}");
            assert!(name != id && name.len() <= 250 && name.contains('-'), "{id}: {name}");
        }
        assert_ne!(folder_name("a/b"), folder_name("a\\b"));
    }
}
