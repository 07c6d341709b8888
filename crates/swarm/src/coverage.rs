//! Counts in how many networks each thing worth meeting was met.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::engine::{ShuttlePosition, View};
use hallwright_core::event::{DeliveryNews, Event, Moment, Observer, StackId};
use hallwright_core::id::PartId;
use hallwright_core::part::{Intake, Lift, Part, Signal};
use hallwright_core::tick::{Phase, Tick};

use crate::blueprint::Blueprint;
use crate::mishaps::Mishaps;
use crate::nights::Nights;

/// Everything that ought to be met, in the order of the table: the events themselves first.
pub const WANTED: [&str; 97] = [
    "event: signal changed",
    "event: locked",
    "event: unlocked",
    "event: item moved",
    "event: delivered",
    "event: withdrawn",
    "event: clicked",
    "event: thrown",
    "event: came loose",
    "event: merged",
    "event: collected",
    "event: lost",
    "event: box set",
    "event: box lifted",
    "event: docked",
    "event: departed",
    "signal: lever",
    "signal: button",
    "signal: wire",
    "signal: repeater",
    "signal: comparator",
    "signal: inverter",
    "signal: observer",
    "signal: hold",
    "signal: latch",
    "signal: toggle",
    "signal: all of",
    "signal: none of",
    "signal: clock",
    "signal: delay line",
    "push: into a container",
    "push: into a hopper",
    "push: into a dropper",
    "push: into a bench",
    "push: into a shuttle",
    "push: into a selector",
    "push: in phase 3",
    "pull: from a container",
    "pull: from a hopper",
    "pull: from a dropper",
    "pull: from a bench",
    "pull: from a shuttle",
    "pull: several in one tick down a column",
    "dropper: into its target",
    "dropper: a slot drawn among several",
    "selector: to the match target",
    "selector: to the rest target",
    "selector: to the target for when it is full",
    "selector: to a mouth or stream",
    "selector: several inside",
    "arrival: sender's turn first, one tick less",
    "arrival: the whole cooldown",
    "collected: in phase 3",
    "collected: in phase 4",
    "collected: in part",
    "lost: on a stream",
    "lost: at rest",
    "lost: a box",
    "lost: after merging into a later stack",
    "lifted: empty",
    "lifted: full",
    "lifted: by a signal",
    "lifted: after a while",
    "docked: had to wait",
    "run: busy to its end",
    "delivery: refused",
    "delivery: waits for room",
    "delivery: held by a signal",
    "delivery: comes in after a wait",
    "orders: a signal order other than the default",
    "sleep: of a container",
    "sleep: of a hopper",
    "sleep: of a dropper",
    "sleep: of a mouth",
    "sleep: of a stream",
    "sleep: of a bench",
    "sleep: of a selector",
    "sleep: of a dock",
    "sleep: of a shuttle",
    "sleep: of a signal",
    "sleep: of more than half of all parts",
    "sleep: a lever or button does nothing",
    "sleep: a delivery or withdrawal where it sleeps",
    "sleep: the lock of a sleeper changes",
    "sleep: something comes loose where it sleeps",
    "sleep: a move in the tick of waking",
    "reopening: at all",
    "reopening: while parts sleep",
    "reopening: parts load late",
    "mishap: signals stuck on",
    "mishap: signals stuck off",
    "mishap: every signal stuck",
    "mishap: a sleeping signal gets stuck",
    "mishap: a signal that comes free changes",
    "mishap: filled by hand",
    "mishap: a box is to be taken away",
    "mishap: a box is taken off its bench",
];

/// A row below this share of all networks is met too seldom for the run to say much about it.
pub const LEAST_SHARE: f64 = 0.01;

/// In how many networks each row of [`WANTED`] was met.
#[derive(Clone, Default, Debug)]
pub struct Coverage {
    networks: u64,
    events: u64,
    met: BTreeMap<&'static str, u64>,
}

impl Coverage {
    /// Adds what one network met.
    pub fn add(&mut self, witness: &Witness) {
        self.networks += 1;
        self.events += witness.events;
        for row in &witness.met {
            *self.met.entry(row).or_default() += 1;
        }
    }

    /// What both counted together.
    #[must_use]
    pub fn merged(mut self, other: &Self) -> Self {
        self.networks += other.networks;
        self.events += other.events;
        for (row, count) in &other.met {
            *self.met.entry(row).or_default() += count;
        }
        self
    }

    /// How many networks were counted.
    #[must_use]
    pub fn networks(&self) -> u64 {
        self.networks
    }

