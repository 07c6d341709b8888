//! How fast items come through, and what waits.

use super::{Amount, Better, Compared, Definition, Take, Topic, Unit, figures};

const BASE: Definition = Definition {
    topic: Topic::Flow,
    ..Definition::BASE
};

figures! {
    /// Items that a flow counted.
    COUNTED: Definition {
        words: "counted",
        key: "counted_items",
        unit: Unit::Items,
        better: Better::More,
        recorded: Some("counted"),
        take: Take::Flow(|flow, _| Some(Amount::Count(flow.items))),
        ..BASE
    };
    /// A flow's best sustained rate.
    THROUGHPUT: Definition {
        words: "throughput",
        key: "throughput_items_per_second",
        unit: Unit::ItemsPerSecond,
        better: Better::More,
        recorded: Some("throughput"),
        compared: Compared::Flows,
        take: Take::Flow(|flow, ticks_per_second| {
            Some(Amount::Rate(flow.steadiest, ticks_per_second))
        }),
        ..BASE
    };
    /// The most that ever waited in a section.
    MOST_WAITING: Definition {
        words: "most waiting",
        key: "backlog_peak_items",
        unit: Unit::Items,
        recorded: Some("most waiting"),
        compared: Compared::Sections,
        take: Take::Sections(|sections| {
            let peaks = sections.iter().map(|section| section.backlog.peak_items);
            peaks.max().map(Amount::Count)
        }),
        ..BASE
    };
}
