//! Common slips of the pen in texts that are no RON, each named as what it is.
//!
//! The crate that parses reports only where it could not go on. Where that is one of these slips, this
//! says what is wrong and how it is mended.

use std::ops::Range;

use super::skip_blank;
use super::tokens::{character_length, quoted_length, raw_length};

/// A slip that was found.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Fault {
    /// The bytes to mark in place of those that the parser marks.
    pub(super) at: Option<Range<usize>>,
    /// What is wrong.
    pub(super) message: String,
    /// How it is mended.
    pub(super) help: String,
    /// Another place to mark, and what to say there.
    pub(super) beside: Option<(Range<usize>, String)>,
}

/// The slip because of which parsing stopped at a byte, if it is one of those that are known.
pub(super) fn fault(text: &str, stopped_at: usize) -> Option<Fault> {
    let scan = Scan::of(text, stopped_at)?;
    if let Some(unclosed) = scan.unclosed
        && scan.around_stop == Some(unclosed.opened)
    {
        return Some(unclosed.fault(text));
    }
    let is_here = |place: &Range<usize>| line(text, place.start) == line(text, stopped_at);
    if let Some(at) = scan.single_quoted.filter(is_here) {
        let inner = text[at.clone()].trim_matches('\'').replace('"', "\\\"");
        return Some(Fault {
            at: Some(at),
            message: "a text stands in double quotes, not in single ones".to_owned(),
            help: format!("write `\"{inner}\"`"),
            beside: None,
        });
    }
    if let Some(at) = scan.quoted_field.filter(is_here) {
        let name = text[at.clone()].trim_matches('"').to_owned();
        return Some(Fault {
            at: Some(at),
            message: format!("the name of a field stands without quotes: `{name}`"),
            help: format!("write `{name}: …`; only the names in `{{…}}` stand in quotes"),
            beside: None,
        });
    }
    scan.stray.filter(|at| *at == stopped_at).map(|at| {
        let closing = &text[at..=at];
        Fault {
            at: Some(at..at + 1),
            message: format!("`{closing}` closes nothing that is open"),
            help: "leave it out, or open it before".to_owned(),
            beside: None,
        }
    })
}

/// The number of a byte's line, from 1.
fn line(text: &str, byte: usize) -> usize {
    text[..byte].matches('\n').count() + 1
}

/// A bracket that is not closed.
#[derive(Clone, Copy)]
struct Unclosed {
    /// Where it is opened.
    opened: usize,
    /// What closes it.
    closing: char,
}

impl Unclosed {
    fn fault(self, text: &str) -> Fault {
        let (opened, closing) = (self.opened, self.closing);
        let opening = &text[opened..=opened];
        Fault {
            at: None,
            message: format!(
                "the `{opening}` that is opened in line {} is not closed",
                line(text, opened)
            ),
            help: format!("close it with `{closing}`"),
            beside: Some((opened..opened + 1, "opened here".to_owned())),
        }
    }
}

/// What one look through a text finds: the first of each.
#[derive(Default)]
struct Scan {
    /// A bracket that is open where another one is closed, or at the end of the text.
    unclosed: Option<Unclosed>,
    /// A closing bracket to which nothing is open.
    stray: Option<usize>,
    /// A text in single quotes that is no single character, with its quotes.
    single_quoted: Option<Range<usize>>,
    /// A text before a colon directly inside parentheses.
    quoted_field: Option<Range<usize>>,
    /// Where the innermost bracket is opened that is open where parsing stopped.
    around_stop: Option<usize>,
}

