//! Digests of texts.

use sha2::{Digest as _, Sha256};
use std::fmt::Write as _;

/// SHA-256 of a text in hexadecimal (FIPS 180-4).
///
/// ```
/// assert!(agewright_files::sha256("abc").starts_with("ba7816bf8f01cfea"));
/// ```
#[must_use]
pub fn sha256(text: &str) -> String {
    Sha256::digest(text).iter().fold(String::new(), |mut hex, byte| {
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}
