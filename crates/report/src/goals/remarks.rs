//! What there is to say of a goal besides its checks: of marks, requests and lamps.

use hallwright_declared::declarations::{Declarations, Goal, Mark};

use super::{Asked, Bound, Check, Verdict, checks, marks_of};
use crate::figures::slowest_request;
use crate::findings::{DeskFinding, FlowFinding, LampFinding, Measured, QuietMark, RequestFinding};
use crate::units::{count, grouped, seconds, time};

/// Adds what there is to say.
pub(super) fn add(
    verdict: &mut Verdict,
    goal: &Goal,
    asked: &Asked,
    declared: &Declarations,
    found: &Measured,
) {
    match goal {
        Goal::MarkWithin {
            mark,
            section,
            ticks,
        } => of_mark(verdict, (*mark, *section, *ticks), declared, found),
        Goal::ThroughputAtLeast {
            flow, best: false, ..
        } => of_flow(verdict, &found.flows[*flow], found),
        Goal::RequestWithin {
            desk, with_stops, ..
        } => of_requests(verdict, &found.desks[*desk], *with_stops, found),
        Goal::LampRise { lamp, .. } => {
            of_lamp(verdict, asked, &found.lamps[*lamp], found);
        }
        Goal::Buildable(_) => of_site(verdict, found),
        _ => {}
    }
}

/// Says how much of a design nothing is asked of, for no problem of few parts is not yet a hall.
fn of_site(verdict: &mut Verdict, found: &Measured) {
    let Some(site) = &found.site else {
        return;
    };
    let parts = count(site.parts, "part", "parts");
    verdict.remark = match site.parts.saturating_sub(site.stand) {
        0 => return,
        1 => Some(format!(
            "1 of {parts} stands nowhere, and nothing is asked of it"
        )),
        more => Some(format!(
            "{} of {parts} stand nowhere, and nothing is asked of them",
            grouped(more)
        )),
    };
}

fn of_mark(
    verdict: &mut Verdict,
    (mark, section, ticks): (Mark, Option<usize>, u64),
    declared: &Declarations,
    found: &Measured,
) {
    let can_be_judged = mark == Mark::Quiet || !found.sections.is_empty();
    if verdict.checks.is_empty() {
        // A restart that the run never came to is a resume that never was.
        let reached = found.stops.len();
        let has_restart = declared
            .stops
            .iter()
            .take(reached)
            .any(|stop| stop.restart.is_some());
        if can_be_judged && mark == Mark::Resumed && has_restart {
            verdict.remark = Some("a restart was not reached".to_owned());
        }
        return;
    }
    let stops = found.stops.iter();
    let quiet: Vec<&QuietMark> = stops.map(|stop| &marks_of(stop, section).quiet).collect();
    if mark == Mark::Quiet && !quiet.iter().all(|quiet| quiet.is_known) {
        let words = match quiet.iter().any(|quiet| quiet.goods_arrive) {
            true => "goods go on arriving",
            false => "the run was too short to be certain",
        };
        verdict.remark = Some(words.to_owned());
    }
    let missed = verdict.checks.iter().find(|check| !check.is_met());
    verdict.went_wrong_at = missed.and_then(|check| check.stop).map(|index| {
        let stop = &found.stops[index];
        let start = match (&stop.resume, mark) {
            (Some(resume), Mark::Resumed) => resume.at,
            _ => stop.at,
        };
        // The first tick in which it was too late.
        start + ticks + 1
    });
}

/// Says when the worst window was, and how long it is if it is not a whole minute.
fn of_flow(verdict: &mut Verdict, flow: &FlowFinding, found: &Measured) {
    let tps = found.ticks_per_second;
    let Some(worst) = &flow.worst else {
        verdict.remark = Some("goods never waited long enough for a worst minute".to_owned());
        return;
    };
    if !verdict.is_met() {
        verdict.went_wrong_at = Some(worst.from);
    }
    if !worst.is_full {
        verdict.remark = Some(format!(
            "over {}: goods never waited for a whole minute",
            seconds(worst.rate.ticks, tps)
        ));
    }
}

/// Says which request was the slowest, what is still owed, how long it stood still.
fn of_requests(verdict: &mut Verdict, desk: &DeskFinding, with_stops: bool, found: &Measured) {
    let taken = match with_stops {
        true => RequestFinding::served_ticks,
        false => RequestFinding::running_ticks,
    };
    let Some(slowest) = slowest_request(desk, taken) else {
        return;
    };
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
            true => format!("; stopped meanwhile for {stopped}"),
            false => format!("; {stopped} of stop not counted"),
        });
    }
    verdict.remark = Some(remark);
}

fn of_lamp(verdict: &mut Verdict, asked: &Asked, lamp: &LampFinding, found: &Measured) {
    match lamp.first_rise {
        Some(rise) => {
            // A goal without a bound asks no more than that the lamp rises.
            if verdict.checks.is_empty() {
                let readings = asked.figure.readings(found, &asked.of);
                verdict.checks = checks(&readings, &[Bound::AtLeast(0.0)]);
            }
            let is_met = verdict.checks.iter().all(Check::is_met);
            verdict.went_wrong_at = (!is_met).then_some(rise.at);
        }
        None => {
            // Whatever the bounds are, the lamp was to rise.
            verdict.remark = Some("it never rose".to_owned());
            let latest = asked.bounds.iter().find_map(|bound| match bound {
                Bound::AtMost(most) => Some(*most),
                Bound::AtLeast(_) => None,
            });
            // The first tick in which it was too late. Bounds on ticks were whole numbers.
            verdict.went_wrong_at = latest.map(|most| hallwright_core::tick::Tick(most as u64 + 1));
        }
    }
}
