//! The engine: steps a network through its ticks.
//!
//! It is event-driven: a tick visits only the parts that can act in it. The rule that makes this
//! exact is that *visiting is always harmless*, since by the tick rules every hopper takes a turn
//! every tick anyway, and that whatever could let a part act marks it for a visit:
//!
//! - a hopper in cooldown is marked for the tick in which it may act again (`state/turns.rs`);
//! - a hopper that found nothing to do stands idle until its own inventory, its target, what is above it
//!   or its lock changes; those flag that somebody awaits it (`phases/changes.rs`);
//! - the work of unvisited hoppers is the same every tick until one of these changes, and follows
//!   from the tick (`phases/work.rs`).
//!
//! Sleep (tick rules, section 9) costs a run without sleepers next to nothing: what it puts off is moved when
//! a part falls asleep, hoppers around it are connected to nothing in its place, and changes do not
//! reach it because it is in no table (`phases/sleep.rs`).
//!
//! What is looked up at every move lies in tables by number: hoppers and selectors by seat, one cache
//! line each (`state/takers.rs`, `tables/seats.rs`); signals by place with what they read and notify
//! (`tables/gates.rs`, `tables/wiring.rs`); of other parts their place and who is around them
//! (`tables/parts.rs`). The network is asked for the rest.
//!
//! Three folders, each of which knows only those after it: `phases`, what happens in a tick; `state`,
//! what changes; `tables`, what is looked up.

mod conservation;
mod digest;
mod phases;
mod relative;
mod state;
mod tables;
mod view;

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

pub use state::landings::WaitingDelivery;
pub use state::loose_items::LooseStack;
pub use state::world::{QueuedItem, ShuttlePosition};
pub use view::View;

use self::phases::rewiring::wired;
use self::phases::signals::Ripple;
use self::state::takers::{Flags, Taker};
use self::state::turns::{Turn, TurnWheel};
use self::state::work_meter::WorkMeter;
use self::state::world::World;
use self::tables::gates::Gates;
use self::tables::parts::Parts;
use self::tables::seats::{seats, selector_places};
use self::tables::signal_order::SignalOrder;
use self::tables::wiring::Wiring;
use crate::event::{Event, Moment, Observer};
use crate::id::PartId;
use crate::network::Network;
use crate::part::{Hopper, Part, Selector};
use crate::setup::Setup;
use crate::tick::{Phase, Tick};

/// A run of a network, between two ticks.
pub struct Engine<'n> {
    network: &'n Network,
    setup: &'n Setup,
    signal_order: SignalOrder,
    wiring: Wiring,
    gates: Gates,
    world: World,
    parts: Parts,
    /// For each seat up to that of the last selector, the place of a selector in `world.selectors`.
    selector_places: Vec<u32>,
    turns: TurnWheel,
    work: WorkMeter,
    phase: Phase,
    /// How many ranks have begun their turn in this tick.
    turns_begun: u32,
    /// The last tick in which the world was opened again.
    reopened_at: Option<Tick>,
    /// The last tick in which parts were awake again, and which.
    woken: (Tick, BTreeSet<PartId>),
    /// Benches whose lift condition must be looked at, by tick.
    bench_checks: BTreeSet<(Tick, PartId)>,
    /// Shuttles that may dock or depart, by tick.
    shuttle_checks: BTreeSet<(Tick, PartId)>,
    /// Hoppers below a mouth that were roused while phase 3 runs.
    roused_below_mouths: Vec<PartId>,
    /// The wave of a signal change that is running through the network.
    ripples: Vec<Ripple>,
}

/// All that changes in a run, as plain data: equal states have equal futures.
///
/// It belongs to one network and setup.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
pub struct State {
    world: World,
}

impl State {
    /// The next tick to be run.
    #[must_use]
    pub fn tick(&self) -> Tick {
        self.world.tick
    }

