//! What happens in a run, and who is notified.

use serde::{Deserialize, Serialize};

use crate::engine::View;
use crate::id::{KindId, PartId};
use crate::slot::Item;
use crate::tick::{Phase, Tick};

/// When something happened.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Moment {
    /// The tick.
    pub tick: Tick,
    /// The phase of the tick.
    pub phase: Phase,
}

/// The number of a loose stack, in the order in which stacks came loose, from 0. Never used again.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Serialize, Deserialize)]
pub struct StackId(pub u64);

/// One thing that happened. Refusals and settling give no events.
///
/// Where one turn moves several things, the events come in the order of the rules.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Event {
    /// A signal's level changed.
    SignalChanged {
        /// The signal.
        signal: PartId,
        /// Its new level, 0 to 15.
        level: u8,
    },
    /// The lock of a hopper or selector went on.
    Locked {
        /// The hopper or selector.
        part: PartId,
    },
    /// The lock of a hopper or selector went off.
    Unlocked {
        /// The hopper or selector.
        part: PartId,
    },
    /// One item went from one inventory or selector to another, or from a selector to a mouth or
    /// stream (then it comes loose there, which is notified next).
    ItemMoved {
        /// Where from.
        from: PartId,
        /// Where to.
        to: PartId,
        /// What.
        item: Item,
    },
    /// A delivery into an inventory or selector: only what fitted.
    Delivered {
        /// Where to.
        place: PartId,
        /// What.
        kind: KindId,
        /// How many, at least 1.
        count: u32,
    },
    /// The operator took items out of one slot, or the box that stands on a bench.
    Withdrawn {
        /// Where from. If the item is a box and this is a bench, it stood there.
        place: PartId,
        /// What; a box names itself.
        item: Item,
        /// How many, at least 1.
        count: u32,
    },
    /// A dropper or dispenser fired with nothing inside.
    Clicked {
        /// The dropper.
        dropper: PartId,
    },
    /// A dropper or dispenser threw an item, which comes loose next.
    Thrown {
        /// The dropper.
        dropper: PartId,
        /// What.
        item: Item,
    },
    /// A stack came loose.
    CameLoose {
        /// The new stack.
        stack: StackId,
        /// What.
        item: Item,
        /// How many.
        count: u8,
        /// The mouth or stream.
        place: PartId,
    },
    /// A stack came to rest and merged into another one there.
    Merged {
        /// The stack that is gone.
        stack: StackId,
        /// The stack that took it up.
        into: StackId,
        /// What.
        kind: KindId,
        /// How many the newcomer held.
        count: u8,
        /// The mouth.
        mouth: PartId,
    },
    /// A hopper took from a stack at rest.
    Collected {
        /// The hopper.
        hopper: PartId,
        /// The stack; it is gone if nothing is left of it.
        stack: StackId,
        /// What.
        item: Item,
        /// How many.
        count: u8,
    },
    /// A loose stack reached its despawn age.
    Lost {
        /// The stack.
        stack: StackId,
        /// What; a box is lost with all it holds.
        item: Item,
        /// How many.
        count: u8,
        /// The mouth; for a stack on a stream, the mouth where the stream ends.
        mouth: PartId,
    },
    /// A dispenser set a box down.
    BoxSet {
        /// The dispenser.
        dispenser: PartId,
        /// The bench.
        bench: PartId,
        /// The box.
        item: Item,
    },
    /// A bench's box was lifted; it comes loose next.
    BoxLifted {
        /// The bench.
        bench: PartId,
        /// The box.
        item: Item,
    },
    /// A shuttle reached a place.
    Docked {
        /// The shuttle.
        shuttle: PartId,
        /// The place.
        place: PartId,
    },
    /// A shuttle left a place.
    Departed {
        /// The shuttle.
        shuttle: PartId,
        /// The place.
        place: PartId,
    },
}

/// What became of a delivery at one moment. What came in is notified as [`Event::Delivered`] or
/// [`Event::CameLoose`] as well, without its arrival.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct DeliveryNews {
    /// Where to.
    pub place: PartId,
    /// What.
    pub kind: KindId,
    /// The number of its arrival, if it belongs to one.
    pub arrival: Option<u32>,
    /// How many were due at this moment.
    pub sent: u32,
    /// How many came in.
    pub delivered: u32,
    /// How many were refused. Those of which neither is notified wait.
    pub refused: u32,
}

impl Event {
    /// Whether this is an item event: something was moved, collected, delivered, set, lifted, lost,
    /// came loose or merged, or a shuttle docked or departed (tick rules, section 7, "quiet").
    /// Clicks, signals and locks are none.
    #[must_use]
    pub fn is_item_event(&self) -> bool {
        !matches!(
            self,
            Self::SignalChanged { .. }
                | Self::Locked { .. }
                | Self::Unlocked { .. }
                | Self::Clicked { .. }
        )
    }
}

/// Is notified what happens in a run. An observer cannot change anything.
///
/// No method does anything unless overridden, and `()` observes nothing at no cost.
pub trait Observer {
    /// Something happened. `view` shows the state just after it.
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        let _ = (moment, event, view);
    }

    /// The ticks from `from` up to, not including, `until` are over, and each did
    /// `work_per_tick` work units. A tick in which something could happen is notified alone;
    /// a run of ticks in which nothing could is notified as one span.
    fn ticks_passed(&mut self, from: Tick, until: Tick, work_per_tick: u64, view: &View<'_>) {
        let _ = (from, until, work_per_tick, view);
    }

    /// A delivery was due, or one that waited has moved in its line.
    fn delivery(&mut self, moment: Moment, news: &DeliveryNews, view: &View<'_>) {
        let _ = (moment, news, view);
    }
}

impl Observer for () {}

impl<A: Observer, B: Observer> Observer for (A, B) {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        self.0.event(moment, event, view);
        self.1.event(moment, event, view);
    }

    fn ticks_passed(&mut self, from: Tick, until: Tick, work_per_tick: u64, view: &View<'_>) {
        self.0.ticks_passed(from, until, work_per_tick, view);
        self.1.ticks_passed(from, until, work_per_tick, view);
    }

    fn delivery(&mut self, moment: Moment, news: &DeliveryNews, view: &View<'_>) {
        self.0.delivery(moment, news, view);
        self.1.delivery(moment, news, view);
    }
}

impl<O: Observer + ?Sized> Observer for &mut O {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        (**self).event(moment, event, view);
    }

    fn ticks_passed(&mut self, from: Tick, until: Tick, work_per_tick: u64, view: &View<'_>) {
        (**self).ticks_passed(from, until, work_per_tick, view);
    }

    fn delivery(&mut self, moment: Moment, news: &DeliveryNews, view: &View<'_>) {
        (**self).delivery(moment, news, view);
    }
}

/// Records every event: a full trace.
#[derive(Clone, Debug, Default)]
pub struct Trace {
    /// What happened, in order.
    pub events: Vec<(Moment, Event)>,
}

impl Observer for Trace {
    fn event(&mut self, moment: Moment, event: &Event, _view: &View<'_>) {
        self.events.push((moment, *event));
    }
}
