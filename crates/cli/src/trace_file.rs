//! Writes every event of a run to a file, one JSON object a line.

use std::fs::File;
use std::io;
use std::path::Path;

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_render::TraceWriter;

use crate::output::nameless_file;

/// The file that a run is being written to. It gets its name only when it is whole.
pub(crate) struct TraceFile<'p> {
    path: &'p Path,
    writer: TraceWriter<tempfile::NamedTempFile<File>>,
}

impl<'p> TraceFile<'p> {
    /// Begins to write beside the file of this name.
    pub(crate) fn create(path: &'p Path) -> io::Result<Self> {
        let file = nameless_file(path)?;
        Ok(Self {
            path,
            writer: TraceWriter::new(file),
        })
    }

    /// Writes the rest and gives the file its name.
    pub(crate) fn finish(self) -> io::Result<()> {
        let file = self.writer.finish()?;
        file.persist(self.path)
            .map(drop)
            .map_err(|error| error.error)
    }
}

impl Observer for TraceFile<'_> {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        self.writer.event(moment, event, view);
    }
}
