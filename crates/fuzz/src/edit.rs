//! Changes of a text in RON that keep its brackets.

use std::ops::Range;

use crate::choices::Choices;

/// A field, an entry of a map or of a list.
struct Item {
    /// All of it.
    whole: Range<usize>,
    /// What is in front of the colon, if there is one.
    name: Range<usize>,
    /// What is behind it.
    value: Range<usize>,
}

/// The length of what begins here and has no brackets of its own: a comment, a text in quotes, or one byte.
fn token(text: &str) -> usize {
    if text.starts_with("//") {
        return text.find('\n').unwrap_or(text.len());
    }
    let Some(quoted) = text.strip_prefix('"') else {
        return text.chars().next().map_or(0, char::len_utf8);
    };
    let mut is_escaped = false;
    let end = quoted.find(|letter| {
        let is_end = letter == '"' && !is_escaped;
        is_escaped = letter == '\\' && !is_escaped;
        is_end
    });
    end.map_or(text.len(), |end| end + 2)
}

/// Every item, those inside others too.
fn items(text: &str) -> Vec<Item> {
    let mut items = Vec::new();
    // Where the item that is open at each depth begins, and where its colon is.
    let mut open: Vec<(usize, Option<usize>)> = Vec::new();
    let mut at = 0;
    while at < text.len() {
        let length = token(&text[at..]);
        match text.as_bytes()[at] {
            b'(' | b'[' | b'{' => open.push((at + 1, None)),
            b':' => {
                if let Some((_, colon @ None)) = open.last_mut() {
                    *colon = Some(at);
                }
            }
            end @ (b',' | b')' | b']' | b'}') => {
                if let Some((start, colon)) = open.pop() {
                    items.extend(item(text, start, colon, at));
                    if end == b',' {
                        open.push((at + 1, None));
                    }
                }
            }
            _ => {}
        }
        at += length;
    }
    items
}

/// What stands between two places, unless it is nothing.
fn item(text: &str, start: usize, colon: Option<usize>, end: usize) -> Option<Item> {
    let trimmed = |range: Range<usize>| {
        let part = &text[range.clone()];
        let start = range.start + (part.len() - part.trim_start().len());
        start..start.max(range.start + part.trim_end().len())
    };
    let whole = trimmed(start..end);
    let (name, value) = match colon {
        Some(colon) => (trimmed(start..colon), trimmed(colon + 1..end)),
        None => (start..start, whole.clone()),
    };
    (!whole.is_empty()).then_some(Item { whole, name, value })
}

/// Numbers at which something ends, and other values that stand where they should not.
const ODD: [&str; 16] = [
    "0",
    "1",
    "2",
    "-1",
    "64",
    "65",
    "0.5",
    "255",
    "4294967296",
    "18446744073709551615",
    "1e300",
    "\"1t\"",
    "\"0t\"",
    "\"\"",
    "[]",
    "None",
];

/// Changes one item of a text. What comes in its place may be from another text.
pub(crate) fn edit(text: &str, other: &str, choices: &mut Choices<'_>) -> String {
    let items = items(text);
    if items.is_empty() {
        return text.to_owned();
    }
    let item = choices.pick(&items);
    let put = |range: &Range<usize>, new: &str| {
        format!("{}{new}{}", &text[..range.start], &text[range.end..])
    };
    let name = &text[item.name.clone()];
    match choices.below(6) {
        0 => put(&item.value, choices.text(&ODD)),
        1 => put(&item.whole, ""),
        2 => {
            // Once more, under another name.
            let value = &text[item.value.clone()];
            let again = match name.strip_suffix('"') {
                Some(name) => format!("{name} again\": {value}, "),
                None if name.is_empty() => format!("{value}, "),
                None => format!("{name}: {value}, "),
            };
            let start = item.whole.start;
            put(&(start..start), &again)
        }
        3 => {
            // A value of this text that has its length, more or less: a name, mostly.
            let value = choices.pick(&items).value.clone();
            match value.len() <= 2 * item.value.len() {
                true => put(&item.value, &text[value]),
                false => put(&item.value, choices.text(&ODD)),
            }
        }
        from => {
            // The value that a field of this name has elsewhere.
            let source = if from == 4 { text } else { other };
            let mut same = self::items(source);
            same.retain(|one| source[one.name.clone()] == *name);
            match same.is_empty() {
                true => put(&item.value, choices.text(&ODD)),
                false => {
                    let value = choices.pick(&same).value.clone();
                    put(&item.value, &source[value])
                }
            }
        }
    }
}
