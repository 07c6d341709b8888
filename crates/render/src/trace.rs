//! The full trace of a run: a first line with the version of its fields, then one JSON object a line
//! for every event.

use std::fmt::Write as _;
use std::io::{self, Write};

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::slot::Item;

use crate::json::SCHEMA_VERSION;

/// So much text is gathered before it is written, in bytes.
const GATHERED_BYTES: usize = 1 << 16;

/// Writes every event of a run, one JSON object a line. It observes the run.
pub struct TraceWriter<W> {
    out: W,
    /// Lines that are not written yet.
    lines: String,
    /// The beginning of each line of this moment.
    beginning: Option<(Moment, String)>,
    /// Known from the first event on.
    names: Option<QuotedNames>,
    /// The first thing that went wrong; nothing is written after it.
    error: Option<io::Error>,
}

impl<W: Write> TraceWriter<W> {
    /// Writes to `out`, in large pieces.
    pub fn new(out: W) -> Self {
        Self {
            out,
            lines: format!("{{\"schema_version\":{SCHEMA_VERSION}}}\n"),
            beginning: None,
            names: None,
            error: None,
        }
    }

    /// Writes the rest, and gives back where it wrote to.
    ///
    /// # Errors
    ///
    /// The first that came up while writing; what was written is then not whole.
    pub fn finish(mut self) -> io::Result<W> {
        self.write_out();
        match self.error {
            Some(error) => Err(error),
            None => Ok(self.out),
        }
    }

    fn write_out(&mut self) {
        if self.error.is_none() {
            self.error = self.out.write_all(self.lines.as_bytes()).err();
        }
        self.lines.clear();
    }
}

impl<W: Write> Observer for TraceWriter<W> {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        if self.error.is_some() {
            return;
        }
        let names = self
            .names
            .get_or_insert_with(|| QuotedNames::new(view.network()));
        match &self.beginning {
            Some((of, text)) if *of == moment => self.lines.push_str(text),
            _ => {
                let text = beginning(moment);
                self.lines.push_str(&text);
                self.beginning = Some((moment, text));
            }
        }
        let lines = &mut self.lines;
        Line { text: lines, names }.add(event);
        self.lines.push('\n');
        if self.lines.len() >= GATHERED_BYTES {
            self.write_out();
        }
    }
}

/// One event as a JSON object on a line of its own, without the line's end. Parts and kinds are reported
/// by name, a box by its number too.
#[must_use]
pub fn trace_line(network: &Network, moment: Moment, event: &Event) -> String {
    let mut text = beginning(moment);
    let mut line = Line {
        text: &mut text,
        names: network,
    };
    line.add(event);
    text
}

/// What every line of a moment begins with.
fn beginning(moment: Moment) -> String {
    let (tick, phase) = (moment.tick.0, moment.phase as u8);
    format!("{{\"tick\":{tick},\"phase\":{phase}")
}

/// Names as JSON texts, in quotes.
trait Names {
    /// Adds the name of a part.
    fn add_part(&self, part: PartId, text: &mut String);
    /// Adds the name of a kind.
    fn add_kind(&self, kind: KindId, text: &mut String);
}

/// Quotes each name when it is asked for.
impl Names for Network {
    fn add_part(&self, part: PartId, text: &mut String) {
        text.push_str(&quoted(self.name(part)));
    }

    fn add_kind(&self, kind: KindId, text: &mut String) {
        text.push_str(&quoted(&self.kind(kind).name));
    }
}

fn quoted(name: &str) -> String {
    hallwright_names::json(&serde_json::Value::from(name).to_string()).into_owned()
}

/// All names of a network, quoted once.
struct QuotedNames {
    parts: QuotedTexts,
    kinds: QuotedTexts,
}

/// Texts one behind the other.
#[derive(Default)]
struct QuotedTexts {
    all: String,
    /// Where each ends, after a 0.
    ends: Vec<usize>,
}

impl QuotedNames {
    fn new(network: &Network) -> Self {
        let kinds = network.kinds().iter().map(|kind| kind.name.as_str());
        Self {
            parts: QuotedTexts::new(network.part_ids().map(|part| network.name(part))),
            kinds: QuotedTexts::new(kinds),
        }
    }
}

impl QuotedTexts {
    fn new<'n>(names: impl Iterator<Item = &'n str>) -> Self {
        let mut texts = Self {
            all: String::new(),
            ends: vec![0],
        };
        for name in names {
            texts.all.push_str(&quoted(name));
            texts.ends.push(texts.all.len());
        }
        texts
    }

    fn get(&self, index: usize) -> &str {
        &self.all[self.ends[index]..self.ends[index + 1]]
    }
}

