//! In which order to build a hall so that nothing draws, pushes or falls before it should.
//!
//! Nothing moves while nothing holds anything. So everything is placed empty, each receiver before its givers;
//! then signals, with the levers as they are while the hall is stopped; and only then goods: sieves first, then
//! what is furthest down, at last what feeds the hall, and water.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::id::PartId;
use hallwright_core::part::{Part, Signal};
use hallwright_core::timeline::Action;
use hallwright_scenario::Scenario;
use hallwright_site::blocks::Settings;

use crate::goods_graph::receivers_first;
use crate::standstill::restless;
use crate::words::on_or_off;
use crate::{Nowhere, PlacedPiece, Sort};

/// One step of building: everything in it is of one sort of work.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Step {
    /// What is done.
    pub doing: Doing,
    /// With what, in this order; at least one.
    pub entries: Vec<Entry>,
}

/// A sort of work.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Doing {
    /// Full blocks are placed, from below.
    FullBlocks,
    /// Everything that goods go through is placed, empty; receivers before givers.
    Inventories,
    /// Wire and signals are placed. Levers are moved as they are while the hall is stopped, at once.
    Signals,
    /// Caps are placed above hoppers.
    Caps,
    /// Sieves are filled.
    Sieves,
    /// Everything else that holds something is filled, receivers before givers: what feeds the hall last.
    Contents,
    /// Water is poured.
    Water,
    /// Levers are moved to where the hall starts.
    Start,
}

impl Doing {
    /// What is done, in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::FullBlocks => "Full blocks, from below",
            Self::Inventories => "What goods go through, empty: receivers before givers",
            Self::Signals => "Wire and signals, levers as while the hall is stopped",
            Self::Caps => "Caps above hoppers",
            Self::Sieves => "Fill the sieves",
            Self::Contents => "Fill everything else, what feeds the hall last",
            Self::Water => "Pour the water",
            Self::Start => "Move the levers to where the hall starts",
        }
    }
}

/// One thing of a step.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Entry {
    /// The number of its piece; `None` of a part that stands nowhere.
    pub piece: Option<usize>,
    /// The part that it is; `None` of a block that is none.
    pub part: Option<PartId>,
    /// The number of the ring in which goods go round, from 1: there no order has every receiver first.
    pub ring: Option<usize>,
    /// Of a lever where it is moved to.
    pub lever_on: Option<bool>,
    /// Of something that is filled: whether goods leave it by themselves even while the hall is stopped, since
    /// nothing locks it. Filled once the levers are where the hall starts, it starts as it was tried.
    pub is_restless: bool,
}

/// The steps in which a hall is built. Every piece and every part that stands nowhere is placed in exactly one
/// of the first four, or is water.
#[must_use]
pub fn order(scenario: &Scenario, placed: &[PlacedPiece], nowhere: &[Nowhere]) -> Vec<Step> {
    let network = &scenario.network;
    let things = things(placed, nowhere);
    let stopped = stopped_levers(scenario);
    let entry = Thing::entry;
    let of = |doing: Doing| things.iter().filter(move |thing| thing.doing == doing);
    let plain = |doing: Doing| Step {
        doing,
        entries: of(doing).map(entry).collect(),
    };
    let is_lever = |thing: &Thing| Some((thing.part?, lever(network.part(thing.part?))?));
    let mut signals = plain(Doing::Signals);
    for (entry, thing) in signals.entries.iter_mut().zip(of(Doing::Signals)) {
        entry.lever_on =
            is_lever(thing).map(|(part, starts_on)| *stopped.get(&part).unwrap_or(&starts_on));
    }
    let start = things.iter().filter_map(|thing| {
        let (part, starts_on) = is_lever(thing)?;
        let is_moved = stopped.get(&part).is_some_and(|on| *on != starts_on);
        let moved = Entry {
            lever_on: Some(starts_on),
            ..entry(thing)
        };
        is_moved.then_some(moved)
    });
    let (inventories, filled) = receivers_before_givers(scenario, &things, &stopped);
    let sieves: BTreeSet<PartId> = scenario.declarations.sieves.iter().copied().collect();
    let is_sieve = |entry: &Entry| entry.part.is_some_and(|part| sieves.contains(&part));
    let (in_sieves, others): (Vec<Entry>, Vec<Entry>) = filled.into_iter().partition(is_sieve);
    let step = |doing: Doing, entries: Vec<Entry>| Step { doing, entries };
    let steps = [
        plain(Doing::FullBlocks),
        step(Doing::Inventories, inventories),
        signals,
        plain(Doing::Caps),
        step(Doing::Sieves, in_sieves),
        step(Doing::Contents, others),
        plain(Doing::Water),
        step(Doing::Start, start.collect()),
    ];
    let steps = steps.into_iter();
    steps.filter(|step| !step.entries.is_empty()).collect()
}

/// Something that is placed.
struct Thing {
    piece: Option<usize>,
    part: Option<PartId>,
    doing: Doing,
    moves_goods: bool,
    holds: bool,
}