    /// The same to go on with another timeline, of which nothing is done yet, in the orders that were in force.
    #[must_use]
    pub fn before_all_inputs(mut self) -> Self {
        self.world.inputs_done = 0;
        self
    }
}

impl<'n> Engine<'n> {
    /// A run from its start: signals settled, nothing done yet.
    ///
    /// # Panics
    ///
    /// If the timeline does not fit the network ([`Setup::problems`]), or a listed order does not name
    /// every part of its sorts once.
    #[must_use]
    pub fn new(network: &'n Network, setup: &'n Setup) -> Self {
        let problems = setup.problems(network);
        assert!(
            problems.is_empty(),
            "the timeline does not fit the network: {problems:?}"
        );
        let order = setup.orders.update_order(network);
        let seats = seats(network, &order);
        let parts = Parts::new(network, &seats);
        let world = World::new(network, &seats, &parts);
        let mut engine = Self::from_parts(network, setup, parts, world);
        engine.settle();
        engine.start();
        engine
    }

    /// Goes on from a saved state of the same network and setup.
    #[must_use]
    pub fn resume(network: &'n Network, setup: &'n Setup, state: &State) -> Self {
        let order = setup.orders.update_order(network);
        let parts = Parts::new(network, &seats(network, &order));
        let mut engine = Self::from_parts(network, setup, parts, state.world.clone());
        engine.start();
        engine
    }

    /// Goes on from another run of the same network between two ticks, with a timeline that had the same inputs so
    /// far. Much quicker than to [resume](Engine::resume) a saved state.
    ///
    /// # Panics
    ///
    /// If that is a run of another network.
    #[must_use]
    pub fn branch(network: &'n Network, setup: &'n Setup, from: &Engine<'_>) -> Self {
        assert!(
            std::ptr::eq(network, from.network),
            "a branch is of the same network"
        );
        Self {
            network,
            setup,
            signal_order: from.signal_order.clone(),
            wiring: from.wiring.clone(),
            gates: from.gates.clone(),
            world: from.world.clone(),
            parts: from.parts.clone(),
            selector_places: from.selector_places.clone(),
            turns: from.turns.clone(),
            work: from.work,
            phase: from.phase,
            turns_begun: from.turns_begun,
            reopened_at: from.reopened_at,
            woken: from.woken.clone(),
            bench_checks: from.bench_checks.clone(),
            shuttle_checks: from.shuttle_checks.clone(),
            roused_below_mouths: from.roused_below_mouths.clone(),
            ripples: from.ripples.clone(),
        }
    }

    /// As [`branch`](Engine::branch), with a timeline of which nothing is done yet, in the orders that are in force.
    #[must_use]
    pub fn branch_anew(network: &'n Network, setup: &'n Setup, from: &Engine<'_>) -> Self {
        let mut copy = Self::branch(network, setup, from);
        copy.world.inputs_done = 0;
        copy
    }

    fn from_parts(network: &'n Network, setup: &'n Setup, parts: Parts, world: World) -> Self {
        let selector_places = selector_places(&world.inventories.takers);
        let orders = setup.orders_after(world.inputs_done);
        let signal_order = SignalOrder::new(&orders.signal_order(network), network.part_count());
        let (wiring, gates) = wired(network, &parts, &signal_order, &world);
        Self {
            network,
            setup,
            signal_order,
            wiring,
            gates,
            selector_places,
            parts,
            turns: TurnWheel::default(),
            world,
            work: WorkMeter::default(),
            phase: Phase::Inputs,
            turns_begun: 0,
            reopened_at: None,
            woken: (Tick(0), BTreeSet::new()),
            bench_checks: BTreeSet::new(),
            shuttle_checks: BTreeSet::new(),
            roused_below_mouths: Vec::new(),
            ripples: Vec::new(),
        }
    }

