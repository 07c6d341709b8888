//! Values taken apart by the crate that parses: what [`super::pieces`] and [`super::plain`] are compared with.

use std::fmt;

use ron::value::RawValue;
use serde::Deserialize;
use serde::de::{Deserializer as _, MapAccess, SeqAccess, Visitor};

use super::brackets::Pairs;
use super::node::{plain_name, skip_blank};
use super::pieces::{Piece, Pieces};
use super::{parse, plain};
use crate::source::Sources;

/// Names or keys with their values.
type Named<'t> = Vec<(&'t str, &'t str)>;

fn deserializer(text: &str) -> Option<ron::Deserializer<'_>> {
    ron::Deserializer::from_str(text).ok()
}

fn fields(text: &str) -> Option<Named<'_>> {
    let mut deserializer = deserializer(text)?;
    deserializer.deserialize_struct("", &[], FieldPairs).ok()
}

fn positions(text: &str) -> Option<Vec<&str>> {
    deserializer(text)?.deserialize_tuple(0, Values).ok()
}

fn list(text: &str) -> Option<Vec<&str>> {
    deserializer(text)?.deserialize_seq(Values).ok()
}

fn map(text: &str) -> Option<Named<'_>> {
    deserializer(text)?.deserialize_map(KeyPairs).ok()
}

/// The pieces as values with names or keys, if they are.
fn named<'t>(pieces: &Option<Pieces<'t>>) -> Option<Named<'t>> {
    pieces.clone()?.named()
}

/// The pieces as values, if none has a name or key.
fn unnamed<'t>(pieces: &Option<Pieces<'t>>) -> Option<Vec<&'t str>> {
    let each = |piece: Piece<'t>| (!piece.is_named).then_some(piece.text);
    pieces.clone()?.map(each).collect()
}

/// Whether a text is RON. Compares it, and everything in it, with what is found without parsing: with the brackets that
/// are noted in a plain text, and without any.
fn compare(text: &str) -> bool {
    let file = Sources::default().add(std::path::Path::new("a.ron"), String::new());
    let parsed = parse(file, text).ok();
    if let Some((body, pairs)) = plain::body(text) {
        assert_eq!(Some(&text[body.clone()]), parsed, "{text}");
        let found = compare_inside(&text[body], Pairs::all(&pairs), text);
        assert_eq!(found, pairs.len(), "pairs of brackets in {text}");
    }
    if let Some(body) = parsed {
        compare_inside(body, Pairs::default(), text);
    }
    parsed.is_some()
}

/// Compares a value, and everything in it. How many of the noted pairs of brackets were where they are noted.
fn compare_inside(value: &str, pairs: Pairs<'_>, text: &str) -> usize {
    let in_parentheses = Pieces::in_parentheses(value, pairs);
    let in_list = Pieces::in_list(value, pairs);
    let in_map = Pieces::in_map(value, pairs);
    let mut named_fields = named(&in_parentheses);
    for (name, _) in named_fields.iter_mut().flatten() {
        *name = plain_name(name);
    }
    assert_eq!(named_fields, fields(value), "{value} in {text}");
    assert_eq!(
        unnamed(&in_parentheses),
        positions(value),
        "{value} in {text}"
    );
    assert_eq!(unnamed(&in_list), list(value), "{value} in {text}");
    assert_eq!(named(&in_map), map(value), "{value} in {text}");
    if let Some(pieces) = in_parentheses.or(in_list).or(in_map) {
        let inside = pieces.map(|piece| compare_inside(piece.text, piece.pairs, text));
        return pairs.count_outermost() + inside.sum::<usize>();
    }
    // What stands in parentheses behind a word.
    let word = |letter: char| !(letter.is_alphanumeric() || letter == '_');
    let rest = value
        .find(word)
        .map_or("", |length| skip_blank(&value[length..]));
    match rest.len() < value.len() && rest.starts_with('(') {
        true => compare_inside(rest, pairs, text),
        false => 0,
    }
}