    /// Every row with the share of networks that met it, from 0 to 1.
    pub fn shares(&self) -> impl Iterator<Item = (&'static str, f64)> {
        let networks = self.networks.max(1) as f64;
        WANTED.iter().map(move |row| {
            let met = self.met.get(row).copied().unwrap_or(0);
            (*row, met as f64 / networks)
        })
    }

    /// The rows met by less than [`LEAST_SHARE`] of all networks.
    #[must_use]
    pub fn rare(&self) -> Vec<&'static str> {
        self.shares()
            .filter(|(_, share)| *share < LEAST_SHARE)
            .map(|(row, _)| row)
            .collect()
    }

    /// How many events a network has on average.
    #[must_use]
    pub fn mean_events(&self) -> f64 {
        self.events as f64 / self.networks.max(1) as f64
    }
}

/// Watches one run and notes which rows it meets.
#[derive(Default, Debug)]
pub struct Witness {
    met: BTreeSet<&'static str>,
    events: u64,
    /// What is known of each loose stack.
    stacks: BTreeMap<StackId, LooseNote>,
    /// The first tick in which each shuttle under way can dock.
    arrivals: BTreeMap<PartId, Tick>,
    /// The hoppers that pulled something this tick.
    pulled: BTreeSet<PartId>,
    pulled_at: Tick,
    last_event_at: Tick,
    nights: Nights,
    /// Which signals come free when.
    mishaps: Mishaps,
}

/// What a witness remembers of a loose stack.
#[derive(Clone, Copy, Debug)]
struct LooseNote {
    count: u8,
    /// When it reaches its mouth.
    rests_at: Tick,
    /// Whether a stack that came loose before it merged into it.
    has_taken_up_earlier: bool,
}

impl Witness {
    fn meet(&mut self, row: &'static str) {
        debug_assert!(WANTED.contains(&row), "`{row}` is not in the table");
        self.met.insert(row);
    }

    fn meet_if(&mut self, condition: bool, row: &'static str) {
        if condition {
            self.meet(row);
        }
    }

    /// A witness of a run of this network.
    #[must_use]
    pub fn of(blueprint: &Blueprint) -> Self {
        let mut witness = Self {
            nights: Nights::of(blueprint),
            mishaps: Mishaps::of(blueprint),
            ..Self::default()
        };
        let mishaps = Mishaps::rows(blueprint, &witness.nights);
        for row in witness.nights.rows(blueprint).into_iter().chain(mishaps) {
            witness.meet(row);
        }
        witness
    }

    /// Reports the witness that the run is over, after so many ticks.
    pub fn finish(&mut self, length_ticks: u64) {
        let is_busy = self.events > 0 && self.last_event_at.0 + 20 >= length_ticks;
        self.meet_if(is_busy, "run: busy to its end");
    }

    fn moved(&mut self, moment: Moment, from: PartId, to: PartId, view: &View<'_>) {
        let network = view.network();
        match network.part(from) {
            Part::Dropper(_) if moment.phase == Phase::Signals => {
                self.meet("dropper: into its target");
            }
            Part::Selector(selector) => {
                let is_match = to == selector.match_target;
                let is_rest = to == selector.rest_target;
                self.meet_if(is_match && !is_rest, "selector: to the match target");
                self.meet_if(is_rest && !is_match, "selector: to the rest target");
                let row = "selector: to the target for when it is full";
                self.meet_if(!is_match && !is_rest, row);
                let is_loose = matches!(network.part(to), Part::Mouth | Part::Stream(_));
                self.meet_if(is_loose, "selector: to a mouth or stream");
                self.arrived(from, to, view);
            }
            Part::Hopper(hopper) if hopper.target == Some(to) => {
                self.meet_if(moment.phase == Phase::Loose, "push: in phase 3");
                self.meet(match network.part(to) {
                    Part::Container(_) => "push: into a container",
                    Part::Hopper(_) => "push: into a hopper",
                    Part::Dropper(_) => "push: into a dropper",
                    Part::Bench(_) => "push: into a bench",
                    Part::Selector(_) => "push: into a selector",
                    Part::Dock => "push: into a shuttle",
                    Part::Mouth | Part::Stream(_) | Part::Shuttle(_) | Part::Signal(_) => {
                        unreachable!("no hopper pushes into a {}", network.part(to).word())
                    }
                });
                self.arrived(from, to, view);
            }
            Part::Dropper(_)
            | Part::Hopper(_)
            | Part::Container(_)
            | Part::Bench(_)
            | Part::Dock => self.pulled(moment, from, to, view),
            Part::Mouth | Part::Stream(_) | Part::Shuttle(_) | Part::Signal(_) => {
                unreachable!("nothing moves from a {}", network.part(from).word())
            }
        }
        let is_selector = matches!(network.part(to), Part::Selector(_));
        let is_queue = is_selector && view.queue(to).len() > 1;
        self.meet_if(is_queue, "selector: several inside");
    }

