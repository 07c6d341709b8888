//! Who is affected when something changes: look-up tables worked out from the network once.

use super::takers::{Neighbours, PartEntry, neighbours};
use crate::id::PartId;
use crate::network::{Link, Network, SignalRole};
use crate::part::{Intake, Part, Signal, Watched};

/// A table from parts to lists of parts, each in the order of declaration.
#[derive(Clone, Debug)]
pub(super) struct Relation {
    /// The parts that have a list, sorted; `None` if every part has one, empty or not.
    keys: Option<Vec<PartId>>,
    /// Where the list of each key begins; one more at the end.
    starts: Vec<u32>,
    members: Vec<PartId>,
}

impl Relation {
    /// A table in which parts without a list take no room, and looking one up takes a search.
    fn sparse(pairs: Vec<(PartId, PartId)>) -> Self {
        let mut keys: Vec<PartId> = pairs.iter().map(|(key, _)| *key).collect();
        keys.sort_unstable();
        keys.dedup();
        let place = |key: PartId| keys.binary_search(&key).unwrap_or_default();
        let (starts, members) = lists(keys.len(), pairs, place);
        Self {
            keys: Some(keys),
            starts,
            members,
        }
    }

    /// A table that is looked up in one step.
    fn dense(parts: usize, pairs: Vec<(PartId, PartId)>) -> Self {
        let (starts, members) = lists(parts, pairs, PartId::index);
        Self {
            keys: None,
            starts,
            members,
        }
    }

    /// Where the list of a part lies; to be read with [`Self::member`] while something else is
    /// changed.
    pub(super) fn range(&self, key: PartId) -> std::ops::Range<usize> {
        let place = match &self.keys {
            None => key.index(),
            Some(keys) => match keys.binary_search(&key) {
                Ok(place) => place,
                Err(_) => return 0..0,
            },
        };
        self.starts[place] as usize..self.starts[place + 1] as usize
    }

    pub(super) fn member(&self, place: usize) -> PartId {
        self.members[place]
    }

    pub(super) fn of(&self, key: PartId) -> &[PartId] {
        &self.members[self.range(key)]
    }
}

/// The lists of `places` keys one after the other, and where each begins.
fn lists(
    places: usize,
    mut pairs: Vec<(PartId, PartId)>,
    place: impl Fn(PartId) -> usize,
) -> (Vec<u32>, Vec<PartId>) {
    pairs.sort_unstable();
    pairs.dedup();
    let mut starts = vec![0; places + 1];
    for (key, _) in &pairs {
        starts[place(*key) + 1] += 1;
    }
    for place in 0..places {
        starts[place + 1] += starts[place];
    }
    (
        starts,
        pairs.into_iter().map(|(_, member)| member).collect(),
    )
}

/// All tables.
#[derive(Clone, Debug)]
pub(super) struct Wiring {
    /// Signal → observers that watch it.
    pub(super) signal_observers: Relation,
    /// Signal → hoppers that it locks.
    pub(super) locked_hoppers: Relation,
    /// Signal → selectors that it locks.
    pub(super) locked_selectors: Relation,
    /// Hopper or selector → observers of its lock.
    pub(super) lock_observers: Relation,
    /// Signal → droppers that it triggers.
    pub(super) triggered: Relation,
    /// Dropper → observers of its trigger.
    pub(super) trigger_observers: Relation,
    /// Signal → signals that read it, a repeater's lock included.
    pub(super) signal_readers: Relation,
    /// Signal → benches that it lifts and shuttles that it releases.
    pub(super) released: Relation,
    /// Selector → observers of its matches.
    pub(super) match_observers: Relation,
    /// Inventory → comparators that read it.
    pub(super) inventory_readers: Relation,
    /// Inventory or selector → hoppers and selectors that push into it or pull from it, where there
    /// are several.
    pub(super) neighbours: Relation,
    /// Mouth → hoppers below it.
    pub(super) mouth_hoppers: Relation,
}

impl Wiring {
    pub(super) fn new(network: &Network, entries: &[PartEntry]) -> Self {
        let mut pairs = Pairs::default();
        for edge in network.graph().raw_edges() {
            let from = PartId::from_index(edge.source().index());
            let to = PartId::from_index(edge.target().index());
            pairs.add(network, edge.weight, from, to);
        }
        let several = neighbours(network)
            .filter(|(part, _)| entries[part.index()].neighbours == Neighbours::Several)
            .collect();
        Self {
            signal_observers: Relation::sparse(pairs.signal_observers),
            locked_hoppers: Relation::sparse(pairs.locked_hoppers),
            locked_selectors: Relation::sparse(pairs.locked_selectors),
            lock_observers: Relation::sparse(pairs.lock_observers),
            triggered: Relation::sparse(pairs.triggered),
            trigger_observers: Relation::sparse(pairs.trigger_observers),
            signal_readers: Relation::sparse(pairs.signal_readers),
            released: Relation::sparse(pairs.released),
            match_observers: Relation::sparse(pairs.match_observers),
            inventory_readers: Relation::dense(network.part_count(), pairs.inventory_readers),
            neighbours: Relation::sparse(several),
            mouth_hoppers: Relation::sparse(pairs.mouth_hoppers),
        }
    }
}

/// The tables while they are being collected.
#[derive(Default)]
struct Pairs {
    signal_observers: Vec<(PartId, PartId)>,
    locked_hoppers: Vec<(PartId, PartId)>,
    locked_selectors: Vec<(PartId, PartId)>,
    lock_observers: Vec<(PartId, PartId)>,
    triggered: Vec<(PartId, PartId)>,
    trigger_observers: Vec<(PartId, PartId)>,
    signal_readers: Vec<(PartId, PartId)>,
    released: Vec<(PartId, PartId)>,
    match_observers: Vec<(PartId, PartId)>,
    inventory_readers: Vec<(PartId, PartId)>,
    mouth_hoppers: Vec<(PartId, PartId)>,
}

impl Pairs {
    fn add(&mut self, network: &Network, link: Link, from: PartId, to: PartId) {
        match link {
            Link::Push | Link::Pull | Link::Round => {}
            Link::Loose => {
                let below = matches!(
                    network.part(to),
                    Part::Hopper(hopper) if hopper.intake == Intake::Mouth(from)
                );
                if below {
                    self.mouth_hoppers.push((from, to));
                }
            }
            Link::Signal(SignalRole::Release) => self.released.push((from, to)),
            Link::Signal(SignalRole::Input) => self.signal_readers.push((from, to)),
            Link::Signal(SignalRole::Lock) => match network.part(to) {
                Part::Hopper(_) => self.locked_hoppers.push((from, to)),
                Part::Selector(_) => self.locked_selectors.push((from, to)),
                _ => self.signal_readers.push((from, to)),
            },
            Link::Signal(SignalRole::Trigger) => self.triggered.push((from, to)),
            Link::Signal(SignalRole::Reading) => self.inventory_readers.push((from, to)),
            Link::Signal(SignalRole::Watch) => self.add_observer(network, from, to),
        }
    }

    fn add_observer(&mut self, network: &Network, of: PartId, observer: PartId) {
        let Some(Signal::Observer { watches }) = network.signal(observer) else {
            return;
        };
        let pairs = match watches {
            Watched::Signal(_) => &mut self.signal_observers,
            Watched::Lock(_) => &mut self.lock_observers,
            Watched::Trigger(_) => &mut self.trigger_observers,
            Watched::Matches(_) => &mut self.match_observers,
        };
        pairs.push((of, observer));
    }
}
