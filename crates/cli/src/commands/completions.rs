//! `hallwright completions`: what a shell needs to complete commands and flags.

use anyhow::Result;
use clap::CommandFactory;

use crate::exit_code::Outcome;
use crate::files;
use crate::flags::{CompletionsFlags, Flags};

/// Writes the script of a shell to standard output.
pub(crate) fn write(flags: &CompletionsFlags) -> Result<Outcome> {
    let mut script = Vec::new();
    clap_complete::generate(
        flags.shell,
        &mut Flags::command(),
        "hallwright",
        &mut script,
    );
    files::print(&String::from_utf8_lossy(&script))?;
    Ok(Outcome::Done)
}
