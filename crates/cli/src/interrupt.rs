//! An interrupt while many runs are made: no further ones are begun, and what there is by then is reported. A
//! second one ends the command at once.

use std::io::{self, IsTerminal};
use std::sync::atomic::{AtomicBool, Ordering};

use crate::files;

static IS_AWAITED: AtomicBool = AtomicBool::new(false);
static CAME: AtomicBool = AtomicBool::new(false);

/// As long as there is one, the first interrupt only cuts short.
pub(crate) struct Awaited(());

impl Awaited {
    pub(crate) fn new() -> Self {
        files::listen();
        IS_AWAITED.store(true, Ordering::SeqCst);
        Self(())
    }
}

impl Drop for Awaited {
    fn drop(&mut self) {
        IS_AWAITED.store(false, Ordering::SeqCst);
    }
}

/// Whether an interrupt has come.
pub(crate) fn came() -> bool {
    CAME.load(Ordering::SeqCst)
}

/// Takes an interrupt that has come. Whether that was all: otherwise the command ends.
pub(crate) fn taken() -> bool {
    let is_taken = IS_AWAITED.load(Ordering::SeqCst) && !CAME.swap(true, Ordering::SeqCst);
    if is_taken {
        if io::stderr().is_terminal() {
            // Below the bar, if there is one.
            files::note("");
        }
        files::note(
            "note: interrupted; what was found so far follows, a second interrupt ends at once",
        );
    }
    is_taken
}
