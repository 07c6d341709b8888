//! Watches a run, and follows each item from place to place.

use std::collections::{BTreeMap, VecDeque};

use hallwright_analysis::pulses::Pulses;
use hallwright_core::asks::Holding;
use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::id::PartId;
use hallwright_core::part::Part;
use hallwright_core::slot::Item;
use hallwright_core::tick::Tick;

use super::kept::Fact;
use super::{EntryId, History, actor, concerned, holder};

/// What lies in a place, in the order in which it came.
#[derive(Default)]
struct Line {
    /// What was there from the start, or came with a box.
    first: u64,
    /// The entry of the first ones, if they came with a box.
    first_by: Option<EntryId>,
    then: VecDeque<EntryId>,
}

/// An entry that set a hopper's cooldown.
#[derive(Clone, Copy)]
struct Setter {
    id: EntryId,
    tick: Tick,
    /// Whether the hopper itself acted.
    is_own: bool,
}

/// Watches a run, and keeps its history.
pub(super) struct Recorder {
    pub(super) history: History,
    lines: BTreeMap<(PartId, Item), Line>,
    /// For each hopper: the last two entries that set its cooldown, the later last.
    set_by: Vec<[Option<Setter>; 2]>,
    pulses: Pulses,
    pulses_at: Option<Tick>,
}

impl Recorder {
    pub(super) fn new(view: &View<'_>, pulses_at: Option<Tick>) -> Self {
        let network = view.network();
        let mut recorder = Self {
            history: History::empty(network),
            lines: BTreeMap::new(),
            set_by: vec![[None; 2]; network.part_count()],
            pulses: Pulses::new(network),
            pulses_at,
        };
        for (part, definition) in network.parts() {
            if definition.holding() != Holding::Docked {
                recorder.fill(part, None, view);
            }
        }
        recorder
    }

    /// What a part holds now came all at once.
    fn fill(&mut self, part: PartId, by: Option<EntryId>, view: &View<'_>) {
        for stack in view.slots(part).into_iter().flatten().flatten() {
            let line = self.lines.entry((part, stack.item)).or_default();
            line.first += u64::from(stack.count);
            line.first_by = by;
        }
    }

    fn came(&mut self, holder: PartId, item: Item, count: u32, by: EntryId) {
        let line = self.lines.entry((holder, item)).or_default();
        line.then.extend((0..count).map(|_| by));
    }

    /// An item leaves: the entry by which it came.
    fn left(&mut self, holder: PartId, item: Item) -> Option<EntryId> {
        let unnamed = Item {
            kind: item.kind,
            box_id: None,
        };
        for key in [item, unnamed] {
            let Some(line) = self.lines.get_mut(&(holder, key)) else {
                continue;
            };
            if line.first > 0 {
                line.first -= 1;
                return line.first_by;
            }
            if let Some(by) = line.then.pop_front() {
                return Some(by);
            }
        }
        None
    }

    /// The cooldown of a hopper begins anew with this entry, in which it acted.
    fn set(&mut self, hopper: PartId, id: EntryId, now: Tick) {
        let slots = &mut self.set_by[hopper.index()];
        // Push and pull of one turn count as the push, unless something arrived in between.
        let same_turn = slots[1].is_some_and(|last| last.tick == now && last.is_own);
        if !same_turn {
            let setter = Setter {
                id,
                tick: now,
                is_own: true,
            };
            *slots = [slots[1], Some(setter)];
        }
    }

    /// What set the cooldown that a hopper waited out before acting in this tick.
    fn waited_for(&self, hopper: PartId, now: Tick) -> Option<EntryId> {
        let [before, last] = self.set_by[hopper.index()];
        let earlier = |setter: &Setter| setter.tick < now;
        let setter = last.filter(earlier).or(before.filter(earlier));
        setter.map(|setter| setter.id)
    }

    /// Follows items into and out of places.
    fn follow(&mut self, id: EntryId, event: &Event, view: &View<'_>) -> Option<EntryId> {
        let is_loose = |part| view.network().part(part).is_loose_place();
        match *event {
            Event::ItemMoved { from, to, item } => {
                let came_by = self.left(holder(view, from), item);
                if !is_loose(to) {
                    self.came(holder(view, to), item, 1, id);
                }
                came_by
            }
            Event::Delivered { place, kind, count } => {
                let item = Item { kind, box_id: None };
                self.came(holder(view, place), item, count, id);
                None
            }
            Event::Withdrawn { place, item, .. }
                if item.box_id.is_some()
                    && matches!(view.network().part(place), Part::Bench(_)) =>
            {
                self.box_left(place, id)
            }
            Event::Withdrawn { place, item, count } => {
                let place = holder(view, place);
                let came = (0..count).map(|_| self.left(place, item)).last();
                came.flatten()
            }
            Event::Thrown { dropper, item } => self.left(dropper, item),
            Event::Collected {
                hopper,
                item,
                count,
                stack,
            } => {
                self.came(hopper, item, count.into(), id);
                self.history.of_stack(stack).first().copied()
            }
            Event::BoxSet {
                dispenser,
                bench,
                item,
            } => {
                let came_by = self.left(dispenser, item);
                self.fill(bench, Some(id), view);
                came_by
            }
            Event::BoxLifted { bench, .. } => self.box_left(bench, id),
            Event::CameLoose { .. } => id.checked_sub(1),
            Event::Lost { stack, .. } => self.history.of_stack(stack).first().copied(),
            _ => None,
        }
    }

