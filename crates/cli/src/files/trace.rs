//! Writes every event of a run to a file, one JSON object a line.

use std::io;
use std::path::Path;

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_render::TraceWriter;

use super::destination::Destination;

/// The file that a run is being written to. It gets its name only when it is whole.
pub(crate) struct TraceFile(TraceWriter<Destination>);

impl TraceFile {
    /// Begins to write.
    pub(crate) fn create(path: &Path) -> io::Result<Self> {
        Destination::open(path).map(TraceWriter::new).map(Self)
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
