//! A network as text to read: what differs from the defaults, each part by name, what happens when.

use std::fmt::Write;

use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;

use crate::blueprint::Blueprint;

/// The whole network as text.
#[must_use]
pub fn in_words(blueprint: &Blueprint) -> String {
    let mut text = String::new();
    if let Err(error) = write_all(blueprint, &mut text) {
        unreachable!("writing into a string never fails: {error}");
    }
    named(blueprint, &text)
}

fn write_all(blueprint: &Blueprint, text: &mut String) -> std::fmt::Result {
    if blueprint.rules == Rules::default() {
        writeln!(text, "rules: the defaults")?;
    } else {
        writeln!(text, "rules: {:?}", blueprint.rules)?;
    }
    writeln!(text, "kinds:")?;
    for kind in &blueprint.kinds {
        let limit = kind.stack_limit.items();
        let what = if kind.is_box { ", a box" } else { "" };
        writeln!(text, "  {}: limit {limit}{what}", kind.name)?;
    }
    writeln!(text, "parts, in the order of declaration:")?;
    for (index, named) in blueprint.parts.iter().enumerate() {
        writeln!(text, "  {index:2} {}: {:?}", named.name, named.part)?;
    }
    writeln!(text, "at the start:")?;
    for (part, filling) in &blueprint.fillings {
        write!(text, "  {part} ")?;
        write_filling(filling, text)?;
        writeln!(text)?;
    }
    writeln!(text, "orders: {:?}", blueprint.orders)?;
    writeln!(text, "seed: {}", blueprint.seed)?;
    writeln!(text, "timeline:")?;
    for (tick, action) in &blueprint.timeline {
        writeln!(text, "  tick {tick}: {action:?}")?;
    }
    writeln!(text, "length: {} ticks", blueprint.length_ticks)
}

fn write_filling(filling: &Filling, text: &mut String) -> std::fmt::Result {
    let Filling {
        slot, kind, count, ..
    } = filling;
    write!(text, "slot {slot}: {count} x {kind}")?;
    if !filling.contents.is_empty() {
        write!(text, " (")?;
        for inner in &filling.contents {
            write!(text, " {}: {} x {}", inner.slot, inner.count, inner.kind)?;
        }
        write!(text, " )")?;
    }
    Ok(())
}

/// The text with names instead of the ids of parts and kinds.
#[must_use]
pub fn named(blueprint: &Blueprint, text: &str) -> String {
    let mut result = String::with_capacity(text.len());
    let mut rest = text;
    let is_letter = |c: char| c.is_alphanumeric() || c == '_';
    while let Some(start) = rest.find(is_letter) {
        result.push_str(&rest[..start]);
        rest = &rest[start..];
        let end = rest.find(|c| !is_letter(c)).unwrap_or(rest.len());
        let word = &rest[..end];
        result.push_str(name_of(blueprint, word).unwrap_or(word));
        rest = &rest[end..];
    }
    result.push_str(rest);
    result
}

fn name_of<'a>(blueprint: &'a Blueprint, word: &str) -> Option<&'a str> {
    let index = |prefix: &str| word.strip_prefix(prefix)?.parse::<usize>().ok();
    if let Some(part) = index("part").and_then(|index| blueprint.parts.get(index)) {
        return Some(&part.name);
    }
    let kind = index("kind").and_then(|index| blueprint.kinds.get(index))?;
    Some(&kind.name)
}
