//! Gathers: in how many stacks, whole and part, items come in and leave.

use hallwright_core::engine::View;
use hallwright_core::id::KindId;
use hallwright_declared::declarations::Gather;
use serde::{Deserialize, Serialize};

use super::ledger::Move;
use crate::findings::{GatherFinding, Stacks};
use hallwright_analysis::groups::Groups;

/// Counts the stacks of every gather.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct GatherMeasure {
    groups: Groups,
    gathers: Vec<Both>,
    /// The stack limit of each kind.
    limits: Vec<u64>,
}

#[derive(Clone, PartialEq, Serialize, Deserialize)]
struct Both {
    name: String,
    came_in: Runs,
    left: Runs,
}

/// Items of one kind after another.
#[derive(Default, Clone, PartialEq, Serialize, Deserialize)]
struct Runs {
    kind: Option<KindId>,
    length: u64,
    stacks: Stacks,
}

impl GatherMeasure {
    pub(crate) fn new(gathers: &[Gather], view: &View<'_>) -> Self {
        let network = view.network();
        let both = |gather: &Gather| Both {
            name: gather.name.clone(),
            came_in: Runs::default(),
            left: Runs::default(),
        };
        let kinds = network.kinds().iter();
        Self {
            groups: Groups::new(
                network.part_count(),
                gathers.iter().map(|gather| gather.at.as_slice()),
            ),
            gathers: gathers.iter().map(both).collect(),
            limits: kinds.map(|kind| kind.stack_limit.items().into()).collect(),
        }
    }

    /// The parts that it watches, by gather.
    pub(crate) fn groups(&self) -> &Groups {
        &self.groups
    }

    pub(crate) fn moved(&mut self, moved: &Move) {
        let Some(item) = moved.item else { return };
        // A box that is set down, or lifted, comes with its contents, yet it is one box.
        let of = |number: u64| if item.box_id.is_some() { 1 } else { number };
        if let Some(from) = moved.from {
            for index in self.groups.of_spot(from) {
                let stays = moved.to.is_some_and(|to| self.groups.contains(to, index));
                if !stays {
                    let runs = &mut self.gathers[index].left;
                    runs.add(item.kind, of(moved.leaves), &self.limits);
                }
            }
        }
        if let Some(to) = moved.to {
            for index in self.groups.of_spot(to) {
                let stays = moved
                    .from
                    .is_some_and(|from| self.groups.contains(from, index));
                if !stays {
                    let runs = &mut self.gathers[index].came_in;
                    runs.add(item.kind, of(moved.arrives), &self.limits);
                }
            }
        }
    }

    pub(crate) fn finish(self) -> Vec<GatherFinding> {
        let limits = self.limits;
        let gathers = self.gathers.into_iter();
        let finding = |both: Both| GatherFinding {
            name: both.name,
            came_in: both.came_in.finish(&limits),
            left: both.left.finish(&limits),
        };
        gathers.map(finding).collect()
    }
}

impl Runs {
    fn add(&mut self, kind: KindId, items: u64, limits: &[u64]) {
        if self.kind != Some(kind) {
            self.close(limits);
            self.kind = Some(kind);
        }
        self.length += items;
    }

    /// Cuts the run into stacks.
    fn close(&mut self, limits: &[u64]) {
        let Some(kind) = self.kind.take() else { return };
        let limit = limits[kind.index()];
        self.stacks.items += self.length;
        self.stacks.stacks += self.length.div_ceil(limit);
        self.stacks.part_stacks += u64::from(!self.length.is_multiple_of(limit));
        self.length = 0;
    }

    fn finish(mut self, limits: &[u64]) -> Stacks {
        self.close(limits);
        self.stacks
    }
}
