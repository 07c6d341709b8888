//! Many runs of one design or of several: [`sweep()`] repeats a run with its stop at every tick of a
//! range, [`check`] judges a design in many cases, [`compare`] sets designs side by side, and [`tune`]
//! searches among them.

pub mod check;
pub mod compare;
mod sweep;
pub mod tune;

pub use sweep::{MarkRange, MissedGoal, SweepFindings, stopped_at, sweep};
