//! What each part waits for at the end of a tick, in the causes of [`Cause`].
//!
//! Where a path goes along items, this looks at one part: a hopper waits for its lock, its cooldown,
//! its target or for something to move; a container for whoever takes from it; a signal for its delay.

use hallwright_analysis::signals;
use hallwright_analysis::ways::{Way, WayKind, Ways};
use hallwright_core::asks::Holding;
use hallwright_core::engine::{ShuttlePosition, View};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Bench, Dropper, Hopper, Intake, Lift, Outlet, Part, Selector, Signal};
use hallwright_core::slot::Item;

use super::condition::Cause;
use super::standing::{has_room, sorts_in};

/// Why a part does nothing.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Why {
    /// As explanations say. A cooldown or a turn without a part is its own.
    Because(Cause),
    /// The cooldown that begins when an item arrives, from this part; without one, by a delivery.
    Arrival,
    /// Locked by this signal, but there is nothing to move either.
    IdleLock,
    /// There is nothing to move; this part is the only one that could bring something.
    Nothing,
    /// No box or shuttle stands there.
    Unoccupied,
    /// This signal must come on anew to trigger it; without one, nothing does.
    NotTriggered,
    /// This signal must be on.
    NotReleased,
    /// A box that is not full yet.
    NotFull,
    /// Nothing leads on: what it holds is stored.
    NoWayOn,
    /// A signal that is on, and nothing is pending.
    On,
    /// A signal that is off, and nothing is pending.
    Off,
    /// It sleeps; or, with a part, that one does.
    Asleep,
    /// A signal that is stuck.
    Stuck,
}

/// What a part waits for.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Wait {
    /// Why.
    pub why: Why,
    /// Which other part is the cause of it, if one is.
    pub by: Option<PartId>,
}

/// For how long a wait is sure to be the same.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Lasts {
    /// Until something happens to the part or a neighbour of it.
    Unchanged,
    /// Until the end of this tick, if nothing happens before.
    Until(u64),
    /// It must be looked at again when the next tick is over in which something could happen.
    Briefly,
}

/// Who stands around each part.
pub struct Around {
    /// Every part that is linked with it.
    pub neighbours: Vec<Vec<PartId>>,
    /// The hoppers that take items from it by themselves.
    takers: Vec<Vec<PartId>>,
    /// Where its items come from, if that is one part.
    feeder: Vec<Option<PartId>>,
}

impl Around {
    /// Looks at every link.
    pub fn new(network: &Network) -> Self {
        let count = network.part_count();
        let mut neighbours = vec![Vec::new(); count];
        let mut takers = vec![Vec::new(); count];
        let mut feeders = vec![Vec::new(); count];
        let mut link = |one: PartId, other: PartId| {
            neighbours[one.index()].push(other);
            neighbours[other.index()].push(one);
        };
        let ways = Ways::new(network);
        // A dispenser that waits for its bench has nothing to do with what lies beyond.
        let is_beside = |way: &Way| way.kind.is_of_boxes() || way.kind == WayKind::ThrowPast;
        for way in ways.iter().filter(|way| !is_beside(way)) {
            let (from, to) = (PartId::from_index(way.from), PartId::from_index(way.to));
            link(from, to);
            if way.kind.is_hop() && !way.kind.is_short_cut() {
                feeders[way.to].push(from);
            }
            if way.kind.is_taken() {
                takers[way.from].push(to);
            }
        }
        for (read, reader, _) in signals::links(network) {
            link(read, reader);
        }
        for (part, definition) in network.parts() {
            // What stands at a place waits for the same as the shuttle.
            let stops = definition
                .shuttle()
                .into_iter()
                .flat_map(|shuttle| &shuttle.stops);
            for stop in stops {
                if let Some(release) = stop.release {
                    neighbours[release.index()].push(stop.dock);
                }
            }
            let watched = definition.signal().and_then(Signal::trigger_watched);
            let dropper = watched.and_then(|dropper| network.part(dropper).dropper());
            if let Some(trigger) = dropper.and_then(|dropper| dropper.trigger) {
                neighbours[trigger.index()].push(part);
            }
        }
        for list in neighbours.iter_mut().chain(&mut feeders) {
            list.sort_unstable();
            list.dedup();
        }
        let only = |list: Vec<PartId>| (list.len() == 1).then(|| list[0]);
        Self {
            neighbours,
            takers,
            feeder: feeders.into_iter().map(only).collect(),
        }
    }
}

