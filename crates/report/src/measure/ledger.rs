//! Keeps count of what each part holds, from the events alone, and says of each event what moved.

use std::collections::BTreeMap;

use hallwright_core::asks::Holding;
use hallwright_core::engine::View;
use hallwright_core::event::{Event, StackId};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::part::Part;
use hallwright_core::slot::Item;
use hallwright_core::tick::Tick;
use serde::{Deserialize, Serialize};

pub(crate) use hallwright_analysis::groups::Spot;

/// What one event moved.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub(crate) struct Move {
    /// Where from; `None` for a delivery.
    pub(crate) from: Option<Spot>,
    /// Where to; `None` for what was lost or withdrawn.
    pub(crate) to: Option<Spot>,
    /// What; `None` when a shuttle docks or departs with all it holds.
    pub(crate) item: Option<Item>,
    /// How many items fewer are at `from`. A box that stands on a bench counts with its contents.
    pub(crate) leaves: u64,
    /// How many items more are at `to`.
    pub(crate) arrives: u64,
}

/// A loose stack, from coming loose to being gone.
#[derive(Clone, PartialEq, Eq, Debug, Serialize, Deserialize)]
pub(crate) struct LooseRecord {
    /// Where it is: the mouth or stream where it came loose, and the stream's mouth.
    pub(crate) spot: Spot,
    /// What it is.
    pub(crate) item: Item,
    /// How many.
    pub(crate) count: u64,
    /// When it came loose.
    pub(crate) since: Tick,
    /// What it holds if it is a box.
    pub(crate) box_contents: Vec<(KindId, u64)>,
}

/// What each part holds, a box in a slot counting as one item.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct Ledger {
    held: Vec<u64>,
    /// For each part, whether another part can be at the same place, or items are loose there.
    is_shared: Vec<bool>,
    loose: BTreeMap<StackId, LooseRecord>,
    loose_items: u64,
    /// What left its place and comes loose with the next event.
    coming_loose: Option<(Spot, u64)>,
    /// The stack that the last event took away, kept for those who look at that event.
    gone: Option<LooseRecord>,
}

impl Ledger {
    /// What the parts hold at the start.
    pub(crate) fn new(view: &View<'_>) -> Self {
        let network = view.network();
        let held = network
            .parts()
            .map(|(id, part)| match part.holding() {
                Holding::Queue => view.queue(id).len() as u64,
                Holding::Box => slot_items(view, id) + u64::from(view.box_on_bench(id).is_some()),
                Holding::Slots | Holding::Docked => slot_items(view, id),
                Holding::Loose | Holding::Nothing => 0,
            })
            .collect();
        let is_shared = |(_, part): (PartId, &Part)| match part.holding() {
            Holding::Docked | Holding::Loose => true,
            Holding::Slots | Holding::Queue | Holding::Box | Holding::Nothing => false,
        };
        Self {
            held,
            is_shared: network.parts().map(is_shared).collect(),
            loose: BTreeMap::new(),
            loose_items: 0,
            coming_loose: None,
            gone: None,
        }
    }

    /// Items that a part holds, a box in a slot counting as one. For a mouth or stream: the loose
    /// items there.
    pub(crate) fn held(&self, part: PartId) -> u64 {
        self.held[part.index()]
    }

    /// Items that some parts hold together; a shuttle that is listed beside the place where it is
    /// docked counts once.
    pub(crate) fn held_by(&self, parts: &[PartId], view: &View<'_>) -> u64 {
        let parts = distinct(parts, view).into_iter();
        parts.map(|part| self.held(part)).sum()
    }

    /// All loose items.
    pub(crate) fn loose_items(&self) -> u64 {
        self.loose_items
    }

    /// The loose stacks, in the order in which they came loose.
    pub(crate) fn loose(&self) -> impl Iterator<Item = &LooseRecord> {
        self.loose.values()
    }

    /// The stack that the event being reported took away.
    pub(crate) fn gone(&self) -> Option<&LooseRecord> {
        self.gone.as_ref()
    }

    /// The event is over.
    pub(crate) fn forget_gone(&mut self) {
        self.gone = None;
    }

