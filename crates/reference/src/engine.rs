//! Section 2: the phases of a tick.

use std::collections::VecDeque;
use std::sync::Arc;

use hallwright_core::event::{Event, Moment};
use hallwright_core::id::{BoxId, KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::order::Orders;
use hallwright_core::part::{Part, Signal};
use hallwright_core::setup::Setup;
use hallwright_core::slot::Stack;
use hallwright_core::tick::{Phase, Tick};
use hallwright_core::timeline::Action;

use crate::book::RuleBook;
use crate::fault::Fault;
use crate::propagation::Change;
use crate::world::World;

/// A run of a network, between two ticks.
#[derive(Clone, Debug)]
pub struct ReferenceEngine {
    pub(crate) network: Arc<Network>,
    pub(crate) book: RuleBook,
    /// Hoppers and selectors in update order.
    pub(crate) update_order: Vec<PartId>,
    /// Signals, hoppers, selectors and droppers in signal order.
    pub(crate) signal_order: Vec<PartId>,
    pub(crate) timeline: Vec<(Tick, Action)>,
    pub(crate) world: World,
    phase: Phase,
    /// What has happened in the tick under way.
    events: Vec<(Moment, Event)>,
    /// Work units of the tick under way; between two ticks, of the last one.
    pub(crate) work_of_tick: u64,
    /// For one broken rule: those that a change reaches wait for their turn.
    pub(crate) waiting_to_be_reached: VecDeque<(PartId, Change)>,
    /// For one broken rule: the places that shuttles have left in the tick under way.
    pub(crate) places_left: Vec<PartId>,
}

impl ReferenceEngine {
    /// A run from its start: signals settled, nothing done yet.
    ///
    /// # Panics
    ///
    /// If a listed order does not name each of its parts exactly once.
    #[must_use]
    pub fn new(network: &Network, setup: &Setup) -> Self {
        Self::with_fault(network, setup, None)
    }

    /// A run that breaks a rule on purpose. Conservation is not checked in it.
    ///
    /// # Panics
    ///
    /// If a listed order does not name each of its parts exactly once.
    #[must_use]
    pub fn with_fault(network: &Network, setup: &Setup, fault: Option<Fault>) -> Self {
        let book = RuleBook::new(network, fault);
        let world = World::new(network, setup, &book);
        let mut engine = Self {
            network: Arc::new(network.clone()),
            update_order: Vec::new(),
            signal_order: Vec::new(),
            timeline: setup.timeline.entries().to_vec(),
            world,
            phase: Phase::Inputs,
            events: Vec::new(),
            work_of_tick: 0,
            waiting_to_be_reached: VecDeque::new(),
            places_left: Vec::new(),
            book,
        };
        engine.set_orders(&setup.orders);
        engine.settle();
        engine
    }

    /// Runs one tick. Gives what happened in it, in order.
    ///
    /// # Panics
    ///
    /// If items came from nowhere or went there, which is a bug in this crate.
    pub fn step(&mut self) -> Vec<(Moment, Event)> {
        self.work_of_tick = 0;
        self.places_left.clear();
        for phase in self.phases() {
            self.phase = phase;
            match phase {
                Phase::Inputs => self.apply_inputs(),
                Phase::Signals => self.run_signals(),
                Phase::Loose => self.move_what_is_loose(),
                Phase::Hoppers => self.give_turns(),
                Phase::Measure => self.measure(),
            }
        }
        self.world.tick += 1;
        std::mem::take(&mut self.events)
    }

    /// The phases in order.
    fn phases(&self) -> [Phase; 5] {
        let mut phases = [
            Phase::Inputs,
            Phase::Signals,
            Phase::Loose,
            Phase::Hoppers,
            Phase::Measure,
        ];
        if self.breaks(Fault::InputsAfterSignals) {
            phases.swap(0, 1);
        }
        if self.breaks(Fault::LooseBeforeSignals) {
            phases.swap(1, 2);
        }
        if self.breaks(Fault::HoppersBeforeLoose) {
            phases.swap(2, 3);
        }
        phases
    }

    /// Phase 3.
    fn move_what_is_loose(&mut self) {
        if self.breaks(Fault::ShuttlesBeforeLoose) {
            self.move_shuttles();
            self.move_loose_items();
        } else {
            self.move_loose_items();
            self.move_shuttles();
        }
    }

    /// Phase 4.
    fn give_turns(&mut self) {
        if self.breaks(Fault::BenchesBeforeHoppers) {
            self.look_at_benches();
        }
        for part in self.update_order.clone() {
            if self.is_asleep(part) {
                self.sleep_through_turn(part);
            } else if let Part::Selector(_) = self.network.part(part) {
                self.selector_turn(part);
            } else {
                self.hopper_turn(part);
            }
        }
        if !self.breaks(Fault::BenchesBeforeHoppers) {
            self.look_at_benches();
        }
    }

    /// Phase 5.
    fn measure(&self) {
        if self.book.is_faulty() {
            return;
        }
        if let Err(wrong) = self.check_conservation() {
            panic!("at the end of tick {}: {wrong}", self.world.tick);
        }
    }

    /// Sets both orders, unless that rule is to be broken.
    pub(crate) fn set_orders(&mut self, orders: &Orders) {
        self.set_update_order(orders);
        self.set_signal_order(orders);
    }

    pub(crate) fn set_update_order(&mut self, orders: &Orders) {
        self.update_order = orders.update_order(&self.network);
        if self.breaks(Fault::UpdateOrderIgnored) {
            self.update_order.sort();
        }
        if self.breaks(Fault::SelectorsAfterHoppers) {
            let network = Arc::clone(&self.network);
            self.update_order
                .sort_by_key(|part| matches!(network.part(*part), Part::Selector(_)));
        }
    }

    pub(crate) fn set_signal_order(&mut self, orders: &Orders) {
        self.signal_order = orders.signal_order(&self.network);
        if self.breaks(Fault::SignalOrderReversed) {
            self.signal_order.reverse();
        }
        if self.breaks(Fault::SignalOrderIgnored) {
            self.signal_order.sort();
        }
        if self.breaks(Fault::SortsInSequence) {
            let sorts = self.network.change_takers();
            let sort = |part: &PartId| {
                sorts
                    .iter()
                    .position(|other| same_sort(&self.network, *other, *part))
            };
            let mut order = std::mem::take(&mut self.signal_order);
            order.sort_by_key(sort);
            self.signal_order = order;
        }
    }

    /// The next tick to be run.
    #[must_use]
    pub fn tick(&self) -> Tick {
        Tick(self.world.tick)
    }

    /// The work that a hopper has done since the start, in work units.
    ///
    /// # Panics
    ///
    /// If the part is no hopper.
    #[must_use]
    pub fn work_units(&self, hopper: PartId) -> u64 {
        self.world.hopper(hopper).work
    }

    /// The work that all hoppers did in the last tick, in work units.
    #[must_use]
    pub fn work_of_last_tick(&self) -> u64 {
        self.work_of_tick
    }

    /// The slots of an inventory, in order. `None` for a part that has no slots, and for a bench or
    /// place where nothing stands.
    #[must_use]
    pub fn slots(&self, part: PartId) -> Option<Vec<Option<Stack>>> {
        let inventory = self.world.inventory(&self.network, part)?;
        Some(inventory.stacks())
    }

    /// The slots of a box, wherever it is. `None` if it is nowhere.
    #[must_use]
    pub fn box_slots(&self, box_id: BoxId) -> Option<Vec<Option<Stack>>> {
        let mut found = None;
        self.world.for_everything(&mut |article, _| {
            if article.item().box_id == Some(box_id) {
                found = Some(article);
            }
        });
        Some(found?.contents()?.stacks())
    }

    /// The level of a signal, 0 to 15.
    ///
    /// # Panics
    ///
    /// If the part is no signal.
    #[must_use]
    pub fn level(&self, signal: PartId) -> u8 {
        *self.world.level(signal)
    }

    /// How many items of a kind were lost, those inside boxes included.
    #[must_use]
    pub fn lost(&self, kind: KindId) -> u64 {
        self.world.lost[kind.index()]
    }

    /// How many items of a kind were delivered, those inside boxes included.
    #[must_use]
    pub fn delivered(&self, kind: KindId) -> u64 {
        self.world.delivered[kind.index()]
    }

    /// How many items of a kind all deliveries that were due brought, those inside boxes included.
    #[must_use]
    pub fn sent(&self, kind: KindId) -> u64 {
        self.world.sent[kind.index()]
    }

    /// How many items of a kind were refused, those inside boxes included.
    #[must_use]
    pub fn refused(&self, kind: KindId) -> u64 {
        self.world.refused[kind.index()]
    }

    /// How many items of a kind were withdrawn, those inside boxes included.
    #[must_use]
    pub fn withdrawn(&self, kind: KindId) -> u64 {
        self.world.withdrawn[kind.index()]
    }

    /// Whether a rule is to be broken in this way.
    pub(crate) fn breaks(&self, fault: Fault) -> bool {
        self.book.breaks(fault)
    }

    /// Notifies what happened.
    pub(crate) fn emit(&mut self, event: Event) {
        let moment = Moment {
            tick: self.tick(),
            phase: self.phase,
        };
        self.events.push((moment, event));
    }

    /// The parts for which a condition holds, in signal order.
    pub(crate) fn in_signal_order(&self, holds: impl Fn(&Part) -> bool) -> Vec<PartId> {
        let order = self.signal_order.iter().copied();
        order
            .filter(|part| holds(self.network.part(*part)))
            .collect()
    }

    /// The parts for which a condition holds, in the order of declaration.
    pub(crate) fn parts_where(&self, holds: impl Fn(&Part) -> bool) -> Vec<PartId> {
        self.network
            .parts()
            .filter(|(_, part)| holds(part))
            .map(|(id, _)| id)
            .collect()
    }
}

/// Whether the default signal order counts two parts as of one sort.
fn same_sort(network: &Network, one: PartId, other: PartId) -> bool {
    let is_observer = |part: &Part| matches!(part, Part::Signal(Signal::Observer { .. }));
    let (one, other) = (network.part(one), network.part(other));
    std::mem::discriminant(one) == std::mem::discriminant(other)
        && is_observer(one) == is_observer(other)
}
