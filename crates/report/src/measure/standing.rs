//! Where each thing stands now: the first line of the account that fits it.

use std::collections::BTreeMap;

use hallwright_core::asks::Holding;
use hallwright_core::engine::{ShuttlePosition, View, WaitingDelivery};
use hallwright_core::id::{BoxId, KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::slot::Item;
use hallwright_declared::declarations::{Declarations, Store, StorePurpose};

use super::ledger::box_contents;
use super::whereabouts::items_in;
use crate::findings::Standing;
use hallwright_analysis::onward::Onward;

/// Things of one kind that stand alike in one part.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Thing {
    /// The part; of what is loose, the mouth where it rests or will.
    pub(crate) part: PartId,
    /// Its kind.
    pub(crate) kind: KindId,
    /// Which box it is, if it is one.
    pub(crate) box_id: Option<BoxId>,
    /// How many; a box stands alone, except at a landing.
    pub(crate) count: u64,
    /// What is in the box, and where each kind of that stands.
    pub(crate) inside: Vec<(KindId, u64, Standing)>,
    /// Where it stands. In overflow it is not looked at why: any of the lines of overflow is given.
    pub(crate) standing: Standing,
}

impl Thing {
    /// What of it is in a store or not by its kind: what is in the box, or itself.
    pub(crate) fn judged_by(&self) -> Vec<KindId> {
        match self.inside.as_slice() {
            [] => vec![self.kind],
            inside => inside.iter().map(|(kind, ..)| *kind).collect(),
        }
    }
}

/// What is to be known of a hall to say where things stand in it.
pub(crate) struct Places<'d> {
    declared: &'d Declarations,
    /// The store of each part.
    store_of: Vec<Option<usize>>,
    is_queue: Vec<bool>,
    /// Of each sieve, what it held at the start, slot by slot.
    fillings: Vec<Option<Vec<(KindId, u64)>>>,
    /// Where what rests in a store may go on to.
    onward: Onward,
}

impl<'d> Places<'d> {
    /// What is declared.
    pub(crate) fn declared(&self) -> &'d Declarations {
        self.declared
    }

    pub(crate) fn new(declared: &'d Declarations, network: &Network) -> Self {
        let parts = network.part_count();
        let mut store_of = vec![None; parts];
        for (index, store) in declared.stores.iter().enumerate() {
            for part in &store.parts {
                store_of[part.index()].get_or_insert(index);
            }
        }
        let mut is_queue = vec![false; parts];
        for part in declared.sections.iter().flat_map(|section| &section.queue) {
            is_queue[part.index()] = true;
        }
        Self {
            declared,
            is_queue,
            fillings: own_fillings(declared, network),
            onward: Onward::new(network, declared, &store_of),
            store_of,
        }
    }

    /// All things that are in the hall now.
    pub(crate) fn things(&self, view: &View<'_>) -> Vec<Thing> {
        let mut things = Vec::new();
        for part in view.network().part_ids() {
            self.add_part(part, view, &mut things);
        }
        for stack in view.loose_stacks() {
            let count = stack.count.into();
            let alike = Standing::Loose;
            things.push(thing(stack.mouth, stack.item, count, alike, view));
        }
        things.extend(
            view.waiting()
                .map(|(place, waiting)| at_landing(place, waiting)),
        );
        things
    }

    fn add_part(&self, part: PartId, view: &View<'_>, things: &mut Vec<Thing>) {
        let definition = view.network().part(part);
        // What is docked at a place is the shuttle's, and what is loose comes by itself.
        if matches!(definition.holding(), Holding::Docked | Holding::Loose) {
            return;
        }
        let docked = docked_at(part, view);
        let store = self.store_of[part.index()]
            .or_else(|| docked.and_then(|place| self.store_of[place.index()]));
        let store = store.map(|store| &self.declared.stores[store]);
        let outside = self.outside(part, docked, definition);
        let mut filling = self.fillings[part.index()].as_deref().map(<[_]>::iter);
        let slots: Vec<Option<(Item, u64)>> = match view.slots(part) {
            Some(slots) if definition.holding() == Holding::Slots => slots
                .map(|slot| slot.map(|stack| (stack.item, u64::from(stack.count))))
                .collect(),
            _ => items_in(part, view).into_iter().map(Some).collect(),
        };
        for slot in slots {
            let own = filling.as_mut().and_then(Iterator::next).copied();
            let Some((item, count)) = slot else { continue };
            let kept = match own {
                Some((kind, had)) if kind == item.kind => had.min(count),
                _ => 0,
            };
            if kept > 0 {
                things.push(thing(part, item, kept, Standing::OwnFilling, view));
            }
            if count > kept {
                let mut other = thing(part, item, count - kept, outside, view);
                if let Some(store) = store {
                    self.put_into_store(&mut other, store, item, view);
                }
                things.push(other);
            }
        }
    }

    /// Where things stand in a part that is in no store.
    fn outside(&self, part: PartId, docked: Option<PartId>, definition: &Part) -> Standing {
        let is_queue = |part: PartId| self.is_queue[part.index()];
        match definition {
            Part::Bench(_) | Part::Selector(_) => Standing::UnderWay,
            Part::Shuttle(_) if docked.is_none() => Standing::UnderWay,
            _ if is_queue(part) || docked.is_some_and(is_queue) => Standing::Waiting,
            _ => Standing::InLines,
        }
    }

    fn put_into_store(&self, thing: &mut Thing, store: &Store, item: Item, view: &View<'_>) {
        let accepted = |kind: KindId| match (store.purpose, store.accepts(kind)) {
            (StorePurpose::Overflow, _) => Standing::OverflowPutThere,
            (_, false) => Standing::Misplaced,
            (StorePurpose::Slice, true) => Standing::Home,
            (StorePurpose::Serving, true) => Standing::Serving,
        };
        for (kind, _, standing) in &mut thing.inside {
            *standing = accepted(*kind);
        }
        // A box belongs where all that is in it does.
        let inside = thing.inside.iter().map(|(.., standing)| *standing);
        thing.standing = inside.min().unwrap_or_else(|| accepted(thing.kind));
        let leads_on = match view.network().part(thing.part) {
            Part::Hopper(_) | Part::Dropper(_) => true,
            Part::Container(_) | Part::Mouth | Part::Stream(_) | Part::Bench(_) => false,
            Part::Selector(_) | Part::Dock | Part::Shuttle(_) | Part::Signal(_) => false,
        };
        if thing.standing == Standing::Home
            && leads_on
            && self.onward.may_go_on(thing.part, item, view)
        {
            thing.standing = Standing::InLines;
            for (.., standing) in &mut thing.inside {
                *standing = Standing::InLines;
            }
        }
    }
}