    /// Looks at everything once, so that whatever can act is marked for a visit.
    fn start(&mut self) {
        for seat in 0..self.world.inventories.takers.len() {
            let part = self.taker(seat).part;
            if self.lock_of(part).is_some_and(|lock| self.is_on(lock)) {
                self.taker_mut(seat).flags.set(Flags::LOCKED);
            }
        }
        self.mark_all_turns();
        let now = self.world.tick;
        for (part, definition) in self.network.parts() {
            if let Part::Bench(_) = definition {
                self.bench_checks.insert((now, part));
            }
            if let Part::Shuttle(_) = definition {
                self.shuttle_checks.insert((now, part));
            }
        }
    }

    /// Marks every hopper and selector that is awake for the first turn in which it may act.
    fn mark_all_turns(&mut self) {
        let now = self.world.tick;
        for seat in 0..self.world.inventories.takers.len() {
            let flags = self.taker(seat).flags;
            if flags.any(Flags::SLEEPS) {
                continue;
            }
            if flags.any(Flags::SELECTOR) {
                self.turns.mark(now, now, self.turn_of(seat));
            } else {
                self.mark_end_of_cooldown(seat);
                self.restate_work(seat);
            }
        }
    }

    /// The next tick to be run: so many are over.
    #[must_use]
    pub fn tick(&self) -> Tick {
        self.world.tick
    }

