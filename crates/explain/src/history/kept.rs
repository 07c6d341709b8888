//! Events, kept so that a run of a large hall finds room: four bytes each, and four for each part they concern.
//!
//! A hall does the same things over and over. What an event says but for its tick is kept once, and so is how far back the
//! entries lie that it follows from, if they are near.

use hallwright_core::event::{Event, Moment};
use hallwright_core::id::PartId;
use hallwright_core::tick::{Phase, Tick};
use indexmap::IndexSet;

use super::{Entry, EntryId};

/// So many entries are kept together. A list that grows as a whole has to be copied, and is there twice meanwhile.
const AT_ONCE: usize = 1 << 16;

/// Where an entry stands that another follows from.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
enum Before {
    /// There is none.
    Nowhere,
    /// So many entries back among those of the part.
    Back(u8),
    /// In a list by itself.
    Listed,
}

/// So many entries back among those of a part are counted.
const FURTHEST: usize = 3;

/// An event but for its tick.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
struct What {
    phase: Phase,
    event: Event,
    actor: Option<PartId>,
    had_work: bool,
    came_by: Before,
    set_by: Before,
}

/// What is known of an event beside the entries of parts.
pub(super) struct Fact {
    pub(super) moment: Moment,
    pub(super) event: Event,
    pub(super) actor: Option<PartId>,
    pub(super) had_work: bool,
    pub(super) came_by: Option<EntryId>,
    pub(super) set_by: Option<EntryId>,
    pub(super) ready_at: Tick,
    /// The parts that it concerns.
    pub(super) concerned: [Option<PartId>; 4],
}

/// All events of a run, in order.
pub(super) struct Kept {
    whats: IndexSet<What>,
    /// For each entry, which of them it is.
    entries: Vec<Vec<u32>>,
    count: EntryId,
    /// The first entry of each tick in which anything happened.
    starts: Vec<(Tick, EntryId)>,
    by_part: Vec<Vec<EntryId>>,
    /// What does not lie near: the entry, and that which it follows from.
    came_by: Vec<(EntryId, EntryId)>,
    set_by: Vec<(EntryId, EntryId)>,
    /// Entries of items that cannot leave in their tick, with the first tick in which they can.
    ready_at: Vec<(EntryId, Tick)>,
}

impl Kept {
    pub(super) fn new(parts: usize) -> Self {
        Self {
            whats: IndexSet::new(),
            entries: Vec::new(),
            count: 0,
            starts: Vec::new(),
            by_part: vec![Vec::new(); parts],
            came_by: Vec::new(),
            set_by: Vec::new(),
            ready_at: Vec::new(),
        }
    }

    /// Keeps the next event.
    pub(super) fn push(&mut self, fact: &Fact) {
        let id = self.count;
        let now = fact.moment.tick;
        let came_by = self.before(source(&fact.event), fact.came_by);
        let set_by = self.before(fact.actor, fact.set_by);
        if let (Before::Listed, Some(by)) = (came_by, fact.came_by) {
            self.came_by.push((id, by));
        }
        if let (Before::Listed, Some(by)) = (set_by, fact.set_by) {
            self.set_by.push((id, by));
        }
        if fact.ready_at != now {
            self.ready_at.push((id, fact.ready_at));
        }
        let (what, _) = self.whats.insert_full(What {
            phase: fact.moment.phase,
            event: fact.event,
            actor: fact.actor,
            had_work: fact.had_work,
            came_by,
            set_by,
        });
        if self.starts.last().is_none_or(|(tick, _)| *tick < now) {
            self.starts.push((now, id));
        }
        if (id as usize).is_multiple_of(AT_ONCE) {
            self.entries.push(Vec::with_capacity(AT_ONCE));
        }
        let last = self.entries.last_mut().expect("one was just begun");
        last.push(what as u32);
        self.count += 1;
        for part in fact.concerned.into_iter().flatten() {
            let list = &mut self.by_part[part.index()];
            if list.last() != Some(&id) {
                // They are many, and would have twice the room that they need.
                if list.len() == list.capacity() {
                    list.reserve_exact(list.len() / 8 + 4);
                }
                list.push(id);
            }
        }
    }

