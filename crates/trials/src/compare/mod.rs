//! Compares designs: variants of one scenario, or different scenarios that do the same job.
//!
//! Every design is run in the same cases: the same seeds, orders and stop ticks. [`measure()`]
//! takes the figures of one run from the catalogue, [`range_of`] says what is best, median and worst over all runs of a
//! design, and [`difference_between`] holds its runs against those of the first design, each against
//! the run of the same case. [`compare()`] puts all of it together.

mod comparable;
mod comparison;
mod difference;
mod measure;
mod range;
mod words;

pub use comparable::incomparable;
pub use comparison::{
    Alike, BrokenCase, Cell, Comparison, Design, DesignRuns, Row, common_stops, compare,
};
pub use difference::{Difference, Interval, difference_between, student_t};
pub use measure::{Measurement, measure};
pub use range::{Range, Value, range_of};
pub use words::{difference_words, number_words, short_words, span_words, value_words};
