//! One file for each subcommand.

pub(crate) mod check;
pub(crate) mod compare;
pub(crate) mod new;
pub(crate) mod run;
pub(crate) mod show;
mod write;
