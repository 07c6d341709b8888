//! The least time that a stop can take, from the state in which it finds the hall.
//!
//! Two things take time: the way of each item out of the lines, and the queue of all of them at the
//! links that lead out.

use std::collections::BTreeSet;

use hallwright_core::asks::Holding;
use hallwright_core::engine::View;
use hallwright_core::id::PartId;
use hallwright_core::part::Part;
use hallwright_declared::declarations::Section;
use petgraph::Direction;
use serde::{Deserialize, Serialize};

use super::constant::EVER;
use super::cut::CutGraph;
use super::guarantee::{Known, undisturbed_ticks};
use super::pace::Capacity;
use super::way_home::{Waiting, WaysHome};
use crate::ways::{KindWays, Way};

/// The least ticks from a stop to its marks.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub(crate) struct Least {
    /// Until the lines hold nothing.
    pub(crate) cleared: u64,
    /// Until it is safe to close.
    pub(crate) safe_to_close: u64,
    /// Until what cannot rest is at rest: loose items, and items in selectors.
    pub(crate) at_rest: u64,
}

/// The least times of one stop.
#[derive(Clone, PartialEq, Eq, Debug, Default, Serialize, Deserialize)]
pub(crate) struct LeastOfStop {
    /// Of all sections together.
    pub(crate) all: Least,
    /// Of each section.
    pub(crate) sections: Vec<Least>,
}

/// What the stop limits of a network need to know of it.
pub(crate) struct StopLimits<'a> {
    pub(crate) known: Known<'a>,
    pub(crate) ways: &'a KindWays,
}

impl StopLimits<'_> {
    /// All ways, each once.
    fn own_ways(&self) -> impl Iterator<Item = &Way> {
        let ways = self.ways.ways().iter();
        ways.filter(|way| !way.kind.is_short_cut())
    }

    /// The least times from the state as it is now, at the beginning of the tick of a stop.
    pub(crate) fn from(&self, view: &View<'_>, sections: &[Section]) -> LeastOfStop {
        let network = view.network();
        let undisturbed = undisturbed_ticks(view, self.known);
        let ways = WaysHome::new(view, self.known, self.ways, &undisturbed);
        let all_where = |holds: &dyn Fn(&Part) -> bool| -> Vec<PartId> {
            let parts = network.parts().filter(|(_, part)| holds(part));
            parts.map(|(id, _)| id).collect()
        };
        let found: Vec<Least> = sections
            .iter()
            .map(|section| {
                let cleared = self.least(view, &ways, &section.line);
                Least {
                    cleared,
                    safe_to_close: cleared,
                    at_rest: 0,
                }
            })
            .collect();
        let lines: Vec<PartId> = sections
            .iter()
            .flat_map(|section| section.line.iter().copied())
            .collect();
        let each = |of: fn(&Least) -> u64| found.iter().map(of).max().unwrap_or(0);
        let mut all = Least {
            cleared: each(|least| least.cleared),
            safe_to_close: each(|least| least.safe_to_close),
            at_rest: 0,
        };
        if sections.len() > 1 {
            all.cleared = all.cleared.max(self.least(view, &ways, &lines));
        }
        // What cannot rest is on its way.
        let restless = all_where(&|part| match part.holding() {
            Holding::Loose | Holding::Queue => true,
            Holding::Slots | Holding::Box | Holding::Docked | Holding::Nothing => false,
        });
        let mut lines_and_restless = lines;
        lines_and_restless.extend(&restless);
        let none_left = self.least(view, &ways, &lines_and_restless);
        all.safe_to_close = all.safe_to_close.max(all.cleared).max(none_left);
        all.at_rest = self.least(view, &ways, &restless);
        LeastOfStop {
            all,
            sections: found,
        }
    }

    /// The least ticks until nothing of what is in these parts now is there any more.
    fn least(&self, view: &View<'_>, ways: &WaysHome<'_, '_>, parts: &[PartId]) -> u64 {
        let network = view.network();
        let mut is_inside = vec![false; network.part_count()];
        for part in parts {
            is_inside[part.index()] = true;
        }
        for (id, part) in network.parts() {
            if let Some(stream) = part.stream()
                && is_inside[stream.mouth.index()]
            {
                is_inside[id.index()] = true;
            }
        }
        let waiting = ways.waiting(&is_inside);
        let mut known: Vec<(u64, u64)> = waiting
            .iter()
            .map(|items| (ways.soonest(items, &is_inside), items.items))
            .collect();
        known.sort_unstable_by_key(|(ticks, _)| std::cmp::Reverse(*ticks));
        let Some((farthest, _)) = known.first() else {
            return 0;
        };
        if *farthest >= EVER || self.can_vanish(network.parts(), &is_inside) {
            return *farthest;
        }
        let queue = Queue {
            limits: self,
            is_inside: &is_inside,
        };
        let by_exits = queue.out_ticks(&known);
        let by_parts = queue.one_by_one_ticks(&waiting, ways);
        queue.through_ticks(&waiting, (*farthest).max(by_exits).max(by_parts))
    }

    /// Whether items can go other ways than over links: lost, or taken out by the operator.
    fn can_vanish<'n>(
        &self,
        mut parts: impl Iterator<Item = (PartId, &'n Part)>,
        is_inside: &[bool],
    ) -> bool {
        parts.any(|(id, part)| {
            is_inside[id.index()]
                && (is_way_out(part) || self.known.supply.withdrawn_from.contains(&id))
        })
    }
}

