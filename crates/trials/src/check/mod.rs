//! Checks scenarios: a goal holds only if it holds in every update order, for every seed and at
//! every stop tick.
//!
//! [`cases()`] says which runs that takes, [`run_case`] makes one of them and judges it, and [`fold()`]
//! puts the runs of one scenario together. [`found_in`] makes a run and keeps all that was found. What a run of the declared order measured can be kept in a
//! [`Record`] and compared later.

mod cases;
mod causes;
mod figures;
mod fold;
mod outcome;
mod record;
mod trail;

pub use cases::{Case, Choice, Stops, cases, order_words, stop_ticks};
pub use fold::{BrokenRun, CaseResult, Fold, GoalChecked, Worst, fold, found_in, run_case};
pub(crate) use fold::{relative_excess, worst_check};
pub use outcome::{CheckOutcome, CheckReport, Checked, Problem};
pub use record::{Compared, Measured, Moved, Record, RecordError};
