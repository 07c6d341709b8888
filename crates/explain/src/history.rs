//! What happened in a run, kept so that it can be walked backwards.
//!
//! Items have no identity of their own, so they are followed in the order in which items of their
//! sort came into a place: the first in is the first out.

use std::collections::{BTreeMap, VecDeque};

use hallwright_core::asks::Holding;
use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{Event, Moment, Observer, StackId};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Item;
use hallwright_core::tick::{Phase, Tick};

use super::spells::Spells;
use hallwright_analysis::pulses::Pulses;

/// One event, by its place in the history.
pub(super) type EntryId = u32;

/// One event with what was true when it happened.
#[derive(Clone, Copy, Debug)]
pub(super) struct Entry {
    /// When.
    pub(super) moment: Moment,
    /// What.
    pub(super) event: Event,
    /// The hopper, selector, dropper or other part that did it.
    pub(super) actor: Option<PartId>,
    /// The entry by which the item that leaves had come into its place.
    pub(super) came_by: Option<EntryId>,
    /// The entry after which the acting hopper had to wait out its cooldown.
    pub(super) set_by: Option<EntryId>,
    /// For an item that came into a selector: the first tick in which it can leave.
    pub(super) ready_at: Tick,
    /// For a lock that went on: whether the part had something to do.
    pub(super) had_work: bool,
}

impl Entry {
    /// The tick.
    pub(super) fn tick(&self) -> Tick {
        self.moment.tick
    }
}

/// The events of a run, and which of them concern a part.
pub(super) struct History {
    entries: Vec<Entry>,
    by_part: Vec<Vec<EntryId>>,
    by_stack: BTreeMap<StackId, Vec<EntryId>>,
    /// Who slept when, and which signals were stuck.
    pub(super) spells: Spells,
    /// Parts with a pulse under way at the end of the tick that was asked for.
    pub(super) pulses: Vec<PartId>,
}

impl History {
    /// Records a run of so many ticks. Which pulses are under way is looked at at the end of
    /// `pulses_at`.
    pub(super) fn record(
        network: &Network,
        setup: &Setup,
        run_ticks: u64,
        pulses_at: Option<Tick>,
    ) -> Self {
        let mut engine = Engine::new(network, setup);
        let mut recorder = Recorder::new(&engine.view(), pulses_at);
        engine.run_watched(Tick(run_ticks), &mut recorder);
        History {
            spells: Spells::of(&setup.timeline),
            ..recorder.history
        }
    }

    /// The history of a run of which nothing is asked.
    pub(super) fn empty(network: &Network) -> Self {
        Self {
            entries: Vec::new(),
            by_part: vec![Vec::new(); network.part_count()],
            by_stack: BTreeMap::new(),
            spells: Spells::default(),
            pulses: Vec::new(),
        }
    }

    /// One entry.
    pub(super) fn entry(&self, id: EntryId) -> &Entry {
        &self.entries[id as usize]
    }

    /// All entries, in order.
    pub(super) fn entries(&self) -> impl Iterator<Item = (EntryId, &Entry)> {
        (0..).zip(&self.entries)
    }

    /// How many entries there are.
    pub(super) fn count(&self) -> EntryId {
        self.entries.len() as EntryId
    }

    /// The first entry after tick `at`; the number of entries if there is none.
    pub(super) fn end_of(&self, at: Tick) -> EntryId {
        self.entries.partition_point(|entry| entry.tick() <= at) as EntryId
    }

    /// The entries that concern a part and come before another, the last first.
    pub(super) fn back_from(
        &self,
        part: PartId,
        before: EntryId,
    ) -> impl Iterator<Item = (EntryId, &Entry)> {
        let list = &self.by_part[part.index()];
        let end = list.partition_point(|id| *id < before);
        list[..end].iter().rev().map(|id| (*id, self.entry(*id)))
    }

    /// The entries that concern a part and come after another.
    pub(super) fn on_from(
        &self,
        part: PartId,
        after: EntryId,
    ) -> impl Iterator<Item = (EntryId, &Entry)> {
        let list = &self.by_part[part.index()];
        let start = list.partition_point(|id| *id <= after);
        list[start..].iter().map(|id| (*id, self.entry(*id)))
    }