    /// Something went into a hopper that may have been wholly empty.
    fn arrived(&mut self, from: PartId, to: PartId, view: &View<'_>) {
        let network = view.network();
        let Part::Hopper(_) = network.part(to) else {
            return;
        };
        let items: u32 = view
            .slots(to)
            .into_iter()
            .flatten()
            .flatten()
            .map(|stack| u32::from(stack.count))
            .sum();
        let arrival_ticks = network.rules().arrival_ticks;
        let cooldown_ticks = view.cooldown_ticks(to);
        let is_empty_before = items == 1 && from != to;
        let row = "arrival: the whole cooldown";
        self.meet_if(is_empty_before && cooldown_ticks == arrival_ticks, row);
        let row = "arrival: sender's turn first, one tick less";
        self.meet_if(is_empty_before && cooldown_ticks + 1 == arrival_ticks, row);
    }

    fn pulled(&mut self, moment: Moment, from: PartId, to: PartId, view: &View<'_>) {
        let network = view.network();
        let is_pull = matches!(network.part(to),
            Part::Hopper(hopper) if hopper.intake == Intake::Above(from));
        if !is_pull {
            return;
        }
        self.meet(match network.part(from) {
            Part::Container(_) => "pull: from a container",
            Part::Hopper(_) => "pull: from a hopper",
            Part::Dropper(_) => "pull: from a dropper",
            Part::Bench(_) => "pull: from a bench",
            Part::Dock => "pull: from a shuttle",
            Part::Mouth
            | Part::Stream(_)
            | Part::Selector(_)
            | Part::Shuttle(_)
            | Part::Signal(_) => {
                unreachable!("no hopper pulls from a {}", network.part(from).word())
            }
        });
        if self.pulled_at != moment.tick {
            self.pulled.clear();
            self.pulled_at = moment.tick;
        }
        let row = "pull: several in one tick down a column";
        self.meet_if(self.pulled.contains(&from), row);
        self.pulled.insert(to);
    }

    fn came_loose(&mut self, moment: Moment, stack: StackId, count: u8, place: &Part) {
        let transit_ticks = if let Part::Stream(stream) = place {
            stream.transit_ticks
        } else {
            0
        };
        let note = LooseNote {
            count,
            rests_at: moment.tick + u64::from(transit_ticks),
            has_taken_up_earlier: false,
        };
        self.stacks.insert(stack, note);
    }

    fn merged(&mut self, stack: StackId, into: StackId) {
        let gone = self.stacks.remove(&stack);
        if let (Some(gone), Some(note)) = (gone, self.stacks.get_mut(&into)) {
            note.count += gone.count;
            note.has_taken_up_earlier |= stack < into || gone.has_taken_up_earlier;
        }
    }

    fn collected(&mut self, phase: Phase, stack: StackId, count: u8) {
        self.meet(if phase == Phase::Loose {
            "collected: in phase 3"
        } else {
            "collected: in phase 4"
        });
        if let Some(note) = self.stacks.get_mut(&stack) {
            note.count -= count;
            let in_part = note.count > 0;
            self.meet_if(in_part, "collected: in part");
        }
    }

    fn lost(&mut self, tick: Tick, stack: StackId, is_box: bool) {
        self.meet_if(is_box, "lost: a box");
        if let Some(note) = self.stacks.remove(&stack) {
            let row = "lost: after merging into a later stack";
            self.meet_if(note.has_taken_up_earlier, row);
            // A stack that would reach its mouth in the tick of its loss does not.
            self.meet(if tick > note.rests_at {
                "lost: at rest"
            } else {
                "lost: on a stream"
            });
        }
    }

    fn departed(&mut self, shuttle: PartId, view: &View<'_>) {
        if let ShuttlePosition::UnderWay { arrives_at, .. } = view.shuttle_position(shuttle) {
            self.arrivals.insert(shuttle, arrives_at);
        }
    }

    fn docked(&mut self, tick: Tick, shuttle: PartId) {
        let arrival = self.arrivals.remove(&shuttle);
        let had_to_wait = arrival.is_some_and(|arrival| tick > arrival);
        self.meet_if(had_to_wait, "docked: had to wait");
    }

    fn lifted(&mut self, bench: PartId, view: &View<'_>) {
        let Part::Bench(bench) = view.network().part(bench) else {
            return;
        };
        self.meet(match bench.lift {
            Lift::Empty => "lifted: empty",
            Lift::Full => "lifted: full",
            Lift::Signal(_) => "lifted: by a signal",
        });
        self.meet_if(bench.after_ticks > 0, "lifted: after a while");
    }

