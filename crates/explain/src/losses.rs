//! Losses, with the life of what was lost; and misplaced items, with where they left their way.

use std::collections::BTreeMap;

use hallwright_analysis::ways::Ways;
use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Item;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Declarations, Store, StorePurpose};
use petgraph::Direction;

use super::history::{EntryId, History};
use super::life::{Stay, life};
use super::standing::state_words;

/// How many losses, and how many misplaced items, are reported.
const TOLD: usize = 3;

/// A stay in a part, reported.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct StayFinding {
    /// Where.
    pub part: String,
    /// Since when; `None` for what was there from the start.
    pub since: Option<Tick>,
    /// For how long, in ticks.
    pub ticks: u64,
}

/// The life of a stack that was lost.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LostLife {
    /// Its kind.
    pub kind: String,
    /// When it was lost.
    pub at: Tick,
    /// Where it had been, the first place first.
    pub stays: Vec<StayFinding>,
}

/// Where a misplaced item should have gone, and did not.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Misplacement {
    /// Its kind.
    pub kind: String,
    /// The store that it lies in.
    pub store: String,
    /// The stores that take it; empty if none does.
    pub own_stores: Vec<String>,
    /// When it came into the store.
    pub at: Tick,
    /// Where it had been before.
    pub stays: Vec<StayFinding>,
    /// Where it left the way to its own store; `None` if there was no way from the start.
    pub turn: Option<WrongTurn>,
}

/// The last part on the way to an item's own store, and what was true when the item left it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct WrongTurn {
    /// The part.
    pub part: String,
    /// When it left it.
    pub at: Tick,
    /// Where it went instead.
    pub went_to: String,
    /// What was true there before it came.
    pub there: String,
    /// The ways on to its own store, each with what was true there.
    pub ways: Vec<(String, String)>,
    /// For a selector: the kinds that it sends to its match target do, or do not, include it.
    pub is_match: Option<bool>,
}

fn stays_reported(network: &Network, stays: &[Stay], end: Tick) -> Vec<StayFinding> {
    let ends = stays.iter().skip(1).map(|stay| stay.since);
    let ends = ends.chain([Some(end)]);
    stays
        .iter()
        .zip(ends)
        .map(|(stay, until)| StayFinding {
            part: network.name(stay.part).to_owned(),
            since: stay.since,
            ticks: until.map_or(0, |until| until.0 - stay.since.map_or(0, |since| since.0)),
        })
        .collect()
}

/// The first losses, with what was lost.
pub(super) fn lost_lives(history: &History, network: &Network) -> Vec<LostLife> {
    let lost = history
        .entries()
        .filter_map(|(id, entry)| match entry.event {
            Event::Lost { item, .. } => Some((id, item, entry.tick())),
            _ => None,
        });
    lost.take(TOLD)
        .map(|(id, item, at)| LostLife {
            kind: network.kind(item.kind).name.clone(),
            at,
            stays: stays_reported(network, &life(history, network, id), at),
        })
        .collect()
}

/// The first item that was misplaced in each store.
pub(super) fn misplacements(
    history: &History,
    ways: &Ways,
    network: &Network,
    setup: &Setup,
    declared: &Declarations,
) -> Vec<Misplacement> {
    let slices = declared.stores.iter();
    let slices = slices.filter(|store| store.purpose == StorePurpose::Slice);
    let found = slices.filter_map(|store| {
        let (id, item) = first_misplaced(history, network, store)?;
        Some(misplacement(
            history,
            ways,
            network,
            setup,
            declared,
            (store, id, item),
        ))
    });
    found.take(TOLD).collect()
}

fn first_misplaced(history: &History, network: &Network, store: &Store) -> Option<(EntryId, Item)> {
    history.entries().find_map(|(id, entry)| match entry.event {
        Event::ItemMoved { from, to, item } => {
            let comes = store.parts.contains(&to) && !store.parts.contains(&from);
            (comes && is_strange(store, item, network)).then_some((id, item))
        }
        _ => None,
    })
}

