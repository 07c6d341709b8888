//! The parts that hold and move items, and how they are connected.

use hallwright_core::id::PartId;
use hallwright_core::part::{
    Bench, Container, Dropper, Hopper, Intake, Leg, Lift, Outlet, Part, Selector, Shuttle, Stream,
};
use hallwright_core::slot::{BOX_SLOTS, HOPPER_SLOTS};

use super::{List, Sketch};

impl Sketch {
    /// Defines every part that is no signal.
    pub(super) fn define_storage(&mut self) {
        for id in self.cast.containers.clone() {
            let small = u16::try_from(self.draw.between(1, 9)).unwrap_or(1);
            let slots = self
                .draw
                .weighted(&[(80, small), (12, 1), (5, 27), (3, 54)]);
            self.define(id, Part::Container(Container { slots }));
        }
        for id in self.cast.mouths.clone() {
            self.define(id, Part::Mouth);
        }
        for id in self.cast.places.clone() {
            self.define(id, Part::Dock);
        }
        self.define_streams();
        self.define_benches();
        self.define_hoppers();
        self.define_droppers();
        self.define_selectors();
        self.define_shuttles();
    }

    fn define_streams(&mut self) {
        for id in self.cast.streams.clone() {
            let short_ticks = self.draw.between(1, 12);
            // Long enough, at times, for a stack to be lost on the way.
            let long_ticks = self.draw.between(15, 70);
            let transit_ticks = self.draw.weighted(&[(80, short_ticks), (20, long_ticks)]);
            let mouth = self.draw.pick(&self.cast.mouths);
            let mouth = mouth.unwrap_or_else(|| unreachable!("streams come with mouths"));
            let stream = Stream {
                transit_ticks,
                mouth,
            };
            self.define(id, Part::Stream(stream));
        }
    }

    fn define_benches(&mut self) {
        for id in self.cast.benches.clone() {
            let signal = self.any_signal();
            let lift = match self.draw.between(0, 99) {
                0..30 => Lift::Empty,
                30..75 => Lift::Full,
                _ => signal.map_or(Lift::Full, Lift::Signal),
            };
            let some_ticks = self.draw.between(1, 12);
            let after_ticks = self.draw.weighted(&[(60, 0), (40, some_ticks)]);
            let output = self.loose_place();
            let output = output.unwrap_or_else(|| unreachable!("benches come with mouths"));
            let bench = Bench {
                lift,
                after_ticks,
                output,
            };
            self.define(id, Part::Bench(bench));
        }
    }

    fn define_hoppers(&mut self) {
        let hoppers = self.cast.hoppers.clone();
        let mut wanting_mouths = self.cast.mouths.clone();
        let mut wanting_benches = self.cast.benches.clone();
        for (index, &id) in hoppers.iter().enumerate() {
            let next = hoppers.get(index + 1).copied();
            let before = index.checked_sub(1).map(|index| hoppers[index]);
            let target = match next {
                Some(next) if self.draw.percent(self.style.line_percent) => Some(next),
                _ if self.draw.percent(12) => None,
                _ => Some(self.any_target(id)),
            };
            let intake = match before {
                Some(before) if self.draw.percent(self.style.column_percent) => {
                    Intake::Above(before)
                }
                _ => self.any_intake(id, &mut wanting_mouths),
            };
            let lock = self.maybe_signal(self.style.locks_percent);
            let mut hopper = Hopper {
                target,
                intake,
                lock,
            };
            // A bench is of little use with nobody to load or unload it.
            if let Some(bench) = wanting_benches.pop() {
                if self.draw.percent(50) {
                    hopper.target = Some(bench);
                } else {
                    hopper.intake = Intake::Above(bench);
                }
            }
            self.define(id, Part::Hopper(hopper));
        }
    }

