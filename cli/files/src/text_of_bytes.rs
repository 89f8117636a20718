//! The text that a file's bytes are, or why they are none.

/// First bytes of the container that old spreadsheets are, and new ones under a password.
const COMPOUND_FILE: [u8; 8] = [0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1];
/// Name of the stream that holds a spreadsheet under a password, as it stands in its container (UTF-16).
const UNDER_A_PASSWORD: &str = "EncryptedPackage";

/// The text of UTF-8, or of UTF-16 that begins with its byte-order mark; else the cause and what to do, on two lines.
///
/// # Errors
/// The cause, to stand behind the file's name.
///
/// ```
/// use agewright_files::text_of_bytes::text_of_bytes;
///
/// assert_eq!(text_of_bytes(b"id\n".to_vec()).as_deref(), Ok("id\n"));
/// assert_eq!(text_of_bytes(vec![0xff, 0xfe, b'i', 0, b'd', 0]).as_deref(), Ok("id"));
/// assert!(text_of_bytes(b"K\xfchne".to_vec()).unwrap_err().starts_with(":1:2: byte 0xfc is not UTF-8"));
/// ```
pub fn text_of_bytes(bytes: Vec<u8>) -> Result<String, String> {
    let what_to_do = |cause: &str, help: &str| Err(format!("{cause}\nWhat to do: {help}"));
    if bytes.starts_with(&COMPOUND_FILE) {
        let stream: Vec<u8> = UNDER_A_PASSWORD.encode_utf16().flat_map(u16::to_le_bytes).collect();
        return if bytes.windows(stream.len()).any(|window| window == stream) {
            what_to_do(": this spreadsheet has a password", "save a copy without one, as .xlsx or as \"CSV UTF-8\"")
        } else {
            what_to_do(": this is a spreadsheet of the old kind (.xls)", "save it as .xlsx or as \"CSV UTF-8\"")
        };
    }
    let utf_16 = |of_two: fn([u8; 2]) -> u16| {
        let units: Vec<u16> = bytes[2..].chunks_exact(2).map(|pair| of_two([pair[0], pair[1]])).collect();
        String::from_utf16(&units).ok().filter(|_| bytes.len().is_multiple_of(2))
    };
    let marked = match bytes.get(..2) {
        Some([0xff, 0xfe]) => Some(utf_16(u16::from_le_bytes)),
        Some([0xfe, 0xff]) => Some(utf_16(u16::from_be_bytes)),
        _ => None,
    };
    match marked {
        Some(Some(text)) => return Ok(text),
        Some(None) => return what_to_do(": this is broken UTF-16", "save the file again as \"CSV UTF-8\""),
        None => {}
    }
    if bytes.contains(&0) {
        let cause = ": this holds zero bytes, and is UTF-16 without its mark, or no text at all";
        return what_to_do(cause, "save the file again as \"CSV UTF-8\" (or UTF-8 text)");
    }
    String::from_utf8(bytes).map_err(|error| not_utf8(&error))
}

/// Bytes that are no text, with their place.
fn not_utf8(error: &std::string::FromUtf8Error) -> String {
    let at = error.utf8_error().valid_up_to();
    let before = String::from_utf8_lossy(&error.as_bytes()[..at]);
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().map_or(0, |last| last.chars().count()) + 1;
    let byte = error.as_bytes()[at];
    format!(
        ":{line}:{column}: byte 0x{byte:02x} is not UTF-8\nWhat to do: save the file again as \"CSV UTF-8\" (or UTF-8 \
         text)"
    )
}
