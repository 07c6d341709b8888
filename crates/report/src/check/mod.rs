//! Checks scenarios: a goal holds only if it holds in every update order, for every seed and at
//! every stop tick.
//!
//! [`cases()`] says which runs that takes, [`run_case`] makes one of them, and [`fold()`] puts the
//! runs of one scenario together. What a run of the declared order measured can be kept in a
//! [`Record`] and compared later.

mod cases;
mod causes;
mod figures;
mod fold;
mod outcome;
mod record;
mod trail;

pub use cases::{Case, Choice, cases, order_words, stop_ticks};
pub use fold::{BrokenRun, CaseResult, Fold, GoalChecked, Worst, fold, run_case};
pub(crate) use fold::{caught, relative_excess, worst_check};
pub use outcome::{CheckOutcome, CheckReport, Checked, Problem};
pub use record::{Compared, Measured, Moved, Record, RecordError};
