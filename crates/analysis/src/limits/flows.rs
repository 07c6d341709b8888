//! The most that a flow can count: minimum cuts between all there is to move and the flow's parts.
//!
//! For the whole run there is one graph. For the steadiest time there are two of them, one after the
//! other: what happens before it and what happens in it, with the room of each part between, since
//! what a chest or a hopper held back before can come all at once.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::slot::BOX_SLOTS;
use hallwright_declared::declarations::Flow;
use petgraph::Direction;

use super::cut::{Cut, CutGraph};
use super::links::Links;
use super::supply::{Delivered, Deliveries, Supply};
use super::{Bound, LimitedBy, Limiter};
use crate::ways::{KindSet, KindWays, Way};

/// What limits a flow: a part, and what of it.
type Reason = (Limiter, usize);

/// What all flows of a network have in common.
pub(crate) struct FlowLimits<'a> {
    pub(crate) network: &'a Network,
    pub(crate) links: &'a Links,
    pub(crate) ways: &'a KindWays,
    pub(crate) supply: &'a Supply,
    pub(crate) run_ticks: u64,
    /// Whether every sieve kept what it held, at every tick.
    pub(crate) sieves_kept: bool,
}

/// One flow: what it counts.
struct Counted {
    /// Whether each node is one of its parts.
    is_goal: Vec<bool>,
    /// The kinds that it counts.
    kinds: KindSet,
    /// For each node, the counted kinds that can come from there into the flow.
    reach: Vec<KindSet>,
    /// Deliveries right into it, and those to other nodes, each by tick.
    into: BTreeMap<usize, Deliveries>,
    elsewhere: BTreeMap<usize, Deliveries>,
    /// What lies at each node at the start and can come into it.
    at_start: BTreeMap<usize, u64>,
}

