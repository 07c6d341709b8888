//! What is written of runs: texts, JSON, tables, traces.

// A whole report is written out as one value.
#![recursion_limit = "256"]

mod check;
mod compare;
mod dirty;
mod explain;
mod hall;
mod idle_calls;
#[path = "../report/parts.rs"]
mod parts;
mod support;
mod trace;
mod upsets;
