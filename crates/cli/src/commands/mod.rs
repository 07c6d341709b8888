//! One file for each subcommand.

pub(crate) mod run;
