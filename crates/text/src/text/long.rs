//! Texts in quotes that are too long to be shown again in a message.

use std::ops::Range;

/// So many bytes may a text in quotes have.
pub(super) const MOST_BYTES: usize = 10_000;

/// Where the first text in quotes stands that is too long, in sound RON.
pub(super) fn first_too_long(text: &str) -> Option<Range<usize>> {
    let bytes = text.as_bytes();
    let mut at = 0;
    // Most texts are shorter than the limit as a whole.
    while at + MOST_BYTES < bytes.len() {
        let length = match (bytes[at], bytes.get(at + 1)) {
            (b'/', Some(b'/')) => text[at..].find('\n').unwrap_or(bytes.len() - at),
            (b'/', Some(b'*')) => comment_length(&text[at..]),
            (b'"', _) => quoted_length(&text[at..]),
            (b'r', Some(b'"' | b'#')) => raw_length(&text[at..]).unwrap_or(1),
            // A quote as a character is no text.
            (b'\'', Some(b'"')) => 2,
            _ => 1,
        };
        if length > MOST_BYTES && matches!(bytes[at], b'"' | b'r') {
            return Some(at..at + length);
        }
        at += length;
    }
    None
}

/// How long a text in quotes is, which begins here, with both quotes.
pub(super) fn quoted_length(text: &str) -> usize {
    let mut letters = text.char_indices().skip(1);
    while let Some((at, letter)) = letters.next() {
        match letter {
            '"' => return at + 1,
            '\\' => {
                letters.next();
            }
            _ => {}
        }
    }
    text.len()
}

/// How long a raw text is, such as `r#"a "b" c"#`; `None` if none begins here.
fn raw_length(text: &str) -> Option<usize> {
    let hashes = text[1..].bytes().take_while(|byte| *byte == b'#').count();
    let begin = 1 + hashes;
    let inner = text[begin..].strip_prefix('"')?;
    let end = format!("\"{}", "#".repeat(hashes));
    let length = inner.find(&end)?;
    Some(begin + 1 + length + end.len())
}

/// How long a comment between `/*` and `*/` is; it may hold others.
fn comment_length(text: &str) -> usize {
    let mut depth = 0_usize;
    let mut at = 0;
    let bytes = text.as_bytes();
    while at < bytes.len() {
        match &bytes[at..(at + 2).min(bytes.len())] {
            b"/*" => {
                depth += 1;
                at += 2;
            }
            b"*/" => {
                depth -= 1;
                at += 2;
                if depth == 0 {
                    return at;
                }
            }
            _ => at += 1,
        }
    }
    text.len()
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