    fn fired(&mut self, dropper: PartId, view: &View<'_>) {
        let occupied = view.slots(dropper).into_iter().flatten().flatten().count();
        self.meet_if(occupied >= 2, "dropper: a slot drawn among several");
    }
}

impl Observer for Witness {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        self.events += 1;
        self.last_event_at = moment.tick;
        self.meet(name(event));
        match *event {
            Event::SignalChanged { signal, .. } => {
                let is_freed =
                    moment.phase == Phase::Inputs && self.mishaps.comes_free(signal, moment.tick);
                self.meet_if(is_freed, "mishap: a signal that comes free changes");
                if let Part::Signal(signal) = view.network().part(signal) {
                    self.meet(signal_name(signal));
                }
            }
            Event::ItemMoved { from, to, .. } => {
                if moment.phase == Phase::Signals {
                    self.fired(from, view);
                }
                let wakes =
                    self.nights.wakes(from, moment.tick) || self.nights.wakes(to, moment.tick);
                self.meet_if(wakes, "sleep: a move in the tick of waking");
                self.moved(moment, from, to, view);
            }
            Event::Thrown { dropper, .. } => self.fired(dropper, view),
            Event::CameLoose {
                stack,
                count,
                place,
                ..
            } => {
                let is_asleep = self.nights.is_asleep(place, moment.tick);
                self.meet_if(is_asleep, "sleep: something comes loose where it sleeps");
                self.came_loose(moment, stack, count, view.network().part(place));
            }
            Event::Merged { stack, into, .. } => self.merged(stack, into),
            Event::Collected { stack, count, .. } => self.collected(moment.phase, stack, count),
            Event::Lost { stack, item, .. } => {
                self.lost(moment.tick, stack, item.box_id.is_some());
            }
            Event::BoxLifted { bench, .. } => self.lifted(bench, view),
            Event::Departed { shuttle, .. } => self.departed(shuttle, view),
            Event::Docked { shuttle, .. } => self.docked(moment.tick, shuttle),
            Event::Locked { part } | Event::Unlocked { part } => {
                let is_asleep = self.nights.is_asleep(part, moment.tick);
                self.meet_if(is_asleep, "sleep: the lock of a sleeper changes");
            }
            Event::Withdrawn { place, item, .. } => {
                let is_bench = matches!(view.network().part(place), Part::Bench(_));
                let is_taken_off = is_bench && item.box_id.is_some();
                self.meet_if(is_taken_off, "mishap: a box is taken off its bench");
            }
            Event::Delivered { .. } => {}
            Event::Clicked { .. } | Event::BoxSet { .. } => {}
        }
    }

    fn delivery(&mut self, _moment: Moment, news: &DeliveryNews, view: &View<'_>) {
        self.meet_if(news.refused > 0, "delivery: refused");
        let has_waited = news.sent == 0 && news.delivered > 0;
        self.meet_if(has_waited, "delivery: comes in after a wait");
        if news.sent > news.delivered + news.refused {
            let at_place = view.waiting().filter(|(place, _)| *place == news.place);
            let Some((_, last)) = at_place.last() else {
                return;
            };
            let is_held = last
                .terms
                .while_on
                .is_some_and(|gate| view.level(gate) == 0);
            self.meet_if(is_held, "delivery: held by a signal");
            self.meet_if(last.terms.waits && !is_held, "delivery: waits for room");
        }
    }
}

/// The row of an event.
fn name(event: &Event) -> &'static str {
    match event {
        Event::SignalChanged { .. } => "event: signal changed",
        Event::Locked { .. } => "event: locked",
        Event::Unlocked { .. } => "event: unlocked",
        Event::ItemMoved { .. } => "event: item moved",
        Event::Delivered { .. } => "event: delivered",
        Event::Withdrawn { .. } => "event: withdrawn",
        Event::Clicked { .. } => "event: clicked",
        Event::Thrown { .. } => "event: thrown",
        Event::CameLoose { .. } => "event: came loose",
        Event::Merged { .. } => "event: merged",
        Event::Collected { .. } => "event: collected",
        Event::Lost { .. } => "event: lost",
        Event::BoxSet { .. } => "event: box set",
        Event::BoxLifted { .. } => "event: box lifted",
        Event::Docked { .. } => "event: docked",
        Event::Departed { .. } => "event: departed",
    }
}

/// The row of a signal that changed.
fn signal_name(signal: &Signal) -> &'static str {
    let is_its = |row: &&str| row.strip_prefix("signal: ") == Some(signal.word());
    let row = WANTED.into_iter().find(is_its);
    row.unwrap_or_else(|| unreachable!("`{}` has no row in the table", signal.word()))
}