    /// A mouth that has no hopper yet comes first, most of the time.
    fn any_intake(&mut self, itself: PartId, wanting_mouths: &mut Vec<PartId>) -> Intake {
        let busy_mouth = self.cast.mouths.first().copied();
        if let Some(mouth) = busy_mouth
            && self.draw.percent(self.style.gathering_percent)
        {
            return Intake::Mouth(mouth);
        }
        if !wanting_mouths.is_empty() && self.draw.percent(50) {
            return Intake::Mouth(wanting_mouths.swap_remove(0));
        }
        let mouth = self.draw.pick(&self.cast.mouths);
        match self.draw.between(0, 99) {
            0..22 => mouth.map_or(Intake::Cap, Intake::Mouth),
            22..40 => Intake::Cap,
            _ => Intake::Above(self.any_inventory(itself)),
        }
    }

    fn define_droppers(&mut self) {
        let mut wanting_benches = self.cast.benches.clone();
        for id in self.cast.droppers.clone() {
            let bench = if wanting_benches.is_empty() {
                self.draw.pick(&self.cast.benches)
            } else {
                Some(wanting_benches.swap_remove(0))
            };
            let loose = self.loose_place();
            let bench_weight = if bench.is_some() { 250 } else { 0 };
            let loose_weight = if loose.is_some() { 40 } else { 0 };
            let into = Outlet::Into(self.any_target(id));
            let outlet = self.draw.weighted(&[
                (40, into),
                (bench_weight, bench.map_or(into, Outlet::Bench)),
                (loose_weight, loose.map_or(into, Outlet::Loose)),
            ]);
            // The first signal in line is a clock more often than not.
            let beat = self.cast.signals.first().copied();
            let trigger = if self.draw.percent(40) {
                beat
            } else {
                self.maybe_signal(90)
            };
            self.define(id, Part::Dropper(Dropper { trigger, outlet }));
        }
    }

    fn define_selectors(&mut self) {
        for id in self.cast.selectors.clone() {
            let several = self.draw.between(2, 5);
            let when_full = self.draw.percent(60).then(|| self.selector_target(id));
            let selector = Selector {
                latency_ticks: self.draw.between(0, 12),
                interval_ticks: self.draw.between(0, 12),
                holds: self.draw.weighted(&[(50, 1), (50, several)]),
                takes: self.predicate(2),
                match_target: self.selector_target(id),
                rest_target: self.selector_target(id),
                when_full,
                lock: self.maybe_signal(self.style.locks_percent),
            };
            self.define(id, Part::Selector(Box::new(selector)));
        }
    }

    /// Where a selector sends items, to a mouth or stream too.
    fn selector_target(&mut self, itself: PartId) -> PartId {
        let weights = [
            (35, List::Containers),
            (30, List::Hoppers),
            (8, List::Droppers),
            (12, List::Benches),
            (10, List::Selectors),
            (12, List::Places),
            (25, List::Loose),
        ];
        self.pick_other(itself, &weights)
            .unwrap_or(self.cast.containers[0])
    }

    fn define_shuttles(&mut self) {
        let mut free_starts = self.cast.places.clone();
        self.draw.shuffle(&mut free_starts);
        for id in self.cast.shuttles.clone() {
            let start = free_starts.pop();
            let start = start.unwrap_or_else(|| unreachable!("there are places for all shuttles"));
            let mut stops = vec![self.stop(start)];
            for _ in 0..self.draw.between(0, 3) {
                if let Some(place) = self.draw.pick(&self.cast.places) {
                    stops.push(self.stop(place));
                }
            }
            let slots = self.draw.weighted(&[(70, HOPPER_SLOTS), (30, BOX_SLOTS)]);
            self.define(id, Part::Shuttle(Box::new(Shuttle { slots, stops })));
        }
    }

    fn stop(&mut self, place: PartId) -> Leg {
        let some_ticks = self.draw.between(1, 20);
        Leg {
            dock: place,
            travel_ticks: self.draw.between(0, 20),
            dwell_ticks: self.draw.weighted(&[(40, 0), (60, some_ticks)]),
            release: self.maybe_signal(40),
        }
    }
}
