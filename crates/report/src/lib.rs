//! Measures runs and says what was found.
//!
//! [`run`] drives the engine, watches the run with every measurement of the module `measure`, judges
//! the goals and returns [`Findings`](findings::Findings): plain data with exact figures. [`sweep()`]
//! repeats a run with its stop at every tick of a range. [`render`] writes findings as text or JSON.

pub mod check;
pub mod compare;
pub mod explain;
pub mod findings;
pub mod goals;
mod left_behind;
pub mod limits;
mod measure;
pub mod render;
mod runner;
pub mod show;
mod sweep;
pub mod tune;
pub mod units;

pub use runner::{RunInput, run, run_observed, run_with_limits, setup_for};
pub use sweep::{MarkRange, MissedGoal, SweepFindings, stopped_at, sweep};
