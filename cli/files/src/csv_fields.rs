//! Where the fields of a CSV record stand in the file, to the byte.
//!
//! The csv crate gives the start of a record only, and with CRLF one byte early (rust-csv issue 395).

use std::ops::Range;

/// Bytes of each field of the record that begins at `start` (quotes included), and where the record ends.
///
/// # Errors
/// The place of a quote that is never closed.
pub fn field_places(text: &str, start: usize, delimiter: u8) -> Result<Vec<Range<usize>>, usize> {
    let bytes = text.as_bytes();
    let mut at = start;
    while at < bytes.len() && (bytes[at] == b'\r' || bytes[at] == b'\n') {
        at += 1;
    }
    let mut places = Vec::new();
    loop {
        let begin = at;
        if bytes.get(at) == Some(&b'"') {
            at = end_of_quoted(bytes, at).ok_or(begin)?;
        }
        while at < bytes.len() && bytes[at] != delimiter && bytes[at] != b'\n' && bytes[at] != b'\r' {
            at += 1;
        }
        places.push(begin..at);
        if bytes.get(at) == Some(&delimiter) {
            at += 1;
        } else {
            return Ok(places);
        }
    }
}

/// Place behind the quote that closes the field beginning at `at`; a doubled quote stands for one.
fn end_of_quoted(bytes: &[u8], mut at: usize) -> Option<usize> {
    at += 1;
    loop {
        match bytes.get(at)? {
            b'"' if bytes.get(at + 1) == Some(&b'"') => at += 2,
            b'"' => return Some(at + 1),
            _ => at += 1,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_are_found_through_quotes_and_line_ends() {
        let text = "a,b\r\n\"x, \"\"y\"\"\",\"two\nlines\",z\r\nlast,,";
        let of = |start| field_places(text, start, b',').unwrap().into_iter().map(|r| &text[r]).collect::<Vec<_>>();
        assert_eq!(of(0), ["a", "b"]);
        assert_eq!(of(4), ["\"x, \"\"y\"\"\"", "\"two\nlines\"", "z"], "one byte early, as the csv crate gives it");
        assert_eq!(of(text.find("last").unwrap()), ["last", "", ""]);
    }

    #[test]
    fn a_quote_that_never_closes_is_found() {
        assert_eq!(field_places("a,\"b\nc", 0, b','), Err(2));
    }
}
