//! The command as a builder uses it: what it prints, where, and its exit codes.

mod check;
mod check_breaks;
mod check_formats;
mod check_records;
mod compare;
mod compare_formats;
mod examples;
mod explain;
mod granary;
mod levels;
mod limits;
mod messages;
mod names;
mod outputs;
mod plan;
mod roots;
mod same_run;
mod scenarios;
mod show;
mod support;
mod tune;
mod tune_enumeration;
mod tune_page;
mod verdicts;
mod writer;
mod written;
