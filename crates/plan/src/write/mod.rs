//! What a plan is written as: a scenario with its tables, and a report.

mod changes;
mod goals;
mod hauls;
pub mod json;
mod proof;
mod scenario;
mod tables;
pub mod text;

pub use hauls::{stacks, stock};
pub use scenario::scenario;
pub use tables::allocation;

/// The modules of every planned hall.
pub const MODULES: &str = include_str!("../../../../scenarios/plan/modules/slices.ron");

/// A text in quotes, as RON wants it. Names are checked to need no escapes.
fn quoted(text: &str) -> String {
    format!("{text:?}")
}
