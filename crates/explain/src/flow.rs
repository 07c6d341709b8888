//! Why a flow was no faster: what each part of its way did while it was counted.

use std::collections::BTreeMap;

use hallwright_analysis::ways::Ways;
use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{Event, Moment as When, Observer};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Declarations, Goal};
use petgraph::Direction;

use super::condition::Cause;
use super::waiting::{Around, Situation, Wait, Why};
use hallwright_report::findings::Findings;
use hallwright_report::goals::Verdict;
use hallwright_report::units::Share;

/// What a part is doing.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Doing {
    /// Moving items as fast as it can: cooling down, or waiting for its time with an item inside.
    Busy,
    /// It has nothing to move.
    Starved,
    /// What should take its items has no room.
    Blocked,
    /// It is locked.
    Locked,
}

/// Why a flow was no faster.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FlowWay {
    /// The flow.
    pub flow: String,
    /// The ticks that are looked at: the worst window, if that is judged; else from the first item counted
    /// to the last.
    pub ticks: u64,
    /// The parts of its way that move items, the nearest to its end first.
    pub parts: Vec<PartTimes>,
    /// The part that held it back, and what it did most of the time; `None` if no part is on its way.
    pub bottleneck: Option<(String, Doing)>,
}

/// What one part did.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PartTimes {
    /// The part.
    pub part: String,
    /// Hops to the end of the flow.
    pub hops: usize,
    /// Items that it moved.
    pub items: u64,
    /// Its time, by what it did.
    pub busy: Share,
    /// Time in which it had nothing to move.
    pub starved: Share,
    /// Time in which what should take its items had no room.
    pub blocked: Share,
    /// Time in which it was locked.
    pub locked: Share,
}

impl PartTimes {
    /// The share of its time that it spent so.
    #[must_use]
    pub fn share(&self, doing: Doing) -> Share {
        match doing {
            Doing::Busy => self.busy,
            Doing::Starved => self.starved,
            Doing::Blocked => self.blocked,
            Doing::Locked => self.locked,
        }
    }
}

/// The flows whose throughput missed a goal.
pub(super) fn missed(declared: &Declarations, findings: &Findings) -> Vec<usize> {
    let goals = declared.goals.iter().zip(&findings.verdicts);
    let mut flows: Vec<usize> = goals
        .filter_map(|(goal, verdict)| match goal {
            Goal::ThroughputAtLeast { flow, .. } if !Verdict::is_met(verdict) => Some(*flow),
            _ => None,
        })
        .collect();
    flows.sort_unstable();
    flows.dedup();
    flows
}

/// Watches the parts of a flow's way while the flow is counted: the run is made again.
pub(super) fn flow_way(
    network: &Network,
    ways: &Ways,
    setup: &Setup,
    declared: &Declarations,
    findings: &Findings,
    flow: usize,
) -> FlowWay {
    let into = &declared.flows[flow].into;
    let distances = ways.leading_to(into);
    let end = Tick(findings.run_ticks);
    let found = &findings.flows[flow];
    let from = found.first_at.unwrap_or(Tick(0));
    let until = found.last_at.filter(|last| *last > from).unwrap_or(end);
    // A goal that judges the worst window is about what the parts did in that.
    let judges_worst = declared.goals.iter().any(
        |goal| matches!(goal, Goal::ThroughputAtLeast { flow: of, best: false, .. } if *of == flow),
    );
    let worst = found.worst.filter(|_| judges_worst);
    let (from, until) = worst.map_or((from, until), |worst| {
        (worst.from, worst.from + worst.rate.ticks)
    });
    let mut times = Times::new(network, &distances);
    let mut engine = Engine::new(network, setup);
    engine.run_unwatched(from);
    engine.run_watched(until, &mut times);
    let ticks = until - from;
    let share = |part| Share { part, whole: ticks };
    let mut parts: Vec<PartTimes> = times
        .parts
        .iter()
        .map(|(part, sums)| PartTimes {
            part: network.name(*part).to_owned(),
            hops: distances[part],
            items: sums.items,
            busy: share(sums.ticks[Doing::Busy as usize]),
            starved: share(sums.ticks[Doing::Starved as usize]),
            blocked: share(sums.ticks[Doing::Blocked as usize]),
            locked: share(sums.ticks[Doing::Locked as usize]),
        })
        .collect();
    parts.sort_by_key(|part| part.hops);
    FlowWay {
        flow: found.name.clone(),
        ticks,
        bottleneck: bottleneck(network, ways, into, &times, ticks),
        parts,
    }
}