#[test]
fn every_short_text_is_taken_apart_as_the_parser_does() {
    const TOKENS: [&str; 22] = [
        "(",
        ")",
        "[",
        "]",
        "{",
        "}",
        ",",
        ":",
        " ",
        "a",
        "r#b",
        "None",
        "Some",
        "inf",
        "-1",
        ".5",
        r#""(\"""#,
        r##"r#"")"#"##,
        r"'\''",
        "b\"]\"",
        "//:\n",
        "/*,*/",
    ];
    let mut sound = 0;
    for brackets in ["()", "[]", "{}"] {
        for length in 0..=3_u32 {
            for number in 0..TOKENS.len().pow(length) {
                let mut left = number;
                let mut text = brackets[..1].to_owned();
                for _ in 0..length {
                    text.push_str(TOKENS[left % TOKENS.len()]);
                    left /= TOKENS.len();
                }
                text.push_str(&brackets[1..]);
                sound += u32::from(compare(&text));
            }
        }
    }
    assert!(sound > 1_000, "{sound} texts are sound");
}

/// Numbers that look random.
struct Dice(u64);

impl Dice {
    fn below(&mut self, sides: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (self.0 >> 33) as usize % sides
    }

    fn one_of<'t>(&mut self, texts: &[&'t str]) -> &'t str {
        texts[self.below(texts.len())]
    }

    fn blank(&mut self, text: &mut String) {
        text.push_str(self.one_of(&["", "", "", " ", "\n\t", " // (\n", "/* ] /* \" */ */"]));
    }

    /// So many values with what stands before each, between brackets.
    fn several(&mut self, text: &mut String, brackets: &str, before: &[&str], depth: usize) {
        text.push_str(&brackets[..1]);
        for count in (0..self.below(4)).rev() {
            self.blank(text);
            if !before.is_empty() {
                text.push_str(self.one_of(before));
                self.blank(text);
                text.push(':');
                self.blank(text);
            }
            self.value(text, depth + 1);
            self.blank(text);
            let is_last = count == 0 && self.below(2) == 0;
            text.push_str(if is_last { "" } else { "," });
        }
        self.blank(text);
        text.push_str(&brackets[1..]);
    }

    fn value(&mut self, text: &mut String, depth: usize) {
        const LEAVES: [&str; 18] = [
            "1",
            "-2.5",
            "0x1f",
            "1_000",
            "1e5",
            "true",
            "None",
            "\"a: b, c\"",
            r#""\"(\\""#,
            r#""\u{e4}""#,
            "\"ä\"",
            r##"r#"a "b", c"#"##,
            "r\"\\\"",
            "','",
            r"'\''",
            "b'('",
            "Word",
            "_w0",
        ];
        const FIELDS: [&str; 5] = ["a", "rb", "r#type", "r#a-b", "_c1"];
        match self.below(if depth > 3 { 4 } else { 10 }) {
            0..=3 => text.push_str(self.one_of(&LEAVES)),
            4 => self.several(text, "[]", &[], depth),
            5 => self.several(text, "{}", &["\"k\"", "(1, 2)", "3", "Key", "[{}]"], depth),
            6 => self.several(text, "()", &FIELDS, depth),
            7 => self.several(text, "()", &[], depth),
            kind => {
                text.push_str(self.one_of(&["Hopper", "r", "b", "x_1", "nfan"]));
                self.blank(text);
                let before = if kind == 8 { &FIELDS[..] } else { &[] };
                self.several(text, "()", before, depth);
            }
        }
    }
}

#[test]
fn random_texts_are_taken_apart_as_the_parser_does() {
    let mut dice = Dice(1);
    let (mut sound, mut plain) = (0, 0);
    for _ in 0..4_000 {
        let mut text = String::new();
        dice.blank(&mut text);
        dice.several(&mut text, "()", &["a", "b"], 0);
        dice.blank(&mut text);
        sound += u32::from(compare(&text));
        plain += u32::from(plain::body(&text).is_some());
        // One letter more or less, somewhere.
        let letters: Vec<char> = text.chars().collect();
        let at = dice.below(letters.len());
        let more = dice.one_of(&[
            "", "(", ")", "]", "}", ":", ",", "\"", "'", "/", "\\", "a", "1", "#",
        ]);
        let before: String = letters[..at].iter().collect();
        let behind: String = letters[at + dice.below(2)..].iter().collect();
        compare(&format!("{before}{more}{behind}"));
    }
    assert!(sound > 2_000, "{sound} are sound");
    assert!(plain > 500, "{plain} are plain");
}