impl Names for QuotedNames {
    fn add_part(&self, part: PartId, text: &mut String) {
        text.push_str(self.parts.get(part.index()));
    }

    fn add_kind(&self, kind: KindId, text: &mut String) {
        text.push_str(self.kinds.get(kind.index()));
    }
}

/// A line that is being written.
struct Line<'l, N> {
    text: &'l mut String,
    names: &'l N,
}

/// The name of a field as it stands behind another field.
macro_rules! field {
    ($name:literal) => {
        concat!(",\"", $name, "\":")
    };
}

/// What an event is called.
macro_rules! called {
    ($name:literal) => {
        concat!(",\"event\":\"", $name, "\"")
    };
}

impl<N: Names> Line<'_, N> {
    fn part(&mut self, field: &str, part: PartId) -> &mut Self {
        self.text.push_str(field);
        self.names.add_part(part, self.text);
        self
    }

    fn kind(&mut self, kind: KindId) -> &mut Self {
        self.text.push_str(field!("kind"));
        self.names.add_kind(kind, self.text);
        self
    }

    fn number(&mut self, field: &str, number: impl Into<u64>) -> &mut Self {
        let number: u64 = number.into();
        // Writing to a text cannot fail.
        let _ = write!(self.text, "{field}{number}");
        self
    }

    fn called(&mut self, event: &str) -> &mut Self {
        self.text.push_str(event);
        self
    }

    /// Ends the line, with the number of the box that it is about.
    fn end(&mut self, item: Option<Item>) {
        if let Some(id) = item.and_then(|item| item.box_id) {
            self.number(field!("box"), id.index() as u64);
        }
        self.text.push('}');
    }

    /// Adds the rest of an event's line, behind what all lines of its moment begin with.
    #[expect(clippy::too_many_lines, reason = "a table: one entry for each event")]
    fn add(&mut self, event: &Event) {
        match *event {
            Event::SignalChanged { signal, level } => self
                .called(called!("signal"))
                .part(field!("signal"), signal)
                .number(field!("level"), level)
                .end(None),
            Event::Locked { part } => self
                .called(called!("locked"))
                .part(field!("part"), part)
                .end(None),
            Event::Unlocked { part } => self
                .called(called!("unlocked"))
                .part(field!("part"), part)
                .end(None),
            Event::ItemMoved { from, to, item } => self
                .called(called!("moved"))
                .part(field!("from"), from)
                .part(field!("to"), to)
                .kind(item.kind)
                .end(Some(item)),
            Event::Delivered { place, kind, count } => self
                .called(called!("delivered"))
                .part(field!("part"), place)
                .kind(kind)
                .number(field!("count"), count)
                .end(None),
            Event::Withdrawn { place, item, count } => self
                .called(called!("withdrawn"))
                .part(field!("part"), place)
                .kind(item.kind)
                .number(field!("count"), count)
                .end(Some(item)),
            Event::Docked { shuttle, place } => self
                .called(called!("docked"))
                .part(field!("shuttle"), shuttle)
                .part(field!("dock"), place)
                .end(None),
            Event::Departed { shuttle, place } => self
                .called(called!("departed"))
                .part(field!("shuttle"), shuttle)
                .part(field!("dock"), place)
                .end(None),
            Event::Clicked { dropper } => self
                .called(called!("clicked"))
                .part(field!("dropper"), dropper)
                .end(None),
            Event::Thrown { dropper, item } => self
                .called(called!("thrown"))
                .part(field!("dropper"), dropper)
                .kind(item.kind)
                .end(Some(item)),
            Event::BoxSet {
                dispenser,
                bench,
                item,
            } => self
                .called(called!("box_set"))
                .part(field!("dispenser"), dispenser)
                .part(field!("bench"), bench)
                .kind(item.kind)
                .end(Some(item)),
            Event::BoxLifted { bench, item } => self
                .called(called!("box_lifted"))
                .part(field!("bench"), bench)
                .kind(item.kind)
                .end(Some(item)),
            Event::CameLoose {
                stack,
                item,
                count,
                place,
            } => self
                .called(called!("came_loose"))
                .number(field!("stack"), stack.0)
                .kind(item.kind)
                .number(field!("count"), count)
                .part(field!("part"), place)
                .end(Some(item)),
            Event::Merged {
                stack,
                into,
                kind,
                count,
                mouth,
            } => self
                .called(called!("merged"))
                .number(field!("stack"), stack.0)
                .number(field!("into"), into.0)
                .kind(kind)
                .number(field!("count"), count)
                .part(field!("mouth"), mouth)
                .end(None),
            Event::Collected {
                hopper,
                stack,
                item,
                count,
            } => self
                .called(called!("collected"))
                .part(field!("hopper"), hopper)
                .number(field!("stack"), stack.0)
                .kind(item.kind)
                .number(field!("count"), count)
                .end(Some(item)),
            Event::Lost {
                stack,
                item,
                count,
                mouth,
            } => self
                .called(called!("lost"))
                .number(field!("stack"), stack.0)
                .kind(item.kind)
                .number(field!("count"), count)
                .part(field!("mouth"), mouth)
                .end(Some(item)),
        }
    }
}

