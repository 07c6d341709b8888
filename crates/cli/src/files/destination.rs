//! Where bytes go: a file, which is replaced whole, or something that takes bytes as they come.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;

use super::whole::{WholeFile, folder_of};

/// So many links are followed to find out what a path is.
const MOST_LINKS: usize = 40;

/// Something that is being written to.
#[derive(Debug)]
pub(super) enum Destination {
    /// A file: it gets its name when all is written.
    Whole(Box<WholeFile>),
    /// A device, a pipe, a socket or what the shell has opened.
    Through(File),
    /// The command's own standard output.
    Output,
    /// The command's own standard error.
    Error,
}

/// What a path is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum DestinationSort {
    /// A file, or nothing yet.
    File,
    /// Bytes go through it.
    Through,
    /// What the shell has opened under this number.
    Opened(u32),
}

impl Destination {
    /// Opens what a path names.
    pub(super) fn open(path: &Path) -> io::Result<Self> {
        match sort(path) {
            DestinationSort::File => Ok(Self::Whole(Box::new(WholeFile::create(path)?))),
            DestinationSort::Opened(1) => Ok(Self::Output),
            DestinationSort::Opened(2) => Ok(Self::Error),
            // What the shell has opened is written behind what is there.
            DestinationSort::Opened(_) => {
                Ok(Self::Through(File::options().append(true).open(path)?))
            }
            DestinationSort::Through => Ok(Self::Through(File::options().write(true).open(path)?)),
        }
    }

    /// Ends writing: a file gets its name.
    pub(super) fn finish(mut self) -> io::Result<()> {
        self.flush()?;
        match self {
            Self::Whole(file) => file.commit(),
            _ => Ok(()),
        }
    }
}

impl Write for Destination {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        match self {
            Self::Whole(file) => file.write(bytes),
            Self::Through(file) => unless_gone(file.write(bytes), bytes.len()),
            Self::Output => unless_gone(io::stdout().write(bytes), bytes.len()),
            Self::Error => unless_gone(io::stderr().write(bytes), bytes.len()),
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        match self {
            Self::Whole(file) => file.flush(),
            Self::Through(file) => unless_gone(file.flush(), ()),
            Self::Output => unless_gone(io::stdout().flush(), ()),
            Self::Error => unless_gone(io::stderr().flush(), ()),
        }
    }
}

/// A reader that has gone is no error: the rest is for nobody.
fn unless_gone<T>(result: io::Result<T>, as_if: T) -> io::Result<T> {
    match result {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(as_if),
        other => other,
    }
}

/// What a path is. Nothing is opened.
pub(super) fn sort(path: &Path) -> DestinationSort {
    if let Some(number) = opened(path) {
        return DestinationSort::Opened(number);
    }
    match fs::metadata(path) {
        Ok(there) if !there.is_file() && !there.is_dir() => DestinationSort::Through,
        _ => DestinationSort::File,
    }
}

/// The number of what the shell has opened, if a path leads to the folder of those.
fn opened(path: &Path) -> Option<u32> {
    let folders = ["/dev/fd", "/proc/self/fd"].map(|folder| fs::canonicalize(folder).ok());
    let mut path = path.to_path_buf();
    for _ in 0..MOST_LINKS {
        let folder = fs::canonicalize(folder_of(&path)).ok();
        if folder.is_some() && folders.contains(&folder) {
            return path.file_name()?.to_str()?.parse().ok();
        }
        path = folder_of(&path).join(fs::read_link(&path).ok()?);
    }
    None
}
