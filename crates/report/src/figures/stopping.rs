//! How a design stops and starts again.

use hallwright_declared::declarations::Mark;

use super::{Amount, Compared, Definition, Take, Topic, Unit, figures};

const BASE: Definition = Definition {
    topic: Topic::Stopping,
    unit: Unit::Ticks,
    compared: Compared::Sections,
    why_not: |found, _| {
        let is_missing = found.sections.is_empty();
        is_missing.then(|| "no section is declared".to_owned())
    },
    why_nothing: "no stop was reached",
    ..Definition::BASE
};

figures! {
    /// Stops after which the hall never was safe to close.
    STOPS_NOT_SAFE: Definition {
        words: "stops never safe to close",
        key: "stops_never_safe",
        unit: Unit::Stops,
        compared: Compared::Not,
        take: Take::Whole(|found| {
            let stops = found.stops.iter();
            let never = stops.filter(|stop| stop.all.safe_to_close_ticks.is_none());
            Some(Amount::Count(never.count() as u64))
        }),
        first_at: Some(|found| {
            let mut stops = found.stops.iter();
            let never = stops.find(|stop| stop.all.safe_to_close_ticks.is_none());
            never.map(|stop| stop.at)
        }),
        why_not: |_, _| None,
        ..BASE
    };
    /// From the stop until lines and lifts hold nothing.
    CLEARED: Definition {
        words: "cleared",
        key: "cleared_ticks",
        recorded: Some("cleared"),
        take: Take::Stops(Mark::Cleared),
        ..BASE
    };
    /// From the stop until it is safe to close.
    SAFE_TO_CLOSE: Definition {
        words: "safe to close",
        key: "safe_to_close_ticks",
        recorded: Some("safe to close"),
        take: Take::Stops(Mark::SafeToClose),
        ..BASE
    };
    /// From the stop until nothing moves.
    QUIET: Definition {
        words: "quiet",
        key: "quiet_ticks",
        recorded: Some("quiet"),
        take: Take::Stops(Mark::Quiet),
        why_not: |_, _| None,
        ..BASE
    };
    /// From the restart until all that was held back is sorted.
    RESUMED: Definition {
        words: "resumed",
        key: "resumed_ticks",
        recorded: Some("resumed"),
        take: Take::Stops(Mark::Resumed),
        why_nothing: "no restart was reached",
        ..BASE
    };
}

impl super::Name {
    /// The figure of a mark.
    #[must_use]
    pub fn of_mark(mark: Mark) -> Self {
        match mark {
            Mark::Cleared => Self::CLEARED,
            Mark::SafeToClose => Self::SAFE_TO_CLOSE,
            Mark::Quiet => Self::QUIET,
            Mark::Resumed => Self::RESUMED,
        }
    }
}
