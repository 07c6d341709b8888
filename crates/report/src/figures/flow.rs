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
    /// A flow's best sustained rate: what it can do, not what it holds.
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
    /// A flow's rate in its worst window in which goods waited for it; nothing if they never waited
    /// for long enough.
    WORST_THROUGHPUT: Definition {
        words: "worst minute",
        key: "worst_throughput_items_per_second",
        unit: Unit::ItemsPerSecond,
        better: Better::More,
        compared: Compared::Flows,
        take: Take::Flow(|flow, ticks_per_second| {
            let worst = flow.worst?;
            Some(Amount::Rate(worst.rate, ticks_per_second))
        }),
        why_nothing: "goods never waited long enough",
        ..BASE
    };
    /// The items that waited in a section when the most of all waited there, boxes aside.
    MOST_WAITING: Definition {
        words: "most waiting",
        key: "backlog_peak_items",
        unit: Unit::Items,
        recorded: Some("most waiting"),
        compared: Compared::Sections,
        take: Take::Sections(|sections| {
            let backlogs = sections.iter().map(|section| &section.backlog);
            let goods = backlogs.map(|backlog| backlog.peak_items - backlog.peak_boxes);
            goods.max().map(Amount::Count)
        }),
        ..BASE
    };
    /// The most boxes that waited in a section when the most of all waited there.
    MOST_BOXES_WAITING: Definition {
        words: "most boxes waiting",
        key: "backlog_peak_boxes",
        unit: Unit::Boxes,
        recorded: Some("most boxes waiting"),
        compared: Compared::Sections,
        take: Take::Sections(|sections| {
            let peaks = sections.iter().map(|section| section.backlog.peak_boxes);
            peaks.max().map(Amount::Count)
        }),
        ..BASE
    };
}
