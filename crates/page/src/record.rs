//! Keeps what a run did: the state at the start of the record, every change of a cell after it, and
//! the item events.
//!
//! Exact to the tick within the spans that are to be kept; outside them, changes are reported only every
//! so many ticks, and no events.

mod begun;

use std::collections::BTreeMap;

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::{BoxId, PartId};
use hallwright_core::part::Part;
use hallwright_core::slot::BOX_SLOTS;
use hallwright_core::tick::Tick;

use self::begun::Begun;
use super::cells::{CellMap, NO_PART, item_value, number, queue_list, shuttle_list, slot_value};
use super::spans::Spans;
use super::waits::{Turned, Waits};

/// A cell that got another value.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Change {
    /// The tick at whose end the cell holds the value.
    pub(super) tick: u64,
    /// The cell.
    pub(super) cell: u32,
    /// Its new value.
    pub(super) value: u32,
    /// By how much it differs from the old one; for a hopper's ready cell, from the tick.
    pub(super) delta: i64,
}

/// What an item event is about, whenever it happens: the sort of event, two parts, a kind, a count.
pub(super) type Shape = (u8, u32, u32, u32, u32);

/// Records a run.
pub(super) struct Record<'s> {
    spans: &'s Spans,
    map: CellMap,
    cells: Vec<u32>,
    /// The cells at the start, those that are 0 left out.
    pub(super) start: Vec<(u32, u32)>,
    /// Every change, in order.
    pub(super) changes: Vec<Change>,
    /// The lists that cells name, in the order in which they came up; the first is empty.
    pub(super) lists: Vec<Vec<u64>>,
    list_numbers: BTreeMap<Vec<u64>, u32>,
    /// The kind of every box that was seen, by its number.
    pub(super) box_kinds: Vec<Option<u32>>,
    /// The sorts of item events, in the order in which they came up.
    pub(super) shapes: Vec<Shape>,
    shape_numbers: BTreeMap<Shape, u32>,
    /// Every item event in the spans: its tick and its shape.
    pub(super) events: Vec<(u64, u32)>,
    touched: Vec<PartId>,
    is_touched: Vec<bool>,
    /// Where loose stacks were reported of last.
    loose_at: Vec<PartId>,
    has_loose_changed: bool,
    /// What every part waits for.
    pub(super) waits: Waits,
    begun: Begun,
}

impl<'s> Record<'s> {
    /// Begins before tick 0.
    pub(super) fn new(spans: &'s Spans, view: &View<'_>) -> Self {
        let network = view.network();
        let map = CellMap::new(network);
        let mut record = Self {
            spans,
            cells: vec![0; map.part_cells() as usize],
            map,
            start: Vec::new(),
            changes: Vec::new(),
            lists: vec![Vec::new()],
            list_numbers: BTreeMap::from([(Vec::new(), 0)]),
            box_kinds: Vec::new(),
            shapes: Vec::new(),
            shape_numbers: BTreeMap::new(),
            events: Vec::new(),
            touched: network.part_ids().collect(),
            is_touched: vec![true; network.part_count()],
            loose_at: Vec::new(),
            has_loose_changed: true,
            waits: Waits::new(network),
            begun: Begun::none(network.part_count()),
        };
        record.look(0, view);
        let cells = (0..).zip(&record.cells);
        record.start = cells
            .filter(|(_, value)| **value != 0)
            .map(|(cell, value)| (cell, *value))
            .collect();
        record.changes.clear();
        record
    }

    fn touch(&mut self, part: PartId) {
        if !std::mem::replace(&mut self.is_touched[part.index()], true) {
            self.touched.push(part);
        }
    }

    /// Looks at every part that something happened to, and notes what is different there.
    fn look(&mut self, tick: u64, view: &View<'_>) {
        let mut touched = std::mem::take(&mut self.touched);
        for part in touched.drain(..) {
            self.is_touched[part.index()] = false;
            self.look_at(tick, part, view);
        }
        self.touched = touched;
        if self.has_loose_changed || !self.loose_at.is_empty() {
            self.look_at_loose(tick, view);
        }
    }