    /// Takes up an event and says what it moved. Something thrown or lifted moves when it comes
    /// loose, which is the very next event.
    #[inline]
    pub(crate) fn take_up(&mut self, tick: Tick, event: &Event, view: &View<'_>) -> Option<Move> {
        // Nearly all that moves does so between two parts that have their places to themselves.
        if let Event::ItemMoved { from, to, item } = *event
            && !self.is_shared[from.index()]
            && !self.is_shared[to.index()]
        {
            self.take_up_one(from, to);
            let alone = |part| Spot { part, also: None };
            return Some(between(alone(from), alone(to), item, 1));
        }
        self.gone = None;
        self.take_up_rare(tick, event, view)
    }

    /// Takes up an item that moved between two parts, neither of which [shares its place](Self::shares_place).
    #[inline]
    pub(crate) fn take_up_one(&mut self, from: PartId, to: PartId) {
        self.gone = None;
        self.held[from.index()] -= 1;
        self.held[to.index()] += 1;
    }

    /// Whether another part can be where a part is, or items are loose there.
    pub(crate) fn shares_place(&self, part: PartId) -> bool {
        self.is_shared[part.index()]
    }

    fn take_up_rare(&mut self, tick: Tick, event: &Event, view: &View<'_>) -> Option<Move> {
        let moved = self.moved(tick, event, view)?;
        if let Some(from) = moved.from {
            for part in from.parts() {
                self.held[part.index()] -= moved.leaves;
            }
        }
        if let Some(to) = moved.to {
            for part in to.parts() {
                self.held[part.index()] += moved.arrives;
            }
        }
        Some(moved)
    }

    fn moved(&mut self, tick: Tick, event: &Event, view: &View<'_>) -> Option<Move> {
        match *event {
            Event::SignalChanged { .. }
            | Event::Locked { .. }
            | Event::Unlocked { .. }
            | Event::Clicked { .. } => None,
            Event::ItemMoved { from, to, item } => {
                let from = spot(view, from);
                if view.network().part(to).is_loose_place() {
                    self.coming_loose = Some((from, 1));
                    return None;
                }
                Some(between(from, spot(view, to), item, 1))
            }
            Event::Delivered { place, kind, count } => Some(Move {
                from: None,
                to: Some(spot(view, place)),
                item: Some(Item { kind, box_id: None }),
                leaves: 0,
                arrives: count.into(),
            }),
            Event::Withdrawn { place, item, count } => Some(Move {
                from: Some(spot(view, place)),
                to: None,
                item: Some(item),
                leaves: match view.network().part(place).holding() {
                    // The box that stood there, with what it holds.
                    Holding::Box if item.box_id.is_some() => self.held(place),
                    Holding::Box | Holding::Slots | Holding::Docked => count.into(),
                    Holding::Queue | Holding::Loose | Holding::Nothing => count.into(),
                },
                arrives: 0,
            }),
            Event::Thrown { dropper, .. } => {
                self.coming_loose = Some((spot(view, dropper), 1));
                None
            }
            Event::BoxLifted { bench, .. } => {
                self.coming_loose = Some((spot(view, bench), self.held(bench)));
                None
            }
            Event::BoxSet {
                dispenser,
                bench,
                item,
            } => Some(Move {
                arrives: 1 + slot_items(view, bench),
                ..between(spot(view, dispenser), spot(view, bench), item, 1)
            }),
            Event::Docked { shuttle, place } => Some(self.travelled(shuttle, place, true)),
            Event::Departed { shuttle, place } => Some(self.travelled(shuttle, place, false)),
            Event::CameLoose { .. }
            | Event::Merged { .. }
            | Event::Collected { .. }
            | Event::Lost { .. } => self.moved_loose(tick, event, view),
        }
    }

    /// A shuttle with all it holds, to or from its place.
    fn travelled(&self, shuttle: PartId, place: PartId, docks: bool) -> Move {
        let alone = Spot {
            part: shuttle,
            also: None,
        };
        let docked = Spot {
            part: place,
            also: Some(shuttle),
        };
        let items = self.held(shuttle);
        let (from, to) = if docks {
            (alone, docked)
        } else {
            (docked, alone)
        };
        Move {
            from: Some(from),
            to: Some(to),
            item: None,
            leaves: items,
            arrives: items,
        }
    }

