//! How much is reported on standard error, and whether in colour: the same for all of a command.

use std::sync::OnceLock;

use anstream::AutoStream;
use clap::ColorChoice;

/// What the flags ask for.
#[derive(Clone, Copy, Debug)]
struct Manner {
    has_colour: bool,
    is_quiet: bool,
}

static MANNER: OnceLock<Manner> = OnceLock::new();

/// Takes what the flags ask for, once. `auto` looks at the terminal, `NO_COLOR`, `CLICOLOR`, `CLICOLOR_FORCE` and
/// `TERM`; where `CI` is set, a terminal shows colours whatever `TERM` is.
pub(crate) fn choose(colour: ColorChoice, is_quiet: bool) {
    let has_colour = match colour {
        ColorChoice::Always => true,
        ColorChoice::Never => false,
        ColorChoice::Auto => {
            let choice = AutoStream::choice(&std::io::stderr());
            !matches!(choice, anstream::ColorChoice::Never)
        }
    };
    // Nobody chooses twice.
    let _ = MANNER.set(Manner {
        has_colour,
        is_quiet,
    });
}

/// Whether diagnostics are drawn in colour.
pub(crate) fn has_colour() -> bool {
    MANNER.get().is_some_and(|manner| manner.has_colour)
}

/// Whether only results, errors and warnings are wanted.
pub(crate) fn is_quiet() -> bool {
    MANNER.get().is_some_and(|manner| manner.is_quiet)
}