/// Goes against the flow from its end as long as parts have nothing to move for a quarter of the time
/// (a hopper at its full rate is empty for an eighth of it at most). The first that has
/// is what holds it back; if none has, it is the last, to which too little comes.
fn bottleneck(
    network: &Network,
    ways: &Ways,
    into: &[PartId],
    times: &Times,
    ticks: u64,
) -> Option<(String, Doing)> {
    let mut seen = std::collections::BTreeSet::new();
    let mut ends = into.to_vec();
    let mut last = None;
    loop {
        let mut before: Vec<PartId> = Vec::new();
        let mut to_follow = std::mem::take(&mut ends);
        while let Some(part) = to_follow.pop() {
            for (from, _) in ways.hops(part, Direction::Incoming) {
                if seen.insert(from) {
                    match times.parts.contains_key(&from) {
                        true => before.push(from),
                        false => to_follow.push(from),
                    }
                }
            }
            if times.parts.contains_key(&part) && seen.insert(part) {
                before.push(part);
            }
        }
        // The part through which most comes is followed.
        let busiest = before.into_iter().max_by_key(|part| {
            let sums = &times.parts[part];
            (
                sums.items,
                ticks - sums.ticks[Doing::Starved as usize].min(ticks),
            )
        });
        let Some(part) = busiest else {
            return last;
        };
        let sums = &times.parts[&part];
        let name = network.name(part).to_owned();
        if 4 * sums.ticks[Doing::Starved as usize] < ticks {
            let doing = [Doing::Busy, Doing::Blocked, Doing::Locked];
            let most = doing
                .into_iter()
                .rev()
                .max_by_key(|doing| sums.ticks[*doing as usize])?;
            return Some((name, most));
        }
        last = Some((name, Doing::Starved));
        ends = vec![part];
    }
}

#[derive(Default)]
struct Sums {
    items: u64,
    ticks: [u64; 4],
}

struct Times {
    around: Around,
    parts: BTreeMap<PartId, Sums>,
}

impl Times {
    fn new(network: &Network, distances: &BTreeMap<PartId, usize>) -> Self {
        let moves = |part: &&PartId| network.part(**part).hands_on();
        let parts = distances.keys().filter(moves);
        Self {
            around: Around::new(network),
            parts: parts.map(|part| (*part, Sums::default())).collect(),
        }
    }
}

impl Observer for Times {
    fn event(&mut self, _moment: When, event: &Event, _view: &View<'_>) {
        let from = match *event {
            Event::ItemMoved { from, .. } => from,
            Event::Thrown { dropper, .. } => dropper,
            _ => return,
        };
        if let Some(sums) = self.parts.get_mut(&from) {
            sums.items += 1;
        }
    }

    fn ticks_passed(&mut self, from: Tick, until: Tick, _work: u64, view: &View<'_>) {
        let moment = Situation {
            view,
            around: &self.around,
            at: until.0.saturating_sub(1),
            cooldown_ticks: &|part| view.cooldown_ticks(part).into(),
        };
        for (part, sums) in &mut self.parts {
            let (wait, _) = moment.waits(*part);
            sums.ticks[doing(wait) as usize] += until - from;
        }
    }
}

/// What a part is doing, by what it waits for.
fn doing(wait: Wait) -> Doing {
    match wait.why {
        Why::Nothing => Doing::Starved,
        Why::Because(Cause::Lock) | Why::IdleLock => Doing::Locked,
        Why::Because(Cause::FullTarget) | Why::Unoccupied | Why::NoWayOn => Doing::Blocked,
        Why::Asleep => Doing::Blocked,
        _ => Doing::Busy,
    }
}