/// Whether what is there can go without a link: loose items are lost, boxes lifted.
fn is_way_out(part: &Part) -> bool {
    match part.holding() {
        Holding::Loose | Holding::Box => true,
        Holding::Slots | Holding::Queue | Holding::Docked | Holding::Nothing => false,
    }
}

/// The items inside some parts, which have to go out over links.
struct Queue<'a> {
    limits: &'a StopLimits<'a>,
    is_inside: &'a [bool],
}

impl Queue<'_> {
    fn holds(&self, node: usize) -> bool {
        node < self.is_inside.len() && self.is_inside[node]
    }

    /// What the links that lead out can pass, each once.
    fn exits(&self) -> Vec<Capacity> {
        let mut shared = BTreeSet::new();
        let mut exits = Vec::new();
        for way in self.limits.own_ways() {
            if !self.holds(way.from) || self.holds(way.to) {
                continue;
            }
            let Some(by) = way.by else {
                exits.push(Capacity::UNBOUNDED);
                continue;
            };
            // What pulls and pushes does either at its pace; everything else shares its pace out.
            if shared.insert((by, way.kind.is_taken())) {
                exits.push(self.limits.known.links.capacities[by.index()].clone());
            }
        }
        exits
    }

    /// The least ticks until all are out, given for each lot, the farthest first, the tick in which it
    /// can first be out and its items: of those that are so far away, one after the other has to go.
    fn out_ticks(&self, lots: &[(u64, u64)]) -> u64 {
        let exits = self.exits();
        let most_in = |ticks: u64| -> Option<u64> {
            exits
                .iter()
                .try_fold(0, |sum: u64, exit| Some(sum + exit.most_in(ticks)?))
        };
        if most_in(1).is_none() || exits.iter().all(|exit| *exit == Capacity::Never) {
            return 0;
        }
        let mut behind = 0;
        let mut worst: u64 = 0;
        for (at, items) in lots {
            behind += items;
            // Far fewer ticks than this are worth a look only if they would do.
            let passes = |ticks: u64| most_in(ticks).is_none_or(|most| most >= behind);
            if passes((worst + 1).saturating_sub(*at)) {
                continue;
            }
            worst = worst.max(at + first_ticks(passes) - 1);
        }
        worst
    }

    /// The least ticks until the last of several items in one part is out: it has to wait for its turn
    /// there, and then still has its way before it.
    fn one_by_one_ticks(&self, waiting: &[Waiting], ways: &WaysHome<'_, '_>) -> u64 {
        let mut worst = 0;
        // What lies in one part stands together.
        for lots in waiting.chunk_by(|one, other| one.part == other.part) {
            let items: u64 = lots.iter().map(|lot| lot.items).sum();
            let outlets = self.outlets(lots[0].part.index());
            let passes = |ticks: u64| {
                let mut each = outlets.iter().map(|outlet| outlet.most_in(ticks));
                let most = each.try_fold(0, |sum: u64, most| Some(sum + most?));
                most.is_none_or(|most| most >= items)
            };
            if items < 2 || passes(1) {
                continue;
            }
            let turn_ticks = first_ticks(passes) - 1;
            // Any of them may be the last.
            let last = lots.iter().map(|lot| {
                let lot = Waiting {
                    stays_ticks: lot.stays_ticks.max(turn_ticks),
                    ..*lot
                };
                ways.soonest(&lot, self.is_inside)
            });
            worst = worst.max(last.min().unwrap_or(0));
        }
        worst
    }

    /// What the links that lead out of a part can pass.
    fn outlets(&self, node: usize) -> Vec<&Capacity> {
        let onward = self.limits.ways.ways().at(node, Direction::Outgoing);
        let onward = onward.filter(|way| !way.kind.is_short_cut());
        let paced = onward.map(|way| {
            way.by.map_or(Capacity::LENT_UNBOUNDED, |by| {
                &self.limits.known.links.capacities[by.index()]
            })
        });
        paced.collect()
    }

    /// The least ticks, `known` or more, until all can have passed every narrow place inside.
    fn through_ticks(&self, waiting: &[Waiting], known: u64) -> u64 {
        let items: u64 = waiting.iter().map(|lot| lot.items).sum();
        let passes = |ticks: u64| {
            self.most_out(waiting, ticks)
                .is_none_or(|most| most >= items)
        };
        if items < 2 || passes(known + 1) {
            return known;
        }
        first_ticks(passes).max(known + 1) - 1
    }

    /// The most of them that can be out after so many ticks, if they were all where they have to go
    /// but for the paces of the links; `None` for any number.
    fn most_out(&self, waiting: &[Waiting], ticks: u64) -> Option<u64> {
        let nodes = self.is_inside.len() + 1;
        let (source, goal) = (2 * nodes, 2 * nodes + 1);
        let mut graph = CutGraph::new(2 * nodes + 2, 0);
        let mut has_outlet = BTreeSet::new();
        for way in self.limits.own_ways().filter(|way| self.holds(way.from)) {
            let to = if self.holds(way.to) { way.to } else { goal };
            let Some(by) = way.by else {
                graph.add_open(way.from, to);
                continue;
            };
            let most = self.limits.known.links.capacities[by.index()].most_in(ticks);
            if way.kind.is_taken() {
                graph.add(way.from, to, most, ());
                continue;
            }
            let outlet = nodes + by.index();
            if has_outlet.insert(by) {
                graph.add(way.from, outlet, most, ());
            }
            graph.add_open(outlet, to);
        }
        for lot in waiting {
            graph.add(source, lot.part.index(), Some(lot.items), ());
        }
        graph.minimum(source, goal).map(|cut| cut.items)
    }
}

/// The fewest ticks, at least 1, that pass; more always pass if fewer do.
fn first_ticks(passes: impl Fn(u64) -> bool) -> u64 {
    const MOST: u64 = 1 << 32;
    let mut enough = 1;
    while !passes(enough) {
        if enough >= MOST {
            // Links that never pass anything: nothing can be said.
            return 1;
        }
        enough *= 2;
    }
    let mut too_few = enough / 2;
    while enough - too_few > 1 {
        let middle = too_few + (enough - too_few) / 2;
        if passes(middle) {
            enough = middle;
        } else {
            too_few = middle;
        }
    }
    enough
}
