//! The figures of one run.

use hallwright_report::figures::{Figure, Name};
use hallwright_report::findings::Findings;

use super::range::Value;

/// A figure and what a run measured of it.
pub type Measurement = (Figure, Value);

/// The figures of a run. Runs of one design measure the same figures in the same order.
#[must_use]
pub fn measure(found: &Findings) -> Vec<Measurement> {
    let figures = Name::all_compared().flat_map(|name| name.compared(found));
    figures
        .map(|(figure, quantity)| (figure, Value::of(quantity)))
        .collect()
}