    /// The entries about a loose stack, in order.
    pub(super) fn of_stack(&self, stack: StackId) -> &[EntryId] {
        self.by_stack.get(&stack).map_or(&[], Vec::as_slice)
    }
}

/// What lies in a place, in the order in which it came.
#[derive(Default)]
struct Line {
    /// What was there from the start, or came with a box.
    first: u64,
    /// The entry of the first ones, if they came with a box.
    first_by: Option<EntryId>,
    then: VecDeque<EntryId>,
}

struct Recorder {
    history: History,
    lines: BTreeMap<(PartId, Item), Line>,
    /// For each hopper: the last two entries that set its cooldown, the later last.
    set_by: Vec<[Option<EntryId>; 2]>,
    pulses: Pulses,
    pulses_at: Option<Tick>,
}

impl Recorder {
    fn new(view: &View<'_>, pulses_at: Option<Tick>) -> Self {
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

    /// The cooldown of a hopper begins anew with this entry.
    fn set(&mut self, hopper: PartId, id: EntryId) {
        let now = self.history.entry(id).tick();
        let slots = &mut self.set_by[hopper.index()];
        // Push and pull of one turn count as the push, unless something arrived in between.
        let same_turn = slots[1].is_some_and(|last| {
            let last = &self.history.entries[last as usize];
            last.tick() == now && last.actor == Some(hopper)
        });
        if !same_turn {
            *slots = [slots[1], Some(id)];
        }
    }

    /// What set the cooldown that a hopper waited out before acting in this tick.
    fn waited_for(&self, hopper: PartId, now: Tick) -> Option<EntryId> {
        let [before, last] = self.set_by[hopper.index()];
        let earlier = |id: &EntryId| self.history.entries[*id as usize].tick() < now;
        last.filter(earlier).or(before.filter(earlier))
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

    fn begin_cooldowns(&mut self, id: EntryId, event: &Event, view: &View<'_>) {
        let network = view.network();
        let actor = self.history.entry(id).actor;
        if let Some(actor) = actor
            && network.part(actor).hopper().is_some()
        {
            let partly = matches!(*event, Event::Collected { stack, .. }
                if view.loose_stack(stack).is_some_and(|left| left.count > 0));
            if !partly {
                self.set(actor, id);
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
            self.set_by[to.index()] = [self.set_by[to.index()][1], Some(id)];
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
        self.history.entries.push(Entry {
            moment,
            event: *event,
            actor,
            came_by,
            set_by,
            ready_at,
            had_work,
        });
        for part in concerned(event, view).into_iter().flatten() {
            let list = &mut self.history.by_part[part.index()];
            if list.last() != Some(&id) {
                list.push(id);
            }
        }
        if let Event::CameLoose { stack, .. }
        | Event::Collected { stack, .. }
        | Event::Lost { stack, .. }
        | Event::Merged { into: stack, .. } = *event
        {
            self.history.by_stack.entry(stack).or_default().push(id);
        }
        self.begin_cooldowns(id, event, view);
    }

    fn ticks_passed(&mut self, from: Tick, until: Tick, _work: u64, view: &View<'_>) {
        if self.pulses_at.is_some_and(|at| from <= at && at < until) {
            self.history.pulses = self.pulses.pending(view);
        }
    }
}

/// Where the items of a part really are: a shuttle's, if one is docked there.
fn holder(view: &View<'_>, part: PartId) -> PartId {
    match view.network().part(part).holding() {
        Holding::Docked => view.shuttle_at(part).unwrap_or(part),
        Holding::Slots | Holding::Queue | Holding::Loose => part,
        Holding::Box | Holding::Nothing => part,
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

/// Who did it.
pub fn actor(event: &Event, view: &View<'_>) -> Option<PartId> {
    match *event {
        Event::ItemMoved { from, to, .. } => Some(mover(from, to, view)),
        Event::Thrown { dropper, .. } | Event::Clicked { dropper } => Some(dropper),
        Event::BoxSet { dispenser, .. } => Some(dispenser),
        Event::Collected { hopper, .. } => Some(hopper),
        Event::BoxLifted { bench, .. } => Some(bench),
        Event::Docked { shuttle, .. } | Event::Departed { shuttle, .. } => Some(shuttle),
        _ => None,
    }
}

/// Whether the one pushed or the other pulled.
fn mover(from: PartId, to: PartId, view: &View<'_>) -> PartId {
    let network = view.network();
    let pushes = match network.part(from) {
        Part::Hopper(hopper) => hopper.target == Some(to),
        Part::Dropper(_) | Part::Selector(_) => true,
        Part::Container(_) | Part::Mouth | Part::Stream(_) | Part::Bench(_) => false,
        Part::Dock | Part::Shuttle(_) | Part::Signal(_) => false,
    };
    let puller = network.part(to).hopper();
    let pulls = puller.is_some_and(|hopper| hopper.above() == Some(from));
    // A dropper moves nothing but in phase 2, which its own events report.
    match network.part(from) {
        Part::Hopper(_) if pushes && pulls => {
            if view.is_locked(from) || view.cooldown_ticks(from) > 0 {
                to
            } else {
                from
            }
        }
        Part::Dropper(_) if pulls => to,
        Part::Hopper(_) | Part::Dropper(_) | Part::Selector(_) if pushes => from,
        Part::Hopper(_) | Part::Dropper(_) | Part::Selector(_) => to,
        // These only have things taken from them.
        Part::Container(_) | Part::Mouth | Part::Stream(_) | Part::Bench(_) => to,
        Part::Dock | Part::Shuttle(_) | Part::Signal(_) => to,
    }
}

/// The parts that an event is about.
pub fn concerned(event: &Event, view: &View<'_>) -> [Option<PartId>; 4] {
    let docked = |part: PartId| Some(holder(view, part)).filter(|holder| *holder != part);
    match *event {
        Event::SignalChanged { signal, .. } => [Some(signal), None, None, None],
        Event::Locked { part } | Event::Unlocked { part } => [Some(part), None, None, None],
        Event::ItemMoved { from, to, .. } => [Some(from), Some(to), docked(from), docked(to)],
        Event::Delivered { place, .. } | Event::Withdrawn { place, .. } => {
            [Some(place), docked(place), None, None]
        }
        Event::Clicked { dropper } | Event::Thrown { dropper, .. } => {
            [Some(dropper), None, None, None]
        }
        Event::CameLoose { place, .. } => [Some(place), None, None, None],
        Event::Merged { mouth, .. } | Event::Lost { mouth, .. } => [Some(mouth), None, None, None],
        Event::Collected { hopper, .. } => [Some(hopper), None, None, None],
        Event::BoxSet {
            dispenser, bench, ..
        } => [Some(dispenser), Some(bench), None, None],
        Event::BoxLifted { bench, .. } => [Some(bench), None, None, None],
        Event::Docked { shuttle, place } | Event::Departed { shuttle, place } => {
            [Some(shuttle), Some(place), None, None]
        }
    }
}

/// Whether an event takes something out of a part, or takes a box or shuttle away from it.
pub(super) fn leaves(event: &Event, part: PartId) -> bool {
    match *event {
        Event::ItemMoved { from, .. } => from == part,
        Event::Thrown { dropper, .. } => dropper == part,
        Event::Withdrawn { place, .. } | Event::Departed { place, .. } => place == part,
        Event::BoxSet { dispenser, .. } => dispenser == part,
        Event::BoxLifted { bench, .. } => bench == part,
        _ => false,
    }
}

/// The first tick in which a hopper can act again after an entry that set its cooldown.
pub(super) fn ready_after(entry: &Entry, hopper: PartId, network: &Network) -> Tick {
    let rules = network.rules();
    let out_of_turn = u64::from(entry.moment.phase == Phase::Loose);
    let (cooldown, shorter) = if entry.actor == Some(hopper) {
        (rules.cooldown_ticks, out_of_turn)
    } else {
        (rules.arrival_ticks, 1 + out_of_turn)
    };
    entry.tick() + u64::from(cooldown).saturating_sub(shorter)
}
