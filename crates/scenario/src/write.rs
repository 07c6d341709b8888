//! How values are written in a layout, for whoever writes one.

use std::fmt::Display;

use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;

pub use crate::resolve::{rules_that_differ, written as goal, written_weights};

/// A text in quotes.
#[must_use]
pub fn quoted(text: &str) -> String {
    ron::to_string(text).unwrap_or_default()
}

/// Values in brackets.
#[must_use]
pub fn list(values: impl IntoIterator<Item = String>) -> String {
    let values: Vec<String> = values.into_iter().collect();
    format!("[{}]", values.join(", "))
}

/// The name of a part, in quotes.
#[must_use]
pub fn part(network: &Network, part: PartId) -> String {
    quoted(network.name(part))
}

/// The names of parts.
#[must_use]
pub fn parts(network: &Network, parts: &[PartId]) -> String {
    list(parts.iter().map(|id| part(network, *id)))
}

/// The names of kinds.
#[must_use]
pub fn kinds(network: &Network, kinds: &[KindId]) -> String {
    list(kinds.iter().map(|kind| quoted(&network.kind(*kind).name)))
}

/// A time in ticks.
#[must_use]
pub fn ticks(ticks: impl Display) -> String {
    format!("\"{ticks}t\"")
}

/// A number with a fraction, so that it is read as one however large it is.
#[must_use]
pub fn decimal(number: f64) -> String {
    let text = number.to_string();
    if text.contains('.') {
        text
    } else {
        format!("{text}.0")
    }
}
