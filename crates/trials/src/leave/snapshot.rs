//! What a hall is like once it is quiet: the level of every signal, and what every inventory contains.
//!
//! A clock that slept is behind for good, and so is what only clocks move: that is no harm, and is left
//! out.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_analysis::signals::moved_from_outside;
use hallwright_core::engine::{Engine, View};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Item;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Declarations;
use hallwright_report::{GoneOn, RunInput, came_to_rest, setup_for, went_on};

/// How a hall goes on from the end of a run.
type GoOn = fn(&Network, &Setup, &Declarations, &Engine<'_>) -> GoneOn;

/// An item by what it is: its kind, and if it is a box what is in it, by kind.
type Content = (KindId, Vec<(KindId, u64)>);

/// How a hall stands. Which slot of an inventory a stack is in does not count, nor which box of two alike.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Snapshot {
    /// The level of every signal that something else than a clock can move.
    levels: BTreeMap<PartId, u8>,
    /// What each inventory contains, and how much of it.
    contents: BTreeMap<PartId, BTreeMap<Content, u64>>,
}

impl Snapshot {
    /// The hall at the end of a run, once it has been switched on if it was off and has gone on until it is
    /// quiet.
    #[must_use]
    pub fn once_quiet(input: &RunInput<'_>) -> Self {
        Self::after(input, went_on)
    }

    /// The hall at the end of a run, once it has come to rest with nobody there to switch anything.
    #[must_use]
    pub fn at_rest(input: &RunInput<'_>) -> Self {
        Self::after(input, came_to_rest)
    }

    fn after(input: &RunInput<'_>, go_on: GoOn) -> Self {
        let setup = setup_for(input);
        let mut engine = Engine::new(input.network, &setup);
        engine.run_unwatched(Tick(input.run_ticks));
        let gone = go_on(input.network, &setup, input.declarations, &engine);
        let quiet = Engine::resume(input.network, &gone.setup, &gone.state);
        Self::of(&quiet.view())
    }

    fn of(view: &View<'_>) -> Self {
        let mut levels = BTreeMap::new();
        let mut contents = BTreeMap::new();
        let is_moved = moved_from_outside(view.network());
        for (part, definition) in view.network().parts() {
            if let Part::Signal(_) = definition {
                if is_moved[part.index()] {
                    levels.insert(part, view.level(part));
                }
            } else if let Some(slots) = view.slots(part) {
                let mut here: BTreeMap<Content, u64> = BTreeMap::new();
                for stack in slots.flatten() {
                    *here.entry(content(view, stack.item)).or_default() += u64::from(stack.count);
                }
                contents.insert(part, here);
            }
        }
        Self { levels, contents }
    }

    /// The signals whose levels differ, with the level here and there.
    #[must_use]
    pub fn signals_unlike(&self, other: &Self) -> Vec<(PartId, u8, u8)> {
        let levels = self.levels.iter();
        let pairs = levels.filter_map(|(part, own)| Some((*part, *own, *other.levels.get(part)?)));
        pairs.filter(|(_, own, theirs)| own != theirs).collect()
    }

    /// The inventories that contain something else, each with what there is more of here and what fewer, by
    /// kind.
    #[must_use]
    pub fn inventories_unlike(&self, other: &Self) -> Vec<(PartId, Difference)> {
        let none = BTreeMap::new();
        let parts: BTreeSet<PartId> = self
            .contents
            .keys()
            .chain(other.contents.keys())
            .copied()
            .collect();
        let each = parts.into_iter().map(|part| {
            let here = self.contents.get(&part).unwrap_or(&none);
            let there = other.contents.get(&part).unwrap_or(&none);
            let difference = Difference {
                more: by_kind(here, there),
                fewer: by_kind(there, here),
            };
            (part, difference)
        });
        each.filter(|(_, difference)| !difference.is_none())
            .collect()
    }
}

/// What there is more of in one inventory, and what fewer, by kind: a box counts as one of its own kind.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Difference {
    /// What there is more of.
    pub more: Vec<(KindId, u64)>,
    /// What there is fewer of.
    pub fewer: Vec<(KindId, u64)>,
}

impl Difference {
    fn is_none(&self) -> bool {
        self.more.is_empty() && self.fewer.is_empty()
    }
}

/// What there is more of, by kind.
fn by_kind(here: &BTreeMap<Content, u64>, there: &BTreeMap<Content, u64>) -> Vec<(KindId, u64)> {
    let mut more: BTreeMap<KindId, u64> = BTreeMap::new();
    for ((kind, _), items) in more_than(here, there) {
        *more.entry(kind).or_default() += items;
    }
    more.into_iter().collect()
}

/// What is more here than there, and by how much.
pub(super) fn more_than<Key: Ord + Clone>(
    here: &BTreeMap<Key, u64>,
    there: &BTreeMap<Key, u64>,
) -> BTreeMap<Key, u64> {
    let rows = here.iter().map(|(key, items)| {
        let others = there.get(key).copied().unwrap_or(0);
        (key.clone(), items.saturating_sub(others))
    });
    rows.filter(|(_, items)| *items > 0).collect()
}

fn content(view: &View<'_>, item: Item) -> Content {
    let mut inside: BTreeMap<KindId, u64> = BTreeMap::new();
    let slots = item.box_id.map(|id| view.box_slots(id));
    for stack in slots.into_iter().flatten().flatten() {
        *inside.entry(stack.item.kind).or_default() += u64::from(stack.count);
    }
    (item.kind, inside.into_iter().collect())
}
