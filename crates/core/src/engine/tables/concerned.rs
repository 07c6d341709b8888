//! Whom a change of each signal concerns, in signal order (tick rules, section 3).

use super::parts::Parts;
use crate::id::PartId;
use crate::network::Network;
use crate::part::{Part, Signal};

/// What a change of a signal is to a part.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(in crate::engine) enum Role {
    /// A signal that reads its level, or a repeater that it locks; but none of the next three.
    Reads,
    /// An inverter that reads its level.
    Inverts,
    /// A wire that reads its level.
    Carries,
    /// A wire that reads its level, and may have missed a change of some input.
    CatchesUp,
    /// An observer that sees any change of its level.
    ObservesLevel,
    /// An observer that sees it go on and off.
    ObservesSwitch,
    /// A hopper or selector that it locks.
    Locked,
    /// A dropper that it triggers.
    Triggered,
    /// A bench that it lifts or a shuttle that it releases. These look by themselves later in the tick, so
    /// that it does not matter when they hear of it.
    Released,
}

/// One that a change of a signal concerns.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::engine) struct Member {
    /// The place of a signal, the seat of a hopper or selector, the number of another part.
    number: u32,
    pub(in crate::engine) role: Role,
    /// What it takes off the signal's level, so that it need not hear of changes below: a wire that carries the least
    /// of its losses, all else nothing.
    pub(in crate::engine) loss: u8,
}

impl Member {
    /// A signal's place or a turn taker's seat.
    pub(in crate::engine) fn place(self) -> usize {
        self.number as usize
    }

    /// A dropper, bench or shuttle.
    pub(in crate::engine) fn part(self) -> PartId {
        PartId::from_index(self.number as usize)
    }
}

/// Where those that a change of a signal concerns stand in the list of all.
#[derive(Clone, Copy, Debug)]
pub(in crate::engine) struct Members {
    pub(in crate::engine) next: u32,
    pub(in crate::engine) end: u32,
}

/// For each signal, by place, whom a change of it concerns: each once, in signal order.
#[derive(Clone, Debug)]
pub(in crate::engine) struct Concerned {
    /// Where the list of each signal begins; one more at the end.
    starts: Vec<u32>,
    members: Vec<Member>,
}

impl Concerned {
    /// From pairs of a signal and a part with its role. A wire that `is_behind` what its inputs give has to hear
    /// of every change.
    pub(super) fn new(
        network: &Network,
        parts: &Parts,
        mut pairs: Vec<(PartId, Role, PartId)>,
        order: impl Fn(PartId) -> u32,
        is_behind: impl Fn(PartId) -> bool,
    ) -> Self {
        pairs.sort_by_key(|(signal, role, part)| (*signal, order(*part), *part, *role));
        pairs.dedup();
        let mut concerned = Self {
            starts: Vec::new(),
            members: Vec::with_capacity(pairs.len()),
        };
        let mut rest = pairs.as_slice();
        for signal in signals(network) {
            concerned.starts.push(concerned.members.len() as u32);
            let own = rest.partition_point(|(from, _, _)| *from <= signal);
            let (list, others) = rest.split_at(own);
            rest = others;
            let members = list.iter().map(|(_, role, part)| {
                let number = number(parts, *role, *part);
                let (role, loss) = if is_behind(*part) {
                    (Role::CatchesUp, 0)
                } else {
                    (*role, loss(network, signal, *part))
                };
                Member { number, role, loss }
            });
            concerned.members.extend(members);
        }
        concerned.starts.push(concerned.members.len() as u32);
        concerned
    }

    /// Where the list of a signal lies, to be read with [`Self::member`].
    pub(in crate::engine) fn range(&self, signal: usize) -> Members {
        Members {
            next: self.starts[signal],
            end: self.starts[signal + 1],
        }
    }

    /// Those that a change of this signal concerns.
    pub(in crate::engine) fn of(&self, signal: usize) -> &[Member] {
        let Members { next, end } = self.range(signal);
        &self.members[next as usize..end as usize]
    }

    #[inline]
    pub(in crate::engine) fn member(&self, member: u32) -> Member {
        self.members[member as usize]
    }
}

fn signals(network: &Network) -> impl Iterator<Item = PartId> {
    let signals = network.parts();
    signals.filter_map(|(id, part)| matches!(part, Part::Signal(_)).then_some(id))
}

fn number(parts: &Parts, role: Role, part: PartId) -> u32 {
    match role {
        Role::Reads | Role::Inverts | Role::Carries | Role::CatchesUp => parts.place(part) as u32,
        Role::ObservesLevel | Role::ObservesSwitch | Role::Locked => parts.place(part) as u32,
        Role::Triggered | Role::Released => part.index() as u32,
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
