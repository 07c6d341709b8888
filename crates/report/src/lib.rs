//! Measures runs and says what was found.
//!
//! [`run`] drives the engine, watches the run with every measurement of the module [`measure`], judges
//! the goals and returns [`Findings`](findings::Findings): plain data with exact figures. Every figure
//! is written down once, in the catalogue of the module [`figures`].

mod build;
pub mod figures;
pub mod findings;
pub mod goals;
mod going_on;
mod heading;
mod judged;
mod left_behind;
pub mod measure;
mod runner;
pub mod verdicts;
pub mod words;

pub use build::{USUAL_BLOCKS_PER_HOUR, blocks_of, build_hours, build_time};
pub use going_on::{GoneOn, came_to_rest, went_on};
pub use hallwright_findings::units;
pub use heading::Heading;
pub use runner::{
    Decided, Halfway, RunInput, Wanted, are_alike, decide_alike, run, run_alike, run_in_parts,
    run_observed, run_with_limits, setup_for, watch_stop,
};