#[cfg(test)]
mod tests {
    use hallwright_core::engine::Engine;
    use hallwright_core::event::StackId;
    use hallwright_core::goods::StackLimit;
    use hallwright_core::id::BoxId;
    use hallwright_core::network::NetworkBuilder;
    use hallwright_core::part::{Container, Part, Signal};
    use hallwright_core::rules::Rules;
    use hallwright_core::setup::Setup;
    use hallwright_core::tick::{Phase, Tick};

    use super::*;

    /// A chest with a name that JSON must escape, and a lever.
    fn network() -> (Network, PartId, PartId, KindId) {
        let mut builder = NetworkBuilder::new(Rules::default());
        let barley = builder.kind("bärley", StackLimit::SixtyFour);
        let container = Container { slots: 1 };
        let chest = builder.add("a \"chest\" \\ of\nlines", Part::Container(container));
        let lever = Signal::Lever { starts_on: false };
        let lever = builder.add("lever", Part::Signal(lever));
        let network = builder.build().expect("a chest and a lever are sound");
        (network, chest, lever, barley)
    }

    #[test]
    fn what_is_written_is_the_line_of_each_event() {
        let (network, chest, lever, kind) = network();
        let boxed = Item {
            kind,
            box_id: Some(BoxId::from_index(7)),
        };
        let loose = Item { kind, box_id: None };
        let moment = |tick| Moment {
            tick: Tick(tick),
            phase: Phase::Hoppers,
        };
        let events = [
            (
                moment(3),
                Event::ItemMoved {
                    from: chest,
                    to: lever,
                    item: boxed,
                },
            ),
            (
                moment(3),
                Event::CameLoose {
                    stack: StackId(5),
                    item: loose,
                    count: 64,
                    place: lever,
                },
            ),
            (
                moment(12_345),
                Event::SignalChanged {
                    signal: lever,
                    level: 15,
                },
            ),
        ];
        let setup = Setup::default();
        let engine = Engine::new(&network, &setup);
        let mut writer = TraceWriter::new(Vec::new());
        for (moment, event) in &events {
            writer.event(*moment, event, &engine.view());
        }
        let written = writer.finish().expect("a text in memory takes everything");
        let written = String::from_utf8(written).expect("names are texts");
        assert_eq!(
            written,
            r#"{"schema_version":2}
{"tick":3,"phase":4,"event":"moved","from":"a \"chest\" \\ of\nlines","to":"lever","kind":"bärley","box":7}
{"tick":3,"phase":4,"event":"came_loose","stack":5,"kind":"bärley","count":64,"part":"lever"}
{"tick":12345,"phase":4,"event":"signal","signal":"lever","level":15}
"#
        );
        let lines = events
            .iter()
            .map(|(moment, event)| trace_line(&network, *moment, event));
        assert!(lines.eq(written.lines().skip(1)));
    }

    /// Takes nothing.
    struct Full;

    impl Write for Full {
        fn write(&mut self, _: &[u8]) -> io::Result<usize> {
            Err(io::ErrorKind::StorageFull.into())
        }

        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn what_cannot_be_written_is_reported_at_the_end() {
        let (network, _, part, _) = network();
        let setup = Setup::default();
        let engine = Engine::new(&network, &setup);
        let mut writer = TraceWriter::new(Full);
        let moment = Moment {
            tick: Tick(0),
            phase: Phase::Inputs,
        };
        for _ in 0..10_000 {
            writer.event(moment, &Event::Locked { part }, &engine.view());
        }
        let error = writer.finish().err().expect("nothing could be written");
        assert_eq!(error.kind(), io::ErrorKind::StorageFull);
    }
}
