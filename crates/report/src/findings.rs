//! What was found of a run: what was measured, as plain data, and what is judged of it.

pub use hallwright_findings::*;

pub use crate::judged::Findings;