/// What goods go through, as it is placed and as it is filled: receivers before givers.
fn receivers_before_givers(
    scenario: &Scenario,
    things: &[Thing],
    stopped: &BTreeMap<PartId, bool>,
) -> (Vec<Entry>, Vec<Entry>) {
    let network = &scenario.network;
    // All that goods go through is looked at, so that water and what it leads to are seen through.
    let through: Vec<&Thing> = things.iter().filter(|thing| thing.moves_goods).collect();
    let parts: Vec<PartId> = through.iter().filter_map(|thing| thing.part).collect();
    let by_part: BTreeMap<PartId, &Thing> = through
        .iter()
        .filter_map(|thing| Some((thing.part?, *thing)))
        .collect();
    let restless = restless(network, stopped);
    let mut rings = 0;
    let mut inventories = Vec::new();
    let mut filled = Vec::new();
    for together in receivers_first(network, &parts) {
        rings += usize::from(together.is_ring);
        for part in together.parts {
            let Some(thing) = by_part.get(&part) else {
                continue;
            };
            let own = Entry {
                ring: together.is_ring.then_some(rings),
                ..thing.entry()
            };
            if thing.doing == Doing::Inventories {
                inventories.push(own.clone());
            }
            if thing.holds {
                filled.push(Entry {
                    is_restless: restless.contains(&part),
                    ..own
                });
            }
        }
    }
    (inventories, filled)
}

impl Thing {
    fn entry(&self) -> Entry {
        Entry {
            piece: self.piece,
            part: self.part,
            ring: None,
            lever_on: None,
            is_restless: false,
        }
    }
}

/// Everything that is placed, from below.
fn things(placed: &[PlacedPiece], nowhere: &[Nowhere]) -> Vec<Thing> {
    let mut numbered: Vec<(usize, &PlacedPiece)> = placed.iter().enumerate().collect();
    numbered.sort_by_key(|(number, own)| {
        let lowest = own
            .piece
            .blocks
            .iter()
            .map(|block| (block.y, block.z, block.x));
        let lowest = lowest.min();
        (lowest.is_none(), lowest, *number)
    });
    let stand = numbered.into_iter().map(|(number, own)| {
        let is_part = own.part.is_some();
        Thing {
            piece: Some(number),
            part: own.part,
            doing: doing(own.sort),
            moves_goods: is_part && own.piece.settings.as_ref().is_some_and(moves_goods),
            holds: !own.piece.contents.is_empty(),
        }
    });
    let others = nowhere.iter().map(|own| Thing {
        piece: None,
        part: Some(own.part),
        doing: doing(own.sort),
        moves_goods: moves_goods(&own.settings),
        holds: !own.contents.is_empty(),
    });
    stand.chain(others).collect()
}

/// In which step a sort is placed.
fn doing(sort: Sort) -> Doing {
    match sort {
        Sort::Full => Doing::FullBlocks,
        Sort::Cap => Doing::Caps,
        Sort::Stream => Doing::Water,
        Sort::Hopper | Sort::Dropper | Sort::Dispenser | Sort::Chest => Doing::Inventories,
        Sort::ChestApart | Sort::DoubleChest | Sort::Barrel => Doing::Inventories,
        Sort::Container | Sort::Bench | Sort::Mouth => Doing::Inventories,
        Sort::Selector | Sort::Dock | Sort::Shuttle => Doing::Inventories,
        Sort::Wire | Sort::Repeater | Sort::Comparator | Sort::Inverter => Doing::Signals,
        Sort::Observer | Sort::Lever | Sort::Button => Doing::Signals,
        Sort::Clock | Sort::Latch | Sort::Toggle | Sort::Hold => Doing::Signals,
        Sort::AllOf | Sort::NoneOf | Sort::DelayLine | Sort::Room => Doing::Signals,
    }
}

/// Whether goods go through a part with these settings.
fn moves_goods(settings: &Settings) -> bool {
    match settings {
        Settings::Container { .. } | Settings::Hopper | Settings::Dropper => true,
        Settings::Mouth | Settings::Stream { .. } | Settings::Bench { .. } => true,
        Settings::Selector { .. } | Settings::Dock | Settings::Shuttle { .. } => true,
        Settings::Lever { .. } | Settings::Button { .. } | Settings::Repeater { .. } => false,
        Settings::Comparator { .. } | Settings::Inverter | Settings::Observer => false,
        Settings::Hold { .. } | Settings::Latch | Settings::Toggle => false,
        Settings::AllOf { .. } | Settings::NoneOf { .. } | Settings::Clock { .. } => false,
        Settings::DelayLine { .. } => false,
    }
}

/// Where a lever is at the start; `None` of anything else.
fn lever(part: &Part) -> Option<bool> {
    match part.signal() {
        Some(Signal::Lever { starts_on }) => Some(*starts_on),
        _ => None,
    }
}

/// Where the first stop puts the levers that it moves.
fn stopped_levers(scenario: &Scenario) -> BTreeMap<PartId, bool> {
    let stop = scenario.declarations.stops.first();
    let actions = stop.into_iter().flat_map(|stop| &stop.actions);
    let moved = actions.filter_map(|action| match action {
        Action::MoveLever { lever, on } => Some((*lever, *on)),
        _ => None,
    });
    moved.collect()
}

impl Entry {
    /// What is done to a lever, in words; `None` of anything else.
    #[must_use]
    pub fn lever_words(&self) -> Option<&'static str> {
        self.lever_on.map(on_or_off)
    }
}
