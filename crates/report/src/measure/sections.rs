//! The state of every section, kept up by the events: what its lines and queues hold, which of its
//! locks are off. Stops, backlog and resuming are measured on this.

use std::collections::BTreeSet;

use hallwright_core::asks::Holding;
use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Section;
use serde::{Deserialize, Serialize};

use super::ledger::{Ledger, Move, Spot, distinct};
use super::whereabouts::items_in;
use hallwright_analysis::groups::Groups;
use hallwright_analysis::since::Since;

/// The state of one section.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct SectionState {
    /// Items in its line.
    pub(crate) line_items: u64,
    /// Items in its queue, parts that also belong to the line left out.
    pub(crate) queue_items: u64,
    /// Of the items in line and queue, boxes.
    pub(crate) boxes: u64,
    /// Its hoppers that should be locked.
    pub(crate) lockable: u64,
    /// Those of them that are not.
    pub(crate) unlocked: u64,
    /// Since when the line has held nothing.
    pub(crate) cleared: Since,
    /// The last two times that the line came to hold something again, the later one last.
    pub(crate) filled_again: [Option<Tick>; 2],
    /// The last item event at one of its parts.
    pub(crate) last_item_event: Option<Tick>,
    /// The last of them that was not the operator's own doing: no delivery, and nothing taken out.
    pub(crate) last_own_event: Option<Tick>,
}

impl SectionState {
    /// Whether the line, empty before tick `until`, is to be expected to fill once more: it filled
    /// again and again since `start`, and no more time has passed since the last time than between
    /// that one and the one before.
    pub(crate) fn fills_again(&self, start: Tick, until: Tick) -> bool {
        let [Some(before), Some(last)] = self.filled_again else {
            return false;
        };
        before >= start && until <= last + (last - before)
    }

    /// Items in line and queue.
    pub(crate) fn backlog_items(&self) -> u64 {
        self.line_items + self.queue_items
    }
}

/// The state of all sections.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct Sections {
    lines: Groups,
    queues: Groups,
    locks: Groups,
    everything: Groups,
    /// Where each part is.
    places: Vec<Place>,
    states: Vec<SectionState>,
    /// Sections in which something changed in this tick, and whether each is among them.
    changed: Vec<usize>,
    is_changed: Vec<bool>,
    /// Whether what moved last stayed within the line or queue of a section, or outside all.
    has_stayed: bool,
}

/// Where a part is, as the sections see it.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Serialize, Deserialize)]
pub(crate) enum Place {
    /// No section names it.
    Nowhere,
    /// In the line or queue of exactly one section, and no other names it.
    Only { section: u32, is_line: bool },
    /// Several name it, or one that has it neither in its line nor in its queue.
    Elsewhere,
}

/// What comes to a spot of a section, or leaves it.
struct Change {
    tick: Tick,
    /// Whether it was not the operator's doing.
    is_own: bool,
    comes: bool,
    items: u64,
    /// Of these, boxes.
    boxes: u64,
}

/// Where a section counts what a spot holds.
enum Held {
    Line,
    Queue,
    /// It counts it nowhere: it names the spot for its lock, or as a return.
    Nothing,
}

impl Sections {
    /// The sections as they are at the start.
    pub(crate) fn new(declared: &[Section], ledger: &Ledger, view: &View<'_>) -> Self {
        let count = view.network().part_count();
        let all_parts: Vec<Vec<PartId>> = declared.iter().map(parts_of).collect();
        let groups =
            |parts: fn(&Section) -> &[PartId]| Groups::new(count, declared.iter().map(parts));
        let lines = groups(|section| &section.line);
        let queues = groups(|section| &section.queue);
        let everything = Groups::new(count, all_parts.iter().map(Vec::as_slice));
        let parts = view.network().part_ids();
        let places = parts.map(|part| place(part, &everything, &lines, &queues));
        Self {
            places: places.collect(),
            lines,
            queues,
            locks: groups(|section| &section.locked),
            everything,
            states: declared
                .iter()
                .map(|section| start_of(section, ledger, view))
                .collect(),
            changed: Vec::new(),
            is_changed: vec![false; declared.len()],
            has_stayed: false,
        }
    }

    /// The states, in the order of declaration.
    pub(crate) fn states(&self) -> &[SectionState] {
        &self.states
    }

    /// The sections in which something changed in the tick that just ended.
    pub(crate) fn changed(&self) -> &[usize] {
        &self.changed
    }

    /// The sections that name a part, each once.
    pub(crate) fn naming(&self, part: PartId) -> impl Iterator<Item = usize> {
        self.everything.of(part)
    }

    /// Whether a section names a spot.
    pub(crate) fn names(&self, spot: Spot, section: usize) -> bool {
        self.everything.contains(spot, section)
    }

    /// The sections whose locks a hopper or selector is among.
    pub(crate) fn locked_by(&self, part: PartId) -> impl Iterator<Item = usize> {
        self.locks.of(part)
    }

