//! What explanations look at: the hall, its run, and where things can go in it.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_analysis::levels::Known;
use hallwright_analysis::sieves::{Opening, Sieve};
use hallwright_analysis::ways::{KindWays, Way, WayKind, Ways};
use hallwright_core::engine::{Engine, View};
use hallwright_core::event::Event;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::setup::Setup;
use hallwright_core::slot::{Item, Stack};
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::{Declarations, Store, StorePurpose};
use hallwright_report::findings::Findings;
use hallwright_report::units::{grouped, listed};
use petgraph::Direction;

use super::TroubleCause;
use crate::history::History;

/// A run with everything known of it.
pub(crate) struct Scene<'a> {
    pub(super) network: &'a Network,
    pub(super) declared: &'a Declarations,
    pub(super) setup: &'a Setup,
    pub(super) findings: &'a Findings,
    pub(super) history: &'a History,
    pub(super) ways: &'a Ways,
    pub(super) end: Tick,
    /// What each part holds at the end.
    held_at_end: Vec<u64>,
    kind_ways: KindWays,
    sieves: BTreeMap<PartId, Sieve>,
    /// The filters that are not declared as sieves.
    not_named: BTreeSet<PartId>,
}

impl<'a> Scene<'a> {
    pub(crate) fn new(
        (network, declared): (&'a Network, &'a Declarations),
        setup: &'a Setup,
        findings: &'a Findings,
        history: &'a History,
        ways: &'a Ways,
        at_end: &View<'_>,
    ) -> Self {
        let hoppers = network.parts().filter(|(_, part)| part.hopper().is_some());
        let hoppers: Vec<PartId> = hoppers.map(|(id, _)| id).collect();
        let is_declared =
            |sieve: &Sieve| declared.sieves.contains(&sieve.hopper) || !sieve.fillers.is_empty();
        let sieves = Sieve::all(network, &hoppers).into_iter();
        let sieves = sieves.filter(is_declared);
        Self {
            network,
            declared,
            setup,
            findings,
            history,
            ways,
            end: Tick(findings.run_ticks),
            held_at_end: network
                .part_ids()
                .map(|part| held_in(at_end, part))
                .collect(),
            kind_ways: KindWays::new(network),
            sieves: sieves.map(|sieve| (sieve.hopper, sieve)).collect(),
            not_named: Sieve::not_named(network, &declared.sieves)
                .into_iter()
                .map(|sieve| sieve.hopper)
                .collect(),
        }
    }

