//! The lines in which a search keeps what its runs came to.

use hallwright_trials::compare::Value;
use hallwright_trials::tune::{Costs, GoalFigure, KnownRuns, RunFigures, digest};

use crate::Came;
use crate::choices::Choices;
use crate::spoil::{perhaps_spoiled_text, spoil};

/// So many runs are kept at most; their keys count from 0.
const MOST_RUNS: u128 = 8;

const WORDS: [&str; 8] = [
    "",
    "safe to close",
    "30 s",
    "\"quoted\"",
    "a\\b",
    "grün",
    "\u{1}",
    "items_per_second",
];
const NUMBERS: [f64; 10] = [
    0.0,
    -0.0,
    1.0,
    0.1,
    1.0 / 3.0,
    -7.25,
    f64::MAX,
    f64::MIN_POSITIVE,
    5e-324,
    9_007_199_254_740_993.0,
];

fn number(choices: &mut Choices<'_>) -> f64 {
    match choices.below(3) {
        0 => *choices.pick(&NUMBERS),
        1 => choices.number() as f64,
        _ => Some(f64::from_bits(choices.word()))
            .filter(|number| number.is_finite())
            .unwrap_or(0.5),
    }
}

fn perhaps(choices: &mut Choices<'_>) -> Option<f64> {
    choices.once_in(2).then(|| number(choices))
}

fn word(choices: &mut Choices<'_>) -> String {
    choices.text(&WORDS).to_owned()
}

fn goal(choices: &mut Choices<'_>) -> GoalFigure {
    GoalFigure {
        subject: word(choices),
        is_met: choices.once_in(2),
        words: word(choices),
        measured: perhaps(choices),
        bound: perhaps(choices),
        is_at_least: choices.once_in(2),
        unit: word(choices),
        excess_share: perhaps(choices),
    }
}

fn figures(choices: &mut Choices<'_>) -> RunFigures {
    RunFigures {
        goals: (0..choices.below(4)).map(|_| goal(choices)).collect(),
        costs: Costs(std::array::from_fn(|_| match choices.below(3) {
            0 => Value::Number(number(choices)),
            1 => Value::Never,
            _ => Value::Nothing,
        })),
    }
}

/// The line of a run, at times with other figures, of which the digest is right even so.
fn line(key: u128, choices: &mut Choices<'_>) -> String {
    let line = KnownRuns::default().put(key, &figures(choices));
    let line = line.expect("figures have a text");
    let figures = line.splitn(3, ' ').last().unwrap_or_default().trim_end();
    if !choices.once_in(4) {
        return line;
    }
    let mut other = figures.as_bytes().to_vec();
    spoil(&mut other, choices);
    let other = String::from_utf8_lossy(&other).replace(['\n', '\r'], " ");
    format!("{key:x} {:x} {other}\n", digest([other.as_str()]))
}

/// Tries the lines that some choices make.
///
/// # Panics
///
/// If what was read is written in another way.
pub fn try_one(choices: &mut Choices<'_>) -> Came {
    let mut text = String::new();
    for key in 0..=choices.below(MOST_RUNS as usize) {
        text.push_str(&line(key as u128, choices));
    }
    let text = perhaps_spoiled_text(text, choices);
    let (known, damaged) = KnownRuns::read(&text);
    assert!(damaged <= text.lines().count());
    let mut came = Came::Refused;
    for key in 0..MOST_RUNS {
        if !known.knows(key) {
            continue;
        }
        let Some(figures) = known.get(key) else {
            came = came.max(Came::Read);
            continue;
        };
        came = Came::Through;
        let line = KnownRuns::default().put(key, &figures);
        let (again, damaged) = KnownRuns::read(&line.expect("figures have a text"));
        assert_eq!((again.get(key), damaged), (Some(figures), 0));
    }
    came
}
