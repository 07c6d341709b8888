//! Random networks, run by both engines side by side.
//!
//! [`generate`](generate::generate) draws a network from a seed, [`lockstep`] runs it in the fast
//! engine and in the reference engine and compares everything that can be seen, [`reduce`] makes a
//! network on which they differ as small as it can, and [`coverage`] counts what was met on the way.

// A new part, signal, event or action must be thought of wherever they are kept apart.
#![deny(clippy::wildcard_enum_match_arm)]

pub mod blueprint;
pub mod coverage;
mod draw;
pub mod generate;
pub mod hunt;
pub mod lockstep;
mod mishaps;
mod nights;
pub mod readable;
pub mod reduce;
mod rewire;
