//! Pulses under way: signals and droppers with an event pending.
//!
//! A signal that only clocks can move is left out, with whatever hangs on such signals alone: its
//! events never end and depend on nothing that a stop could change. Every other signal counts,
//! wherever in the network it is.

use hallwright_analysis::signals::{moved_from_outside, readers};
use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Part, Signal};

/// The parts whose events count.
pub struct Pulses {
    candidates: Vec<PartId>,
    /// For each part, whether it is a candidate.
    is_candidate: Vec<bool>,
    /// The one that was found pending last: most likely it is so still.
    last_found: usize,
    /// The signals that have changed since pulses were last looked for.
    changed: Vec<PartId>,
    /// Whether anything else has happened since then.
    more_happened: bool,
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
            Part::Bench(_) | Part::Selector(_) | Part::Place | Part::Shuttle(_) => false,
        });
        let candidates: Vec<PartId> = candidates.map(|(id, _)| id).collect();
        let mut is_candidate = vec![false; network.part_count()];
        for part in &candidates {
            is_candidate[part.index()] = true;
        }
        Self {
            candidates,
            is_candidate,
            last_found: 0,
            changed: Vec::new(),
            more_happened: false,
        }
    }

    /// Takes note of what may have begun a pulse.
    pub fn heard(&mut self, event: &Event) {
        match *event {
            Event::SignalChanged { signal, .. } => self.changed.push(signal),
            _ => self.more_happened = true,
        }
    }

    /// Forgets what was heard.
    pub fn forget(&mut self) {
        self.changed.clear();
        self.more_happened = false;
    }

    /// Whether any event that counts is pending, given that none was when pulses were last looked for.
    /// Since then one can only have begun where something was heard of: a signal that changes makes
    /// itself, those that read it and the droppers that it triggers schedule events. The hoppers that it
    /// locks are heard of themselves.
    pub fn any_begun(&mut self, view: &View<'_>) -> bool {
        if self.more_happened {
            return self.any_pending(view);
        }
        let begun = self.changed.iter().any(|signal| {
            let mut parts = std::iter::once(*signal).chain(read_by(*signal, view.network()));
            parts.any(|part| self.is_candidate[part.index()] && view.is_pending(part))
        });
        self.forget();
        begun
    }

    /// Whether any event that counts is pending.
    pub fn any_pending(&mut self, view: &View<'_>) -> bool {
        self.forget();
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

/// The parts that read a signal, and the observers of the droppers that it triggers.
fn read_by(signal: PartId, network: &Network) -> impl Iterator<Item = PartId> {
    let readers = |part: PartId| readers(network, part).map(|(reader, _)| reader);
    readers(signal).flat_map(move |reader| {
        let is_dropper = network.part(reader).dropper().is_some();
        let watching = is_dropper.then(|| readers(reader));
        std::iter::once(reader).chain(watching.into_iter().flatten())
    })
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
