//! Holds the short ways of a move against the long ones, wherever debug assertions are on, as in every
//! test: from the same state both must come to the same.

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;

use super::Recorder;
use super::ledger::Move;
use super::sections::Sections;

/// In a network of at most so many parts every move is compared, in a larger one a few: a comparison
/// copies all that was measured, and tests of large halls would take too long.
const PARTS_COMPARED_ALWAYS: usize = 64;

/// In a larger one it is one move in this times its parts.
const MOVES_BY_PARTS: u64 = 8;

fn is_compared(tick: Tick, from: PartId, network: &Network) -> bool {
    let parts = network.part_count();
    // An odd number, so that no hopper of an even cooldown is always passed over.
    let one_of = (parts as u64 * MOVES_BY_PARTS) | 1;
    parts <= PARTS_COMPARED_ALWAYS || (tick.0 + from.index() as u64).is_multiple_of(one_of)
}

impl Recorder<'_> {
    /// Does what [`Self::moved_within`] does, after the same move has been taken up the long way.
    ///
    /// # Panics
    ///
    /// If the two differ in what they leave.
    pub(super) fn moved_within_compared(
        &mut self,
        moment: Moment,
        event: &Event,
        (from, to): (PartId, PartId),
        view: &View<'_>,
    ) {
        let network = view.network();
        if !is_compared(moment.tick, from, network) {
            return self.moved_within(moment, event, from, to);
        }
        let before = self.kept();
        self.take_up(moment, event, view);
        let long = self.kept();
        self.put_back(before);
        self.moved_within(moment, event, from, to);
        assert!(
            self.kept() == long,
            "a plain move from `{}` to `{}` in tick {} is measured otherwise",
            network.name(from),
            network.name(to),
            moment.tick
        );
    }
}

impl Sections {
    /// Whether what stays within a line or queue, or outside all, leaves every section as it is when
    /// it is taken as a leaving and a coming, and leaves none.
    pub(super) fn is_same_between(
        &self,
        tick: Tick,
        event: &Event,
        moved: &Move,
        view: &View<'_>,
    ) -> bool {
        let Some(from) = moved.from else { return false };
        if !is_compared(tick, from.part, view.network()) {
            return true;
        }
        let (mut within, mut between) = (self.clone(), self.clone());
        within.take_up_within(tick, from.part);
        between.take_up_between(tick, event, moved, view);
        within.states() == between.states() && self.left_by(moved).is_empty()
    }
}
