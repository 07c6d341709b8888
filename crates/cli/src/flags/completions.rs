//! Flags of `completions`.

use clap::Args;
use clap_complete::Shell;

/// Flags of `completions`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  hallwright completions bash > ~/.local/share/bash-completion/completions/hallwright\n  \
    hallwright completions fish > ~/.config/fish/completions/hallwright.fish\n\n\
    Exit codes: 0 done, 2 the flags cannot be used."
)]
pub(crate) struct CompletionsFlags {
    /// The shell.
    pub(crate) shell: Shell,
}