impl FlowLimits<'_> {
    /// The most that the flow can count in the whole run, and in a time as long as its steadiest throughput took;
    /// `None` where no bound is known.
    pub(crate) fn of(&self, flow: &Flow, steadiest_ticks: u64) -> (Option<Bound>, Option<Bound>) {
        if self.has_side_door(flow) {
            return (None, None);
        }
        let counted = self.counted(flow);
        let whole = self.bound(&counted, None, self.run_ticks);
        if steadiest_ticks == 0 {
            return (whole, None);
        }
        // It begins with a tick of counting, of which nothing belongs to it.
        let ticks = steadiest_ticks + 1;
        let before = self.run_ticks.saturating_sub(ticks);
        let within = self.bound(&counted, Some(before), ticks);
        let within = within.map(|bound| Bound {
            items: bound.items.saturating_sub(1),
            ticks: steadiest_ticks,
            ..bound
        });
        (whole, within)
    }

    /// Whether the flow counts loose items as they come loose on a stream while others, at the
    /// stream's mouth, can become one with those without passing the stream.
    fn has_side_door(&self, flow: &Flow) -> bool {
        flow.into.iter().any(|part| {
            let Some(stream) = self.network.part(*part).stream() else {
                return false;
            };
            let mouth = stream.mouth;
            let other = |way: &Way| way.from != part.index();
            let mut inlets = self.ways.ways().at(mouth.index(), Direction::Incoming);
            inlets.any(other) || self.links.has_other_inlet[mouth.index()]
        })
    }

    fn counted(&self, flow: &Flow) -> Counted {
        let kinds = self.network.kinds().len();
        let nodes = self.ways.ways().node_count();
        let mut is_goal = vec![false; nodes];
        for part in &flow.into {
            is_goal[part.index()] = true;
        }
        let wanted = KindSet::of(kinds, |kind| {
            flow.kinds.is_empty() || flow.kinds.contains(&kind)
        });
        let reach = self.ways.reaching(&is_goal, &wanted);
        let mut counted = Counted {
            is_goal,
            kinds: wanted,
            reach,
            into: BTreeMap::new(),
            elsewhere: BTreeMap::new(),
            at_start: BTreeMap::new(),
        };
        for (node, kind, items) in self.supply.to_move(self.sieves_kept) {
            if counted.reach[node].contains(kind) {
                *counted.at_start.entry(node).or_default() += items;
            }
        }
        for delivered in &self.supply.delivered {
            counted.deliver(self.network, delivered);
        }
        counted
    }

    /// The bound of so many ticks, after so many others if there are any.
    fn bound(&self, counted: &Counted, before: Option<u64>, ticks: u64) -> Option<Bound> {
        let nodes = self.ways.ways().node_count();
        let periods = if before.is_some() { 2 } else { 1 };
        // For each period each node twice, the second time for what a selector hands on.
        let span = 2 * nodes;
        let source = periods * span;
        let goal = source + 1;
        let mut graph = CutGraph::new(goal + 1 + nodes, periods * 2 * self.ways.ways().count());
        for period in 0..periods {
            let is_last = period + 1 == periods;
            let length = if is_last { ticks } else { before.unwrap_or(0) };
            self.add_routes(
                &mut graph,
                counted,
                period * span,
                length,
                is_last.then_some((source, goal)),
            );
        }
        for (node, items) in &counted.at_start {
            graph.add(source, *node, Some(*items), (Limiter::Stock, *node));
        }
        if before.is_some() {
            for node in (0..nodes).filter(|node| !counted.reach[*node].is_empty()) {
                let room = self.room(node);
                if room != Some(0) {
                    graph.add(node, span + node, room, (Limiter::Room, node));
                }
            }
        }
        for (node, deliveries) in &counted.into {
            let most = deliveries.most_within(ticks);
            graph.add(source, goal, Some(most), (Limiter::Arrivals, *node));
        }
        for (number, (node, deliveries)) in counted.elsewhere.iter().enumerate() {
            let here = goal + 1 + number;
            graph.add(
                source,
                here,
                Some(deliveries.all()),
                (Limiter::Arrivals, *node),
            );
            if before.is_some() {
                graph.add_open(here, *node);
                let most = deliveries.most_within(ticks);
                graph.add(here, span + node, Some(most), (Limiter::Arrivals, *node));
            } else {
                graph.add_open(here, *node);
            }
        }
        let cut = graph.minimum(source, goal)?;
        Some(self.reported(&cut, ticks))
    }

    /// Adds the ways of one period. In the last one, what comes into the flow goes to the goal, and
    /// what has been in it may come again, any number of times.
    fn add_routes(
        &self,
        graph: &mut CutGraph<Reason>,
        counted: &Counted,
        offset: usize,
        length: u64,
        ends: Option<(usize, usize)>,
    ) {
        let nodes = self.ways.ways().node_count();
        let mut has_outlet = vec![false; nodes];
        for way in self
            .ways
            .ways()
            .iter()
            .filter(|way| !way.kind.is_short_cut())
        {
            let into_flow = counted.is_goal[way.to];
            let from_flow = counted.is_goal[way.from];
            let further = match ends {
                Some(_) if into_flow => &counted.kinds,
                Some(_) | None => &counted.reach[way.to],
            };
            if (ends.is_some() && into_flow && from_flow) || !further.meets(self.ways.carried(way))
            {
                continue;
            }
            let to = match ends {
                Some((_, goal)) if into_flow => goal,
                Some(_) | None => offset + way.to,
            };
            let mut from = match ends {
                Some((source, _)) if from_flow => source,
                Some(_) | None => offset + way.from,
            };
            let Some(by) = way.by else {
                graph.add_open(from, to);
                continue;
            };
            let most = self.links.capacities[by.index()].most_in(length);
            // A selector and a dispenser share their pace out among several ways.
            if self.network.part(by).hopper().is_some() {
                graph.add(from, to, most, (Limiter::Pace, by.index()));
                continue;
            }
            let outlet = offset + nodes + by.index();
            if !std::mem::replace(&mut has_outlet[by.index()], true) {
                graph.add(from, outlet, most, (Limiter::Pace, by.index()));
            }
            from = outlet;
            graph.add_open(from, to);
        }
    }

    /// How many items a node can hold from one period to the next; `None` for any number.
    fn room(&self, node: usize) -> Option<u64> {
        if node == self.ways.ways().boxes() {
            return None;
        }
        let part = PartId::from_index(node);
        let kinds = self.network.kinds().iter();
        let limit = kinds.map(|kind| u64::from(kind.stack_limit.items())).max();
        let limit = limit.unwrap_or(0);
        match self.network.part(part) {
            Part::Mouth | Part::Stream(_) => None,
            Part::Selector(selector) => Some(selector.holds.into()),
            Part::Bench(_) => Some(u64::from(BOX_SLOTS) * limit + 1),
            // What is docked at a place is in the shuttle.
            Part::Dock | Part::Signal(_) => Some(0),
            Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Shuttle(_) => {
                let slots = self.network.own_slots(part).unwrap_or(0);
                Some(u64::from(slots) * limit)
            }
        }
    }

    fn reported(&self, cut: &Cut<Reason>, ticks: u64) -> Bound {
        let reasons: BTreeSet<Reason> = cut.reasons.iter().copied().collect();
        let boxes = self.ways.ways().boxes();
        let limited_by = reasons.into_iter().map(|(limiter, node)| LimitedBy {
            limiter,
            part: if node == boxes {
                None
            } else {
                Some(self.network.name(PartId::from_index(node)).to_owned())
            },
        });
        Bound {
            items: cut.items,
            ticks,
            limited_by: limited_by.collect(),
        }
    }
}

impl Counted {
    fn deliver(&mut self, network: &Network, delivered: &Delivered) {
        let Delivered {
            tick,
            node,
            kind,
            items,
        } = *delivered;
        // What is delivered onto a stream is at its mouth at once.
        let part = (node < network.part_count()).then(|| PartId::from_index(node));
        let mouth = part.and_then(|part| network.part(part).stream());
        let mouth = mouth.map(|stream| stream.mouth.index());
        let is_inside = self.is_goal[node] || mouth.is_some_and(|mouth| self.is_goal[mouth]);
        if is_inside && self.kinds.contains(kind) {
            self.into.entry(node).or_default().add(tick, items);
        }
        // It may also come into the flow from there, once more if it was inside.
        if self.reach[node].contains(kind) {
            self.elsewhere.entry(node).or_default().add(tick, items);
        }
    }
}