/// The state at the end of a tick.
pub struct Situation<'a, 'v> {
    /// The state.
    pub view: &'a View<'v>,
    /// The links.
    pub around: &'a Around,
    /// The tick.
    pub at: u64,
    /// A hopper's cooldown at its end, in ticks.
    pub cooldown_ticks: &'a dyn Fn(PartId) -> u64,
}

type Answer = (Wait, Lasts);

fn by(why: Why, by: PartId, lasts: Lasts) -> Answer {
    (Wait { why, by: Some(by) }, lasts)
}

fn own(why: Why, lasts: Lasts) -> Answer {
    (Wait { why, by: None }, lasts)
}

impl Situation<'_, '_> {
    /// What a part waits for.
    pub fn waits(&self, part: PartId) -> Answer {
        if self.view.awake_at(part).is_some() {
            return own(Why::Asleep, Lasts::Unchanged);
        }
        match self.view.network().part(part) {
            Part::Hopper(hopper) => match hopper.intake {
                Intake::Mouth(mouth) => self.below_or_at(mouth, self.hopper(part, hopper)),
                Intake::Above(_) | Intake::Cap => self.hopper(part, hopper),
            },
            Part::Selector(selector) => self.selector(part, selector),
            Part::Dropper(dropper) => self.dropper(part, dropper),
            Part::Container(_) => self.stored(part),
            Part::Mouth => self.below_or_at(part, self.mouth(part)),
            Part::Stream(_) => match self.is_under_way(|place, _| place == part) {
                Some(_) => own(Why::Because(Cause::Stream), Lasts::Briefly),
                None => self.nothing(part),
            },
            Part::Bench(bench) => self.bench(part, bench),
            Part::Dock => match self.view.shuttle_at(part) {
                Some(shuttle) => self.shuttle(shuttle),
                None => own(Why::Unoccupied, Lasts::Unchanged),
            },
            Part::Shuttle(_) => self.shuttle(part),
            Part::Signal(signal) => self.signal(part, signal),
        }
    }

    /// A stack can come to rest at a mouth without an event.
    fn below_or_at(&self, mouth: PartId, (wait, lasts): Answer) -> Answer {
        match self.is_under_way(|_, to| to == mouth) {
            Some(_) => (wait, Lasts::Briefly),
            None => (wait, lasts),
        }
    }

    fn nothing(&self, part: PartId) -> Answer {
        let by = self.around.feeder[part.index()];
        let why = Why::Nothing;
        (Wait { why, by }, Lasts::Unchanged)
    }

    fn locked(&self, part: PartId, has_work: bool) -> Option<Answer> {
        let lock = self
            .view
            .network()
            .part(part)
            .lock()
            .filter(|_| self.view.is_locked(part))?;
        let why = match has_work {
            true => Why::Because(Cause::Lock),
            false => Why::IdleLock,
        };
        Some(by(why, lock, Lasts::Unchanged))
    }

    /// A target takes nothing of what there is for it.
    fn refused(&self, target: PartId) -> Answer {
        let why = match self.is_unoccupied(target) {
            _ if self.view.is_shut(target) => Why::Asleep,
            true => Why::Unoccupied,
            false => Why::Because(Cause::FullTarget),
        };
        by(why, target, Lasts::Unchanged)
    }

    fn is_unoccupied(&self, part: PartId) -> bool {
        match self.view.network().part(part).holding() {
            Holding::Box => self.view.box_on_bench(part).is_none(),
            Holding::Docked => self.view.shuttle_at(part).is_none(),
            Holding::Slots | Holding::Queue | Holding::Loose | Holding::Nothing => false,
        }
    }

    fn takes_some(&self, target: PartId, items: &[Item]) -> bool {
        items.iter().any(|item| has_room(self.view, target, *item))
    }

    fn hopper(&self, part: PartId, hopper: &Hopper) -> Answer {
        let items = sorts_in(self.view, part);
        let comes = match hopper.intake {
            Intake::Above(above) if self.view.is_shut(above) => false,
            Intake::Above(above) => self.takes_some(part, &sorts_in(self.view, above)),
            Intake::Mouth(mouth) if self.view.awake_at(mouth).is_some() => false,
            Intake::Mouth(mouth) => self.takes_some(part, &self.at_rest(mouth)),
            Intake::Cap => false,
        };
        let has_work = !items.is_empty() || comes;
        if let Some(locked) = self.locked(part, has_work) {
            return locked;
        }
        if !has_work {
            // A hopper that has handed on its last item cools down for nothing.
            let under_way = match hopper.intake {
                Intake::Mouth(mouth) => self.is_under_way(|_, to| to == mouth),
                Intake::Above(_) | Intake::Cap => None,
            };
            return match under_way {
                Some(place) => by(Why::Because(Cause::Stream), place, Lasts::Briefly),
                None => self.nothing(part),
            };
        }
        let cooldown_ticks = (self.cooldown_ticks)(part);
        if cooldown_ticks > 0 {
            let lasts = Lasts::Until(self.at + cooldown_ticks);
            return own(Why::Because(Cause::Cooldown), lasts);
        }
        match hopper.target {
            _ if comes => own(Why::Because(Cause::Turn), Lasts::Briefly),
            None => own(Why::NoWayOn, Lasts::Unchanged),
            Some(target) if self.takes_some(target, &items) => {
                own(Why::Because(Cause::Turn), Lasts::Briefly)
            }
            Some(target) => self.refused(target),
        }
    }

