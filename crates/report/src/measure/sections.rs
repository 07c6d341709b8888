//! The state of every section, kept up by the events: what its lines and queues hold, which of its
//! locks are off. Stops, backlog and resuming are measured on this.

use std::collections::BTreeSet;

use hallwright_core::asks::Holding;
use hallwright_core::declare::Section;
use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::tick::Tick;
use serde::{Deserialize, Serialize};

use super::ledger::{Ledger, Move, Spot, distinct};
use super::whereabouts::items_in;
use hallwright_analysis::groups::Groups;
use hallwright_analysis::since::Since;

/// The state of one section.
#[derive(Clone, Serialize, Deserialize)]
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
#[derive(Clone, Serialize, Deserialize)]
pub(crate) struct Sections {
    lines: Groups,
    queues: Groups,
    locks: Groups,
    everything: Groups,
    /// For each part that is in the line or queue of exactly one section, and named by no other, which
    /// of the two that is.
    only_in: Vec<Option<LineOrQueue>>,
    states: Vec<SectionState>,
    /// Sections in which something changed in this tick, and whether each is among them.
    changed: Vec<usize>,
    is_changed: Vec<bool>,
    /// The section whose line or queue what moved last stayed within.
    stayed_in: Option<usize>,
}

/// The line or the queue of a section.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
struct LineOrQueue {
    section: u32,
    is_line: bool,
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
        let only_in = parts.map(|part| only_in(part, &everything, &lines, &queues));
        Self {
            only_in: only_in.collect(),
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
            stayed_in: None,
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
        self.lines.contains(spot, section) || self.queues.contains(spot, section)
    }

    /// The sections to whose line or queue a spot belongs, each once.
    pub(crate) fn holding(&self, spot: Spot) -> impl Iterator<Item = usize> {
        let queues = self.queues.of_spot(spot);
        let more = queues.filter(move |section| !self.lines.contains(spot, *section));
        self.lines.of_spot(spot).chain(more)
    }

    /// Whether a spot belongs to any section's line or queue.
    pub(crate) fn any_holds(&self, spot: Spot) -> bool {
        self.lines.contains_any(spot) || self.queues.contains_any(spot)
    }

    /// The section whose line or queue what was collected last moved within, if no other section names
    /// the two places.
    pub(crate) fn stayed_in(&self) -> Option<usize> {
        self.stayed_in
    }

    #[inline]
    fn stays_within(&self, moved: &Move) -> Option<usize> {
        let (from, to) = moved.from.zip(moved.to)?;
        if from.also.is_some() || to.also.is_some() || moved.leaves != moved.arrives {
            return None;
        }
        let place = self.only_in[from.part.index()]?;
        let stays = self.only_in[to.part.index()] == Some(place);
        stays.then_some(place.section as usize)
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
        self.stayed_in = self.stays_within(moved);
        if let Some(section) = self.stayed_in {
            let state = &mut self.states[section];
            state.last_item_event = Some(tick);
            state.last_own_event = Some(tick);
            return;
        }
        self.take_up_between(tick, event, moved, view);
    }

    /// Takes up what moved out of the line or queue of a section, or into one.
    fn take_up_between(&mut self, tick: Tick, event: &Event, moved: &Move, view: &View<'_>) {
        let is_own = !is_operators(event);
        for (spot, items, comes) in [
            (moved.from, moved.leaves, false),
            (moved.to, moved.arrives, true),
        ] {
            let Some(spot) = spot else { continue };
            let boxes = boxes_moved(moved, spot, items, view);
            for section in self.everything.of_spot(spot) {
                let state = &mut self.states[section];
                state.last_item_event = Some(tick);
                if is_own {
                    state.last_own_event = Some(tick);
                }
                let held = if self.lines.contains(spot, section) {
                    &mut state.line_items
                } else if self.queues.contains(spot, section) {
                    &mut state.queue_items
                } else {
                    continue;
                };
                *held = if comes { *held + items } else { *held - items };
                state.boxes = if comes {
                    state.boxes + boxes
                } else {
                    state.boxes - boxes
                };
                if !std::mem::replace(&mut self.is_changed[section], true) {
                    self.changed.push(section);
                }
            }
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

/// The line or queue of the only section that names a part.
fn only_in(
    part: PartId,
    everything: &Groups,
    lines: &Groups,
    queues: &Groups,
) -> Option<LineOrQueue> {
    let section = everything.only(part)?;
    let is_line = lines.names(part);
    (is_line || queues.names(part)).then_some(LineOrQueue { section, is_line })
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