    fn look_at(&mut self, tick: u64, part: PartId, view: &View<'_>) {
        let first = self.map.first(part);
        match view.network().part(part) {
            Part::Container(_) | Part::Dropper(_) => {
                self.look_at_slots(tick, part, view);
            }
            Part::Hopper(_) => {
                let slots = self.look_at_slots(tick, part, view);
                self.set(tick, first + slots, view.is_locked(part).into());
                let cooldown_ticks = view.cooldown_ticks(part);
                if cooldown_ticks > 0 {
                    let ready = view.tick().0 + u64::from(cooldown_ticks);
                    self.set_ready(tick, first + slots + 1, ready);
                }
            }
            Part::Mouth | Part::Stream(_) => {}
            Part::Bench(_) => {
                let before = self.cells[first as usize];
                if before > 0 {
                    self.look_at_box(tick, BoxId::from_index(before as usize / 2 - 1), view);
                }
                let standing = view.box_on_bench(part);
                if let Some(id) = standing.and_then(|item| item.box_id) {
                    let kind = standing.map(|item| item.kind.index());
                    self.note_box(id, kind);
                    self.look_at_box(tick, id, view);
                }
                let value = standing.map_or(0, |item| item_value(item, 1));
                self.set(tick, first, value);
            }
            Part::Selector(_) => {
                let queue = self.list(queue_list(view, part));
                self.set(tick, first, queue);
                self.set(tick, first + 1, view.is_locked(part).into());
            }
            Part::Dock => {
                let docked = view.shuttle_at(part);
                if let Some(shuttle) = docked {
                    self.look_at(tick, shuttle, view);
                }
                let value = docked.map_or(0, |shuttle| number(shuttle) + 1);
                self.set(tick, first, value);
            }
            Part::Shuttle(_) => {
                let slots = self.look_at_slots(tick, part, view);
                let position = self.list(shuttle_list(view, part));
                self.set(tick, first + slots, position);
            }
            Part::Signal(_) => self.set(tick, first, view.level(part).into()),
        }
    }

    /// Looks at the slots of a part of its own; gives how many it has.
    fn look_at_slots(&mut self, tick: u64, part: PartId, view: &View<'_>) -> u32 {
        let first = self.map.first(part);
        let mut slots = 0;
        for stack in view.slots(part).into_iter().flatten() {
            if let Some((id, kind)) = stack.and_then(|stack| {
                let kind = stack.item.kind.index();
                stack.item.box_id.map(|id| (id, kind))
            }) {
                let is_new = self.note_box(id, Some(kind));
                if is_new {
                    self.look_at_box(tick, id, view);
                }
            }
            self.set(tick, first + slots, slot_value(stack));
            slots += 1;
        }
        slots
    }

    fn look_at_box(&mut self, tick: u64, id: BoxId, view: &View<'_>) {
        let first = self.map.first_of_box(id.index());
        let end = (first + u32::from(BOX_SLOTS)) as usize;
        if self.cells.len() < end {
            self.cells.resize(end, 0);
        }
        for (cell, stack) in (first..).zip(view.box_slots(id)) {
            self.set(tick, cell, slot_value(stack));
        }
    }

    /// Notes of what kind a box is; says whether it had not been seen.
    fn note_box(&mut self, id: BoxId, kind: Option<usize>) -> bool {
        if self.box_kinds.len() <= id.index() {
            self.box_kinds.resize(id.index() + 1, None);
        }
        let known = &mut self.box_kinds[id.index()];
        let is_new = known.is_none();
        *known = kind.map(|kind| u32::try_from(kind).unwrap_or(u32::MAX));
        is_new
    }

    fn look_at_loose(&mut self, tick: u64, view: &View<'_>) {
        self.has_loose_changed = false;
        let mut lists: BTreeMap<PartId, Vec<u64>> = BTreeMap::new();
        for stack in view.loose_stacks() {
            if let Some(id) = stack.item.box_id
                && self.note_box(id, Some(stack.item.kind.index()))
            {
                self.look_at_box(tick, id, view);
            }
            let place = if stack.at_rest {
                stack.mouth
            } else {
                stack.place
            };
            let value = item_value(stack.item, stack.count.into());
            let list = lists.entry(place).or_default();
            list.extend([value.into(), stack.lost_at.0]);
        }
        for place in std::mem::take(&mut self.loose_at) {
            if !lists.contains_key(&place) {
                self.set(tick, self.map.first(place), 0);
            }
        }
        for (place, list) in lists {
            let list = self.list(list);
            self.set(tick, self.map.first(place), list);
            self.loose_at.push(place);
        }
    }

    /// The number of a list.
    fn list(&mut self, list: Vec<u64>) -> u32 {
        if let Some(number) = self.list_numbers.get(&list) {
            return *number;
        }
        let number = u32::try_from(self.lists.len()).unwrap_or(u32::MAX);
        self.lists.push(list.clone());
        self.list_numbers.insert(list, number);
        number
    }

    fn set(&mut self, tick: u64, cell: u32, value: u32) {
        let old = std::mem::replace(&mut self.cells[cell as usize], value);
        if old != value {
            self.changes.push(Change {
                tick,
                cell,
                value,
                delta: i64::from(value) - i64::from(old),
            });
        }
    }

    fn set_ready(&mut self, tick: u64, cell: u32, ready: u64) {
        let value = u32::try_from(ready).unwrap_or(u32::MAX);
        let old = std::mem::replace(&mut self.cells[cell as usize], value);
        if old != value {
            self.changes.push(Change {
                tick,
                cell,
                value,
                delta: i64::from(value) - (tick as i64 + 1),
            });
        }
    }

