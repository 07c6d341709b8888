//! A second engine, slow and obvious, that judges the first one.
//!
//! It follows `docs/look-up/tick-rules.md` and its two further pages sentence by sentence: every hopper takes its turn in every tick,
//! every list is scanned anew, cooldowns and ages are counted by ones. It shares the types that
//! describe a network, a setup and an event with `hallwright-core`, and not one helper. Where the
//! two engines differ, one of them has misread the rules.
//!
//! Each module is one part of the rules, in their words:
//!
//! | module | rules |
//! | --- | --- |
//! | `inventory` | section 1: slots, inserting, fill level |
//! | `engine` | section 2: the phases of a tick |
//! | `moves` | sections 2 and 4: one item goes in, arrival, who is notified |
//! | `settle`, `signals`, `propagation`, `ranks`, `values` | section 3 |
//! | `hoppers` | section 4 |
//! | `droppers`, `loose` | section 5 |
//! | `benches`, `selectors`, `predicate`, `shuttles`, `inputs` | section 6 |
//! | `conservation`, `digest` | section 7 |
//! | `cost` | section 8 |
//! | `sleep` | section 9: sleep and reopening |
//! | `landings` | deliveries that wait |
//!
//! A [`Fault`] breaks one rule on purpose, to see whether a comparison notices.

// A new part, signal, event or action must be thought of wherever they are kept apart.
#![deny(clippy::wildcard_enum_match_arm)]

mod benches;
mod book;
mod conservation;
mod cost;
mod digest;
mod droppers;
mod engine;
mod fault;
mod hoppers;
mod inputs;
mod inventory;
mod landings;
mod loose;
mod mishaps;
mod moves;
mod predicate;
mod propagation;
mod ranks;
mod selectors;
mod settle;
mod shuttles;
mod signals;
mod sleep;
mod values;
mod world;

pub use engine::ReferenceEngine;
pub use fault::Fault;
