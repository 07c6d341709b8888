//! What happened in a run, kept so that it can be walked backwards.
//!
//! Items have no identity of their own, so they are followed in the order in which items of their
//! sort came into a place: the first in is the first out.

mod kept;
mod recorder;

use std::collections::BTreeMap;

use hallwright_core::asks::Holding;
use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{Event, Moment, StackId};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::setup::Setup;
use hallwright_core::tick::{Phase, Tick};

use self::kept::Kept;
use self::recorder::Recorder;
use super::spells::Spells;

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
    kept: Kept,
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
            kept: Kept::new(network.part_count()),
            by_stack: BTreeMap::new(),
            spells: Spells::default(),
            pulses: Vec::new(),
        }
    }

    /// One entry.
    pub(super) fn entry(&self, id: EntryId) -> Entry {
        self.kept.entry(id)
    }

    /// The tick of an entry.
    pub(super) fn tick(&self, id: EntryId) -> Tick {
        self.kept.tick(id)
    }

    /// The entry by which the item that leaves had come into its place.
    pub(super) fn came_by(&self, id: EntryId) -> Option<EntryId> {
        self.kept.came_by(id)
    }

    /// The entry after which the acting hopper had to wait out its cooldown.
    pub(super) fn set_by(&self, id: EntryId) -> Option<EntryId> {
        self.kept.set_by(id)
    }

    /// For an item that came into a selector: the first tick in which it can leave.
    pub(super) fn ready_at(&self, id: EntryId) -> Tick {
        self.kept.ready_at(id)
    }

    /// All entries, in order.
    pub(super) fn entries(&self) -> impl Iterator<Item = (EntryId, Entry)> {
        self.kept.entries()
    }

    /// How many entries there are.
    pub(super) fn count(&self) -> EntryId {
        self.kept.count()
    }

    /// The first entry after tick `at`; the number of entries if there is none.
    pub(super) fn end_of(&self, at: Tick) -> EntryId {
        self.kept.end_of(at)
    }

    /// The entries that concern a part and come before another, the last first.
    pub(super) fn back_from(
        &self,
        part: PartId,
        before: EntryId,
    ) -> impl Iterator<Item = (EntryId, Entry)> {
        let list = self.kept.of_part(part);
        let end = list.partition_point(|id| *id < before);
        list[..end].iter().rev().map(|id| (*id, self.entry(*id)))
    }

    /// The entries that concern a part and come after another.
    pub(super) fn on_from(
        &self,
        part: PartId,
        after: EntryId,
    ) -> impl Iterator<Item = (EntryId, Entry)> {
        let list = self.kept.of_part(part);
        let start = list.partition_point(|id| *id <= after);
        list[start..].iter().map(|id| (*id, self.entry(*id)))
    }

    /// The entries about a loose stack, in order.
    pub(super) fn of_stack(&self, stack: StackId) -> &[EntryId] {
        self.by_stack.get(&stack).map_or(&[], Vec::as_slice)
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
