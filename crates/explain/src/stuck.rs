//! Why a mark was never reached.

use hallwright_analysis::ways::Ways;
use hallwright_core::asks::Holding;
use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Declarations;

use super::condition::Cause;
use super::history::History;
use super::standing::{Standing, sorts_in, why_it_stands};
use super::walk::{Node, walk};

/// A part that still held something when the watch of a stop ended, and why.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Stuck {
    /// The part.
    pub part: String,
    /// Why what it holds does not go on.
    pub why: Standing,
    /// If it is locked: when its lock went on, in ticks after the stop, and what that waited for
    /// most.
    pub locked: Option<LockedBy>,
}

/// How a lock came to go on.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LockedBy {
    /// Ticks after the stop.
    pub after_ticks: u64,
    /// What that waited for most, where, and for how long.
    pub cause: Option<(Cause, String, u64)>,
}

/// The parts of lines that hold something now, with the reason.
pub(super) fn stuck(
    declared: &Declarations,
    ways: &Ways,
    history: &History,
    view: &View<'_>,
    stop: Tick,
) -> Vec<Stuck> {
    let network = view.network();
    let mut lines: Vec<PartId> = declared
        .sections
        .iter()
        .flat_map(|section| &section.line)
        .copied()
        .filter(|part| holds_itself(network.part(*part)))
        .collect();
    lines.sort_unstable();
    lines.dedup();
    let holding = lines
        .into_iter()
        .filter(|part| !sorts_in(view, *part).is_empty());
    holding
        .map(|part| {
            let why = why_it_stands(view, ways, part);
            let locked = match &why {
                Standing::Locked { part, .. } => locked_by(network, history, part, stop),
                _ => None,
            };
            Stuck {
                part: network.name(part).to_owned(),
                why,
                locked,
            }
        })
        .collect()
}

/// Whether what is there counts there: not at a shuttle, and not at the mouth of a stream.
fn holds_itself(part: &Part) -> bool {
    part.holding() != Holding::Docked && part.stream().is_none()
}

fn locked_by(network: &Network, history: &History, part: &str, stop: Tick) -> Option<LockedBy> {
    let part = network.find(part)?;
    let mut entries = history.back_from(part, history.count());
    let (id, entry) = entries.find(|(_, entry)| matches!(entry.event, Event::Locked { .. }))?;
    let after_ticks = entry.tick().0.checked_sub(stop.0)?;
    let path = walk(network, history, Node::Entry(id), stop);
    let longest = path.steps.iter().max_by_key(|step| step.until - step.from);
    Some(LockedBy {
        after_ticks,
        cause: longest.map(|step| {
            let part = network.name(step.part).to_owned();
            (step.cause, part, step.until - step.from)
        }),
    })
}
