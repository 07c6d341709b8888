//! Shuttles (tick rules, section 6): they dock and depart in phase 3, after the loose items.

use crate::engine::Engine;
use crate::engine::state::world::ShuttlePosition;
use crate::event::{Event, Observer};
use crate::id::PartId;
use crate::part::{Part, Shuttle};

impl Engine<'_> {
    /// Shuttles in the order of declaration, each doing one thing a tick at most.
    pub(in crate::engine) fn move_shuttles<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        while let Some(&(tick, shuttle)) = self.shuttle_checks.first() {
            if tick > self.world.tick {
                break;
            }
            self.shuttle_checks.pop_first();
            if let Part::Shuttle(definition) = self.network.part(shuttle) {
                self.move_shuttle(shuttle, definition, observer);
            }
        }
    }

    fn move_shuttle<O: Observer + ?Sized>(
        &mut self,
        part: PartId,
        shuttle: &Shuttle,
        observer: &mut O,
    ) {
        if self.world.sleepers.contains(part) {
            return; // It is looked at when it wakes.
        }
        let now = self.world.tick;
        match self.world.shuttles[self.place(part)] {
            ShuttlePosition::UnderWay { arrives_at, .. } if arrives_at > now => {
                self.shuttle_checks.insert((arrives_at, part));
            }
            ShuttlePosition::UnderWay { to, .. } => self.dock(part, shuttle, to, observer),
            ShuttlePosition::Docked { stop, since } => {
                let definition = &shuttle.stops[stop as usize];
                let leaves_at = since + u64::from(definition.dwell_ticks);
                if leaves_at > now {
                    self.shuttle_checks.insert((leaves_at, part));
                } else if definition.release.is_none_or(|release| self.is_on(release)) {
                    self.depart(part, shuttle, stop, observer);
                }
            }
        }
    }

    /// Docks if the place is free and awake; otherwise what changes that has it looked at again: a
    /// departure, or its waking.
    fn dock<O: Observer + ?Sized>(
        &mut self,
        part: PartId,
        shuttle: &Shuttle,
        stop: u32,
        observer: &mut O,
    ) {
        let now = self.world.tick;
        let place = shuttle.stops[stop as usize].dock;
        let at_place = self.place(place);
        if self.world.docked[at_place].is_some() || self.world.sleepers.contains(place) {
            return;
        }
        self.world.docked[at_place] = Some(part);
        let at_shuttle = self.place(part);
        self.world.shuttles[at_shuttle] = ShuttlePosition::Docked { stop, since: now };
        let aboard = self.world.inventories.of(part);
        self.world.inventories.occupy(place, Some(aboard));
        self.occupation_changed(place);
        self.shuttle_checks.insert((now + 1, part));
        let shuttle = part;
        self.emit(observer, Event::Docked { shuttle, place });
    }

    fn depart<O: Observer + ?Sized>(
        &mut self,
        part: PartId,
        shuttle: &Shuttle,
        stop: u32,
        observer: &mut O,
    ) {
        let now = self.world.tick;
        let place = shuttle.stops[stop as usize].dock;
        if self.world.sleepers.contains(place) {
            return; // It is looked at when that wakes.
        }
        let to = (stop + 1) % shuttle.stops.len() as u32;
        let travel = u64::from(shuttle.stops[to as usize].travel_ticks);
        // It does one thing a tick, so even a journey of no time ends in the next.
        let arrives_at = now + travel.max(1);
        let at_shuttle = self.place(part);
        self.world.shuttles[at_shuttle] = ShuttlePosition::UnderWay { to, arrives_at };
        let at_place = self.place(place);
        self.world.docked[at_place] = None;
        self.world.inventories.occupy(place, None);
        self.occupation_changed(place);
        self.shuttle_checks.insert((arrives_at, part));
        self.look_for_waiting_shuttles(place, part);
        let shuttle = part;
        self.emit(observer, Event::Departed { shuttle, place });
    }

    /// A place is free: shuttles that wait for it and are declared later try in this tick, the others
    /// in the next.
    fn look_for_waiting_shuttles(&mut self, place: PartId, departed: PartId) {
        let now = self.world.tick;
        for (other, definition) in self.network.parts() {
            let Part::Shuttle(shuttle) = definition else {
                continue;
            };
            if let ShuttlePosition::UnderWay { to, arrives_at } =
                self.world.shuttles[self.place(other)]
                && shuttle.stops[to as usize].dock == place
                && arrives_at <= now
            {
                let tick = if other > departed { now } else { now + 1 };
                self.shuttle_checks.insert((tick, other));
            }
        }
    }

    /// A place has woken: any shuttle may be waiting at it or for it.
    pub(super) fn look_at_all_shuttles(&mut self) {
        for (part, definition) in self.network.parts() {
            if let Part::Shuttle(_) = definition {
                self.shuttle_checks.insert((self.world.tick, part));
            }
        }
    }

    /// A signal that lifts a bench's box or releases a shuttle went on or off.
    pub(in crate::engine) fn release_changed(&mut self, part: PartId) {
        if let Part::Shuttle(_) = self.network.part(part) {
            self.shuttle_checks.insert((self.world.tick, part));
        } else {
            self.check_bench_this_tick(part);
        }
    }
}