    /// Where an entry stands, as seen from the next of a part.
    fn before(&self, part: Option<PartId>, by: Option<EntryId>) -> Before {
        let Some(by) = by else {
            return Before::Nowhere;
        };
        let list = part.map_or(&[][..], |part| &self.by_part[part.index()]);
        let mut back = list.iter().rev().take(FURTHEST);
        back.position(|id| *id == by)
            .map_or(Before::Listed, |place| Before::Back(place as u8))
    }

    pub(super) fn count(&self) -> EntryId {
        self.count
    }

    pub(super) fn of_part(&self, part: PartId) -> &[EntryId] {
        &self.by_part[part.index()]
    }

    fn what(&self, id: EntryId) -> &What {
        let id = id as usize;
        &self.whats[self.entries[id / AT_ONCE][id % AT_ONCE] as usize]
    }

    /// The tick of an entry.
    pub(super) fn tick(&self, id: EntryId) -> Tick {
        let after = self.starts.partition_point(|(_, first)| *first <= id);
        self.starts[after - 1].0
    }

    pub(super) fn entry(&self, id: EntryId) -> Entry {
        self.entry_at(id, self.tick(id))
    }

    fn entry_at(&self, id: EntryId, tick: Tick) -> Entry {
        let what = self.what(id);
        Entry {
            moment: Moment {
                tick,
                phase: what.phase,
            },
            event: what.event,
            actor: what.actor,
            had_work: what.had_work,
        }
    }

    /// All entries, in order.
    pub(super) fn entries(&self) -> impl Iterator<Item = (EntryId, Entry)> {
        let ends = self.starts.iter().skip(1).map(|(_, first)| *first);
        let ticks = self.starts.iter().zip(ends.chain([self.count]));
        ticks
            .flat_map(|((tick, first), end)| (*first..end).map(|id| (id, self.entry_at(id, *tick))))
    }

    /// The first entry after a tick; the number of entries if there is none.
    pub(super) fn end_of(&self, at: Tick) -> EntryId {
        let after = self.starts.partition_point(|(tick, _)| *tick <= at);
        self.starts
            .get(after)
            .map_or(self.count, |(_, first)| *first)
    }

    /// The entry by which the item that leaves had come into its place.
    pub(super) fn came_by(&self, id: EntryId) -> Option<EntryId> {
        let what = self.what(id);
        self.found(id, what.came_by, source(&what.event), &self.came_by)
    }

    /// The entry after which the acting hopper had to wait out its cooldown.
    pub(super) fn set_by(&self, id: EntryId) -> Option<EntryId> {
        let what = self.what(id);
        self.found(id, what.set_by, what.actor, &self.set_by)
    }

    fn found(
        &self,
        id: EntryId,
        before: Before,
        part: Option<PartId>,
        listed: &[(EntryId, EntryId)],
    ) -> Option<EntryId> {
        match before {
            Before::Nowhere => None,
            Before::Back(back) => {
                let list = self.of_part(part?);
                let here = list.partition_point(|other| *other < id);
                Some(list[here - 1 - usize::from(back)])
            }
            Before::Listed => {
                let place = listed.binary_search_by_key(&id, |(id, _)| *id).ok()?;
                Some(listed[place].1)
            }
        }
    }

    /// For an item that came into a selector: the first tick in which it can leave.
    pub(super) fn ready_at(&self, id: EntryId) -> Tick {
        let place = self.ready_at.binary_search_by_key(&id, |(id, _)| *id);
        place.map_or_else(|_| self.tick(id), |place| self.ready_at[place].1)
    }
}

/// What an event takes an item from.
fn source(event: &Event) -> Option<PartId> {
    match *event {
        Event::ItemMoved { from, .. } => Some(from),
        Event::Withdrawn { place, .. } => Some(place),
        Event::Thrown { dropper, .. } => Some(dropper),
        Event::BoxSet { dispenser, .. } => Some(dispenser),
        _ => None,
    }
}