    fn moved_loose(&mut self, tick: Tick, event: &Event, view: &View<'_>) -> Option<Move> {
        match *event {
            Event::CameLoose {
                stack,
                item,
                count,
                place,
            } => {
                let record = LooseRecord {
                    spot: spot(view, place),
                    item,
                    count: count.into(),
                    since: tick,
                    box_contents: box_contents(view, item),
                };
                let origin = self.coming_loose.take();
                let moved = Move {
                    from: origin.map(|(from, _)| from),
                    to: Some(record.spot),
                    item: Some(item),
                    leaves: origin.map_or(0, |(_, leaves)| leaves),
                    arrives: count.into(),
                };
                self.loose.insert(stack, record);
                self.loose_items += u64::from(count);
                Some(moved)
            }
            Event::Merged { stack, into, .. } => {
                let newcomer = self.loose.remove(&stack)?;
                let taker = self.loose.get_mut(&into)?;
                taker.count += newcomer.count;
                let moved = between(newcomer.spot, taker.spot, newcomer.item, newcomer.count);
                self.gone = Some(newcomer);
                Some(moved)
            }
            Event::Collected {
                hopper,
                stack,
                item,
                count,
            } => {
                let record = self.loose.get_mut(&stack)?;
                let from = record.spot;
                record.count -= u64::from(count);
                if record.count == 0 {
                    self.gone = self.loose.remove(&stack);
                }
                self.loose_items -= u64::from(count);
                Some(between(from, spot(view, hopper), item, count.into()))
            }
            Event::Lost { stack, item, .. } => {
                let record = self.loose.remove(&stack)?;
                self.loose_items -= record.count;
                let moved = Move {
                    from: Some(record.spot),
                    to: None,
                    item: Some(item),
                    leaves: record.count,
                    arrives: 0,
                };
                self.gone = Some(record);
                Some(moved)
            }
            _ => None,
        }
    }
}

/// Items of one kind from one place to another.
fn between(from: Spot, to: Spot, item: Item, count: u64) -> Move {
    Move {
        from: Some(from),
        to: Some(to),
        item: Some(item),
        leaves: count,
        arrives: count,
    }
}

/// Where a part is, with the shuttle that stands there or the mouth that it leads to.
pub(crate) fn spot(view: &View<'_>, part: PartId) -> Spot {
    let also = match view.network().part(part) {
        Part::Dock => view.shuttle_at(part),
        Part::Stream(stream) => Some(stream.mouth),
        Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Mouth => None,
        Part::Bench(_) | Part::Selector(_) | Part::Shuttle(_) | Part::Signal(_) => None,
    };
    Spot { part, also }
}

/// Items in the slots of a part, a box counting as one.
pub fn slot_items(view: &View<'_>, part: PartId) -> u64 {
    view.slots(part).map_or(0, |slots| {
        slots.flatten().map(|stack| u64::from(stack.count)).sum()
    })
}

/// What a box holds, by kind in the order of kinds; nothing for everything else.
pub(crate) fn box_contents(view: &View<'_>, item: Item) -> Vec<(KindId, u64)> {
    let mut contents: Vec<(KindId, u64)> = Vec::new();
    if let Some(box_id) = item.box_id {
        // A box has few slots, and mostly one kind in them.
        for stack in view.box_slots(box_id).flatten() {
            let kind = stack.item.kind;
            let count = u64::from(stack.count);
            match contents.iter_mut().find(|(held, _)| *held == kind) {
                Some((_, sum)) => *sum += count,
                None => contents.push((kind, count)),
            }
        }
    }
    contents.sort_unstable_by_key(|(kind, _)| *kind);
    contents
}

/// The parts, each once, without the places whose docked shuttles are among them.
pub(crate) fn distinct(parts: &[PartId], view: &View<'_>) -> Vec<PartId> {
    let mut listed = parts.to_vec();
    listed.sort_unstable();
    listed.dedup();
    let counted = listed.iter().filter(|part| {
        let is_place = view.network().part(**part).holding() == Holding::Docked;
        let shuttle = is_place.then(|| view.shuttle_at(**part)).flatten();
        shuttle.is_none_or(|shuttle| !listed.contains(&shuttle))
    });
    counted.copied().collect()
}
