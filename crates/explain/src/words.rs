//! Causes in words.

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
