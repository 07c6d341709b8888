//! Checks scenarios: a goal holds only if it holds in every pair of orders, for every seed and at
//! every stop tick.
//!
//! A [`CaseResult`] is what is kept of one run, and [`fold()`] puts the runs of one scenario together.
//! What a run in the declared orders measured can be kept in a [`Record`] and compared later.

mod causes;
mod figures;
mod fold;
mod outcome;
mod record;
mod trail;

pub use fold::{BrokenRun, CaseResult, Fold, GoalChecked, JUDGED_ANYWAY, PartPlace, Worst, fold};
pub(crate) use fold::{relative_excess, worst_check};
pub use outcome::{CheckOutcome, CheckReport, Checked, Problem};
pub use record::{Compared, Measured, Moved, Record, RecordError};