    /// Whether a spot belongs to the line or queue of a section.
    pub(crate) fn holds(&self, spot: Spot, section: usize) -> bool {
        match self.place_of_spot(spot) {
            Place::Nowhere => false,
            Place::Only { section: only, .. } => only as usize == section,
            Place::Elsewhere => {
                self.lines.contains(spot, section) || self.queues.contains(spot, section)
            }
        }
    }

    /// The sections whose line or queue a move leaves, each once.
    pub(crate) fn left_by(&self, moved: &Move) -> Vec<usize> {
        let Some(from) = moved.from else {
            return Vec::new();
        };
        let mut left: Vec<usize> = match self.place_of_spot(from) {
            Place::Nowhere => Vec::new(),
            Place::Only { section, .. } => vec![section as usize],
            Place::Elsewhere => self.everything.of_spot(from).collect(),
        };
        left.retain(|section| {
            self.holds(from, *section) && !moved.to.is_some_and(|to| self.holds(to, *section))
        });
        left
    }

    /// Whether a spot belongs to any section's line or queue.
    pub(crate) fn any_holds(&self, spot: Spot) -> bool {
        self.lines.contains_any(spot) || self.queues.contains_any(spot)
    }

    /// Whether what was taken up last stayed within the line or queue of a section, or outside all.
    pub(crate) fn has_stayed(&self) -> bool {
        self.has_stayed
    }

    /// Where a part is.
    pub(crate) fn place(&self, part: PartId) -> Place {
        self.places[part.index()]
    }

    /// Where a spot is: two parts in one place are elsewhere.
    #[inline]
    fn place_of_spot(&self, spot: Spot) -> Place {
        match spot.also {
            None => self.place(spot.part),
            Some(_) => Place::Elsewhere,
        }
    }

    /// Whether one item that moves between two parts leaves no line or queue of a section and comes into none.
    #[inline]
    fn is_within(&self, from: PartId, to: PartId) -> bool {
        let place = self.places[from.index()];
        place != Place::Elsewhere && place == self.places[to.index()]
    }

    /// Takes up an item that moved within a line or queue, or outside all.
    #[inline]
    pub(crate) fn take_up_within(&mut self, tick: Tick, part: PartId) {
        self.has_stayed = true;
        if let Place::Only { section, .. } = self.places[part.index()] {
            let state = &mut self.states[section as usize];
            state.last_item_event = Some(tick);
            state.last_own_event = Some(tick);
        }
    }

    #[inline]
    fn stays_within(&self, moved: &Move) -> bool {
        let Some((from, to)) = moved.from.zip(moved.to) else {
            return false;
        };
        let is_one = from.also.is_none() && to.also.is_none() && moved.leaves == moved.arrives;
        is_one && self.is_within(from.part, to.part)
    }

    /// Takes up what an event moved.
    #[inline]
    pub(crate) fn take_up(
        &mut self,
        tick: Tick,
        event: &Event,
        moved: Option<&Move>,
        view: &View<'_>,
    ) {
        match *event {
            Event::Locked { part } => self.lock(part, true),
            Event::Unlocked { part } => self.lock(part, false),
            _ => {}
        }
        let Some(moved) = moved else { return };
        match moved.from {
            Some(from) if self.stays_within(moved) => {
                debug_assert!(
                    self.is_same_between(tick, event, moved, view),
                    "what stays within a section leaves it as what leaves it and comes back does"
                );
                self.take_up_within(tick, from.part);
            }
            _ => self.take_up_between(tick, event, moved, view),
        }
    }

    /// Takes up what moved out of the line or queue of a section, or into one.
    pub(super) fn take_up_between(
        &mut self,
        tick: Tick,
        event: &Event,
        moved: &Move,
        view: &View<'_>,
    ) {
        self.has_stayed = false;
        let is_own = !is_operators(event);
        for (spot, items, comes) in [
            (moved.from, moved.leaves, false),
            (moved.to, moved.arrives, true),
        ] {
            let Some(spot) = spot else { continue };
            let place = self.place_of_spot(spot);
            if place == Place::Nowhere {
                continue;
            }
            let change = Change {
                tick,
                is_own,
                comes,
                items,
                boxes: boxes_moved(moved, spot, items, view),
            };
            if let Place::Only { section, is_line } = place {
                let held = if is_line { Held::Line } else { Held::Queue };
                self.change(section as usize, held, &change);
            } else {
                self.change_all(spot, &change);
            }
        }
    }

    /// Something changed at a spot of two parts, or of one that several sections name.
    fn change_all(&mut self, spot: Spot, change: &Change) {
        let sections: Vec<usize> = self.everything.of_spot(spot).collect();
        for section in sections {
            let held = if self.lines.contains(spot, section) {
                Held::Line
            } else if self.queues.contains(spot, section) {
                Held::Queue
            } else {
                Held::Nothing
            };
            self.change(section, held, change);
        }
    }

