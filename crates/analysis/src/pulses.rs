//! Pulses under way: signals and droppers with an event pending.
//!
//! A signal that only clocks can move is left out, with whatever hangs on such signals alone: its
//! events never end and depend on nothing that a stop could change. Every other signal counts,
//! wherever in the network it is.

use std::cell::OnceCell;
use std::rc::Rc;

use crate::signals::{linked, links, moved_from_outside, readers};
use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::network::{Network, SignalRole};
use hallwright_core::part::{Part, Signal};
use hallwright_core::tick::Tick;
use petgraph::Direction;
use serde::{Deserialize, Serialize};

use crate::groups::Groups;
use crate::since::Since;

/// The parts whose events count.
pub struct Pulses {
    candidates: Rc<[PartId]>,
    /// For each part, the parts that count and can become pending by what happens there. Worked out
    /// once it is asked for.
    begins: OnceCell<Rc<Groups>>,
    /// The one that was found pending last: most likely it is so still.
    last_found: usize,
}

impl Pulses {
    /// Those of a network.
    #[must_use]
    pub fn new(network: &Network) -> Self {
        let is_moved = moved_from_outside(network);
        let candidates = network.parts().filter(|(id, part)| match part {
            Part::Dropper(dropper) => dropper.trigger.is_some(),
            Part::Signal(signal) => has_events(signal) && is_moved[id.index()],
            Part::Container(_) | Part::Hopper(_) | Part::Mouth | Part::Stream(_) => false,
            Part::Bench(_) | Part::Selector(_) | Part::Dock | Part::Shuttle(_) => false,
        });
        Self {
            candidates: candidates.map(|(id, _)| id).collect(),
            begins: OnceCell::new(),
            last_found: 0,
        }
    }

    /// Whether any event that counts is pending.
    pub fn any_pending(&mut self, view: &View<'_>) -> bool {
        let is_pending = |part: &PartId| view.is_pending(*part);
        if self.candidates.get(self.last_found).is_some_and(is_pending) {
            return true;
        }
        match self.candidates.iter().position(is_pending) {
            Some(found) => {
                self.last_found = found;
                true
            }
            None => false,
        }
    }

    /// The parts with an event pending, in the order of declaration.
    pub fn pending(&self, view: &View<'_>) -> Vec<PartId> {
        let candidates = self.candidates.iter().copied();
        candidates.filter(|part| view.is_pending(*part)).collect()
    }
}

/// Follows the pulses under way through the ticks, and remembers of each part when it was pending last.
///
/// A pulse can only begin where something is heard of: a signal that changes makes itself, those that
/// read it and the droppers that it triggers schedule events; a part that holds more or less, or whose
/// lock changes, those that read it. So only there is looked.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub struct PulseWatch {
    /// The parts that count.
    candidates: Rc<[PartId]>,
    /// For each part, the parts that count and can become pending by what happens there, by number.
    begins: Rc<Groups>,
    /// The parts that are pending, and for each part whether it is among them.
    pending: Vec<PartId>,
    is_pending: Vec<bool>,
    /// For each part, the last tick at whose end it was pending.
    last_pending: Vec<Option<Tick>>,
    /// The parts where something happened since the last look.
    heard: Vec<PartId>,
}

impl PulseWatch {
    /// Begins between two ticks.
    pub fn new(pulses: &Pulses, view: &View<'_>) -> Self {
        let network = view.network();
        let begins = pulses
            .begins
            .get_or_init(|| Rc::new(begins(&pulses.candidates, network)));
        let mut watch = Self {
            candidates: Rc::clone(&pulses.candidates),
            begins: Rc::clone(begins),
            pending: pulses.pending(view),
            is_pending: vec![false; network.part_count()],
            last_pending: vec![None; network.part_count()],
            heard: Vec::new(),
        };
        for part in &watch.pending {
            watch.is_pending[part.index()] = true;
        }
        watch
    }

    /// Takes note of where something happens.
    pub fn heard(&mut self, event: &Event) {
        let (part, other) = parts_of_event(event);
        self.hear(part);
        if let Some(other) = other {
            self.hear(other);
        }
    }

    fn hear(&mut self, part: PartId) {
        if self.begins.names(part) {
            self.heard.push(part);
        }
    }

    /// The ticks before `until` are over; since the last look, something happened in the first at most.
    pub fn ticks_passed(&mut self, until: Tick, view: &View<'_>) {
        // What a stuck signal does behind the level that it shows, is no event.
        view.stuck().for_each(|(signal, _)| self.hear(signal));
        for part in self.heard.drain(..) {
            for begun in self.begins.of(part) {
                let candidate = PartId::from_index(begun);
                if !self.is_pending[begun] && view.is_pending(candidate) {
                    self.is_pending[begun] = true;
                    self.pending.push(candidate);
                }
            }
        }
        let last = Tick(until.0.saturating_sub(1));
        let (is_pending, last_pending) = (&mut self.is_pending, &mut self.last_pending);
        self.pending.retain(|part| {
            let stays = view.is_pending(*part);
            if stays {
                last_pending[part.index()] = Some(last);
            }
            is_pending[part.index()] = stays;
            stays
        });
        debug_assert!(
            self.has_all(view),
            "a pulse begins where something is heard of"
        );
    }

