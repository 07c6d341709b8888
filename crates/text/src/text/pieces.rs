//! What stands between the brackets of a value, piece by piece.
//!
//! The whole text has been found to be RON before: so only quotes, comments and brackets are looked at here,
//! which takes far less time than parsing each value anew at every depth.

use super::brackets::Pairs;
use super::node::skip_blank;
use super::tokens::{character_length, comment_length, quoted_length, raw_length};

/// The pieces between a value's brackets: names, keys and values.
#[derive(Clone)]
pub(super) struct Pieces<'t> {
    text: &'t str,
    at: usize,
    closing: u8,
    /// The pairs of brackets that are still to come.
    pairs: Pairs<'t>,
}

/// One piece, without blanks and comments around it.
pub(super) struct Piece<'t> {
    /// Its text.
    pub(super) text: &'t str,
    /// The pairs of brackets in it.
    pub(super) pairs: Pairs<'t>,
    /// Whether a colon stands behind it.
    pub(super) is_named: bool,
}

impl<'t> Pieces<'t> {
    /// Those of `(…)`: values, or names with values; `None` if it is none.
    pub(super) fn in_parentheses(text: &'t str, pairs: Pairs<'t>) -> Option<Self> {
        Self::between(text, pairs, b'(', b')')
    }

    /// The values of `[…]`; `None` if it is none.
    pub(super) fn in_list(text: &'t str, pairs: Pairs<'t>) -> Option<Self> {
        Self::between(text, pairs, b'[', b']')
    }

    /// The keys and values of `{…}`; `None` if it is none.
    pub(super) fn in_map(text: &'t str, pairs: Pairs<'t>) -> Option<Self> {
        Self::between(text, pairs, b'{', b'}')
    }

    fn between(text: &'t str, pairs: Pairs<'t>, opening: u8, closing: u8) -> Option<Self> {
        let is_opened = text.as_bytes().first() == Some(&opening);
        is_opened.then_some(Self {
            text,
            at: 1,
            closing,
            pairs: pairs.inside_first(),
        })
    }

    /// How many values they are at least, as far as can be said without looking at them.
    pub(super) fn least_count(&self) -> usize {
        self.pairs.count_outermost()
    }

    /// All of them as values with their names or keys; `None` if one has none.
    pub(super) fn named(mut self) -> Option<Vec<(&'t str, &'t str)>> {
        let mut named = Vec::new();
        while let Some(name) = self.next() {
            let value = self.next().filter(|_| name.is_named)?;
            named.push((name.text, value.text));
        }
        Some(named)
    }

    /// Where the value ends that begins here, and where the comma, colon or bracket behind it stands.
    fn value_end(&mut self, start: usize) -> (usize, usize) {
        let (text, bytes) = (self.text, self.text.as_bytes());
        let (mut at, mut depth) = (start, 0_usize);
        // Where the value ends unless more of it comes behind the last comment, and where that one ends.
        let mut comment = None;
        while let Some(byte) = bytes.get(at) {
            match byte {
                _ if !HAS_MEANING[usize::from(*byte)] => {}
                b'/' => {
                    let end = end_before(text, start, at, comment);
                    at += comment_length(&text[at..]);
                    comment = Some((end, at));
                    continue;
                }
                b'(' | b'[' | b'{' => match self.pairs.leap() {
                    Some(length) => {
                        at += length;
                        continue;
                    }
                    None => depth += 1,
                },
                b')' | b']' | b'}' if depth == 0 => break,
                b')' | b']' | b'}' => depth -= 1,
                b',' | b':' if depth == 0 => break,
                b'"' => at = text_end(text, start, at) - 1,
                b'\'' => at += character_length(&text[at..]).unwrap_or(1) - 1,
                _ => {}
            }
            at += 1;
        }
        (end_before(text, start, at, comment), at)
    }
}

impl<'t> Iterator for Pieces<'t> {
    type Item = Piece<'t>;

    /// The next piece; `None` at the closing bracket.
    fn next(&mut self) -> Option<Piece<'t>> {
        let bytes = self.text.as_bytes();
        while let b' ' | b'\n' = bytes.get(self.at)? {
            self.at += 1;
        }
        let rest = match bytes.get(self.at)? {
            b'"' | b'(' | b'0'..=b'9' | b'a'..=b'z' | b'A'..=b'Z' => &self.text[self.at..],
            _ => skip_blank(&self.text[self.at..]),
        };
        let start = self.text.len() - rest.len();
        if *bytes.get(start)? == self.closing {
            return None;
        }
        let pairs = self.pairs;
        let (end, behind) = self.value_end(start);
        let stop = bytes.get(behind);
        let is_named = stop == Some(&b':');
        self.at = behind + usize::from(is_named || stop == Some(&b','));
        Some(Piece {
            text: &self.text[start..end],
            pairs: pairs.before(self.pairs),
            is_named,
        })
    }
}

/// Which bytes have a meaning between the pieces of a value.
const HAS_MEANING: [bool; 256] = {
    let mut has_meaning = [false; 256];
    let meant = b"()[]{},:\"'/";
    let mut place = 0;
    while place < meant.len() {
        has_meaning[meant[place] as usize] = true;
        place += 1;
    }
    has_meaning
};

/// Where a value ends that goes on to this byte at most: blanks and the comment behind it left out.
fn end_before(text: &str, start: usize, at: usize, comment: Option<(usize, usize)>) -> usize {
    match comment {
        None if at > start && text.as_bytes()[at - 1].is_ascii_graphic() => at, // As nearly all do.
        Some((end, behind)) if text[behind..at].trim_end().is_empty() => end,
        _ => start + text[start..at].trim_end().len(),
    }
}

/// Where a text in quotes ends of which the first quote stands here, in a value that begins at `start`.
fn text_end(text: &str, start: usize, quote: usize) -> usize {
    let before = &text[start..quote];
    if !before.ends_with(['r', '#']) {
        return quote + quoted_length(&text[quote..]); // As nearly all are.
    }
    let unhashed = before.trim_end_matches('#');
    match unhashed.ends_with('r') {
        true => {
            let raw = start + unhashed.len() - 1;
            raw_length(&text[raw..]).map_or(text.len(), |length| raw + length)
        }
        false => quote + quoted_length(&text[quote..]),
    }
}