#[test]
fn what_is_nested_deep_is_left_to_the_parser_before_it_is_too_deep() {
    for (opening, closing) in [("(a: ", ")"), ("[", "]"), ("{1: ", "}"), ("W(", ")")] {
        for depth in 1..140 {
            let text = format!("({}1{})", opening.repeat(depth), closing.repeat(depth));
            let is_sound = compare(&text);
            assert_eq!(plain::body(&text).is_some(), depth < 31, "{depth}");
            assert!(is_sound || depth > 31, "{depth}");
        }
    }
}

#[test]
fn every_scenario_is_plain_and_taken_apart_as_the_parser_does() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenarios");
    let files = std::fs::read_dir(folder).expect("it is there");
    let files = files.map(|file| file.expect("it can be listed").path());
    let mut count = 0;
    for path in files.filter(|path| path.extension().is_some_and(|end| end == "ron")) {
        let text = std::fs::read_to_string(&path).expect("it can be read");
        assert!(
            compare(&text) && plain::body(&text).is_some(),
            "{}",
            path.display()
        );
        count += 1;
    }
    assert!(count > 4, "{count} scenarios");
}

/// The text of a value without the blanks and comments around it.
fn trimmed(raw: &RawValue) -> &str {
    let text = raw.get_ron();
    if text.contains("//") || text.contains("/*") {
        raw.trim().get_ron()
    } else {
        text.trim()
    }
}

/// Collects the fields of a struct as they stand.
struct FieldPairs;

impl<'t> Visitor<'t> for FieldPairs {
    type Value = Vec<(&'t str, &'t str)>;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("named fields")
    }

    fn visit_map<A: MapAccess<'t>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut pairs = Vec::new();
        while let Some(name) = map.next_key::<Identifier<'t>>()? {
            pairs.push((name.0, trimmed(map.next_value::<&'t RawValue>()?)));
        }
        Ok(pairs)
    }
}

/// The name of a field.
struct Identifier<'t>(&'t str);

impl<'t> Deserialize<'t> for Identifier<'t> {
    fn deserialize<D: serde::Deserializer<'t>>(deserializer: D) -> Result<Self, D::Error> {
        struct IdentifierVisitor;
        impl<'t> Visitor<'t> for IdentifierVisitor {
            type Value = Identifier<'t>;

            fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
                formatter.write_str("the name of a field")
            }

            fn visit_borrowed_str<E>(self, name: &'t str) -> Result<Self::Value, E> {
                Ok(Identifier(name))
            }
        }
        deserializer.deserialize_identifier(IdentifierVisitor)
    }
}

/// Collects the entries of a map as they stand.
struct KeyPairs;

impl<'t> Visitor<'t> for KeyPairs {
    type Value = Vec<(&'t str, &'t str)>;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("a map")
    }

    fn visit_map<A: MapAccess<'t>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut pairs = Vec::new();
        while let Some(key) = map.next_key::<&'t RawValue>()? {
            pairs.push((trimmed(key), trimmed(map.next_value::<&'t RawValue>()?)));
        }
        Ok(pairs)
    }
}

/// Collects the values of a list or tuple as they stand.
struct Values;

impl<'t> Visitor<'t> for Values {
    type Value = Vec<&'t str>;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("a list")
    }

    fn visit_seq<A: SeqAccess<'t>>(self, mut list: A) -> Result<Self::Value, A::Error> {
        let mut values = Vec::new();
        while let Some(value) = list.next_element::<&'t RawValue>()? {
            values.push(trimmed(value));
        }
        Ok(values)
    }
}
