//! Holds the short ways of a move and of a signal's change against the long ones, wherever debug assertions are on, as in every
//! test: from the same state both must come to the same.

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;

use super::Recorder;
use super::ledger::Move;
use super::sections::Sections;

/// In a network of at most so many parts everything is compared, in a larger one a little: a comparison
/// copies all that was measured, and tests of large halls would take too long.
const PARTS_COMPARED_ALWAYS: usize = 64;

/// In a larger one it is one in this times its parts.
const ONE_BY_PARTS: u64 = 8;

fn is_compared(tick: Tick, part: PartId, network: &Network) -> bool {
    let parts = network.part_count();
    // An odd number, so that no hopper of an even cooldown is always passed over.
    let one_of = (parts as u64 * ONE_BY_PARTS) | 1;
    parts <= PARTS_COMPARED_ALWAYS || (tick.0 + part.index() as u64).is_multiple_of(one_of)
}

/// How an event is taken up.
#[derive(Clone, Copy)]
enum Way {
    Short,
    Long,
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
        self.compare(
            (moment.tick, from),
            event,
            view,
            |recorder, way| match way {
                Way::Short => recorder.moved_within(moment, event, from, to),
                Way::Long => recorder.take_up(moment, event, view),
            },
        );
    }

    /// Does what [`Self::signal_changed`] does, after every measurement has been shown the same change.
    ///
    /// # Panics
    ///
    /// If the two differ in what they leave.
    pub(super) fn signal_changed_compared(
        &mut self,
        moment: Moment,
        event: &Event,
        signal: PartId,
        view: &View<'_>,
    ) {
        let tick = moment.tick;
        self.compare((tick, signal), event, view, |recorder, way| match way {
            Way::Short => recorder.signal_changed(tick, signal, event, view),
            Way::Long => {
                recorder.take_up(moment, event, view);
                recorder.idle_calls.event(event);
                recorder
                    .lamps
                    .event(tick, event, &recorder.seen.ledger, view);
            }
        });
    }

    /// Goes the short way, after the long one has been tried from the same state.
    fn compare(
        &mut self,
        (tick, part): (Tick, PartId),
        event: &Event,
        view: &View<'_>,
        mut go: impl FnMut(&mut Self, Way),
    ) {
        if !is_compared(tick, part, view.network()) {
            return go(self, Way::Short);
        }
        // What has just gone is of use only to those that hear of it.
        self.seen.ledger.forget_gone();
        let before = self.kept();
        go(self, Way::Long);
        let long = self.kept();
        self.put_back(before);
        go(self, Way::Short);
        assert!(
            self.kept() == long,
            "{event:?} in tick {tick} is measured otherwise the short way"
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
