//! What is written of runs: texts, JSON, tables, traces.

mod check;
mod compare;
mod dirty;
mod explain;
mod hall;
mod support;
mod trace;
