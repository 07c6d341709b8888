//! Writes every event of a run to a file, one JSON object a line.

use std::fs::File;
use std::io::{self, BufWriter, Write};
use std::path::Path;

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_report::render::trace_line;

use crate::output::nameless_file;

/// The file that a run is being written to. It gets its name only when it is whole.
pub(crate) struct TraceFile<'p> {
    path: &'p Path,
    file: BufWriter<tempfile::NamedTempFile<File>>,
    /// The first thing that went wrong; nothing is written after it.
    error: Option<io::Error>,
}

impl<'p> TraceFile<'p> {
    /// Begins to write beside the file of this name.
    pub(crate) fn create(path: &'p Path) -> io::Result<Self> {
        let file = nameless_file(path)?;
        Ok(Self {
            path,
            file: BufWriter::new(file),
            error: None,
        })
    }

    /// Writes the rest and gives the file its name.
    pub(crate) fn finish(self) -> io::Result<()> {
        match self.error {
            Some(error) => Err(error),
            None => {
                let file = self
                    .file
                    .into_inner()
                    .map_err(io::IntoInnerError::into_error)?;
                file.persist(self.path)
                    .map(drop)
                    .map_err(|error| error.error)
            }
        }
    }
}

impl Observer for TraceFile<'_> {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        if self.error.is_none() {
            let line = trace_line(view.network(), moment, event);
            self.error = writeln!(self.file, "{line}").err();
        }
    }
}