    fn change(&mut self, section: usize, held: Held, change: &Change) {
        let state = &mut self.states[section];
        state.last_item_event = Some(change.tick);
        if change.is_own {
            state.last_own_event = Some(change.tick);
        }
        let held = match held {
            Held::Line => &mut state.line_items,
            Held::Queue => &mut state.queue_items,
            Held::Nothing => return,
        };
        if change.comes {
            *held += change.items;
            state.boxes += change.boxes;
        } else {
            *held -= change.items;
            state.boxes -= change.boxes;
        }
        if !std::mem::replace(&mut self.is_changed[section], true) {
            self.changed.push(section);
        }
    }

    fn lock(&mut self, part: PartId, on: bool) {
        for section in self.locks.of(part) {
            let unlocked = &mut self.states[section].unlocked;
            *unlocked = if on { *unlocked - 1 } else { *unlocked + 1 };
            if !std::mem::replace(&mut self.is_changed[section], true) {
                self.changed.push(section);
            }
        }
    }

    /// Looks at the sections that changed, at the end of a tick.
    pub(crate) fn end_tick(&mut self, tick: Tick) {
        for section in &self.changed {
            let state = &mut self.states[*section];
            if state.line_items > 0 && state.cleared.is_so() {
                state.filled_again = [state.filled_again[1], Some(tick)];
            }
            state.cleared.update(state.line_items == 0, tick);
        }
    }

    /// Forgets which sections changed: the next tick begins.
    pub(crate) fn begin_tick(&mut self) {
        for section in self.changed.drain(..) {
            self.is_changed[section] = false;
        }
    }
}

/// Whether an item event is the operator's own doing: what the hall makes of it comes after.
pub(crate) fn is_operators(event: &Event) -> bool {
    matches!(event, Event::Delivered { .. } | Event::Withdrawn { .. })
}

/// How many of the items that came to a spot or left it are boxes.
fn boxes_moved(moved: &Move, spot: Spot, items: u64, view: &View<'_>) -> u64 {
    let network = view.network();
    let Some(item) = moved.item else {
        // A shuttle with all it holds.
        return spot.parts().map(|part| shuttle_boxes(part, view)).sum();
    };
    // The part itself is looked at for boxes alone: in a large hall it is far away in memory.
    if !network.kind(item.kind).is_box {
        return 0;
    }
    match network.part(spot.part).holding() {
        // It stands there with its contents.
        Holding::Box => 1,
        Holding::Slots | Holding::Queue | Holding::Loose => items,
        Holding::Docked | Holding::Nothing => items,
    }
}

/// The boxes in a shuttle; of any other part, none.
fn shuttle_boxes(part: PartId, view: &View<'_>) -> u64 {
    match view.network().part(part).shuttle() {
        Some(_) => boxes_in(part, view),
        None => 0,
    }
}

/// The boxes that a part holds.
fn boxes_in(part: PartId, view: &View<'_>) -> u64 {
    let held = items_in(part, view).into_iter();
    let boxes = held.filter(|(item, _)| view.network().kind(item.kind).is_box);
    boxes.map(|(_, count)| count).sum()
}

fn place(part: PartId, everything: &Groups, lines: &Groups, queues: &Groups) -> Place {
    if !everything.names(part) {
        return Place::Nowhere;
    }
    let is_line = lines.names(part);
    match everything.only(part) {
        Some(section) if is_line || queues.names(part) => Place::Only { section, is_line },
        _ => Place::Elsewhere,
    }
}

/// Every part that a section names, each once.
pub fn parts_of(section: &Section) -> Vec<PartId> {
    let lists = [
        &section.line,
        &section.queue,
        &section.locked,
        &section.returns,
    ];
    let parts: BTreeSet<PartId> = lists.into_iter().flatten().copied().collect();
    parts.into_iter().collect()
}

/// The parts that move or hold items on their way and that no section names: hoppers, droppers,
/// selectors, benches and shuttles.
pub(crate) fn in_no_section(declared: &[Section], network: &Network) -> Vec<String> {
    let named: BTreeSet<PartId> = declared.iter().flat_map(parts_of).collect();
    let moving = network.parts().filter(|(id, part)| match part {
        Part::Hopper(_) | Part::Dropper(_) | Part::Selector(_) => !named.contains(id),
        Part::Bench(_) | Part::Shuttle(_) => !named.contains(id),
        Part::Container(_) | Part::Mouth | Part::Stream(_) | Part::Dock => false,
        Part::Signal(_) => false,
    });
    moving.map(|(id, _)| network.name(id).to_owned()).collect()
}

fn start_of(section: &Section, ledger: &Ledger, view: &View<'_>) -> SectionState {
    let line_items = ledger.held_by(&section.line, view);
    let mut both = section.line.clone();
    both.extend(&section.queue);
    let locked: BTreeSet<PartId> = section.locked.iter().copied().collect();
    let unlocked = locked.iter().filter(|part| !view.is_locked(**part)).count() as u64;
    SectionState {
        line_items,
        queue_items: ledger.held_by(&both, view) - line_items,
        boxes: distinct(&both, view)
            .into_iter()
            .map(|part| boxes_in(part, view))
            .sum(),
        lockable: locked.len() as u64,
        unlocked,
        cleared: Since::start(line_items == 0),
        filled_again: [None; 2],
        last_item_event: None,
        last_own_event: None,
    }
}
