//! What happened last before a mark was reached.

use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Declarations, Mark, Section};

use hallwright_analysis::pulses::drivers;

use super::history::{EntryId, History};
use super::walk::Node;
use hallwright_report::measure::parts_of;

/// The event in tick `at` that made a mark true. Nothing if the mark was true at the stop already.
pub(super) fn last_before(
    mark: Mark,
    at: Tick,
    history: &History,
    declared: &Declarations,
) -> Option<Node> {
    let in_tick = || {
        let end = history.end_of(at);
        (0..end)
            .rev()
            .map(|id| (id, history.entry(id)))
            .take_while(move |(_, entry)| entry.tick() == at)
    };
    let all =
        |list: fn(&hallwright_declared::declarations::Section) -> &Vec<PartId>| -> Vec<PartId> {
            declared.sections.iter().flat_map(list).copied().collect()
        };
    let find = |wanted: &dyn Fn(&Event) -> bool| -> Option<EntryId> {
        let mut found = in_tick().filter(|(_, entry)| wanted(&entry.event));
        found.next().map(|(id, _)| id)
    };
    let lines = all(|section| &section.line);
    let cleared = || {
        find(&|event| {
            let from = match *event {
                Event::ItemMoved { from, .. } => Some(from),
                Event::Thrown { dropper, .. } => Some(dropper),
                Event::Withdrawn { place, .. } => Some(place),
                Event::BoxSet { dispenser, .. } => Some(dispenser),
                Event::BoxLifted { bench, .. } => Some(bench),
                Event::Departed { place, .. } => Some(place),
                _ => None,
            };
            from.is_some_and(|from| lines.contains(&from)) || is_gone(event)
        })
    };
    match mark {
        Mark::Cleared => cleared().map(Node::Entry),
        Mark::SafeToClose => {
            let pulse = || {
                let part = history.pulses.first()?;
                let changed = find(
                    &|event| matches!(*event, Event::SignalChanged { signal, .. } if signal == *part),
                );
                Some(changed.map_or(Node::PulseEnd(*part, at), Node::Entry))
            };
            // A box that was to be lifted stays where a signal goes off.
            let signal = || find(&|event| matches!(event, Event::SignalChanged { .. }));
            let by_item = cleared().or_else(|| find(&Event::is_item_event));
            // A pulse that ended in this tick was under way before it: nothing else can be later.
            let last = pulse().or_else(|| by_item.map(Node::Entry));
            last.or_else(|| signal().map(Node::Entry))
        }
        Mark::Quiet | Mark::Resumed => find(&Event::is_item_event).map(Node::Entry),
    }
}

/// The event in tick `at` that made a mark of one section true: the last item event at its line, or at any of
/// its parts; of being safe to close also the last change of a signal that drives it. Nothing if there is none.
pub(super) fn last_of_section(
    mark: Mark,
    at: Tick,
    history: &History,
    section: &Section,
    network: &Network,
) -> Option<Node> {
    let end = history.end_of(at);
    let last = |parts: &[PartId], wanted: fn(&Event) -> bool| {
        let last = |part: &PartId| {
            let mut entries = history.back_from(*part, end);
            let mut in_tick = entries.by_ref().take_while(|(_, entry)| entry.tick() == at);
            in_tick
                .find(|(_, entry)| wanted(&entry.event))
                .map(|(id, _)| id)
        };
        parts.iter().filter_map(last).max().map(Node::Entry)
    };
    match mark {
        Mark::Cleared => last(&section.line, Event::is_item_event),
        Mark::Quiet | Mark::Resumed => last(&parts_of(section), Event::is_item_event),
        Mark::SafeToClose => {
            let drivers = drivers(&parts_of(section), network);
            let is_change = |event: &Event| matches!(event, Event::SignalChanged { .. });
            last(&parts_of(section), Event::is_item_event).or_else(|| last(&drivers, is_change))
        }
    }
}

/// Whether a loose stack is gone with this event.
fn is_gone(event: &Event) -> bool {
    matches!(
        event,
        Event::Collected { .. } | Event::Lost { .. } | Event::Merged { .. }
    )
}
