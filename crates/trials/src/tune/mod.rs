//! Looks through designs of parameter values for designs that meet every goal.
//!
//! [`RunFigures`] is what is kept of one run, [`KnownRuns`] those of a search that was interrupted. [`search()`] screens every design: it makes its runs in their order and gives it up with the first that misses a goal,
//! for one miss is enough. Where none is left, it goes on with those that come nearest until it is
//! certain how near. `choose` says which of the found designs is the cheapest, and which no other
//! beats in every respect. [`TuneReport`] is all that is written of it.

mod choose;
mod digest;
mod explored;
mod figures;
mod known;
mod outcome;
mod search;

pub use choose::{Costs, Measure, cheapest, undominated};
pub use digest::digest;
pub use figures::{GoalFigure, RunFigures};
pub use known::{KnownRuns, run_key};
pub use outcome::{Design, FoundVariant, RangeTried, Refusal, Runs, TuneOutcome, TuneReport};
pub use search::{Bench, Candidate, Fate, Miss, Near, Obstacle, Searched, search};