    /// Notes waits that began: those up to the tick in which the state was looked at, if it was, and
    /// later ones where every tick is kept.
    fn note_waits(&mut self, turned: Vec<Turned>, from: u64, looked: Option<u64>) {
        let later = turned.partition_point(|each| each.tick <= from);
        for each in &turned[..later] {
            self.begun.insert(each.part, each.wait);
        }
        if let Some(tick) = looked {
            for (part, wait) in self.begun.take() {
                self.set(tick, self.map.wait(part), wait);
            }
        }
        for each in &turned[later..] {
            if self.spans.is_exact(each.tick) {
                self.begun.remove(each.part);
                self.set(each.tick, self.map.wait(each.part), each.wait);
            } else {
                self.begun.insert(each.part, each.wait);
            }
        }
    }

    fn note_event(&mut self, tick: Tick, event: &Event) {
        let Some(shape) = shape(event) else { return };
        let next = u32::try_from(self.shapes.len()).unwrap_or(u32::MAX);
        let number = *self.shape_numbers.entry(shape).or_insert(next);
        if number == next {
            self.shapes.push(shape);
        }
        self.events.push((tick.0, number));
    }

    /// Touches every part that an event is about.
    fn touch_parts(&mut self, event: &Event) {
        match *event {
            Event::SignalChanged { signal: part, .. }
            | Event::Locked { part }
            | Event::Unlocked { part }
            | Event::Delivered { place: part, .. }
            | Event::Withdrawn { place: part, .. }
            | Event::Thrown { dropper: part, .. }
            | Event::BoxLifted { bench: part, .. }
            | Event::Collected { hopper: part, .. } => self.touch(part),

            Event::ItemMoved {
                from: one,
                to: other,
                ..
            }
            | Event::BoxSet {
                dispenser: one,
                bench: other,
                ..
            }
            | Event::Docked {
                shuttle: one,
                place: other,
            }
            | Event::Departed {
                shuttle: one,
                place: other,
            } => {
                self.touch(one);
                self.touch(other);
            }
            Event::Clicked { .. }
            | Event::CameLoose { .. }
            | Event::Merged { .. }
            | Event::Lost { .. } => {}
        }
    }
}

impl Observer for Record<'_> {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        self.touch_parts(event);
        self.waits.event(event, view);
        self.has_loose_changed |= matches!(
            event,
            Event::CameLoose { .. }
                | Event::Merged { .. }
                | Event::Collected { .. }
                | Event::Lost { .. }
        );
        if self.spans.keeps_event(moment.tick.0, event) {
            self.note_event(moment.tick, event);
        }
    }

    fn ticks_passed(&mut self, from: Tick, until: Tick, _work_per_tick: u64, view: &View<'_>) {
        let turned = self.waits.pass(from.0, until.0, view);
        let looked = self.spans.looks_in(from.0, until.0);
        if let Some(tick) = looked {
            self.look(tick, view);
        }
        self.note_waits(turned, from.0, looked);
    }
}

/// What an item event is about; `None` for what the cells report.
fn shape(event: &Event) -> Option<Shape> {
    let kind = |item: hallwright_core::slot::Item| u32::try_from(item.kind.index()).unwrap_or(0);
    Some(match *event {
        Event::SignalChanged { .. } | Event::Locked { .. } | Event::Unlocked { .. } => return None,
        Event::ItemMoved { from, to, item } => (0, number(from), number(to), kind(item), 1),
        Event::Delivered {
            place,
            kind: of,
            count,
        } => (
            1,
            number(place),
            NO_PART,
            u32::try_from(of.index()).unwrap_or(0),
            count,
        ),
        Event::Withdrawn { place, item, count } => (2, number(place), NO_PART, kind(item), count),
        Event::Clicked { dropper } => (3, number(dropper), NO_PART, 0, 0),
        Event::Thrown { dropper, item } => (4, number(dropper), NO_PART, kind(item), 1),
        Event::CameLoose {
            item, count, place, ..
        } => (5, number(place), NO_PART, kind(item), count.into()),
        Event::Merged {
            kind: of,
            count,
            mouth,
            ..
        } => (
            6,
            number(mouth),
            NO_PART,
            u32::try_from(of.index()).unwrap_or(0),
            count.into(),
        ),
        Event::Collected {
            hopper,
            item,
            count,
            ..
        } => (7, number(hopper), NO_PART, kind(item), count.into()),
        Event::Lost {
            item, count, mouth, ..
        } => (8, number(mouth), NO_PART, kind(item), count.into()),
        Event::BoxSet {
            dispenser,
            bench,
            item,
        } => (9, number(dispenser), number(bench), kind(item), 1),
        Event::BoxLifted { bench, item } => (10, number(bench), NO_PART, kind(item), 1),
        Event::Docked { shuttle, place } => (11, number(shuttle), number(place), 0, 0),
        Event::Departed { shuttle, place } => (12, number(shuttle), number(place), 0, 0),
    })
}
