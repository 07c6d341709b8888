//! How long the world takes for what the hall does: hopper turns, comparator updates, loose stacks.

use std::collections::VecDeque;

use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::part::{Part, Rear, Signal};
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::CostWeights;
use serde::{Deserialize, Serialize};

use crate::findings::{Counts, Load};

/// Counts what takes the world time. It is made only where that is asked for, since it looks at every
/// hopper in every tick in which something can happen.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct LoadMeasure {
    weights: CostWeights,
    /// Each hopper, with the work that it had done when it was looked at last.
    hoppers: Vec<(PartId, u64)>,
    /// The comparators that read each part: its contents, or its signal.
    readers: Vec<Vec<PartId>>,
    /// Updates in the tick under way.
    updates: u64,
    counts: Counts,
    picoseconds: u64,
    second: Second,
}

/// The last second, and the worst so far.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
struct Second {
    /// How many ticks a second has.
    ticks: usize,
    /// What each of the last ticks took, the oldest first.
    last: VecDeque<u64>,
    sum: u64,
    worst_picoseconds: u64,
    worst_ticks: u64,
    worst_from: Tick,
}

impl Second {
    /// Adds ticks that took the same. After a whole second of them nothing is new.
    fn passed(&mut self, from: Tick, ticks: u64, picoseconds: u64) {
        let new = ticks.min(self.ticks as u64);
        for tick in 0..new {
            if self.last.len() == self.ticks {
                self.sum -= self.last.pop_front().unwrap_or(0);
            }
            self.last.push_back(picoseconds);
            self.sum = self.sum.saturating_add(picoseconds);
            let is_whole = self.last.len() == self.ticks;
            if self.sum > self.worst_picoseconds
                || (!is_whole && self.sum == self.worst_picoseconds)
            {
                self.worst_picoseconds = self.sum;
                self.worst_ticks = self.last.len() as u64;
                self.worst_from = Tick((from.0 + tick + 1).saturating_sub(self.worst_ticks));
            }
        }
    }
}

impl LoadMeasure {
    /// Begins before tick 0.
    pub(crate) fn new(weights: CostWeights, view: &View<'_>) -> Self {
        let network = view.network();
        let hoppers = network.parts().filter(|(_, part)| part.hopper().is_some());
        let mut readers = vec![Vec::new(); network.part_count()];
        for (id, part) in network.parts() {
            if let Part::Signal(Signal::Comparator { rear, side, .. }) = part {
                let (Rear::Inventory(rear) | Rear::Signal(rear)) = rear;
                readers[rear.index()].push(id);
                if let Some(side) = side.filter(|side| side != rear) {
                    readers[side.index()].push(id);
                }
            }
        }
        Self {
            weights,
            hoppers: hoppers.map(|(id, _)| (id, view.work_units(id))).collect(),
            readers,
            updates: 0,
            counts: Counts::default(),
            picoseconds: 0,
            second: Second {
                ticks: network.rules().ticks_per_second.max(1) as usize,
                last: VecDeque::new(),
                sum: 0,
                worst_picoseconds: 0,
                worst_ticks: 0,
                worst_from: Tick(0),
            },
        }
    }

    pub(crate) fn event(&mut self, event: &Event, view: &View<'_>) {
        match *event {
            Event::SignalChanged { signal, .. } => self.changed(signal, view),
            Event::ItemMoved { from, to, .. } => {
                self.contents_changed(from, view);
                self.contents_changed(to, view);
            }
            Event::Delivered { place, .. } | Event::Withdrawn { place, .. } => {
                self.contents_changed(place, view);
            }
            Event::Thrown { dropper, .. } => self.contents_changed(dropper, view),
            Event::Collected { hopper, .. } => self.contents_changed(hopper, view),
            Event::BoxSet {
                dispenser, bench, ..
            } => {
                self.contents_changed(dispenser, view);
                self.contents_changed(bench, view);
            }
            Event::BoxLifted { bench, .. } => self.contents_changed(bench, view),
            Event::Docked { place, .. } | Event::Departed { place, .. } => {
                self.changed(place, view);
            }
            // Loose items are read by nobody, and a lock is no signal.
            Event::Locked { .. } | Event::Unlocked { .. } | Event::Clicked { .. } => {}
            Event::CameLoose { .. } | Event::Merged { .. } | Event::Lost { .. } => {}
        }
    }

    /// What a part holds changed. What stands at a dock is read there, and at the shuttle.
    fn contents_changed(&mut self, part: PartId, view: &View<'_>) {
        self.changed(part, view);
        if *view.network().part(part) == Part::Dock
            && let Some(shuttle) = view.shuttle_at(part)
        {
            self.changed(shuttle, view);
        }
    }

    /// All that read this look again, but for those asleep.
    fn changed(&mut self, part: PartId, view: &View<'_>) {
        let readers = self.readers[part.index()].iter();
        let awake = readers.filter(|reader| view.awake_at(**reader).is_none());
        self.updates += awake.count() as u64;
    }

    pub(crate) fn ticks_passed(&mut self, from: Tick, until: Tick, view: &View<'_>) {
        let ticks = until - from;
        let turns = self.turns_a_tick(ticks, view);
        let updates = std::mem::take(&mut self.updates);
        let loose = view.loose_stacks();
        let loose = loose.filter(|stack| view.awake_at(stack.place).is_none());
        let loose = loose.count() as u64;
        self.counts.hopper_turns += turns * ticks;
        self.counts.comparator_updates += updates;
        self.counts.loose_stack_ticks += loose * ticks;
        self.counts.ticks += ticks;
        let weights = &self.weights;
        let parts = [
            (turns, weights.hopper_turn_picoseconds),
            (updates, weights.comparator_update_picoseconds),
            (loose, weights.loose_stack_picoseconds),
            (1, weights.base_picoseconds),
        ];
        let each = parts.map(|(number, weight)| number.saturating_mul(weight));
        let tick = each.into_iter().fold(0, u64::saturating_add);
        // Events come only with ticks that are notified alone: a longer span has no updates.
        debug_assert!(updates == 0 || ticks == 1, "no event comes in a span");
        self.picoseconds = self.picoseconds.saturating_add(tick.saturating_mul(ticks));
        self.second.passed(from, ticks, tick);
    }

    /// How many hoppers got as far as pushing in each of these ticks, which are all alike. Such a turn does
    /// at least `work_try`, and no other as much.
    fn turns_a_tick(&mut self, ticks: u64, view: &View<'_>) -> u64 {
        let least = u64::from(view.network().rules().work_try).saturating_mul(ticks);
        let mut turns = 0;
        for (hopper, before) in &mut self.hoppers {
            let now = view.work_units(*hopper);
            let done = now - std::mem::replace(before, now);
            turns += u64::from(done >= least);
        }
        turns
    }

    pub(crate) fn finish(self) -> Load {
        Load {
            counts: self.counts,
            weights: self.weights,
            picoseconds: self.picoseconds,
            worst_picoseconds: self.second.worst_picoseconds,
            worst_ticks: self.second.worst_ticks,
            worst_from: self.second.worst_from,
        }
    }
}
