//! One file for each subcommand.

pub(crate) mod calibrate;
pub(crate) mod check;
pub(crate) mod compare;
pub(crate) mod completions;
pub(crate) mod explain;
mod halfway;
pub(crate) mod levels;
pub(crate) mod new;
mod one_run;
pub(crate) mod plan;
pub(crate) mod run;
pub(crate) mod sheet;
pub(crate) mod show;
mod sweep;
pub(crate) mod tune;
