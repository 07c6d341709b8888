//! The flag for the root of what is read.

use std::path::PathBuf;

use clap::Args;

/// Where everything lies that a scenario may read.
#[derive(Clone, Debug, Default, Args)]
pub(crate) struct RootFlag {
    /// The folder in which everything must lie that a scenario reads. By default the nearest one above the
    /// scenario that has a `.git`, or else the scenario's own.
    #[arg(long, value_name = "DIR")]
    pub(crate) root: Option<PathBuf>,
}
