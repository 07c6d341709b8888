//! Who is affected when something changes: look-up tables worked out from the network once.

use std::ops::Range;

use super::parts::Parts;
use crate::id::PartId;
use crate::network::{Link, Network, SignalRole};
use crate::part::{Intake, Part, Signal, Watched};

/// A table from parts to lists of places, each in the order of declaration. Parts without a list take
/// no room, and looking one up takes a search.
#[derive(Clone, Debug)]
pub(in crate::engine) struct Relation {
    /// The parts that have a list, sorted.
    keys: Vec<PartId>,
    /// Where the list of each key begins; one more at the end.
    starts: Vec<u32>,
    members: Vec<u32>,
}

impl Relation {
    fn new(mut pairs: Vec<(PartId, PartId)>, place: impl Fn(PartId) -> u32) -> Self {
        pairs.sort_unstable();
        pairs.dedup();
        let mut relation = Self {
            keys: Vec::new(),
            starts: vec![0],
            members: pairs.iter().map(|(_, member)| place(*member)).collect(),
        };
        for list in pairs.chunk_by(|a, b| a.0 == b.0) {
            relation.keys.push(list[0].0);
            let start = relation.starts[relation.starts.len() - 1];
            relation.starts.push(start + list.len() as u32);
        }
        relation
    }

    /// Where the list of a part lies; to be read with [`Self::member`] while something else is
    /// changed.
    pub(in crate::engine) fn range(&self, key: PartId) -> Range<usize> {
        match self.keys.binary_search(&key) {
            Ok(place) => self.starts[place] as usize..self.starts[place + 1] as usize,
            Err(_) => 0..0,
        }
    }

    pub(in crate::engine) fn member(&self, place: usize) -> usize {
        self.members[place] as usize
    }

    pub(in crate::engine) fn of(&self, key: PartId) -> impl Iterator<Item = usize> {
        self.members[self.range(key)]
            .iter()
            .map(|member| *member as usize)
    }
}

/// What a part does with a signal, in the order in which a change runs on (tick rules, section 3).
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::engine) enum Role {
    /// A signal that observes its level.
    Observes,
    /// A hopper that it locks.
    LocksHopper,
    /// A selector that it locks.
    LocksSelector,
    /// A dropper that it triggers.
    Triggers,
    /// A bench that it lifts or a shuttle that it releases.
    Releases,
    /// A signal that reads its level, or a repeater that it locks.
    Reads,
}

const ROLES: usize = 6;

/// For each signal, by place, what it acts on: by role, each list in the order of declaration.
#[derive(Clone, Debug)]
pub(in crate::engine) struct SignalLinks {
    links: Vec<Links>,
    /// Signals and turn takers by place, droppers, benches and shuttles by the number of the part.
    members: Vec<u32>,
    /// For each member what it takes off the signal's level: a wire the least of its losses, all else
    /// nothing.
    losses: Vec<u8>,
}

/// Where the lists of one signal lie.
#[derive(Clone, Copy, Debug)]
pub(in crate::engine) struct Links {
    /// Where the list of each role begins, and where the last one ends.
    starts: [u32; ROLES + 1],
}

impl Links {
    /// Where the list of a role lies; to be read with [`SignalLinks::place`] or [`SignalLinks::part`].
    pub(in crate::engine) fn range(&self, role: Role) -> Range<usize> {
        self.starts[role as usize] as usize..self.starts[role as usize + 1] as usize
    }

    /// Whether the signal acts on anything but the signals that observe or read it.
    pub(in crate::engine) fn switches(&self) -> bool {
        self.starts[Role::LocksHopper as usize] < self.starts[Role::Reads as usize]
    }
}

impl SignalLinks {
    fn new(network: &Network, parts: &Parts, mut pairs: [Vec<(PartId, PartId)>; ROLES]) -> Self {
        for pairs in &mut pairs {
            pairs.sort_unstable();
            pairs.dedup();
        }
        let mut rest = pairs.each_ref().map(Vec::as_slice);
        let mut links = Self {
            links: Vec::new(),
            members: Vec::new(),
            losses: Vec::new(),
        };
        for (signal, _) in network
            .parts()
            .filter(|(_, part)| matches!(part, Part::Signal(_)))
        {
            let mut starts = [0; ROLES + 1];
            for (role, rest) in rest.iter_mut().enumerate() {
                starts[role] = links.members.len() as u32;
                let own = rest.partition_point(|(from, _)| *from == signal);
                let (list, others) = rest.split_at(own);
                *rest = others;
                let is_numbered =
                    role == Role::Triggers as usize || role == Role::Releases as usize;
                let losses = list.iter().map(|(_, to)| loss(network, signal, *to));
                links.losses.extend(losses);
                links.members.extend(list.iter().map(|(_, to)| {
                    if is_numbered {
                        to.index() as u32
                    } else {
                        parts.place(*to) as u32
                    }
                }));
            }
            starts[ROLES] = links.members.len() as u32;
            links.links.push(Links { starts });
        }
        links
    }