    fn selector(&self, part: PartId, selector: &Selector) -> Answer {
        let first = self.view.queue(part).next();
        if let Some(locked) = self.locked(part, first.is_some()) {
            return locked;
        }
        let Some(first) = first else {
            return self.nothing(part);
        };
        if first.ready_at.0 > self.at {
            let lasts = Lasts::Until(first.ready_at.0);
            return own(Why::Because(Cause::Selector), lasts);
        }
        let wanted = match self.view.is_match(part, first.item) {
            true => selector.match_target,
            false => selector.rest_target,
        };
        let mut ways = [Some(wanted), selector.when_full].into_iter().flatten();
        match ways.any(|target| has_room(self.view, target, first.item)) {
            true => own(Why::Because(Cause::Turn), Lasts::Briefly),
            false => self.refused(wanted),
        }
    }

    fn dropper(&self, part: PartId, dropper: &Dropper) -> Answer {
        let items = sorts_in(self.view, part);
        if items.is_empty() {
            return self.nothing(part);
        }
        let refused = match dropper.outlet {
            Outlet::Into(target) => (!self.takes_some(target, &items)).then_some(target),
            // It sets boxes down and throws everything else.
            Outlet::Bench(bench) => {
                let only_boxes = items.iter().all(|item| item.box_id.is_some());
                let is_taken = !self.is_unoccupied(bench) || self.view.is_shut(bench);
                (only_boxes && is_taken).then_some(bench)
            }
            Outlet::Loose(_) => None,
        };
        if let Some(target) = refused {
            return self.refused(target);
        }
        let by = dropper.trigger;
        match self.view.is_pending(part) {
            true => {
                let why = Why::Because(Cause::Firing);
                (Wait { why, by }, Lasts::Briefly)
            }
            false => {
                let why = Why::NotTriggered;
                (Wait { why, by }, Lasts::Unchanged)
            }
        }
    }

    /// What stands somewhere waits for the hoppers that take it from there.
    fn stored(&self, part: PartId) -> Answer {
        let items = sorts_in(self.view, part);
        if items.is_empty() {
            return self.nothing(part);
        }
        self.taken(part, &items)
    }

    fn taken(&self, part: PartId, items: &[Item]) -> Answer {
        let takers = &self.around.takers[part.index()];
        let is_unlocked = |taker: &&PartId| !self.view.is_locked(**taker);
        let ready = takers
            .iter()
            .filter(is_unlocked)
            .filter(|taker| self.takes_some(**taker, items))
            .map(|taker| ((self.cooldown_ticks)(*taker), *taker))
            .min();
        if let Some((cooldown_ticks, taker)) = ready {
            return match cooldown_ticks {
                0 => by(Why::Because(Cause::Turn), taker, Lasts::Briefly),
                ticks => {
                    let lasts = Lasts::Until(self.at + ticks);
                    by(Why::Because(Cause::Cooldown), taker, lasts)
                }
            };
        }
        if let Some(full) = takers.iter().find(is_unlocked) {
            let why = match self.view.is_shut(*full) {
                true => Why::Asleep,
                false => Why::Because(Cause::FullTarget),
            };
            return by(why, *full, Lasts::Unchanged);
        }
        let mut locked = takers.iter().filter_map(|taker| self.locked(*taker, true));
        locked.next().unwrap_or(own(Why::NoWayOn, Lasts::Unchanged))
    }