/// What waits to be let in. Boxes that hold the same wait together.
fn at_landing(place: PartId, waiting: &WaitingDelivery) -> Thing {
    let count = u64::from(waiting.count);
    let mut inside: BTreeMap<KindId, u64> = BTreeMap::new();
    for filling in &waiting.contents {
        *inside.entry(filling.kind).or_insert(0) += count * u64::from(filling.count);
    }
    let inside = inside.into_iter();
    Thing {
        part: place,
        kind: waiting.kind,
        box_id: None,
        count,
        inside: inside
            .map(|(kind, items)| (kind, items, Standing::AtLanding))
            .collect(),
        standing: Standing::AtLanding,
    }
}

fn thing(part: PartId, item: Item, count: u64, standing: Standing, view: &View<'_>) -> Thing {
    let inside = box_contents(view, item).into_iter();
    Thing {
        part,
        kind: item.kind,
        box_id: item.box_id,
        count,
        inside: inside
            .map(|(kind, items)| (kind, items, standing))
            .collect(),
        standing,
    }
}

/// Of each sieve, the kind and count that each slot held at the start; a slot that was empty has none
/// of some kind.
fn own_fillings(declared: &Declarations, network: &Network) -> Vec<Option<Vec<(KindId, u64)>>> {
    let mut fillings: Vec<Option<Vec<(KindId, u64)>>> = vec![None; network.part_count()];
    for sieve in &declared.sieves {
        let slots = network.own_slots(*sieve).unwrap_or(0);
        let none = (KindId::from_index(0), 0);
        fillings[sieve.index()] = Some(vec![none; slots.into()]);
    }
    for (part, filling) in network.fillings() {
        if let Some(slots) = &mut fillings[part.index()]
            && let Some(slot) = slots.get_mut(usize::from(filling.slot))
        {
            *slot = (filling.kind, filling.count.into());
        }
    }
    fillings
}

/// The place where a shuttle is docked.
fn docked_at(part: PartId, view: &View<'_>) -> Option<PartId> {
    let shuttle = view.network().part(part).shuttle()?;
    match view.shuttle_position(part) {
        ShuttlePosition::Docked { stop, .. } => Some(shuttle.stops[stop as usize].dock),
        ShuttlePosition::UnderWay { .. } => None,
    }
}
