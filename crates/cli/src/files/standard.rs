//! Standard output: how wide it is, and what to do when its reader has gone; and standard error.

use std::io::{self, Write};

use hallwright_names as names;
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

/// Reports something on a line of standard error, if anybody listens. Nothing in it moves a terminal's
/// cursor, or gives a CI service a command.
pub(crate) fn note(words: &str) {
    write_out(&names::lines(&names::text(words)));
}

/// The same of words that are put together first, unless only what is wrong is wanted.
macro_rules! note {
    ($($words:tt)*) => {
        if !$crate::manner::is_quiet() {
            $crate::files::note(&format!($($words)*))
        }
    };
}

/// Reports something that is wrong, always.
macro_rules! wrong {
    ($($words:tt)*) => {
        $crate::files::note(&format!($($words)*))
    };
}

/// Reports on standard error what was drawn for it, with colours perhaps: its names are fit already.
pub(crate) fn note_drawn(drawn: &str, has_colour: bool) {
    match has_colour {
        true => write_out(drawn),
        false => write_out(&names::lines(drawn)),
    }
}

fn write_out(words: &str) {
    // A reader that has gone does not want to know.
    let _ = writeln!(io::stderr().lock(), "{words}");
}
