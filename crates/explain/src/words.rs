//! Causes in words.

use crate::by_order::OrderCause;
use crate::condition::Cause;

/// A cause in words.
#[must_use]
pub fn cause_words(cause: Cause) -> &'static str {
    match cause {
        Cause::Cooldown => "cooldown",
        Cause::Queue => "queue before it",
        Cause::Turn => "turn",
        Cause::Lock => "lock",
        Cause::FullTarget => "full target",
        Cause::Firing => "dropper's firing",
        Cause::SignalDelay => "signal's delay",
        Cause::Hold => "held signal",
        Cause::LampMargin => "lamp's margin",
        Cause::Clock => "clock",
        Cause::Stream => "stream's way",
        Cause::Collection => "collection",
        Cause::Selector => "selector",
        Cause::Bench => "bench",
        Cause::Dwell => "shuttle's dwell",
        Cause::ShuttleWay => "shuttle's way",
        Cause::Despawn => "despawning",
        Cause::Delivery => "late delivery",
        Cause::Operator => "operator",
        Cause::Asleep => "sleep",
        Cause::Mishap => "mishap",
    }
}

/// Which order is why a verdict was missed, in two sentences: what shows it, and what to do about it.
#[must_use]
pub fn order_cause_words(cause: OrderCause) -> [&'static str; 2] {
    let shown = match cause {
        OrderCause::Update => {
            "only the update order makes it so: with `--order declared` and all else the same, it is ok"
        }
        OrderCause::Signal => {
            "only the signal order makes it so: with `--signal-order declared` and all else the same, it is ok"
        }
        OrderCause::Together => {
            "only both orders together make it so: with `--order declared` it is ok, and with \
             `--signal-order declared` too"
        }
        OrderCause::Each => {
            "either order by itself makes it so: only with `--order declared --signal-order declared` is it ok"
        }
    };
    let could = match cause {
        OrderCause::Update => {
            "no builder chooses the update order: let no hopper's work depend on whether another has had \
             its turn in the same tick"
        }
        OrderCause::Signal => {
            "no builder chooses the signal order: let parts that must act one after the other act in \
             different ticks, or let signals of different rank set them off"
        }
        OrderCause::Together | OrderCause::Each => {
            "no builder chooses either order: let nothing depend on which of two parts comes first in a tick"
        }
    };
    [shown, could]
}
