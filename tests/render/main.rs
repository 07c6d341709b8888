//! What is written of runs: texts, JSON, tables, traces.

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
