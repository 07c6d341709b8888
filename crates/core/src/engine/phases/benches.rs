//! Benches (tick rules, section 6): boxes are set down in phase 2 and lifted at the end of phase 4.

use crate::engine::Engine;
use crate::event::{Event, Observer};
use crate::id::PartId;
use crate::part::{Bench, Lift, Part};
use crate::slot::Item;

impl Engine<'_> {
    /// A dispenser sets a box down on an unoccupied bench.
    pub(in crate::engine) fn set_box_down<O: Observer + ?Sized>(
        &mut self,
        dispenser: PartId,
        bench: PartId,
        item: Item,
        observer: &mut O,
    ) {
        let Some(box_id) = item.box_id else { return };
        let place = self.place(bench);
        self.world.benches[place].standing = Some(item);
        let inside = self.world.inventories.of_box(box_id);
        self.world.inventories.occupy(bench, Some(inside));
        self.occupation_changed(bench);
        self.check_bench_this_tick(bench);
        let event = Event::BoxSet {
            dispenser,
            bench,
            item,
        };
        self.emit(observer, event);
    }

    /// Has a bench's lift condition looked at, at the end of this tick's phase 4.
    pub(in crate::engine) fn check_bench_this_tick(&mut self, bench: PartId) {
        self.bench_checks.insert((self.world.tick, bench));
    }

    /// The end of phase 4: benches in the order of declaration.
    pub(in crate::engine) fn lift_boxes<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        while let Some(&(tick, bench)) = self.bench_checks.first() {
            if tick > self.world.tick {
                break;
            }
            self.bench_checks.pop_first();
            if let Part::Bench(definition) = self.network.part(bench) {
                self.check_lift(bench, definition, observer);
            }
        }
    }

    fn check_lift<O: Observer + ?Sized>(&mut self, part: PartId, bench: &Bench, observer: &mut O) {
        let place = self.place(part);
        let Some(item) = self.world.benches[place].standing else {
            return;
        };
        if self.world.sleepers.contains(part) {
            return; // It is looked at when it wakes.
        }
        let now = self.world.tick;
        if !self.may_lift(part, bench) {
            self.world.benches[place].held_since = None;
            return;
        }
        let since = *self.world.benches[place].held_since.get_or_insert(now);
        let lift_at = since + u64::from(bench.after_ticks);
        if lift_at > now {
            self.bench_checks.insert((lift_at, part));
            return;
        }
        self.world.benches[place] = crate::engine::state::world::BenchState::default();
        self.world.inventories.occupy(part, None);
        self.occupation_changed(part);
        self.emit(observer, Event::BoxLifted { bench: part, item });
        self.come_loose(bench.output, item, 1, observer);
    }

    fn may_lift(&self, part: PartId, bench: &Bench) -> bool {
        let inside = self.world.inventories.of(part);
        match bench.lift {
            Lift::Empty => self.world.inventories.is_empty(inside),
            Lift::Full => self.world.inventories.is_full(inside),
            Lift::Signal(signal) => self.is_on(signal),
        }
    }
}
