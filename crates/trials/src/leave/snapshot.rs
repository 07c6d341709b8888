//! What a hall is like once it is quiet: the level of every signal, and what every inventory contains.
//!
//! A clock that slept is behind for good, and so is what only clocks move: that is no harm, and is left
//! out.

use std::collections::BTreeMap;

use hallwright_analysis::signals::moved_from_outside;
use hallwright_core::engine::{Engine, View};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::part::Part;
use hallwright_core::slot::Item;
use hallwright_report::{RunInput, setup_for, went_on};

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
    /// The hall at the end of a run, once it has gone on until it is quiet.
    #[must_use]
    pub fn once_quiet(input: &RunInput<'_>) -> Self {
        let setup = setup_for(input);
        let mut engine = Engine::new(input.network, &setup);
        engine.run_until(hallwright_core::tick::Tick(input.run_ticks), &mut ());
        let gone = went_on(input.network, &setup, input.declarations, &engine);
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

    /// The inventories that contain something else.
    #[must_use]
    pub fn inventories_unlike(&self, other: &Self) -> Vec<PartId> {
        let parts = self.contents.keys().chain(other.contents.keys());
        let mut unlike: Vec<PartId> = parts
            .filter(|part| self.contents.get(part) != other.contents.get(part))
            .copied()
            .collect();
        unlike.sort_unstable();
        unlike.dedup();
        unlike
    }
}

fn content(view: &View<'_>, item: Item) -> Content {
    let mut inside: BTreeMap<KindId, u64> = BTreeMap::new();
    let slots = item.box_id.map(|id| view.box_slots(id));
    for stack in slots.into_iter().flatten().flatten() {
        *inside.entry(stack.item.kind).or_default() += u64::from(stack.count);
    }
    (item.kind, inside.into_iter().collect())
}
