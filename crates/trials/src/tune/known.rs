//! Runs that are known already, as lines of a file.
//!
//! A line is the digest of what was run, a digest of the rest of the line, and what came of the run. One that was
//! cut off or damaged does not agree with its digest and is passed over.

use std::collections::HashMap;

use super::digest::digest;
use super::figures::RunFigures;
use crate::{Case, order_words};

/// Results of runs, by the digest of what was run.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct KnownRuns(HashMap<u128, String>);

impl KnownRuns {
    /// Reads lines, and says how many of them are damaged. Of two lines about one run the later holds.
    #[must_use]
    pub fn read(text: &str) -> (Self, usize) {
        let mut known = Self::default();
        let mut damaged = 0;
        for line in text.lines().filter(|line| !line.is_empty()) {
            match read_line(line) {
                Some((key, figures)) => drop(known.0.insert(key, figures.to_owned())),
                None => damaged += 1,
            }
        }
        (known, damaged)
    }

    /// Whether the result of a run is known.
    #[must_use]
    pub fn knows(&self, key: u128) -> bool {
        self.0.contains_key(&key)
    }

    /// The result of a run, if it is known.
    #[must_use]
    pub fn get(&self, key: u128) -> Option<RunFigures> {
        serde_json::from_str(self.0.get(&key)?).ok()
    }

    /// Takes up the result of a run, and gives the line to write. `None` if there is no text for it.
    pub fn put(&mut self, key: u128, figures: &RunFigures) -> Option<String> {
        let text = serde_json::to_string(figures).ok()?;
        let line = format!("{key:032x} {:032x} {text}\n", digest([text.as_str()]));
        self.0.insert(key, text);
        Some(line)
    }
}

/// What a line says, unless it is damaged.
fn read_line(line: &str) -> Option<(u128, &str)> {
    let (key, rest) = line.split_once(' ')?;
    let (check, text) = rest.split_once(' ')?;
    let number = |text: &str| u128::from_str_radix(text, 16).ok();
    let is_whole = number(check)? == digest([text]);
    let key = number(key)?;
    is_whole.then_some((key, text))
}

/// The digest of one run: of its whole input, which is a flat layout with seed, timeline and goals,
/// and the case.
#[must_use]
pub fn run_key(input: u128, case: &Case) -> u128 {
    let stop = case
        .stop_at
        .map_or_else(String::new, |tick| tick.to_string());
    let input = format!("{input:032x}");
    let seed = case.seed.to_string();
    let update_order = order_words(&case.orders.update);
    let signal_order = order_words(&case.orders.signal);
    digest([input.as_str(), &seed, &update_order, &signal_order, &stop])
}

#[cfg(test)]
mod tests {
    use hallwright_core::order::{Order, Orders};
    use hallwright_core::tick::Tick;

    use super::*;

    #[test]
    fn runs_that_differ_in_anything_have_keys_of_their_own() {
        let (declared, other) = (Order::Declared, Order::Shuffled(1));
        let of = |update: &Order, signal: &Order| Case {
            orders: Orders {
                update: update.clone(),
                signal: signal.clone(),
            },
            ..Case::as_declared(1)
        };
        let cases = [
            Case::as_declared(1),
            Case::as_declared(2),
            of(&other, &declared),
            of(&declared, &other),
            of(&other, &other),
            Case {
                stop_at: Some(Tick(1)),
                ..Case::as_declared(1)
            },
        ];
        let mut keys: Vec<u128> = cases.iter().map(|case| run_key(7, case)).collect();
        keys.push(run_key(8, &cases[0]));
        let all = keys.len();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), all);
    }
}
