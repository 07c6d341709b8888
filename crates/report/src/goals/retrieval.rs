//! Goals about what has come to no store, and about getting goods out.

use hallwright_core::declare::Goal;

use super::{Measured, Verdict, at_most, simple, unjudged};
use crate::findings::{DeskFinding, Findings, RequestFinding};
use crate::units::time;

/// Judges a goal about what is in no store, requests, part stacks or what is left behind; `None` for
/// any other goal.
pub(super) fn verdict(goal: &Goal, found: &Findings) -> Option<Verdict> {
    match goal {
        Goal::InNoStoreAtMost(most) => {
            let measured = Measured::Items(found.whereabouts.unstored_items());
            Some(simple("in no store", measured, at_most(*most), None))
        }
        Goal::GoingRoundAtMost(most) => {
            let returns = found.sections.iter().any(|one| one.returned.is_some());
            if !returns {
                let why = "no section has returns";
                return Some(unjudged("going round".to_owned(), why));
            }
            let measured = Measured::Items(found.going_round_items());
            let rounds = found.sections.iter().filter_map(|one| one.going_round);
            let first = rounds.map(|round| round.since).min();
            Some(simple("going round", measured, at_most(*most), first))
        }
        Goal::RequestWithin {
            desk,
            ticks,
            with_stops,
        } => {
            let desk = &found.desks[*desk];
            Some(request_verdict(desk, *ticks, *with_stops, found))
        }
        Goal::PartStacksOutAtMost { gather, stacks } => {
            let gather = &found.gathers[*gather];
            let subject = format!("part stacks out of \"{}\"", gather.name);
            let measured = Measured::Stacks(gather.left.part_stacks);
            Some(simple(&subject, measured, at_most(*stacks), None))
        }
        Goal::LeftBehindAtMost(most) => {
            if found.left_behind.is_empty() {
                let why = "no open place is declared";
                return Some(unjudged("left behind".to_owned(), why));
            }
            let items = found.left_behind.iter().map(|open| open.items).sum();
            let measured = Measured::Items(items);
            Some(simple("left behind", measured, at_most(*most), None))
        }
        _ => None,
    }
}

/// Judges the slowest request; one that is still owed a box is slower than any.
fn request_verdict(desk: &DeskFinding, ticks: u64, with_stops: bool, found: &Findings) -> Verdict {
    let subject = format!("requests for {}", desk.kind);
    let taken = |request: &RequestFinding| match with_stops {
        true => request.served_ticks(),
        false => request.running_ticks(),
    };
    // Of equals, the first.
    let requests = desk.requests.iter().rev();
    let slowest = requests.max_by_key(|request| taken(request).unwrap_or(u64::MAX));
    let Some(slowest) = slowest else {
        return unjudged(subject, "none was made");
    };
    let measured = Measured::Ticks(taken(slowest));
    let mut verdict = simple(&subject, measured, at_most(ticks), None);
    let asked = time(slowest.at.0, found.ticks_per_second);
    let mut remark = match desk.requests.len() {
        1 => format!("asked at {asked}"),
        several => format!("the slowest of {several}, asked at {asked}"),
    };
    if slowest.owed_boxes > 0 {
        let (owed, asked) = (slowest.owed_boxes, slowest.asked_boxes);
        remark.push_str(&format!(", {owed} of {asked} boxes still owed"));
    } else if slowest.stopped_ticks > 0 {
        let stopped = time(slowest.stopped_ticks, found.ticks_per_second);
        remark.push_str(&match with_stops {
            true => format!(", {stopped} of it stopped"),
            false => format!(", besides {stopped} stopped"),
        });
    }
    verdict.remark = Some(remark);
    verdict
}
