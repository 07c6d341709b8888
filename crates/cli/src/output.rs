//! Standard output: how wide it is, and what to do when its reader has gone. Files: whole or not at
//! all.

use std::fs::File;
use std::io::{self, Write};
use std::path::Path;

use terminal_size::{Width, terminal_size};

/// The columns of a report that goes to a file or a pipe.
const COLUMNS_OF_A_PAGE: u16 = 80;

/// How many columns a report may take: as many as the environment variable `COLUMNS` says; without it
/// the terminal's, but no more than 100.
pub(crate) fn width_columns() -> u16 {
    let asked = std::env::var("COLUMNS").ok();
    if let Some(columns) = asked.and_then(|columns| columns.trim().parse().ok())
        && columns > 0
    {
        return columns;
    }
    terminal_size().map_or(COLUMNS_OF_A_PAGE, |(Width(columns), _)| columns.min(100))
}

/// Prints to standard output. A reader that stops early, such as `head`, is no error.
pub(crate) fn print(text: &str) -> io::Result<()> {
    let mut out = io::stdout().lock();
    let written = writeln!(out, "{}", text.trim_end()).and_then(|()| out.flush());
    match written {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

/// A file that has no name yet, in the folder in which it will get this one, with the permissions
/// of any new file.
pub(crate) fn nameless_file(path: &Path) -> io::Result<tempfile::NamedTempFile<File>> {
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    builder.tempfile_in(folder.unwrap_or(Path::new(".")))
}

/// Writes a file whole, or leaves what is there as it is.
pub(crate) fn write_whole(path: &Path, text: &str) -> io::Result<()> {
    let mut file = nameless_file(path)?;
    file.write_all(text.as_bytes())?;
    file.persist(path).map(drop).map_err(|error| error.error)
}
