//! From RON text to documents: every mistake is reported, and reading goes on behind it.
//!
//! The text is first checked as a whole: it is RON or it is not. Then it is taken apart from the
//! outside in, each value kept as the stretch of text that it is ([`Node`]), so that every value
//! knows its place and a wrong one spoils nothing but itself. The crate `ron` says what is RON, wherever a
//! quick look does not see it.

mod brackets;
#[cfg(test)]
mod by_parser;
mod decode;
mod faults;
mod fields;
mod long;
mod macros;
mod node;
mod pieces;
mod plain;
mod tokens;

pub use crate::{choices, document, kinds_of};
pub use decode::{
    Decode, Entries, Entry, FromFields, Name, Payload, Spanned, choose, decode_fields, one,
    positions,
};
pub use fields::Fields;
pub use node::{Node, Reader, skip_blank};

use brackets::Pair;
use hallwright_names::numbers::grouped;

use crate::diagnostic::Diagnostic;
use crate::ids;
use crate::source::{FileId, Span, byte_of};

/// So deep may values be nested in one another. This is the limit of the crate that parses.
const MOST_NESTED: usize = 128;

/// Reads a whole file as one document.
pub fn read<T: Decode>(file: FileId, text: &str, problems: &mut Vec<Diagnostic>) -> Option<T> {
    let (body, pairs) = match check_syntax(file, text) {
        Ok(sound) => sound,
        Err(problem) => {
            problems.push(*problem);
            return None;
        }
    };
    let mut reader = Reader::new(file, text, problems);
    let node = reader.whole(body, &pairs);
    T::decode(node, &mut reader)
}

/// The text of a whole file's one value; `None` if the file is no RON.
pub fn body(file: FileId, text: &str) -> Option<&str> {
    check_syntax(file, text).ok().map(|(body, _)| body)
}

/// The names of a whole file's fields; none if it has no named fields.
pub fn field_names(file: FileId, text: &str) -> Result<Vec<&str>, Box<Diagnostic>> {
    let (body, _) = check_syntax(file, text)?;
    let mut problems = Vec::new();
    let fields = Reader::new(file, text, &mut problems).node(body).fields();
    let fields = fields.unwrap_or_default().into_iter();
    Ok(fields.map(|(name, _)| name).collect())
}

/// Whether the whole text is RON: if so, the text of its one value, and the brackets that were noted.
fn check_syntax(file: FileId, text: &str) -> Result<(&str, Vec<Pair>), Box<Diagnostic>> {
    match plain::body(text) {
        Some((body, pairs)) => Ok((&text[body], pairs)),
        None => Ok((parse(file, text)?, Vec::new())),
    }
}

/// Parses the whole text: the text of its one value, or what is wrong with it.
fn parse(file: FileId, text: &str) -> Result<&str, Box<Diagnostic>> {
    use serde::Deserialize;
    let report = |error: ron::error::SpannedError| {
        let start = byte_of(text, error.span.start.line, error.span.start.col);
        let end = byte_of(text, error.span.end.line, error.span.end.col).max(start);
        let stopped_at = start;
        let (start, end) = match what_is_missing(&error.code) {
            true => end_of_value_before(text, start),
            false => visible_range(text, start, end),
        };
        let span = |start: usize, end: usize| Span {
            file,
            start: u32::try_from(start).unwrap_or(u32::MAX),
            end: u32::try_from(end).unwrap_or(u32::MAX),
        };
        let marked = span(start, end);
        if error.code == ron::Error::ExceededRecursionLimit {
            let message = format!("this is nested more than {MOST_NESTED} deep");
            return Box::new(Diagnostic::error(
                ids::TEXT_NESTED_TOO_DEEP,
                marked,
                message,
            ));
        }
        Box::new(match faults::fault(text, stopped_at) {
            Some(fault) => {
                let at = fault.at.map_or(marked, |at| span(at.start, at.end));
                let problem = Diagnostic::error(ids::SYNTAX, at, fault.message).help(fault.help);
                match fault.beside {
                    Some((at, label)) => problem.context(span(at.start, at.end), label),
                    None => problem,
                }
            }
            None => Diagnostic::error(ids::SYNTAX, marked, syntax_message(&error.code)),
        })
    };
    let mut deserializer = ron::Deserializer::from_str(text).map_err(report)?;
    let body_start = text.len() - deserializer.remainder().len();
    serde::de::IgnoredAny::deserialize(&mut deserializer)
        .map_err(|error| report(deserializer.span_error(error)))?;
    let body_end = text.len() - deserializer.remainder().len();
    deserializer
        .end()
        .map_err(|error| report(deserializer.span_error(error)))?;
    if let Some(long) = long::first_too_long(text) {
        // Only its beginning is shown.
        let start = u32::try_from(long.start).unwrap_or(u32::MAX);
        let end = start.saturating_add(1);
        let (bytes, most) = (grouped(long.len() as u64), grouped(long::MOST_BYTES as u64));
        let message =
            format!("this text has {bytes} bytes: at most {most} may stand between quotes");
        let problem = Diagnostic::error(ids::TEXT_TOO_LONG, Span { file, start, end }, message);
        return Err(Box::new(problem));
    }
    Ok(&text[body_start..body_end])
}

/// Whether something is missing behind a value: it is marked there, not where the next word stands.
fn what_is_missing(error: &ron::Error) -> bool {
    matches!(
        error,
        ron::Error::ExpectedComma
            | ron::Error::ExpectedArrayEnd
            | ron::Error::ExpectedMapEnd
            | ron::Error::ExpectedMapColon
            | ron::Error::ExpectedOptionEnd
            | ron::Error::ExpectedStructLikeEnd
    )
}

/// The last character of what stands before a place, comments left out. A text in quotes that runs over
/// several lines is marked at its beginning: that is where its closing quote is missing.
fn end_of_value_before(text: &str, place: usize) -> (usize, usize) {
    let mut rest = text;
    let mut last = (0, 0);
    loop {
        rest = skip_blank(rest);
        let start = text.len() - rest.len();
        let Some(letter) = rest.chars().next().filter(|_| start < place) else {
            return last;
        };
        let length = match letter {
            '"' => tokens::quoted_length(rest),
            _ => letter.len_utf8(),
        };
        let value = &rest[..length];
        last = match value.contains('\n') {
            true => (start, start + 1),
            false => {
                let end = value.chars().next_back().map_or(0, char::len_utf8);
                (start + length - end, start + length)
            }
        };
        rest = &rest[length..];
    }
}

/// What is wrong with the text, in the words of our messages.
fn syntax_message(error: &ron::Error) -> String {
    let text = error.to_string();
    let mut letters = text.chars();
    let lowered: String = letters
        .next()
        .map(|first| first.to_lowercase().chain(letters).collect())
        .unwrap_or_default();
    format!("this is no RON: {lowered}")
}

/// A range that marks at least one character and no blanks at its ends, as near as can be.
fn visible_range(text: &str, start: usize, end: usize) -> (usize, usize) {
    let marked = &text[start..end];
    let start = start + (marked.len() - marked.trim_start().len());
    let end = (start + text[start..end.max(start)].trim_end().len()).max(start);
    if end > start {
        return (start, end);
    }
    let ahead = &text[start..];
    let start = start + (ahead.len() - ahead.trim_start().len());
    match text[start..].chars().next() {
        Some(letter) => (start, start + letter.len_utf8()),
        None => {
            // At the end of the file: mark its last visible character.
            let kept = text.trim_end();
            let last = kept
                .char_indices()
                .next_back()
                .map_or(0, |(index, _)| index);
            (last, kept.len())
        }
    }
}
