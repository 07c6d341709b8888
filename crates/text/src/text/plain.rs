//! A quick look whether a text is RON of the plain sort that nearly all scenarios are written in.
//!
//! It never takes for RON what is none. Whatever else RON allows, and whatever is wrong, is left to the
//! crate that parses: only that says what is wrong, and where.

use std::ops::Range;

use memchr::memchr2;

use super::brackets::Pair;
use super::long::MOST_BYTES;

/// So deep may values be nested in a plain text.
const MOST_DEEP: usize = 32;

/// A pair of brackets stands in so many bytes of a large text, more or less.
const BYTES_A_PAIR: usize = 64;

/// Where the one value of a plain text stands, and the brackets of the text; `None` if the text is none, or not surely.
pub(super) fn body(text: &str) -> Option<(Range<usize>, Vec<Pair>)> {
    let bytes = text.as_bytes();
    let pairs = Vec::with_capacity(bytes.len() / BYTES_A_PAIR);
    let mut look = Look {
        bytes,
        at: 0,
        pairs,
    };
    look.skip_blank()?;
    let start = look.at;
    if look.here() != b'(' {
        return None;
    }
    look.value(0)?;
    let end = look.at;
    look.skip_blank()?;
    (look.at == bytes.len()).then_some((start..end, look.pairs))
}

/// A text, and how far it has been looked at. Each step is `None` where something is not plain.
struct Look<'t> {
    bytes: &'t [u8],
    at: usize,
    /// The brackets so far. Of those that are still open no more is known than their number.
    pairs: Vec<Pair>,
}

impl Look<'_> {
    /// The byte that is looked at; 0 at the end.
    fn here(&self) -> u8 {
        self.bytes.get(self.at).copied().unwrap_or(0)
    }

    /// Goes on behind a byte, if it stands here.
    fn take(&mut self, byte: u8) -> Option<()> {
        (self.here() == byte).then(|| self.at += 1)
    }

    /// Goes on behind blanks and comments of one line.
    fn skip_blank(&mut self) -> Option<()> {
        loop {
            match self.here() {
                b' ' | b'\n' | b'\t' | b'\r' => self.at += 1,
                b'/' if self.bytes.get(self.at + 1) == Some(&b'/') => {
                    let rest = &self.bytes[self.at..];
                    self.at += rest.iter().position(|byte| *byte == b'\n')?;
                }
                b'/' => return None,
                _ => return Some(()),
            }
        }
    }

    /// Goes on behind a word.
    fn word(&mut self) -> Option<&[u8]> {
        let rest = &self.bytes[self.at..];
        let is_part = |byte: &u8| byte.is_ascii_alphanumeric() || *byte == b'_';
        let length = rest.iter().position(|byte| !is_part(byte))?;
        if length == 0 || rest[0].is_ascii_digit() {
            return None;
        }
        self.at += length;
        Some(&rest[..length])
    }

    fn value(&mut self, depth: usize) -> Option<()> {
        match self.here() {
            _ if depth == MOST_DEEP => None,
            b'"' => self.text(),
            b'0'..=b'9' | b'-' => self.number(),
            b'(' => self.parentheses(depth),
            b'[' => self.commas(b'[', b']', |look| look.value(depth + 1)),
            b'{' => self.commas(b'{', b'}', |look| {
                look.value(depth + 1)?;
                look.named_value(depth)
            }),
            _ => self.choice(depth),
        }
    }

    /// A word, and what stands in parentheses behind it.
    fn choice(&mut self, depth: usize) -> Option<()> {
        match self.word()? {
            b"true" | b"false" | b"None" => Some(()),
            // These are values of their own, and so are some words that begin with them.
            word if word.starts_with(b"inf") || word.starts_with(b"NaN") || word == b"Some" => None,
            _ => {
                self.skip_blank()?;
                match self.here() {
                    b'(' => self.parentheses(depth),
                    _ => Some(()),
                }
            }
        }
    }

    /// Named fields or values.
    fn parentheses(&mut self, depth: usize) -> Option<()> {
        let start = self.at;
        self.at += 1;
        self.skip_blank()?;
        let is_named = self.word().is_some() && self.skip_blank().is_some() && self.here() == b':';
        self.at = start;
        self.commas(b'(', b')', |look| match is_named {
            true => {
                look.word()?;
                look.named_value(depth)
            }
            false => look.value(depth + 1),
        })
    }

    /// A colon and the value behind it.
    fn named_value(&mut self, depth: usize) -> Option<()> {
        self.skip_blank()?;
        self.take(b':')?;
        self.skip_blank()?;
        self.value(depth + 1)
    }

    /// Something again and again between brackets, with commas between.
    fn commas(
        &mut self,
        opening: u8,
        closing: u8,
        mut one: impl FnMut(&mut Self) -> Option<()>,
    ) -> Option<()> {
        let (start, number) = (self.at, self.pairs.len());
        self.pairs.push(Pair::default());
        self.take(opening)?;
        self.skip_blank()?;
        while self.take(closing).is_none() {
            one(self)?;
            self.skip_blank()?;
            match self.here() {
                b',' => self.at += 1,
                byte if byte == closing => {}
                _ => return None,
            }
            self.skip_blank()?;
        }
        self.pairs[number] = Pair::new(self.at - start, self.pairs.len() - number)?;
        Some(())
    }

    /// A text in quotes.
    fn text(&mut self) -> Option<()> {
        let start = self.at;
        self.at += 1;
        loop {
            self.at += memchr2(b'"', b'\\', &self.bytes[self.at..])?;
            if self.here() == b'"' {
                break;
            }
            match self.bytes.get(self.at + 1)? {
                b'"' | b'\\' => self.at += 2,
                _ => return None,
            }
        }
        self.at += 1;
        (self.at - start <= MOST_BYTES).then_some(())
    }

    /// A number that is neither long nor written in an uncommon way.
    fn number(&mut self) -> Option<()> {
        if self.here() == b'-' {
            self.at += 1;
        }
        self.digits()?;
        if self.here() == b'.' {
            self.at += 1;
            self.digits()?;
        }
        Some(())
    }

    /// At least one digit, and not so many that they are no number.
    fn digits(&mut self) -> Option<()> {
        let start = self.at;
        while self.here().is_ascii_digit() {
            self.at += 1;
        }
        (1..=18).contains(&(self.at - start)).then_some(())
    }
}
