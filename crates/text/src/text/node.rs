//! One value as the stretch of text that it is, and how to take it apart.

use std::borrow::Cow;

use serde::Deserialize;

use super::pieces;
use super::tokens::comment_length;
use crate::diagnostic::Diagnostic;
use crate::ids;
use crate::source::{FileId, Span};

/// A value, not yet understood.
#[derive(Clone, Copy, Debug)]
pub struct Node<'t> {
    /// Its text, without blanks and comments around it.
    pub text: &'t str,
    /// Where it stands.
    pub span: Span,
    /// The word that says what it is, or else its first character.
    pub head: Span,
}

/// Reads one file: knows where every text stands, and collects what is wrong.
pub struct Reader<'t> {
    file: FileId,
    source: &'t str,
    problems: &'t mut Vec<Diagnostic>,
}

impl<'t> Reader<'t> {
    /// A reader of a file's text, which reports of mistakes to `problems`.
    pub fn new(file: FileId, source: &'t str, problems: &'t mut Vec<Diagnostic>) -> Self {
        Self {
            file,
            source,
            problems,
        }
    }

    /// Reports a problem.
    pub fn report(&mut self, problem: Diagnostic) {
        self.problems.push(problem);
    }

    /// Reports that a value is not what it should be.
    pub fn wrong_type(&mut self, node: Node<'_>, expected: &str) {
        let span = if node.text.contains('\n') {
            node.head
        } else {
            node.span
        };
        let problem = Diagnostic::error(ids::WRONG_TYPE, span, format!("expected {expected}"));
        // A single character in single quotes is RON, but nothing here.
        let help = node.text.starts_with('\'').then(|| {
            let inner = node.text.trim_matches('\'');
            format!("a text stands in double quotes: write `\"{inner}\"`")
        });
        self.report(problem.help(help));
    }

    /// Where a piece of the source stands.
    pub fn span(&self, text: &str) -> Span {
        let start = text
            .as_ptr()
            .addr()
            .wrapping_sub(self.source.as_ptr().addr());
        debug_assert!(
            start + text.len() <= self.source.len(),
            "a piece of this source"
        );
        let start = u32::try_from(start).unwrap_or(u32::MAX);
        Span {
            file: self.file,
            start,
            end: start + u32::try_from(text.len()).unwrap_or(0),
        }
    }

    /// The node of a piece of the source.
    pub fn node<'n>(&self, text: &'n str) -> Node<'n> {
        let span = self.span(text);
        let word = identifier_length(text).max(text.chars().next().map_or(0, char::len_utf8));
        let head = Span {
            end: span.start + u32::try_from(word).unwrap_or(0),
            ..span
        };
        Node { text, span, head }
    }
}

/// How many bytes of the text are an identifier.
fn identifier_length(text: &str) -> usize {
    let begins = |letter: char| letter.is_alphabetic() || letter == '_';
    if !text.starts_with(begins) {
        return 0;
    }
    text.find(|letter: char| !letter.is_alphanumeric() && letter != '_')
        .unwrap_or(text.len())
}

impl<'t> Node<'t> {
    /// The fields of `(name: value, …)`; `None` if it is none.
    pub fn fields(self) -> Option<Vec<(&'t str, &'t str)>> {
        pieces::fields(self.text)
    }

    /// The values of `(value, …)`; `None` if it is none.
    pub fn positions(self) -> Option<Vec<&'t str>> {
        pieces::positions(self.text)
    }

    /// The values of `[value, …]`; `None` if it is none.
    pub fn list(self) -> Option<Vec<&'t str>> {
        pieces::list(self.text)
    }

    /// The keys and values of `{key: value, …}`; `None` if it is none.
    pub fn map(self) -> Option<Vec<(&'t str, &'t str)>> {
        pieces::map(self.text)
    }

    /// A string; `None` if it is none.
    pub fn string(self) -> Option<String> {
        if !self.is_string() {
            return None;
        }
        let quoted = self
            .text
            .strip_prefix('"')
            .and_then(|open| open.strip_suffix('"'));
        if let Some(plain) = quoted.filter(|text| !text.contains('\\')) {
            return Some(plain.to_owned()); // Without escapes there is nothing to work out.
        }
        String::deserialize(&mut ron::Deserializer::from_str(self.text).ok()?).ok()
    }

    /// Whether it is written as a string.
    pub fn is_string(self) -> bool {
        ["\"", "r\"", "r#"]
            .iter()
            .any(|start| self.text.starts_with(start))
    }

    /// The word of `Word` or `Word(…)`, and its parentheses; `None` if it is none.
    pub fn choice(self) -> Option<(&'t str, Node<'t>)> {
        let length = identifier_length(self.text);
        if length == 0 || self.is_string() {
            return None;
        }
        let (word, rest) = self.text.split_at(length);
        let rest = skip_blank(rest);
        let text = if rest.is_empty() { "()" } else { rest };
        Some((word, Node { text, ..self }))
    }
}

/// The text behind any blanks and comments.
pub fn skip_blank(text: &str) -> &str {
    let mut rest = text.trim_start();
    loop {
        rest = if rest.starts_with("//") {
            rest.find('\n').map_or("", |end| &rest[end..])
        } else if rest.starts_with("/*") {
            &rest[comment_length(rest)..]
        } else {
            return rest;
        }
        .trim_start();
    }
}

/// A text shortened for a message.
pub(super) fn shortened(text: &str) -> Cow<'_, str> {
    match text.char_indices().nth(40) {
        Some((end, _)) => format!("{}…", &text[..end]).into(),
        None => text.into(),
    }
}
