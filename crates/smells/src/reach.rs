//! Where items can come to.

use hallwright_analysis::signals;
use hallwright_analysis::ways::{Way, Ways};
use hallwright_core::id::PartId;
use hallwright_core::network::SignalRole;
use hallwright_core::timeline::Action;
use petgraph::Direction;

use super::Design;

/// Where items can come to, whatever the signals do.
pub(super) struct Reach {
    /// Whether something leads there, or it has items from outside.
    fed: Vec<bool>,
    /// Whether something takes items from there.
    leads_on: Vec<bool>,
    /// Whether a comparator reads it.
    read: Vec<bool>,
    /// Whether an item can ever be there.
    held: Vec<bool>,
}

impl Reach {
    /// Follows items from wherever they are at the start or come in.
    pub(super) fn new(design: &Design<'_>, ways: &Ways) -> Self {
        let network = design.network;
        let mut fed = vec![false; ways.node_count()];
        let mut leads_on = vec![false; ways.node_count()];
        // What lies in boxes is where they are.
        let is_looked_at = |way: &Way| !way.kind.is_of_boxes();
        for way in ways.iter().filter(|way| is_looked_at(way)) {
            fed[way.to] = true;
            leads_on[way.from] = true;
        }
        let mut read = vec![false; network.part_count()];
        for (part, _, role) in signals::links(network) {
            read[part.index()] |= role == SignalRole::Reading;
        }
        let mut starts: Vec<PartId> = network.fillings().iter().map(|(part, _)| *part).collect();
        starts.extend(design.actions.iter().filter_map(|action| match action {
            Action::Deliver { place, .. } | Action::Fill { place, .. } => Some(*place),
            Action::Withdraw { .. } | Action::MoveLever { .. } | Action::Press { .. } => None,
            Action::TakeBox { .. } | Action::Stick { .. } => None,
            Action::Sleep { .. } | Action::Reopen { .. } => None,
        }));
        for start in &starts {
            fed[start.index()] = true;
        }
        Self {
            held: ways.reached(starts, Direction::Outgoing, is_looked_at),
            fed,
            leads_on,
            read,
        }
    }

    /// Whether something leads to a part, or it has items from outside.
    pub(super) fn is_fed(&self, part: PartId) -> bool {
        self.fed[part.index()]
    }

    /// Whether something takes items from a part.
    pub(super) fn leads_on(&self, part: PartId) -> bool {
        self.leads_on[part.index()]
    }

    /// Whether a comparator reads a part.
    pub(super) fn is_read(&self, part: PartId) -> bool {
        self.read[part.index()]
    }

    /// Whether an item can ever be in a part.
    pub(super) fn can_hold(&self, part: PartId) -> bool {
        self.held[part.index()]
    }
}
