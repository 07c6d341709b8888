//! Writes every event of a run, one JSON object a line, to a file or to standard output.

use std::io;
use std::path::Path;

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_render::TraceWriter;

use super::destination::Destination;

/// What a run is being written to. A file gets its name only when it is whole.
pub(crate) struct TraceFile(TraceWriter<Destination>);

impl TraceFile {
    /// Begins to write; `None`: to standard output.
    pub(crate) fn create(path: Option<&Path>) -> io::Result<Self> {
        let destination = match path {
            Some(path) => Destination::open(path)?,
            None => Destination::Output,
        };
        Ok(Self(TraceWriter::new(destination)))
    }

    /// Writes the rest and gives the file its name.
    pub(crate) fn finish(self) -> io::Result<()> {
        self.0.finish()?.finish()
    }
}

impl Observer for TraceFile {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        self.0.event(moment, event, view);
    }
}
