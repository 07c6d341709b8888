//! The command that repeats a run, as a shell takes it.

use std::path::Path;

use hallwright_core::order::{Order, Orders};
use hallwright_core::tick::Tick;
use hallwright_scenario::DEFAULT_PART_LIMIT;
use hallwright_trials::{Case, order_words};

use crate::flags::{Cases, LeavingFlags};

/// What a run is made from. What is left out is left to the scenario.
pub(crate) struct Repeat<'a> {
    /// The subcommand.
    pub(crate) command: &'a str,
    pub(crate) scenario: &'a Path,
    pub(crate) variant: Option<&'a str>,
    pub(crate) set: &'a [(String, String)],
    pub(crate) changes: Changes,
    /// The cases of a sweep.
    pub(crate) sweep: Option<&'a Cases>,
    /// When the hall is left.
    pub(crate) leaving: Option<&'a LeavingFlags>,
    pub(crate) part_limit: usize,
    pub(crate) root: Option<&'a Path>,
}

/// What a run changes of its scenario: what is named is said by a flag.
#[derive(Clone, Default)]
pub(crate) struct Changes {
    pub(crate) update_order: Option<Order>,
    pub(crate) signal_order: Option<Order>,
    pub(crate) seed: Option<u64>,
    pub(crate) stop_at: Option<Tick>,
}

impl From<&Case> for Changes {
    fn from(case: &Case) -> Self {
        Self {
            update_order: Some(case.orders.update.clone()),
            signal_order: Some(case.orders.signal.clone()),
            seed: Some(case.seed),
            stop_at: case.stop_at,
        }
    }
}

impl Changes {
    /// The case that differs so from a scenario that was loaded with this seed.
    pub(crate) fn case(&self, loaded_seed: u64) -> Case {
        Case {
            orders: Orders {
                update: self.update_order.clone().unwrap_or_default(),
                signal: self.signal_order.clone().unwrap_or_default(),
            },
            stop_at: self.stop_at,
            ..Case::as_declared(loaded_seed)
        }
    }

    fn add_to(&self, words: &mut Vec<String>) {
        for (flag, order) in [
            ("--order", &self.update_order),
            ("--signal-order", &self.signal_order),
        ] {
            if let Some(order) = order {
                words.push(format!("{flag} {}", order_words(order)));
            }
        }
        if let Some(seed) = self.seed {
            words.push(format!("--seed {seed}"));
        }
        if let Some(tick) = self.stop_at {
            words.push(format!("--stop-at {tick}"));
        }
    }
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
        self.changes.add_to(&mut words);
        if let Some(cases) = self.sweep {
            add_cases(cases, &mut words);
        }
        words.extend(self.leaving.into_iter().flat_map(LeavingFlags::words));
        if self.part_limit != DEFAULT_PART_LIMIT {
            words.push(format!("--part-limit {}", self.part_limit));
        }
        if let Some(root) = self.root {
            words.push(format!("--root {}", quoted(&root.to_string_lossy())));
        }
        words.join(" ")
    }
}

fn add_cases(cases: &Cases, words: &mut Vec<String>) {
    if cases.seeds > 0 {
        words.push(format!("--seeds {}", cases.seeds));
    }
    if let Some(shuffles) = cases.shuffles {
        words.push(format!("--shuffles {shuffles}"));
    }
    if let Some(range) = cases.stop_sweep {
        words.push(format!(
            "--stop-sweep {}..{}/{}",
            range.from, range.to, range.step_ticks
        ));
    }
}

/// A word as a shell takes it.
pub(crate) fn quoted(word: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || "-_./=,:+@".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        word.to_owned()
    } else {
        format!("'{}'", word.replace('\'', r"'\''"))
    }
}