    /// Whether all that count and are pending are listed.
    fn has_all(&self, view: &View<'_>) -> bool {
        let mut candidates = self.candidates.iter();
        candidates.all(|part| self.is_pending[part.index()] == view.is_pending(*part))
    }

    /// The parts that are pending, in no particular order.
    pub fn pending(&self) -> &[PartId] {
        &self.pending
    }

    /// Whether one of some parts was pending at the end of any tick since the watch began.
    pub fn any_seen(&self, parts: &[PartId]) -> bool {
        let mut last = parts.iter().map(|part| self.last_pending[part.index()]);
        last.any(|last| last.is_some())
    }

    /// Since when none of some parts, or none at all, has been pending.
    pub fn none_since(&self, parts: Option<&[PartId]>) -> Since {
        let since = |last: Option<Tick>| last.map_or(Tick(0), |last| last + 1);
        let last = match parts {
            None if !self.pending.is_empty() => return Since::default(),
            None => self.last_pending.iter().max().copied().flatten(),
            Some(parts) => {
                if parts.iter().any(|part| self.is_pending[part.index()]) {
                    return Since::default();
                }
                let last = parts.iter().map(|part| self.last_pending[part.index()]);
                last.max().flatten()
            }
        };
        let mut none = Since::default();
        none.update(true, since(last));
        none
    }
}

/// For each part, the candidates that can become pending by what happens there: itself, those that
/// read it, and, where it triggers a dropper, those that watch that.
fn begins(candidates: &[PartId], network: &Network) -> Groups {
    let mut is_candidate = vec![false; network.part_count()];
    let mut named = Vec::new();
    for part in candidates {
        is_candidate[part.index()] = true;
        named.push((*part, *part));
    }
    for (read, reader, _) in links(network) {
        if is_candidate[reader.index()] {
            named.push((read, reader));
        }
        if network.part(reader).dropper().is_some() {
            let watching = readers(network, reader).map(|(watching, _)| watching);
            let watching = watching.filter(|part| is_candidate[part.index()]);
            named.extend(watching.map(|part| (read, part)));
        }
    }
    // What a shuttle holds is what its place holds while it is docked there.
    let mut shared = Vec::new();
    for (shuttle, part) in network.parts() {
        let stops = part.shuttle().map(|shuttle| shuttle.stops.as_slice());
        for stop in stops.unwrap_or_default() {
            shared.extend([(shuttle, stop.dock), (stop.dock, shuttle)]);
        }
    }
    for (one, other) in shared {
        let begun = named.iter().filter(|(read, _)| *read == one);
        let begun: Vec<(PartId, PartId)> = begun.map(|(_, begun)| (other, *begun)).collect();
        named.extend(begun);
    }
    let named = named.into_iter();
    Groups::of_pairs(
        network.part_count(),
        named.map(|(part, begun)| (part, begun.index() as u32)),
    )
}

/// The parts that an event is about.
pub fn parts_of_event(event: &Event) -> (PartId, Option<PartId>) {
    match *event {
        Event::SignalChanged { signal, .. } => (signal, None),
        Event::Locked { part } | Event::Unlocked { part } => (part, None),
        Event::ItemMoved { from, to, .. } => (from, Some(to)),
        Event::Delivered { place, .. }
        | Event::Withdrawn { place, .. }
        | Event::CameLoose { place, .. } => (place, None),
        Event::Clicked { dropper } | Event::Thrown { dropper, .. } => (dropper, None),
        Event::Merged { mouth, .. } | Event::Lost { mouth, .. } => (mouth, None),
        Event::Collected { hopper, .. } => (hopper, None),
        Event::BoxSet {
            dispenser, bench, ..
        } => (dispenser, Some(bench)),
        Event::BoxLifted { bench, .. } => (bench, None),
        Event::Docked { shuttle, place } | Event::Departed { shuttle, place } => {
            (shuttle, Some(place))
        }
    }
}

/// The signals and droppers whose pulses some parts hang on: those parts themselves, what locks,
/// triggers or releases them, and what that follows from. What an inventory holds ends the way: it
/// changes with items alone.
pub fn drivers(parts: &[PartId], network: &Network) -> Vec<PartId> {
    let mut is_met = vec![false; network.part_count()];
    let mut met = Vec::new();
    let mut to_follow = parts.to_vec();
    while let Some(part) = to_follow.pop() {
        if std::mem::replace(&mut is_met[part.index()], true) {
            continue;
        }
        met.push(part);
        let read = linked(network, part, Direction::Incoming);
        let signals = read.filter(|(_, role)| *role != SignalRole::Reading);
        to_follow.extend(signals.map(|(read, _)| read));
    }
    met
}

/// Whether a signal's changes are events that can be pending, and that end some day.
fn has_events(signal: &Signal) -> bool {
    match signal {
        // What it does, it does at once.
        Signal::Lever { .. } | Signal::Wire { .. } => false,
        Signal::Clock { .. } => false,
        Signal::Button { .. } | Signal::Repeater { .. } | Signal::Comparator { .. } => true,
        Signal::Inverter { .. } | Signal::Observer { .. } | Signal::Hold { .. } => true,
        Signal::Latch { .. } | Signal::Toggle { .. } | Signal::AllOf { .. } => true,
        Signal::NoneOf { .. } | Signal::DelayLine { .. } => true,
    }
}