/// Whether something has no business in a store. A box is judged by what it holds, of which no event reports.
fn is_strange(store: &Store, item: Item, network: &Network) -> bool {
    !store.takes.contains(&item.kind) && !network.kind(item.kind).is_box
}

/// Watches whether anything happens of which this file reports: a loss, or a misplaced item.
pub(super) struct StrangeWatch<'a> {
    network: &'a Network,
    declared: &'a Declarations,
    /// The stores with a slice of the hall that each part belongs to.
    slices: BTreeMap<PartId, Vec<usize>>,
    has_seen: bool,
}

impl<'a> StrangeWatch<'a> {
    pub(super) fn new(declared: &'a Declarations, network: &'a Network) -> Self {
        let mut slices: BTreeMap<PartId, Vec<usize>> = BTreeMap::new();
        for (number, store) in declared.stores.iter().enumerate() {
            if store.purpose == StorePurpose::Slice {
                for part in &store.parts {
                    slices.entry(*part).or_default().push(number);
                }
            }
        }
        Self {
            network,
            declared,
            slices,
            has_seen: false,
        }
    }

    /// Whether something did.
    pub(super) fn has_seen(&self) -> bool {
        self.has_seen
    }
}

impl Observer for StrangeWatch<'_> {
    fn event(&mut self, _moment: Moment, event: &Event, _view: &View<'_>) {
        self.has_seen |= match *event {
            Event::Lost { .. } => true,
            Event::ItemMoved { to, item, .. } => {
                let mut stores = self.slices.get(&to).into_iter().flatten();
                stores.any(|number| is_strange(&self.declared.stores[*number], item, self.network))
            }
            _ => false,
        };
    }
}

fn misplacement(
    history: &History,
    ways: &Ways,
    network: &Network,
    setup: &Setup,
    declared: &Declarations,
    (store, id, item): (&Store, EntryId, Item),
) -> Misplacement {
    let own = declared
        .stores
        .iter()
        .filter(|other| other.purpose == StorePurpose::Slice && other.takes.contains(&item.kind));
    let own: Vec<&Store> = own.collect();
    let goals: Vec<PartId> = own.iter().flat_map(|store| &store.parts).copied().collect();
    let on_the_way = ways.leading_to(&goals);
    let stays = life(history, network, id);
    let at = history.tick(id);
    let last = stays
        .iter()
        .rposition(|stay| on_the_way.contains_key(&stay.part));
    let turn = last.and_then(|last| {
        let (stay, next) = (stays.get(last)?, stays.get(last + 1)?);
        let left_at = next.since?;
        Some(turn(
            network,
            ways,
            setup,
            (stay.part, next.part),
            left_at,
            item,
            &|part| on_the_way.contains_key(&part),
        ))
    });
    Misplacement {
        kind: network.kind(item.kind).name.clone(),
        store: store.name.clone(),
        own_stores: own.iter().map(|store| store.name.clone()).collect(),
        at,
        stays: stays_reported(network, &stays, at),
        turn,
    }
}

/// What was true when an item left its way: the run is made again up to that tick.
fn turn(
    network: &Network,
    ways: &Ways,
    setup: &Setup,
    (from, to): (PartId, PartId),
    at: Tick,
    item: Item,
    leads_home: &dyn Fn(PartId) -> bool,
) -> WrongTurn {
    let mut engine = Engine::new(network, setup);
    engine.run_unwatched(at);
    let view = engine.view();
    let name = |part: PartId| network.name(part).to_owned();
    let others = ways.hops(from, Direction::Outgoing).into_iter();
    let others = others.filter(|(way, _)| *way != to && leads_home(*way));
    let selector = network.part(from).selector();
    WrongTurn {
        part: name(from),
        at,
        went_to: name(to),
        there: state_words(&view, to, item),
        ways: others
            .map(|(way, _)| (name(way), state_words(&view, way, item)))
            .collect(),
        is_match: selector.map(|selector| selector.match_target == to),
    }
}
