//! The engine: steps a network through its ticks.

mod view;

use std::marker::PhantomData;

pub use view::{LooseStack, QueuedItem, ShuttlePosition, View};

use crate::event::Observer;
use crate::network::Network;
use crate::setup::Setup;
use crate::tick::Tick;

/// A run of a network, between two ticks.
pub struct Engine<'n> {
    network: PhantomData<&'n Network>,
}

/// All that changes in a run, as plain data: equal states have equal futures.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct State {}

impl<'n> Engine<'n> {
    /// A run from its start: signals settled, nothing done yet.
    ///
    /// # Panics
    ///
    /// If the timeline names parts that cannot take the action, or a listed update order is not one.
    #[must_use]
    pub fn new(network: &'n Network, setup: &'n Setup) -> Self {
        unimplemented!("{network:?} {setup:?}")
    }

    /// Goes on from a saved state of the same network and setup.
    #[must_use]
    pub fn resume(network: &'n Network, setup: &'n Setup, state: &State) -> Self {
        unimplemented!("{network:?} {setup:?} {state:?}")
    }

    /// The next tick to be run: so many are over.
    #[must_use]
    pub fn tick(&self) -> Tick {
        unimplemented!()
    }

    /// Runs one tick.
    pub fn step<O: Observer + ?Sized>(&mut self, observer: &mut O) {
        let _ = observer;
    }

    /// Runs until tick `end` is the next one, leaping over ticks in which nothing can happen.
    pub fn run_until<O: Observer + ?Sized>(&mut self, end: Tick, observer: &mut O) {
        let _ = (end, observer);
    }

    /// The next tick in which something can happen; `None` if nothing ever will.
    #[must_use]
    pub fn next_due(&self) -> Option<Tick> {
        unimplemented!()
    }

    /// The state as it is now.
    #[must_use]
    pub fn view(&self) -> View<'_> {
        unimplemented!()
    }

    /// A copy of all that changes, to go on from later.
    #[must_use]
    pub fn save(&self) -> State {
        unimplemented!()
    }

    /// Counts all items anew and compares: there at the start + delivered = held + loose + aboard +
    /// lost + withdrawn, for each kind.
    ///
    /// # Errors
    ///
    /// Names the kinds that do not add up, with both sums. That is a bug in this crate.
    pub fn check_conservation(&self) -> Result<(), String> {
        unimplemented!()
    }
}
