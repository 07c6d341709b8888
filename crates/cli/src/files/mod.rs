//! Everything that is written: files whole or not at all ([`whole`]), devices and pipes as they are
//! ([`destination`]), several files together ([`set`]), and never over what is read ([`guard`]).

mod destination;
mod guard;
mod scratch;
mod set;
#[macro_use]
mod standard;
mod targets;
mod trace;
mod whole;

pub(crate) use guard::Guard;
pub(crate) use scratch::{Scratch, listen, scratch_folder};
pub(crate) use set::{NamedText, write_folder};
pub(crate) use standard::{note, note_drawn, print};
pub(crate) use targets::{Target, target, targets_or, write_targets};
pub(crate) use trace::TraceFile;
pub(crate) use whole::write_new;

use std::io;
use std::path::Path;

use destination::Destination;

/// Writes a text: a file whole or not at all, anything else as it is.
pub(crate) fn write(path: &Path, text: &str) -> io::Result<()> {
    write_bytes(path, text.as_bytes())
}

/// The same with bytes.
pub(crate) fn write_bytes(path: &Path, bytes: &[u8]) -> io::Result<()> {
    use std::io::Write as _;

    let mut destination = Destination::open(path)?;
    destination.write_all(bytes)?;
    destination.finish()
}
