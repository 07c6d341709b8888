//! What was found about getting goods out, as it is written.

use serde::Serialize;

use super::run::{ByKind, by_kind};
use hallwright_report::findings::{
    DeskFinding, Findings, GatherFinding, LeftBehind, RequestFinding, Stacks, TakingEnd,
};

#[derive(Serialize)]
pub(super) struct Retrieval<'a> {
    desks: Vec<Desk<'a>>,
    gathers: Vec<Gather<'a>>,
    left_behind: Vec<Open<'a>>,
}

impl<'a> Retrieval<'a> {
    pub(super) fn of(found: &'a Findings) -> Self {
        Self {
            desks: found.desks.iter().map(Desk::of).collect(),
            gathers: found.gathers.iter().map(Gather::of).collect(),
            left_behind: found.left_behind.iter().map(Open::of).collect(),
        }
    }
}

#[derive(Serialize)]
struct Desk<'a> {
    name: &'a str,
    kind: &'a str,
    unasked_boxes: u64,
    requests: Vec<Request>,
}

impl<'a> Desk<'a> {
    fn of(desk: &'a DeskFinding) -> Self {
        Self {
            name: &desk.name,
            kind: &desk.kind,
            unasked_boxes: desk.unasked_boxes,
            requests: desk.requests.iter().map(Request::of).collect(),
        }
    }
}

#[derive(Serialize)]
struct Request {
    requested_at_tick: u64,
    asked_boxes: u64,
    owed_boxes: u64,
    first_box_at_tick: Option<u64>,
    last_box_at_tick: Option<u64>,
    served_ticks: Option<u64>,
    running_ticks: Option<u64>,
    stopped_ticks: u64,
}

impl Request {
    fn of(request: &RequestFinding) -> Self {
        Self {
            requested_at_tick: request.at.0,
            asked_boxes: request.asked_boxes,
            owed_boxes: request.owed_boxes,
            first_box_at_tick: request.first_at.map(|tick| tick.0),
            last_box_at_tick: request.last_at.map(|tick| tick.0),
            served_ticks: request.served_ticks(),
            running_ticks: request.running_ticks(),
            stopped_ticks: request.stopped_ticks,
        }
    }
}

#[derive(Serialize)]
struct Gather<'a> {
    name: &'a str,
    came_in: StacksReport,
    left: StacksReport,
}

#[derive(Serialize)]
struct StacksReport {
    items: u64,
    stacks: u64,
    part_stacks: u64,
}

impl StacksReport {
    fn of(stacks: Stacks) -> Self {
        Self {
            items: stacks.items,
            stacks: stacks.stacks,
            part_stacks: stacks.part_stacks,
        }
    }
}

impl<'a> Gather<'a> {
    fn of(gather: &'a GatherFinding) -> Self {
        Self {
            name: &gather.name,
            came_in: StacksReport::of(gather.came_in),
            left: StacksReport::of(gather.left),
        }
    }
}

#[derive(Serialize)]
struct Open<'a> {
    name: &'a str,
    items: u64,
    boxes: u64,
    contents_items: ByKind<'a>,
    parts: Vec<PartEntry<'a>>,
    taken_items: u64,
    continued_ticks: u64,
    ended: &'static str,
}

#[derive(Serialize)]
struct PartEntry<'a> {
    part: &'a str,
    items: u64,
}

impl<'a> Open<'a> {
    fn of(open: &'a LeftBehind) -> Self {
        let parts = open.parts.iter();
        Self {
            name: &open.name,
            items: open.items,
            boxes: open.boxes,
            contents_items: by_kind(&open.contents),
            parts: parts
                .map(|row| PartEntry {
                    part: &row.part,
                    items: row.items,
                })
                .collect(),
            taken_items: open.taken_items,
            continued_ticks: open.continued_ticks,
            ended: match open.ended {
                TakingEnd::Quiet => "quiet",
                TakingEnd::NothingCame => "nothing_came",
                TakingEnd::Bound => "bound",
            },
        }
    }
}
