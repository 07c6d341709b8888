//! Flags of `new`.

use std::path::PathBuf;

use clap::Args;

/// Flags of `new`.
#[derive(Debug, Args)]
pub(crate) struct NewFlags {
    /// Its name; `.ron` may be left out. A file that is there already is kept.
    pub(crate) name: PathBuf,
}