impl Scan {
    /// Looks through a text. `None` if a quote is open or spans lines before the place where parsing
    /// stopped: then what is a text and what is not cannot be reported.
    fn of(text: &str, stopped_at: usize) -> Option<Self> {
        let mut scan = Self::default();
        let mut open: Vec<Unclosed> = Vec::new();
        let mut has_passed_stop = false;
        let mut rest = skip_blank(text);
        while let Some(letter) = rest.chars().next() {
            let at = text.len() - rest.len();
            if at >= stopped_at && !has_passed_stop {
                has_passed_stop = true;
                scan.around_stop = open.last().map(|unclosed| unclosed.opened);
            }
            let length = match letter {
                '"' => quoted_length(rest),
                'r' => raw_length(rest).unwrap_or(1),
                '\'' => match character_length(rest) {
                    Some(length) => length,
                    None => {
                        let length = single_quoted_length(rest);
                        scan.single_quoted.get_or_insert(at..at + length);
                        length
                    }
                },
                'a'..='z' | 'A'..='Z' | '_' => word_length(rest),
                _ => letter.len_utf8(),
            };
            let token = &rest[..length];
            if letter == '"' {
                let is_closed = length > 1 && token.ends_with('"');
                if !is_closed || (token.contains('\n') && at < stopped_at) {
                    return None;
                }
                let is_name = skip_blank(&rest[length..]).starts_with(':');
                if is_name && open.last().is_some_and(|inner| inner.closing == ')') {
                    scan.quoted_field.get_or_insert(at..at + length);
                }
            }
            if let Some(closing) = closing_of(letter) {
                let opened = at;
                open.push(Unclosed { opened, closing });
            } else if [')', ']', '}'].contains(&letter) {
                match open.pop() {
                    Some(inner) if inner.closing == letter => {}
                    Some(inner) => {
                        scan.unclosed = Some(inner);
                        break;
                    }
                    None => {
                        scan.stray = Some(at);
                        break;
                    }
                }
            }
            rest = skip_blank(&rest[length..]);
        }
        if scan.unclosed.is_none() && scan.stray.is_none() {
            scan.unclosed = open.last().copied();
        }
        if !has_passed_stop {
            scan.around_stop = scan.unclosed.map(|unclosed| unclosed.opened);
        }
        Some(scan)
    }
}

/// What closes a bracket; `None` of what is none.
fn closing_of(opening: char) -> Option<char> {
    match opening {
        '(' => Some(')'),
        '[' => Some(']'),
        '{' => Some('}'),
        _ => None,
    }
}

/// How long a word is.
fn word_length(text: &str) -> usize {
    let is_part = |letter: char| letter.is_ascii_alphanumeric() || letter == '_';
    text.find(|letter| !is_part(letter)).unwrap_or(text.len())
}

/// How long something is that begins with a single quote: to the next one in its line, or else to the
/// end of the word.
fn single_quoted_length(text: &str) -> usize {
    let line = text.lines().next().unwrap_or(text);
    match line[1..].find('\'') {
        Some(length) => length + 2,
        None => {
            1 + line[1..]
                .find([',', ')', ']', '}', ':'])
                .unwrap_or(line.len() - 1)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The message for a text in which parsing stops at the `^`, which is taken out.
    fn reported(text: &str) -> Option<String> {
        let at = text.find('^').expect("it is marked");
        fault(&text.replacen('^', "", 1), at).map(|fault| fault.message)
    }

    #[test]
    fn each_slip_is_named() {
        let named = [
            (
                "(a: [1, 2\n^)",
                "the `[` that is opened in line 1 is not closed",
            ),
            (
                "(\na: [1, 2\n^b: [3])",
                "the `[` that is opened in line 2 is not closed",
            ),
            (
                "({\"a\": (1,\n\"b\"^: (2)})",
                "the `(` that is opened in line 1 is not closed",
            ),
            (
                "(a: {\"b\": 1,^",
                "the `{` that is opened in line 1 is not closed",
            ),
            ("(a: 1)^)", "`)` closes nothing that is open"),
            (
                "(a: '^flax')",
                "a text stands in double quotes, not in single ones",
            ),
            (
                "(\"a\"^: 1)",
                "the name of a field stands without quotes: `a`",
            ),
        ];
        for (text, message) in named {
            assert_eq!(reported(text).as_deref(), Some(message), "{text}");
        }
    }

    #[test]
    fn what_is_no_such_slip_is_left_to_the_parser() {
        let others = [
            // Brackets in comments, texts and characters do not count, nor do names in maps.
            "(a: \"[\", /* ( */ b: '[', c: r#\"]\"#, d: {\"e\": 1 ^2}) // {",
            // A quote is missing: what stands behind it cannot be reported.
            "(a: \"b, c: [1, ^2",
            // The bracket that is not closed comes after the place.
            "(a: 1 ^b: 2, c: [)",
            // Nothing is wrong but a comma.
            "(a: 'x' ^b: \"y\")",
        ];
        for text in others {
            assert_eq!(reported(text), None, "{text}");
        }
    }
}
