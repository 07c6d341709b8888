//! Files and folders that are not whole yet: none is left behind, however the command ends.

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, Once, PoisonError};

/// What must go if the command is ended from outside. It is held while names are given, so that this
/// happens wholly or not at all.
static UNFINISHED: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

fn unfinished() -> MutexGuard<'static, BTreeSet<PathBuf>> {
    UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A name that goes when it is dropped, or when the command is ended.
#[derive(Debug)]
pub(crate) struct Scratch(PathBuf);

impl Scratch {
    /// Makes something at a new path: a signal finds it either not made or noted.
    pub(super) fn made<T>(
        make: impl FnOnce() -> io::Result<(T, PathBuf)>,
    ) -> io::Result<(T, Self)> {
        listen();
        let mut unfinished = unfinished();
        let (made, path) = make()?;
        unfinished.insert(path.clone());
        Ok((made, Self(path)))
    }

    /// Where it is.
    pub(crate) fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        let mut unfinished = unfinished();
        remove(&self.0);
        unfinished.remove(&self.0);
    }
}

/// A folder for files that nobody is to keep.
pub(crate) fn scratch_folder() -> io::Result<Scratch> {
    let made = Scratch::made(|| Ok(((), tempfile::tempdir()?.keep())))?;
    Ok(made.1)
}

/// Does something that no signal may interrupt half way.
pub(super) fn undivided<T>(give_names: impl FnOnce() -> T) -> T {
    let _held = unfinished();
    give_names()
}

fn remove(path: &Path) {
    // What has got its name is not there any more.
    if fs::remove_file(path).is_err() {
        let _ = fs::remove_dir_all(path);
    }
}

/// From the first file on, whatever ends the command clears up first.
pub(crate) fn listen() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        #[cfg(unix)]
        if let Err(error) = signals::listen() {
            super::note(&format!(
                "note: an interrupted command may leave files behind: {error}"
            ));
        }
    });
}

#[cfg(unix)]
mod signals {
    use std::io;
    use std::sync::Arc;
    use std::sync::atomic::AtomicBool;
    use std::thread;

    use signal_hook::consts::{SIGINT, SIGTERM, SIGXFSZ};
    use signal_hook::iterator::Signals;
    use signal_hook::low_level::emulate_default_handler;

    pub(super) fn listen() -> io::Result<()> {
        // A file beyond its limit is an error of writing like others, and no end of the command.
        signal_hook::flag::register(SIGXFSZ, Arc::new(AtomicBool::new(false)))?;
        let mut signals = Signals::new([SIGINT, SIGTERM])?;
        thread::Builder::new().spawn(move || {
            for signal in signals.forever() {
                if signal == SIGINT && crate::interrupt::taken() {
                    continue;
                }
                // Held until the end: nothing more is begun or gets its name.
                let unfinished = super::unfinished();
                unfinished.iter().for_each(|path| super::remove(path));
                let _ = emulate_default_handler(signal);
            }
        })?;
        Ok(())
    }
}
