//! Standard output: how wide it is, and what to do when its reader has gone.

use std::io::{self, Write};

use terminal_size::{Width, terminal_size};

/// The columns of a report that goes to a file or a pipe.
const COLUMNS_OF_A_PAGE: u16 = 80;

/// How many columns a report may take: the terminal's, but no more than 100.
pub(crate) fn width_columns() -> u16 {
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
