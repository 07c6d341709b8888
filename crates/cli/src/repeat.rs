//! The command that repeats a run, as a shell takes it.

use std::path::Path;

use hallwright_core::setup::UpdateOrder;
use hallwright_core::tick::Tick;
use hallwright_scenario::DEFAULT_PART_LIMIT;
use hallwright_trials::check::order_words;

use crate::flags::StopRange;

/// What a run is made from. What is left out is left to the scenario.
pub(crate) struct Repeat<'a> {
    /// The subcommand.
    pub(crate) command: &'a str,
    pub(crate) scenario: &'a Path,
    pub(crate) variant: Option<&'a str>,
    pub(crate) set: &'a [(String, String)],
    pub(crate) order: Option<&'a UpdateOrder>,
    pub(crate) seed: Option<u64>,
    pub(crate) stop_at: Option<Tick>,
    pub(crate) stop_sweep: Option<StopRange>,
    pub(crate) part_limit: usize,
    pub(crate) root: Option<&'a Path>,
}

impl Repeat<'_> {
    /// `hallwright run …`, or another subcommand.
    pub(crate) fn command(&self) -> String {
        let mut words = vec![
            format!("hallwright {}", self.command),
            quoted(&self.scenario.to_string_lossy()),
        ];
        if let Some(variant) = self.variant {
            words.push(format!("--variant {}", quoted(variant)));
        }
        for (name, value) in self.set {
            words.push(format!("--set {}", quoted(&format!("{name}={value}"))));
        }
        if let Some(order) = self.order {
            words.push(format!("--order {}", order_words(order)));
        }
        if let Some(seed) = self.seed {
            words.push(format!("--seed {seed}"));
        }
        if let Some(tick) = self.stop_at {
            words.push(format!("--stop-at {tick}"));
        }
        if let Some(range) = self.stop_sweep {
            words.push(format!(
                "--stop-sweep {}..{}/{}",
                range.from, range.to, range.step_ticks
            ));
        }
        if self.part_limit != DEFAULT_PART_LIMIT {
            words.push(format!("--part-limit {}", self.part_limit));
        }
        if let Some(root) = self.root {
            words.push(format!("--root {}", quoted(&root.to_string_lossy())));
        }
        words.join(" ")
    }
}

/// A word as a shell takes it.
fn quoted(word: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || "-_./=,:+@".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        word.to_owned()
    } else {
        format!("'{}'", word.replace('\'', r"'\''"))
    }
}
