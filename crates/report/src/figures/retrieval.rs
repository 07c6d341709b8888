//! How goods come out again.

use super::{Amount, Better, Definition, Take, Topic, Unit, When, figures};
use crate::findings::{DeskFinding, RequestFinding, Stacks};
use crate::units::Share;

const BASE: Definition = Definition {
    topic: Topic::Retrieval,
    ..Definition::BASE
};

const SLOWEST: Definition = Definition {
    words: "requests",
    unit: Unit::Ticks,
    why_nothing: "none was made",
    ..BASE
};

figures! {
    /// From a request until its last box arrived.
    SERVED: Definition {
        words: "served",
        key: "served_ticks",
        unit: Unit::Ticks,
        recorded: Some("served"),
        take: Take::Request(|request| Some(Amount::Ticks(request.served_ticks()))),
        ..BASE
    };
    /// The same of the slowest request at a desk.
    SLOWEST_REQUEST: Definition {
        key: "slowest_request_ticks",
        take: Take::Desk(|desk| {
            let slowest = slowest(desk, RequestFinding::served_ticks)?;
            Some(Amount::Ticks(slowest.served_ticks()))
        }),
        ..SLOWEST
    };
    /// The same without the ticks in which the hall was stopped.
    SLOWEST_REQUEST_RUNNING: Definition {
        key: "slowest_request_running_ticks",
        take: Take::Desk(|desk| {
            let slowest = slowest(desk, RequestFinding::running_ticks)?;
            Some(Amount::Ticks(slowest.running_ticks()))
        }),
        ..SLOWEST
    };
    /// Part stacks that left a gather.
    PART_STACKS_OUT: Definition {
        words: "part stacks out",
        key: "part_stacks",
        unit: Unit::Stacks,
        take: Take::Gather(|gather| Some(Amount::Count(gather.left.part_stacks))),
        ..BASE
    };
    /// Of the stacks that came into a gather, the part stacks.
    SHARE_CAME_IN: Definition {
        words: "part stacks that came in",
        key: "part_stacks_in_share",
        unit: Unit::StackShare,
        better: Better::Neither,
        recorded: Some("part stacks that came in"),
        take: Take::Gather(|gather| Some(part_stacks(gather.came_in))),
        ..BASE
    };
    /// Of the stacks that left a gather, the part stacks.
    SHARE_LEFT: Definition {
        words: "part stacks that left",
        key: "part_stacks_out_share",
        unit: Unit::StackShare,
        recorded: Some("part stacks that left"),
        take: Take::Gather(|gather| Some(part_stacks(gather.left))),
        ..BASE
    };
    /// Items that the operator cannot get out.
    LEFT_BEHIND: Definition {
        words: "left behind",
        key: "left_behind_items",
        unit: Unit::Items,
        when: When::AtTheEnd,
        recorded: Some("left behind"),
        take: Take::Open(|open| Some(Amount::Count(open.iter().map(|open| open.items).sum()))),
        why_nothing: "no open place is declared",
        ..BASE
    };
}

fn part_stacks(stacks: Stacks) -> Amount {
    Amount::Share(Share {
        part: stacks.part_stacks,
        whole: stacks.stacks,
    })
}

/// The slowest request; one that is still owed a box is slower than any.
pub(crate) fn slowest(
    desk: &DeskFinding,
    taken: fn(&RequestFinding) -> Option<u64>,
) -> Option<&RequestFinding> {
    // Of equals, the first.
    let requests = desk.requests.iter().rev();
    requests.max_by_key(|request| taken(request).unwrap_or(u64::MAX))
}