    /// Where the lists of a signal lie.
    pub(in crate::engine) fn of(&self, signal: usize) -> Links {
        self.links[signal]
    }

    /// A signal's place or a turn taker's seat.
    pub(in crate::engine) fn place(&self, member: usize) -> usize {
        self.members[member] as usize
    }

    /// What a member takes off the signal's level.
    pub(in crate::engine) fn loss(&self, member: usize) -> u8 {
        self.losses[member]
    }

    /// A dropper, bench or shuttle.
    pub(in crate::engine) fn part(&self, member: usize) -> PartId {
        PartId::from_index(self.place(member))
    }
}

/// What a part takes off the level of a signal that it reads.
fn loss(network: &Network, signal: PartId, reader: PartId) -> u8 {
    match network.signal(reader) {
        Some(Signal::Wire { inputs }) => {
            let of_this = inputs.iter().filter(|(input, _)| *input == signal);
            of_this.map(|(_, loss)| *loss).min().unwrap_or(0)
        }
        _ => 0,
    }
}

/// All tables. Signals, hoppers and selectors are named by their places in their own tables.
#[derive(Clone, Debug)]
pub(in crate::engine) struct Wiring {
    /// Signal → everything that it acts on.
    pub(in crate::engine) signals: SignalLinks,
    /// Hopper or selector → the signals that observe its lock.
    pub(in crate::engine) lock_observers: Relation,
    /// Dropper → the signals that observe its trigger.
    pub(in crate::engine) trigger_observers: Relation,
    /// Selector → the signals that observe its matches.
    pub(in crate::engine) match_observers: Relation,
    /// Mouth → the seats of the hoppers below it.
    pub(in crate::engine) mouth_hoppers: Relation,
}

impl Wiring {
    pub(in crate::engine) fn new(network: &Network, parts: &Parts) -> Self {
        let mut pairs = Pairs::default();
        for edge in network.graph().raw_edges() {
            let from = PartId::from_index(edge.source().index());
            let to = PartId::from_index(edge.target().index());
            pairs.add(network, edge.weight, from, to);
        }
        let place = |part: PartId| parts.place(part) as u32;
        let relation = |pairs| Relation::new(pairs, place);
        Self {
            signals: SignalLinks::new(network, parts, pairs.signals),
            lock_observers: relation(pairs.lock_observers),
            trigger_observers: relation(pairs.trigger_observers),
            match_observers: relation(pairs.match_observers),
            mouth_hoppers: relation(pairs.mouth_hoppers),
        }
    }
}

/// The tables while they are being collected.
#[derive(Default)]
struct Pairs {
    signals: [Vec<(PartId, PartId)>; ROLES],
    lock_observers: Vec<(PartId, PartId)>,
    trigger_observers: Vec<(PartId, PartId)>,
    match_observers: Vec<(PartId, PartId)>,
    mouth_hoppers: Vec<(PartId, PartId)>,
}

impl Pairs {
    fn add(&mut self, network: &Network, link: Link, from: PartId, to: PartId) {
        match link {
            Link::Push | Link::Pull | Link::Round | Link::Signal(SignalRole::Reading) => {}
            Link::Loose => {
                let below = matches!(
                    network.part(to),
                    Part::Hopper(hopper) if hopper.intake == Intake::Mouth(from)
                );
                if below {
                    self.mouth_hoppers.push((from, to));
                }
            }
            Link::Signal(SignalRole::Release) => self.add_signal(Role::Releases, from, to),
            Link::Signal(SignalRole::Input) => self.add_signal(Role::Reads, from, to),
            Link::Signal(SignalRole::Lock) => {
                let role = match network.part(to) {
                    Part::Hopper(_) => Role::LocksHopper,
                    Part::Selector(_) => Role::LocksSelector,
                    Part::Signal(_) => Role::Reads,
                    Part::Container(_)
                    | Part::Dropper(_)
                    | Part::Mouth
                    | Part::Stream(_)
                    | Part::Bench(_)
                    | Part::Dock
                    | Part::Shuttle(_) => unreachable!("only those three have locks"),
                };
                self.add_signal(role, from, to);
            }
            Link::Signal(SignalRole::Trigger) => self.add_signal(Role::Triggers, from, to),
            Link::Signal(SignalRole::Watch) => self.add_observer(network, from, to),
        }
    }

    fn add_signal(&mut self, role: Role, from: PartId, to: PartId) {
        self.signals[role as usize].push((from, to));
    }

    fn add_observer(&mut self, network: &Network, of: PartId, observer: PartId) {
        let Some(Signal::Observer { watches }) = network.signal(observer) else {
            return;
        };
        let pairs = match watches {
            Watched::Signal(_) => &mut self.signals[Role::Observes as usize],
            Watched::Lock(_) => &mut self.lock_observers,
            Watched::Trigger(_) => &mut self.trigger_observers,
            Watched::Matches(_) => &mut self.match_observers,
        };
        pairs.push((of, observer));
    }
}