    fn mouth(&self, part: PartId) -> Answer {
        let items = self.at_rest(part);
        if items.is_empty() {
            return match self.is_under_way(|_, to| to == part) {
                Some(place) if place == part => {
                    own(Why::Because(Cause::Collection), Lasts::Briefly)
                }
                Some(place) => by(Why::Because(Cause::Stream), place, Lasts::Briefly),
                None => self.nothing(part),
            };
        }
        let (mut wait, lasts) = self.taken(part, &items);
        wait.why = match wait.why {
            Why::NoWayOn => Why::Because(Cause::Despawn),
            Why::Because(Cause::Cooldown | Cause::Turn) => Why::Because(Cause::Collection),
            why => why,
        };
        (wait, lasts)
    }

    /// What lies at a mouth, one of each sort.
    fn at_rest(&self, mouth: PartId) -> Vec<Item> {
        let stacks = self.view.loose_stacks();
        let resting = stacks.filter(|stack| stack.at_rest && stack.mouth == mouth);
        let mut items: Vec<Item> = resting.map(|stack| stack.item).collect();
        items.sort_unstable();
        items.dedup();
        items
    }

    /// Where the stack came loose that comes to rest last, of those under way from and to somewhere.
    fn is_under_way(&self, wanted: impl Fn(PartId, PartId) -> bool) -> Option<PartId> {
        let stacks = self.view.loose_stacks();
        let mut under_way =
            stacks.filter(|stack| !stack.at_rest && wanted(stack.place, stack.mouth));
        under_way.next().map(|stack| stack.place)
    }

    fn bench(&self, part: PartId, bench: &Bench) -> Answer {
        if self.view.box_on_bench(part).is_none() {
            return self.nothing(part);
        }
        let limit = |item: Item| self.view.network().kind(item.kind).stack_limit.items();
        let mut slots = self.view.slots(part).into_iter().flatten();
        let holds = match bench.lift {
            Lift::Empty => slots.all(|slot| slot.is_none()),
            Lift::Full => {
                slots.all(|slot| slot.is_some_and(|stack| stack.count >= limit(stack.item)))
            }
            Lift::Signal(signal) => self.view.level(signal) > 0,
        };
        match bench.lift {
            _ if holds => own(Why::Because(Cause::Bench), Lasts::Briefly),
            Lift::Signal(signal) => by(Why::NotReleased, signal, Lasts::Unchanged),
            Lift::Empty => self.taken(part, &sorts_in(self.view, part)),
            Lift::Full => own(Why::NotFull, Lasts::Unchanged),
        }
    }

    fn shuttle(&self, part: PartId) -> Answer {
        let Some(shuttle) = self.view.network().part(part).shuttle() else {
            return self.nothing(part);
        };
        match self.view.shuttle_position(part) {
            ShuttlePosition::UnderWay { to, arrives_at } => {
                let place = shuttle.stops[to as usize].dock;
                match arrives_at.0 > self.at {
                    true => by(
                        Why::Because(Cause::ShuttleWay),
                        place,
                        Lasts::Until(arrives_at.0),
                    ),
                    false => by(Why::Because(Cause::FullTarget), place, Lasts::Briefly),
                }
            }
            ShuttlePosition::Docked { stop, since } => {
                let stop = &shuttle.stops[stop as usize];
                let leaves_at = since.0 + u64::from(stop.dwell_ticks);
                match stop.release {
                    _ if leaves_at > self.at => {
                        own(Why::Because(Cause::Dwell), Lasts::Until(leaves_at))
                    }
                    Some(release) if self.view.level(release) == 0 => {
                        by(Why::NotReleased, release, Lasts::Unchanged)
                    }
                    _ => own(Why::Because(Cause::Turn), Lasts::Briefly),
                }
            }
        }
    }

    fn signal(&self, part: PartId, signal: &Signal) -> Answer {
        if self.view.free_at(part).is_some() {
            return own(Why::Stuck, Lasts::Unchanged);
        }
        if self.view.is_pending(part) {
            let cause = match signal {
                Signal::Hold { .. } | Signal::Button { .. } => Cause::Hold,
                Signal::Lever { .. } | Signal::Wire { .. } | Signal::Clock { .. } => {
                    Cause::SignalDelay
                }
                Signal::Repeater { .. } | Signal::Comparator { .. } | Signal::Inverter { .. } => {
                    Cause::SignalDelay
                }
                Signal::Observer { .. } | Signal::Latch { .. } | Signal::Toggle { .. } => {
                    Cause::SignalDelay
                }
                Signal::AllOf { .. } | Signal::NoneOf { .. } | Signal::DelayLine { .. } => {
                    Cause::SignalDelay
                }
            };
            return own(Why::Because(cause), Lasts::Briefly);
        }
        match self.view.level(part) {
            0 => own(Why::Off, Lasts::Unchanged),
            _ => own(Why::On, Lasts::Unchanged),
        }
    }
}
