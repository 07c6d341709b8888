//! What an event had to wait for.

use hallwright_core::id::PartId;
use hallwright_core::tick::Tick;

use super::history::EntryId;

/// Why ticks went by.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Cause {
    /// A hopper's cooldown, of an item on its way.
    Cooldown,
    /// Items before it had to go first.
    Queue,
    /// A tick in which a part had had its turn already.
    Turn,
    /// A lock.
    Lock,
    /// A target without room.
    FullTarget,
    /// A dropper's delay from its trigger to its firing.
    Firing,
    /// The delay of a signal part.
    SignalDelay,
    /// A signal that is held for a while.
    Hold,
    /// A signal that is held for a while and only leads to lamps.
    LampMargin,
    /// A clock's next beat.
    Clock,
    /// A stream's way.
    Stream,
    /// Loose at a mouth until a hopper took it.
    Collection,
    /// Inside a selector.
    Selector,
    /// A bench that waits before it lifts its box.
    Bench,
    /// A shuttle that stays at its place.
    Dwell,
    /// A shuttle under way.
    ShuttleWay,
    /// Loose until it was lost.
    Despawn,
    /// Something that was delivered only then.
    Delivery,
    /// Something that the operator did only then.
    Operator,
    /// A part that slept.
    Asleep,
    /// A signal that got stuck or came free.
    Mishap,
}

/// Something that must have come true before an event could happen.
#[derive(Clone, Copy, Debug)]
pub(super) struct Condition {
    /// The entry that brought it about; `None` if it was so from the start.
    pub(super) by: Option<EntryId>,
    /// The tick of that entry.
    pub(super) at: Tick,
    /// The end of the first wait.
    pub(super) since: Tick,
    /// The tick from which on it was true; `since` or later.
    pub(super) true_from: Tick,
    /// Why it took from `at` to `since`, and where.
    pub(super) first: (Cause, PartId),
    /// Why the event came later than `since`, if it did, and where.
    pub(super) then: (Cause, PartId),
    /// For a full target: since when the part could have acted.
    pub(super) blocked_since: Option<Tick>,
}

impl Condition {
    /// This condition, true only after a first wait up to this tick.
    pub(super) fn up_to(self, tick: Tick) -> Self {
        let since = tick.max(self.at);
        Self {
            since,
            true_from: since,
            ..self
        }
    }

    /// This condition, true only after another wait up to this tick, for this reason.
    pub(super) fn then_until(self, tick: Tick, then: (Cause, PartId)) -> Self {
        Self {
            true_from: tick.max(self.since),
            then,
            ..self
        }
    }
}

/// What is known of why an event happened when it did.
#[derive(Debug)]
pub(super) enum Reason {
    /// All of these had to come true; the first is the one that came true last.
    Conditions(Vec<Condition>),
    /// It happens at fixed times.
    Clock(PartId),
    /// It came from outside.
    Outside(Cause, PartId),
}
