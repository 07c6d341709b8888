//! Items that still go round at the end of a run: along midway returns, and never out of their section.
//!
//! Items have no names, so it is reported by number. What a section holds goes round if, since anything
//! last left it, at least twice as many items have passed its returns as it holds, and no more time
//! has passed since the last of them than the longest between two of them: everything has come by
//! twice, and is to be expected a third time.

use std::collections::BTreeSet;

use hallwright_analysis::ways::Ways;
use hallwright_core::engine::View;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Section;
use petgraph::Direction;
use serde::{Deserialize, Serialize};

use super::ledger::{Ledger, Move, Spot};
use crate::findings::GoingRound;
use hallwright_analysis::groups::Groups;

/// Watches the rounds of every section with returns.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct RoundWatch {
    returns: Groups,
    /// For each section: its parts, and the way back from its returns.
    regions: Vec<Vec<PartId>>,
    inside: Groups,
    /// For each part, the section it is inside of if that is the only one.
    only_inside: Vec<Option<u32>>,
    rounds: Vec<Round>,
}

/// What passed the returns of one section since anything last left it.
#[derive(Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
struct Round {
    since: Tick,
    passed_items: u64,
    last_pass: Option<Tick>,
    longest_gap_ticks: u64,
}

impl RoundWatch {
    pub(crate) fn new(sections: &[Section], view: &View<'_>) -> Self {
        let network = view.network();
        let count = network.part_count();
        let has_returns = |section: &Section| !section.returns.is_empty();
        let ways = sections.iter().any(has_returns).then(|| Ways::new(network));
        let regions: Vec<Vec<PartId>> = sections
            .iter()
            .map(|section| match &ways {
                Some(ways) if has_returns(section) => region(section, ways, network),
                Some(_) | None => Vec::new(),
            })
            .collect();
        let inside = Groups::new(count, regions.iter().map(Vec::as_slice));
        let parts = network.part_ids();
        Self {
            returns: Groups::new(count, sections.iter().map(|one| one.returns.as_slice())),
            only_inside: parts.map(|part| inside.only(part)).collect(),
            inside,
            rounds: vec![Round::default(); regions.len()],
            regions,
        }
    }

    /// The parts that it watches, by section.
    pub(crate) fn groups(&self) -> [&Groups; 2] {
        [&self.returns, &self.inside]
    }

    /// The sections that a part is inside of.
    pub(crate) fn inside(&self, part: PartId) -> impl Iterator<Item = usize> {
        self.inside.of(part)
    }

    #[inline]
    pub(crate) fn moved(&mut self, tick: Tick, moved: &Move) {
        let Some(from) = moved.from else { return };
        if !self.stays_inside(moved) {
            self.left_sections(tick, from, moved.to);
        } else if !self.returns.names(from.part) {
            return;
        }
        self.passed(tick, from, moved);
    }

    /// Counts what passed a return.
    fn passed(&mut self, tick: Tick, from: Spot, moved: &Move) {
        for section in self.returns.of_spot(from) {
            let round = &mut self.rounds[section];
            round.passed_items += moved.leaves;
            if let Some(last) = round.last_pass.replace(tick) {
                round.longest_gap_ticks = round.longest_gap_ticks.max(tick - last);
            }
        }
    }

    /// Whether what moved stayed inside the one section that both places are inside of.
    #[inline]
    fn stays_inside(&self, moved: &Move) -> bool {
        let only = |spot: Option<Spot>| {
            let alone = spot.filter(|spot| spot.also.is_none())?;
            self.only_inside[alone.part.index()]
        };
        let section = only(moved.from);
        section.is_some() && section == only(moved.to)
    }

    /// Begins to count anew for the sections that something left.
    fn left_sections(&mut self, tick: Tick, from: Spot, to: Option<Spot>) {
        for section in self.inside.of_spot(from) {
            let stays = to.is_some_and(|to| self.inside.contains(to, section));
            if !stays {
                self.rounds[section] = Round {
                    since: tick,
                    ..Round::default()
                };
            }
        }
    }

    /// For each section, what still goes round at the end.
    pub(crate) fn finish(
        self,
        end: Tick,
        ledger: &Ledger,
        view: &View<'_>,
    ) -> Vec<Option<GoingRound>> {
        let sections = self.rounds.iter().zip(&self.regions);
        let found = sections.map(|(round, region)| {
            let items = ledger.held_by(region, view);
            let last = round.last_pass?;
            let goes_round = items > 0
                && round.passed_items >= 2 * items
                && end - last <= round.longest_gap_ticks;
            let since = round.since;
            goes_round.then_some(GoingRound { items, since })
        });
        found.collect()
    }
}

/// A section's line, queue and returns, and the parts by which the returns lead back to them.
fn region(section: &Section, ways: &Ways, network: &Network) -> Vec<PartId> {
    let own: BTreeSet<PartId> = section.line.iter().chain(&section.queue).copied().collect();
    let reached = |starts: &[PartId], direction: Direction| {
        let starts = starts.iter().copied();
        ways.reached(starts, direction, |way| {
            way.kind.is_hop() && !own.contains(&PartId::from_index(way.end(direction)))
        })
    };
    let lines: Vec<PartId> = own.iter().copied().collect();
    let ahead = reached(&section.returns, Direction::Outgoing);
    let behind = reached(&lines, Direction::Incoming);
    let between = network.part_ids();
    let between = between.filter(|part| ahead[part.index()] && behind[part.index()]);
    let mut all: BTreeSet<PartId> = between.collect();
    all.extend(own);
    all.extend(&section.returns);
    // What is on a stream counts as being at its mouth already.
    let is_counted = |part: &PartId| {
        let stream = network.part(*part).stream();
        stream.is_none_or(|stream| !all.contains(&stream.mouth))
    };
    all.iter().copied().filter(is_counted).collect()
}