    /// Runs one tick. The order of the phases is part of the model: see `docs/look-up/tick-rules.md`.
    pub fn step<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        self.apply_inputs(observer);
        self.run_signals(observer);
        self.move_loose_items(observer);
        self.give_turns(observer);
        self.measure(observer);
    }

    /// Runs until tick `end` is the next one, leaping over ticks in which nothing can happen.
    pub fn run_until<O: Observer + ?Sized>(&mut self, end: Tick, observer: &mut O) {
        while self.world.tick < end {
            match self.next_due() {
                Some(due) if due <= self.world.tick => self.step(observer),
                Some(due) => self.leap(due.min(end), observer),
                None => self.leap(end, observer),
            }
        }
    }

    /// As [`run_until`](Self::run_until), with an observer of any sort. This is compiled once, while `run_until` and
    /// all that it calls is compiled anew for each sort of observer: it is for those that run much.
    pub fn run_watched(&mut self, end: Tick, observer: &mut dyn Observer) {
        self.run_until(end, observer);
    }

    /// As [`run_watched`](Self::run_watched), and nobody watches.
    pub fn run_unwatched(&mut self, end: Tick) {
        self.run_until(end, &mut ());
    }

    /// As [`step`](Self::step), with an observer of any sort.
    pub fn step_watched(&mut self, observer: &mut dyn Observer) {
        self.step(observer);
    }

    /// The next tick in which something can happen or that is the last before a sleeper wakes; `None` if
    /// there is none.
    #[must_use]
    pub fn next_due(&self) -> Option<Tick> {
        let now = self.world.tick;
        let turn = self.turns.next_due(now);
        if turn == Some(now) {
            return turn;
        }
        let input = self
            .setup
            .timeline
            .entries()
            .get(self.world.inputs_done)
            .map(|(at, _)| *at);
        let is_a_line_ready = !self.world.landings.is_empty() && self.is_a_line_ready();
        let dues = [
            is_a_line_ready.then_some(now),
            turn,
            input,
            self.world.agenda.next_due(),
            self.world.clocks.next_due(),
            self.world.sleepers.last_asleep(),
            self.world.stuck.next_ending(),
            self.world.loose.next_due(),
            self.bench_checks.first().map(|(tick, _)| *tick),
            self.shuttle_checks.first().map(|(tick, _)| *tick),
        ];
        dues.into_iter().flatten().min().map(|due| due.max(now))
    }

    /// Skips ticks in which nothing happens. Each would do the standing work.
    fn leap<O: Observer + ?Sized>(&mut self, until: Tick, observer: &mut O) {
        let from = self.world.tick;
        let work = self.work.standing;
        self.begin_tick(until);
        observer.ticks_passed(from, until, work, &self.view());
    }

    /// This tick is the next one.
    fn begin_tick(&mut self, tick: Tick) {
        self.world.tick = tick;
        self.world.agenda.advance(tick);
        if !self.world.sleepers.is_empty() {
            self.wake_up();
        }
    }

    /// Whether a debug build looks at itself in this tick: counts everything anew, and takes short ways
    /// beside long ones. In a network of the size of random ones it does so for longer than those are run.
    /// Otherwise it does so now and then, since it takes most of the time.
    fn looks_at_itself(&self) -> bool {
        const ALWAYS_UP_TO_PARTS: usize = 128;
        const ALWAYS_UNTIL_TICK: u64 = 2_048;
        const ELSE_EVERY_TICKS: u64 = 64;
        let tick = self.world.tick.0;
        let is_small = self.network.part_count() <= ALWAYS_UP_TO_PARTS;
        cfg!(debug_assertions)
            && (is_small && tick < ALWAYS_UNTIL_TICK || tick.is_multiple_of(ELSE_EVERY_TICKS))
    }

    /// Phase 5: nothing moves. The tick is over.
    fn measure<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        self.phase = Phase::Measure;
        if self.looks_at_itself()
            && let Err(difference) = self.check_conservation()
        {
            panic!("after tick {}: {difference}", self.world.tick);
        }
        let tick = self.world.tick;
        let work = self.work.of_this_tick();
        self.turns_begun = 0;
        self.phase = Phase::Inputs;
        self.begin_tick(tick + 1);
        observer.ticks_passed(tick, tick + 1, work, &self.view());
    }

    /// The state as it is now.
    #[must_use]
    pub fn view(&self) -> View<'_> {
        View::new(self)
    }

    /// A copy of all that changes, to go on from later.
    #[must_use]
    pub fn save(&self) -> State {
        let mut world = self.world.clone();
        for (seat, taker) in world.inventories.takers.iter_mut().enumerate() {
            *taker = taker.saved(self.turns_had(seat));
        }
        State { world }
    }

    fn emit<O: Observer + ?Sized>(&self, observer: &mut O, event: Event) {
        let moment = Moment {
            tick: self.world.tick,
            phase: self.phase,
        };
        observer.event(moment, &event, &self.view());
    }

    fn taker(&self, seat: usize) -> &Taker {
        &self.world.inventories.takers[seat]
    }

    fn taker_mut(&mut self, seat: usize) -> &mut Taker {
        &mut self.world.inventories.takers[seat]
    }

    /// The turn of this seat.
    fn turn_of(&self, seat: usize) -> Turn {
        Turn::new(self.taker(seat).rank, seat)
    }

    /// A hopper's cooldown, in ticks.
    fn cooldown_of(&self, seat: usize) -> u64 {
        let taker = self.taker(seat);
        let turns = if taker.flags.any(Flags::SLEEPS) {
            self.own_tick(taker.part).0
        } else {
            self.turns_had(seat)
        };
        taker.free_at.saturating_sub(turns)
    }

    /// The tick by which the times of a part go: that in which it wakes if it sleeps, else the one under way
    /// or the next.
    fn own_tick(&self, part: PartId) -> Tick {
        let awake_at = self.world.sleepers.awake_at(part);
        awake_at.unwrap_or(self.world.tick)
    }

    /// The place of a part in the table of its own sort.
    fn place(&self, part: PartId) -> usize {
        self.parts.place(part)
    }

    fn hopper(&self, part: PartId) -> Option<&'n Hopper> {
        self.network.part(part).hopper()
    }

    fn selector(&self, part: PartId) -> Option<&'n Selector> {
        self.network.part(part).selector()
    }

    fn lock_of(&self, part: PartId) -> Option<PartId> {
        self.network.part(part).lock()
    }
}
