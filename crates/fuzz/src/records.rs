//! Recorded figures, with which `check` compares what it measures.

use std::fmt::Write as _;

use hallwright_trials::check::Record;

use crate::Came;
use crate::choices::Choices;
use crate::spoil::perhaps_spoiled_text;

const VARIANTS: [&str; 8] = [
    "",
    "wide",
    "a = b",
    "[x]",
    "five sections, no return",
    "grün",
    "#1",
    "digests of [wide]",
];
const NAMES: [&str; 12] = [
    "hoppers",
    "lost",
    "into the line: throughput",
    "link: hopper `a` draws from",
    "# of items",
    "a = b",
    "stop 1: safe to close",
    "[x",
    "input",
    "trail",
    "digests of",
    "schema_version",
];
const UNITS: [&str; 6] = [
    "items",
    "items/s",
    "",
    "ticks",
    "t (1.5 s)",
    "`a`, `b` less 2",
];
const STEPS: [&str; 6] = ["1", "50", "10", "18446744073709551615", "0", "-1"];

/// A name that no other figure of the record has, but for few.
fn name(number: usize, choices: &mut Choices<'_>) -> String {
    let name = choices.text(&NAMES);
    match choices.once_in(30) {
        true => name.to_owned(),
        false => format!("{name} {number}"),
    }
}

/// Writes a record.
fn text(choices: &mut Choices<'_>) -> String {
    let mut text = String::new();
    let mut line = |line: String| {
        // A text takes everything.
        let _ = writeln!(text, "{line}");
    };
    if choices.once_in(2) {
        line("# Written by `hallwright check --record`.".to_owned());
    }
    let version = if choices.once_in(30) {
        choices.number()
    } else {
        3
    };
    line(format!("schema_version = {version}"));
    let first = choices.below(VARIANTS.len());
    let variants = first..(first + 1 + choices.below(3)).min(VARIANTS.len());
    for variant in &VARIANTS[variants.clone()] {
        line(format!("\n[{variant}]"));
        for number in 0..choices.below(6) {
            let name = name(number, choices);
            let (value, unit) = (choices.number(), choices.text(&UNITS));
            line(format!("{name} = {value} {unit}"));
        }
    }
    line("\n# Digests".to_owned());
    for variant in &VARIANTS[variants] {
        if choices.once_in(40) {
            continue;
        }
        line(format!("digests of [{variant}]"));
        line(format!("input = {:016x}", choices.word()));
        let step = match choices.once_in(20) {
            true => choices.text(&STEPS),
            false => STEPS[choices.below(4)],
        };
        line(format!("trail = one mark every {step} ticks"));
        for _ in 0..choices.below(3) {
            let marks = (0..=choices.below(5)).map(|_| format!(" {:04x}", choices.word() & 0xffff));
            line(format!(" {}", marks.collect::<String>()));
        }
    }
    text
}

/// Tries the record that some choices make.
///
/// # Panics
///
/// If what was read is written in another way.
pub fn try_one(choices: &mut Choices<'_>) -> Came {
    let text = text(choices);
    let text = perhaps_spoiled_text(text, choices);
    match Record::parse(&text) {
        Ok(record) => {
            let written = record.text("hall.ron");
            assert_eq!(Record::parse(&written), Ok(record), "{text}\n{written}");
            Came::Through
        }
        Err(error) => {
            assert!((1..=text.lines().count().max(1)).contains(&error.line));
            Came::Refused
        }
    }
}
