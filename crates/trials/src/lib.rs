//! Many runs of one design or of several.
//!
//! A [`Case`] says what one run changes of its scenario, [`cases()`] which of them are made, and a
//! [`Machine`] makes them on all cores. What they come to differs: a [`sweep`] reports the worst of all
//! stop ticks, [`leave`] what breaks when the builder walks away, [`margin`] how much slower selectors and
//! shuttles may be, [`check`] judges a design, [`compare`] sets designs side by side, and [`tune`] searches
//! among them. [`calibrate`] works out what parts cost the world from halls that were measured.

mod batch;
pub mod calibrate;
mod case;
mod cases;
pub mod check;
pub mod compare;
pub mod leave;
mod machine;
pub mod margin;
pub mod stop_trial;
pub mod stops_everywhere;
pub mod sweep;
pub mod tune;

pub use batch::Made;
pub use case::{Case, CaseRun, NoStop, order_words, orders_words};
pub use cases::{Choice, OrdersTried, StopRange, Stops, Tried, cases, orders, stop_ticks};
pub use machine::{Machine, Over, Unmade};
