//! Texts in quotes that are too long to be shown again in a message.

use std::ops::Range;

use super::tokens::{character_length, comment_length, quoted_length, raw_length};

/// So many bytes may a text in quotes have.
pub(super) const MOST_BYTES: usize = 10_000;

/// Where the first text in quotes stands that is too long, in sound RON.
pub(super) fn first_too_long(text: &str) -> Option<Range<usize>> {
    let bytes = text.as_bytes();
    let mut at = 0;
    // Most texts are shorter than the limit as a whole.
    while at + MOST_BYTES < bytes.len() {
        let length = match (bytes[at], bytes.get(at + 1)) {
            (b'/', _) => comment_length(&text[at..]),
            (b'"', _) => quoted_length(&text[at..]),
            (b'r', Some(b'"' | b'#')) => raw_length(&text[at..]).unwrap_or(1),
            // A quote as a character is no text.
            (b'\'', _) => character_length(&text[at..]).unwrap_or(1),
            _ => 1,
        };
        if length > MOST_BYTES && matches!(bytes[at], b'"' | b'r') {
            return Some(at..at + length);
        }
        at += length;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_texts_are_found_and_nothing_else() {
        let long = "x".repeat(MOST_BYTES);
        for fine in [
            format!("(a: \"{}\")", &long[2..]),
            format!("( // \"{long}\n)"),
            format!("( /* \" /* {long} */ \" */ )"),
            format!("(a: '\"', b: 1, {})", " ".repeat(MOST_BYTES)),
            format!("(a: r#\"short \" one\"#, {})", " ".repeat(MOST_BYTES)),
        ] {
            assert_eq!(first_too_long(&fine), None, "{}", &fine[..20]);
        }
        assert_eq!(
            first_too_long(&format!("(a: \"{long}\", b: 2)")),
            Some(4..4 + MOST_BYTES + 2)
        );
        let raw = format!("(a: r#\"\"{long}\"#, b: 2)");
        assert_eq!(first_too_long(&raw), Some(4..4 + MOST_BYTES + 6));
    }
}
