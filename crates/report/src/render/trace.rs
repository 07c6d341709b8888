//! The full trace of a run: one JSON object a line for every event.

use std::io::{self, Write};

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::slot::Item;
use serde_json::{Map, Value, json};

/// Writes every event of a run, one JSON object a line. It observes the run.
pub struct TraceWriter<W> {
    out: W,
    /// The first thing that went wrong; nothing is written after it.
    error: Option<io::Error>,
}

impl<W: Write> TraceWriter<W> {
    /// Writes to `out`, which should be buffered.
    pub fn new(out: W) -> Self {
        Self { out, error: None }
    }

    /// Gives back where it wrote to. Nothing is flushed.
    ///
    /// # Errors
    ///
    /// The first that came up while writing; what was written is then not whole.
    pub fn finish(self) -> io::Result<W> {
        match self.error {
            Some(error) => Err(error),
            None => Ok(self.out),
        }
    }
}

impl<W: Write> Observer for TraceWriter<W> {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        if self.error.is_none() {
            let line = trace_line(view.network(), moment, event);
            self.error = writeln!(self.out, "{line}").err();
        }
    }
}

/// One event as a JSON object on a line of its own, without the line's end. Parts and kinds are told
/// by name, a box by its number too.
#[must_use]
pub fn trace_line(network: &Network, moment: Moment, event: &Event) -> String {
    let mut object = Map::new();
    object.insert("tick".to_owned(), json!(moment.tick.0));
    object.insert("phase".to_owned(), json!(moment.phase as u8));
    object.extend(fields(network, event));
    Value::Object(object).to_string()
}

#[expect(clippy::too_many_lines, reason = "a table: one entry for each event")]
fn fields(network: &Network, event: &Event) -> Map<String, Value> {
    let name = |part: PartId| network.name(part);
    let kind = |item: Item| network.kind(item.kind).name.as_str();
    let value = match *event {
        Event::SignalChanged { signal, level } => {
            json!({ "event": "signal", "signal": name(signal), "level": level })
        }
        Event::Locked { part } => json!({ "event": "locked", "part": name(part) }),
        Event::Unlocked { part } => json!({ "event": "unlocked", "part": name(part) }),
        Event::ItemMoved { from, to, item } => {
            json!({ "event": "moved", "from": name(from), "to": name(to), "kind": kind(item) })
        }
        Event::Delivered { place, kind, count } => {
            let kind = &network.kind(kind).name;
            json!({ "event": "delivered", "place": name(place), "kind": kind, "count": count })
        }
        Event::Withdrawn { place, item, count } => {
            json!({ "event": "withdrawn", "place": name(place), "kind": kind(item), "count": count })
        }
        Event::Clicked { dropper } => json!({ "event": "clicked", "dropper": name(dropper) }),
        Event::Ejected { dropper, item } => {
            json!({ "event": "ejected", "dropper": name(dropper), "kind": kind(item) })
        }
        Event::CameLoose {
            stack,
            item,
            count,
            place,
        } => json!({
            "event": "came_loose", "stack": stack.0, "kind": kind(item), "count": count,
            "place": name(place),
        }),
        Event::Merged {
            stack,
            into,
            kind,
            count,
            mouth,
        } => json!({
            "event": "merged", "stack": stack.0, "into": into.0,
            "kind": network.kind(kind).name, "count": count, "mouth": name(mouth),
        }),
        Event::Collected {
            hopper,
            stack,
            item,
            count,
        } => json!({
            "event": "collected", "hopper": name(hopper), "stack": stack.0, "kind": kind(item),
            "count": count,
        }),
        Event::Lost {
            stack,
            item,
            count,
            mouth,
        } => json!({
            "event": "lost", "stack": stack.0, "kind": kind(item), "count": count,
            "mouth": name(mouth),
        }),
        Event::BoxSet {
            dispenser,
            bench,
            item,
        } => json!({
            "event": "box_set", "dispenser": name(dispenser), "bench": name(bench),
            "kind": kind(item),
        }),
        Event::BoxLifted { bench, item } => {
            json!({ "event": "box_lifted", "bench": name(bench), "kind": kind(item) })
        }
        Event::Docked { shuttle, place } => {
            json!({ "event": "docked", "shuttle": name(shuttle), "place": name(place) })
        }
        Event::Departed { shuttle, place } => {
            json!({ "event": "departed", "shuttle": name(shuttle), "place": name(place) })
        }
    };
    let mut fields = match value {
        Value::Object(fields) => fields,
        _ => Map::new(),
    };
    if let Some(id) = boxed(event) {
        fields.insert("box".to_owned(), json!(id));
    }
    fields
}

/// The number of the box that an event is about.
fn boxed(event: &Event) -> Option<u32> {
    let (Event::ItemMoved { item, .. }
    | Event::Withdrawn { item, .. }
    | Event::Ejected { item, .. }
    | Event::CameLoose { item, .. }
    | Event::Collected { item, .. }
    | Event::Lost { item, .. }
    | Event::BoxSet { item, .. }
    | Event::BoxLifted { item, .. }) = event
    else {
        return None;
    };
    item.box_id.and_then(|id| u32::try_from(id.index()).ok())
}