    pub(super) fn name(&self, part: PartId) -> &'a str {
        self.network.name(part)
    }

    /// What a hopper draws from.
    pub(super) fn above(&self, part: PartId) -> Option<PartId> {
        self.network.part(part).hopper()?.above()
    }

    pub(super) fn kind(&self, kind: KindId) -> &'a str {
        &self.network.kind(kind).name
    }

    pub(super) fn kind_named(&self, name: &str) -> Option<KindId> {
        let place = self
            .network
            .kinds()
            .iter()
            .position(|kind| kind.name == name);
        place.map(KindId::from_index)
    }

    /// Several names, some left out if they are many.
    pub(super) fn names(&self, parts: &[PartId]) -> String {
        let names: Vec<String> = parts
            .iter()
            .map(|part| self.name(*part).to_owned())
            .collect();
        listed(&names, 4)
    }

    /// The run again, up to the beginning of a tick.
    pub(super) fn at(&self, tick: Tick) -> Engine<'a> {
        let mut engine = Engine::new(self.network, self.setup);
        engine.run_unwatched(tick);
        engine
    }

    /// The filter that a hopper is from the start on.
    pub(super) fn sieve(&self, part: PartId) -> Option<&Sieve> {
        self.sieves.get(&part)
    }

    /// Says of a filter that is not declared as a sieve that it should be: what fills it is no goods then.
    pub(super) fn of_filter_not_named(&self, part: PartId, cause: &mut TroubleCause) {
        if self.not_named.contains(&part) {
            let name = self.name(part);
            cause.say(format!(
                "{name} is filled like a filter, but `sieves` does not name it: its filling counts as goods"
            ));
            cause.advise(format!("name {name} in `sieves`"));
        }
    }

    /// When the hopper below a filter is unlocked.
    pub(super) fn opening(&self, sieve: &Sieve) -> Option<(PartId, Opening)> {
        let outlet = sieve.outlet(self.network)?;
        let readings = self.sieves.values();
        let readings: BTreeMap<PartId, u8> = readings
            .map(|sieve| (sieve.hopper, sieve.rest_level()))
            .collect();
        let entries = self.setup.timeline.entries().iter();
        let moved: BTreeSet<PartId> = entries
            .filter_map(|(_, action)| match action {
                Action::MoveLever { lever, .. } => Some(*lever),
                _ => None,
            })
            .collect();
        let known = Known {
            readings: &readings,
            moves: &|lever| moved.contains(&lever),
        };
        let lock = self.network.part(outlet).lock();
        Some((outlet, sieve.opening(self.network, lock, known)))
    }

    /// The stores that are homes of a kind; if none is, those of overflow.
    pub(super) fn goals(&self, kind: KindId) -> Vec<&'a Store> {
        let stores = || self.declared.stores.iter();
        let homes: Vec<&Store> = stores().filter(|store| store.is_home_of(kind)).collect();
        if !homes.is_empty() {
            return homes;
        }
        let overflow = stores().filter(|store| store.purpose == StorePurpose::Overflow);
        overflow.collect()
    }

    pub(super) fn store_named(&self, name: &str) -> Option<&'a Store> {
        self.declared.stores.iter().find(|store| store.name == name)
    }

    pub(super) fn store_of(&self, part: PartId) -> Option<&'a Store> {
        let mut stores = self.declared.stores.iter();
        stores.find(|store| store.parts.contains(&part))
    }

    /// Whether a filter lets a kind into a part; any part that is none does.
    pub(super) fn lets_in(&self, part: PartId, kind: KindId) -> bool {
        self.sieve(part).is_none_or(|sieve| sieve.lets_in(kind))
    }

    /// Whether goods of a kind can come from a part to one of some others, by ways that filters and
    /// selectors leave open to it.
    pub(super) fn leads(&self, from: PartId, kind: KindId, goals: &[PartId]) -> bool {
        let reached = self.reached(from, kind);
        goals.iter().any(|goal| reached[goal.index()])
    }

    pub(super) fn reached(&self, from: PartId, kind: KindId) -> Vec<bool> {
        let parts = self.network.part_count();
        let is_open = |part: usize| part >= parts || self.lets_in(PartId::from_index(part), kind);
        let ways = self.kind_ways.ways();
        ways.reached([from], Direction::Outgoing, |way| {
            self.carries(way, kind) && is_open(way.to)
        })
    }

    /// Whether a kind can go along a way. Boxes come to a bench and from it only as its own box.
    fn carries(&self, way: &Way, kind: KindId) -> bool {
        let is_bench = |node: usize| {
            node < self.network.part_count()
                && self
                    .network
                    .part(PartId::from_index(node))
                    .bench()
                    .is_some()
        };
        let is_box = self.network.kind(kind).is_box;
        let is_own = matches!(way.kind, WayKind::SetDown | WayKind::Lift | WayKind::Flow);
        let is_barred = is_box && !is_own && (is_bench(way.from) || is_bench(way.to));
        self.kind_ways.carries(way, kind) && !is_barred
    }

    /// Where goods of a kind can go from a part in one hop, with whether the other part takes them.
    /// The way by which a hopper gets what it holds is left out.
    pub(super) fn hops(&self, part: PartId, kind: KindId) -> Vec<(PartId, bool)> {
        let ways = self.kind_ways.ways().at(part.index(), Direction::Outgoing);
        let ways = ways.filter(|way| way.kind.is_hop() && self.carries(way, kind));
        let hopper = self.network.part(part).hopper();
        let leads_back = |to: PartId| {
            hopper.is_some_and(|hopper| hopper.above() == Some(to) && hopper.target != Some(to))
        };
        let mut hops: BTreeMap<PartId, bool> = BTreeMap::new();
        for way in ways {
            let to = PartId::from_index(way.to);
            let is_taken = matches!(way.kind, WayKind::Pull | WayKind::PickUp);
            if !leads_back(to) {
                hops.entry(to).or_insert(is_taken);
            }
        }
        hops.into_iter().collect()
    }

    /// Since when these parts hold what they do: when something came into one of them last. `None` for
    /// what they held from the start, and for what they hold only since the end of the run.
    pub(super) fn since(&self, view: &View<'_>, parts: &[PartId]) -> Option<Tick> {
        let is_as_at_end = |part: &PartId| held_in(view, *part) == self.held_at_end[part.index()];
        if view.tick() > self.end && !parts.iter().all(is_as_at_end) {
            return None;
        }
        let before = self.history.end_of(view.tick());
        let last = parts.iter().filter_map(|part| {
            let mut back = self.history.back_from(*part, before);
            let came = back.find(|(_, entry)| match entry.event {
                Event::ItemMoved { to, .. } => to == *part,
                Event::Collected { hopper, .. } => hopper == *part,
                Event::Delivered { place, .. } => place == *part,
                _ => false,
            });
            came.map(|(_, entry)| entry.tick())
        });
        last.max()
    }

    /// What a part holds, by kind, in the order of its slots.
    pub(super) fn held(&self, view: &View<'_>, part: PartId) -> Vec<(KindId, u64)> {
        let mut held: Vec<(KindId, u64)> = Vec::new();
        let stacks = view.slots(part).into_iter().flatten().flatten();
        let stacks = stacks.map(|Stack { item, count }| (item.kind, u64::from(count)));
        let queued = match self.network.part(part) {
            Part::Selector(_) => Some(view.queue(part)),
            _ => None,
        };
        let queued = queued
            .into_iter()
            .flatten()
            .map(|queued| (queued.item.kind, 1));
        for (kind, count) in stacks.chain(queued) {
            match held.iter_mut().find(|(known, _)| *known == kind) {
                Some((_, items)) => *items += count,
                None => held.push((kind, count)),
            }
        }
        held
    }

    /// `61 madder, 4 bung`.
    pub(super) fn held_words(&self, view: &View<'_>, part: PartId) -> String {
        let held = self.held(view, part).into_iter();
        let held: Vec<String> = held
            .map(|(kind, items)| format!("{} {}", grouped(items), self.kind(kind)))
            .collect();
        match held.is_empty() {
            true => "nothing".to_owned(),
            false => listed(&held, 4),
        }
    }

    /// The sort of item that a row of a report is about: of that kind, or a box of it.
    pub(super) fn item_in(
        &self,
        view: &View<'_>,
        part: PartId,
        kind: Option<KindId>,
    ) -> Option<Item> {
        let items = crate::standing::sorts_in(view, part);
        let holds = |item: &&Item| {
            let inside = item.box_id.into_iter().flat_map(|id| view.box_slots(id));
            inside.flatten().any(|stack| Some(stack.item.kind) == kind)
        };
        let own = items.iter().find(|item| Some(item.kind) == kind);
        own.or_else(|| items.iter().find(holds))
            .or(items.first())
            .copied()
    }
}

/// How many items lie in the slots of a part.
fn held_in(view: &View<'_>, part: PartId) -> u64 {
    let stacks = view.slots(part).into_iter().flatten().flatten();
    stacks.map(|stack| u64::from(stack.count)).sum()
}
