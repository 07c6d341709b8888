//! What happens in a tick: a file for each phase of the tick rules, or each part of one, and for what
//! follows at once from what they do (`changes.rs`, `levels.rs`, `work.rs`).
//!
//! They are methods of the engine, which read the tables and change the state.

mod benches;
mod both_ways;
mod changes;
mod clocks;
mod droppers;
mod hoppers;
mod inputs;
mod landings;
mod levels;
mod loose;
mod mishaps;
mod passing;
mod reopening;
pub(in crate::engine) mod rewiring;
mod selectors;
mod settle;
mod shuttles;
pub(in crate::engine) mod signals;
mod sleep;
mod work;