    /// The box that stood on a bench is gone: the entry by which it came.
    fn box_left(&mut self, bench: PartId, id: EntryId) -> Option<EntryId> {
        self.forget(bench);
        let mut entries = self.history.back_from(bench, id);
        entries.find_map(|(id, entry)| matches!(entry.event, Event::BoxSet { .. }).then_some(id))
    }

    fn forget(&mut self, bench: PartId) {
        let keys: Vec<_> = self
            .lines
            .range((bench, FIRST_ITEM)..)
            .map(|(key, _)| *key)
            .take_while(|(part, _)| *part == bench)
            .collect();
        for key in keys {
            self.lines.remove(&key);
        }
    }

    fn begin_cooldowns(
        &mut self,
        (id, now): (EntryId, Tick),
        event: &Event,
        actor: Option<PartId>,
        view: &View<'_>,
    ) {
        let network = view.network();
        if let Some(actor) = actor
            && network.part(actor).hopper().is_some()
        {
            let partly = matches!(*event, Event::Collected { stack, .. }
                if view.loose_stack(stack).is_some_and(|left| left.count > 0));
            if !partly {
                self.set(actor, id, now);
            }
        }
        let (to, count) = match *event {
            Event::ItemMoved { to, .. } => (to, 1),
            Event::Delivered { place, count, .. } => (place, count),
            _ => return,
        };
        if actor != Some(to)
            && network.part(to).hopper().is_some()
            && hallwright_report::measure::slot_items(view, to) == u64::from(count)
        {
            let setter = Setter {
                id,
                tick: now,
                is_own: false,
            };
            self.set_by[to.index()] = [self.set_by[to.index()][1], Some(setter)];
        }
    }
}

/// The smallest item there is, to begin a range with.
const FIRST_ITEM: Item = Item {
    kind: hallwright_core::id::KindId::from_index(0),
    box_id: None,
};

impl Observer for Recorder {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        let id = self.history.count();
        let came_by = self.follow(id, event, view);
        let actor = actor(event, view);
        let set_by = actor.and_then(|actor| self.waited_for(actor, moment.tick));
        let ready_at = match *event {
            Event::ItemMoved { to, .. } | Event::Delivered { place: to, .. } => {
                match view.network().part(to).holding() {
                    Holding::Queue => view
                        .queue(to)
                        .last()
                        .map_or(moment.tick, |item| item.ready_at),
                    Holding::Slots | Holding::Loose | Holding::Box => moment.tick,
                    Holding::Docked | Holding::Nothing => moment.tick,
                }
            }
            _ => moment.tick,
        };
        let had_work = matches!(*event, Event::Locked { part } if has_work(view, part));
        self.history.kept.push(&Fact {
            moment,
            event: *event,
            actor,
            had_work,
            came_by,
            set_by,
            ready_at,
            concerned: concerned(event, view),
        });
        if let Event::CameLoose { stack, .. }
        | Event::Collected { stack, .. }
        | Event::Lost { stack, .. }
        | Event::Merged { into: stack, .. } = *event
        {
            self.history.by_stack.entry(stack).or_default().push(id);
        }
        self.begin_cooldowns((id, moment.tick), event, actor, view);
    }

    fn ticks_passed(&mut self, from: Tick, until: Tick, _work: u64, view: &View<'_>) {
        if self.pulses_at.is_some_and(|at| from <= at && at < until) {
            self.history.pulses = self.pulses.pending(view);
        }
    }
}

/// Whether a hopper or selector could do something if it were not locked.
fn has_work(view: &View<'_>, part: PartId) -> bool {
    let holds = |part| hallwright_report::measure::slot_items(view, part) > 0;
    match view.network().part(part) {
        Part::Selector(_) => view.queue(part).len() > 0,
        Part::Hopper(hopper) => holds(part) || hopper.above().is_some_and(holds),
        // These are never locked.
        Part::Container(_) | Part::Dropper(_) | Part::Mouth | Part::Stream(_) => false,
        Part::Bench(_) | Part::Dock | Part::Shuttle(_) | Part::Signal(_) => false,
    }
}
