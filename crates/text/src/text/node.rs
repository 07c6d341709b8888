//! One value as the stretch of text that it is, and how to take it apart.

use std::borrow::Cow;

use memchr::memchr;
use serde::Deserialize;

use super::brackets::{Pair, Pairs};
use super::pieces::{Piece, Pieces};
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
    /// Where the word that says what it is ends, or else its first character.
    head_end: u32,
    /// The pairs of brackets in it, as far as they are noted.
    pairs: Pairs<'t>,
}

/// Reads one file: knows where every text stands, and collects what is wrong.
pub struct Reader<'t> {
    file: FileId,
    source: &'t str,
    problems: &'t mut Vec<Diagnostic>,
    /// Lists of names that are no longer needed: to allocate one for each value would take longer than to fill it.
    spare_lists: Vec<Vec<&'static str>>,
}

impl<'t> Reader<'t> {
    /// A reader of a file's text, which reports of mistakes to `problems`.
    pub fn new(file: FileId, source: &'t str, problems: &'t mut Vec<Diagnostic>) -> Self {
        Self {
            file,
            source,
            problems,
            spare_lists: Vec::new(),
        }
    }

    /// Reports a problem.
    pub fn report(&mut self, problem: Diagnostic) {
        self.problems.push(problem);
    }

    /// Reports that a value is not what it should be.
    pub fn wrong_type(&mut self, node: Node<'_>, expected: &str) {
        let span = if node.text.contains('\n') {
            node.head()
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

    /// The node of a stretch of the source.
    pub fn node<'n>(&self, text: &'n str) -> Node<'n> {
        self.node_with(text, Pairs::default())
    }

    /// The node of the whole source's one value, with all pairs of brackets in it.
    pub(super) fn whole<'n>(&self, text: &'n str, pairs: &'n [Pair]) -> Node<'n> {
        self.node_with(text, Pairs::all(pairs))
    }

    /// The node of a piece of another.
    pub(super) fn inner<'n>(&self, piece: &Piece<'n>) -> Node<'n> {
        self.node_with(piece.text, piece.pairs)
    }

    fn node_with<'n>(&self, text: &'n str, pairs: Pairs<'n>) -> Node<'n> {
        let span = self.span(text);
        let word = identifier_length(text).max(text.chars().next().map_or(0, char::len_utf8));
        Node {
            text,
            span,
            head_end: span.start + u32::try_from(word).unwrap_or(0),
            pairs,
        }
    }

    /// An empty list of names.
    pub(super) fn lend_list(&mut self) -> Vec<&'static str> {
        self.spare_lists.pop().unwrap_or_default()
    }

    /// Takes a list of names back.
    pub(super) fn take_back(&mut self, mut list: Vec<&'static str>) {
        list.clear();
        self.spare_lists.push(list);
    }
}

/// How many bytes of the text are an identifier.
fn identifier_length(text: &str) -> usize {
    let is_plain = |byte: &u8| byte.is_ascii_alphanumeric() || *byte == b'_';
    let bytes = text.as_bytes();
    match bytes.first() {
        Some(b'a'..=b'z' | b'A'..=b'Z' | b'_' | 128..) => {}
        _ => return 0,
    }
    let plain = bytes.iter().take_while(|byte| is_plain(byte)).count();
    if bytes.get(plain).is_none_or(u8::is_ascii) {
        return plain; // As of nearly all.
    }
    let begins = |letter: char| letter.is_alphabetic() || letter == '_';
    if !text.starts_with(begins) {
        return 0;
    }
    text.find(|letter: char| !letter.is_alphanumeric() && letter != '_')
        .unwrap_or(text.len())
}

impl<'t> Node<'t> {
    /// The word that says what it is, or else its first character.
    pub fn head(self) -> Span {
        Span {
            end: self.head_end,
            ..self.span
        }
    }

    /// The fields of `(name: value, …)`; `None` if it is none.
    pub fn fields(self) -> Option<Vec<(&'t str, &'t str)>> {
        let mut fields = self.in_parentheses()?.named()?;
        for (name, _) in &mut fields {
            *name = plain_name(name);
        }
        Some(fields)
    }

    /// The keys and values of `{key: value, …}`; `None` if it is none.
    pub fn map(self) -> Option<Vec<(&'t str, &'t str)>> {
        self.in_map()?.named()
    }

    /// What stands in `(…)`; `None` if it is none.
    pub(super) fn in_parentheses(self) -> Option<Pieces<'t>> {
        Pieces::in_parentheses(self.text, self.pairs)
    }

    /// The values of `[…]`; `None` if it is none.
    pub(super) fn in_list(self) -> Option<Pieces<'t>> {
        Pieces::in_list(self.text, self.pairs)
    }

    /// The keys and values of `{…}`; `None` if it is none.
    pub(super) fn in_map(self) -> Option<Pieces<'t>> {
        Pieces::in_map(self.text, self.pairs)
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
        if let Some(plain) = quoted.filter(|text| memchr(b'\\', text.as_bytes()).is_none()) {
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

/// The name of a field, which may be written like a word of Rust, as in `r#match`.
pub(super) fn plain_name(name: &str) -> &str {
    name.strip_prefix("r#").unwrap_or(name)
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
