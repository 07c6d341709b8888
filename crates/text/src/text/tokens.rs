//! How long the pieces of a text are in which anything may stand: texts in quotes, characters, comments.

use memchr::memchr2;

/// How long a text in quotes is, which begins here, with both quotes.
pub(super) fn quoted_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let mut at = 1;
    while let Some(length) = bytes.get(at..).and_then(|rest| memchr2(b'"', b'\\', rest)) {
        at += length;
        match bytes[at] {
            b'"' => return at + 1,
            _ => at += 2, // What stands behind the backslash is part of the text.
        }
    }
    text.len()
}

/// How long a raw text is that begins here, as in `r#"…"#`; `None` if none does.
pub(super) fn raw_length(text: &str) -> Option<usize> {
    let hashes = text[1..].len() - text[1..].trim_start_matches('#').len();
    let start = 1 + hashes;
    let inner = text[start..].strip_prefix('"')?;
    let end = format!("\"{}", "#".repeat(hashes));
    let length = inner.find(&end)?;
    Some(start + 1 + length + end.len())
}

/// How long a single character in quotes is; `None` if this is none.
pub(super) fn character_length(text: &str) -> Option<usize> {
    let mut letters = text.char_indices().skip(1);
    let (_, first) = letters.next()?;
    match first {
        '\'' | '\n' => None,
        '\\' => {
            // The escaped character may be a quote itself.
            let (at, escaped) = letters.next()?;
            let behind = at + escaped.len_utf8();
            let length = text[behind..].find('\'')?;
            (length <= 10).then_some(behind + length + 1)
        }
        _ => letters
            .next()
            .filter(|(_, last)| *last == '\'')
            .map(|(at, _)| at + 1),
    }
}

/// How long what begins with this `/` is: a comment to the end of its line, one between `/*` and `*/`, or nothing but
/// the `/`.
pub(super) fn comment_length(text: &str) -> usize {
    match text.as_bytes().get(1) {
        Some(b'/') => text.find('\n').unwrap_or(text.len()),
        Some(b'*') => enclosed_length(text),
        _ => 1,
    }
}

/// How long a comment between `/*` and `*/` is; it may hold others.
fn enclosed_length(text: &str) -> usize {
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
