//! Flags of `new`.

use std::path::PathBuf;

use clap::Args;

/// Flags of `new`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n\
    \x20 hallwright new hall\n\n\
    Exit codes:\n\
    \x20 0  the file is written\n\
    \x20 2  it is there already or cannot be written")]
pub(crate) struct NewFlags {
    /// Its name; `.ron` may be left out. A file that is there already is kept.
    pub(crate) name: PathBuf,
}
