//! How its inputs decide the level of each signal (tick rules, section 3), looked up from the network
//! once: signals by their places, their inputs one after the other.

use super::concerned::{Concerned, Member, Role};
use super::parts::{PartSort, Parts};
use crate::engine::state::agenda::{Scheduled, Task};
use crate::id::PartId;
use crate::network::{Link, Network, SignalRole};
use crate::part::{ComparatorMode, Part, Rear, Signal};

/// A signal: how its inputs decide its level, and whom a change of it concerns.
#[derive(Clone, Copy, Debug)]
pub(in crate::engine) struct Gate {
    pub(in crate::engine) part: PartId,
    pub(in crate::engine) rule: Rule,
    /// Whom a change of it concerns alone, where its level never was higher than `others_loss`.
    pub(in crate::engine) sole: Sole,
    /// What all others take off its level, at least.
    pub(in crate::engine) others_loss: u8,
    /// Whether a repeater or comparator reads it itself.
    pub(in crate::engine) feeds: bool,
}

const _: () = assert!(size_of::<Gate>() == 32, "two gates fill one cache line");

/// Whom alone a change of a signal concerns, if that is of a sort that needs no wave.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::engine) enum Sole {
    Nobody,
    /// A wire, by its place.
    Wire {
        place: u32,
        loss: u8,
    },
    /// An inverter, by its place.
    Inverter(u32),
    /// The lock of the hopper or selector of this seat.
    Lock(u32),
    /// One, by its place, that compares its output to what its inputs give.
    Reader(u32),
    /// It is never one part alone, or is any other.
    OneOfMany,
}

/// How the inputs of a signal decide its level. Signals are named by place.
#[derive(Clone, Copy, Debug)]
pub(in crate::engine) enum Rule {
    /// Not at all: levers, buttons, observers.
    Own,
    /// Not at all: it is on and off for so many ticks.
    Clock { high_ticks: u32, low_ticks: u32 },
    /// A toggle's, which flips.
    Toggle,
    /// The highest input, each less its loss.
    Wire(Inputs),
    /// A comparator that reads the hopper of this seat.
    ReadHopper { seat: u32, side: Side },
    /// A comparator that reads any other inventory.
    ReadInventory { read: PartId, side: Side },
    /// A comparator that reads a signal.
    ReadSignal { rear: u32, side: Side },
    /// On while the input is on.
    Repeater(u32),
    /// On while the input is on, and for a while after it.
    Hold(u32),
    /// On while the input is off.
    Inverter(u32),
    /// The input's level.
    DelayLine(u32),
    /// From set to reset.
    Latch { set: u32, reset: u32 },
    /// On while all inputs are.
    AllOf(Inputs),
    /// On while no input is.
    NoneOf(Inputs),
}

/// Inputs in the table of all.
#[derive(Clone, Copy, Debug)]
pub(in crate::engine) struct Inputs {
    start: u32,
    end: u32,
}

/// A comparator's side.
#[derive(Clone, Copy, Debug)]
pub(in crate::engine) struct Side {
    signal: Option<PlacedSignal>,
    mode: ComparatorMode,
}

/// A signal's place, with room for none.
type PlacedSignal = std::num::NonZeroU32;

/// One input and its loss.
#[derive(Clone, Copy, Debug)]
pub(in crate::engine) struct Input {
    pub(in crate::engine) place: u32,
    pub(in crate::engine) loss: u8,
}

/// All gates, by the place of their signals.
#[derive(Clone, Debug)]
pub(in crate::engine) struct Gates {
    gates: Vec<Gate>,
    inputs: Vec<Input>,
}

impl Gates {
    pub(in crate::engine) fn new(network: &Network, parts: &Parts, concerned: &Concerned) -> Self {
        let feeds = feeders(network);
        let mut gates = Self {
            gates: Vec::new(),
            inputs: Vec::new(),
        };
        for (part, definition) in network.parts() {
            if let Part::Signal(signal) = definition {
                let rule = gates.rule(signal, parts);
                gates.gates.push(Gate {
                    part,
                    rule,
                    sole: Sole::OneOfMany,
                    others_loss: 0,
                    feeds: feeds[part.index()],
                });
            }
        }
        gates.find_soles(concerned);
        gates
    }

    fn find_soles(&mut self, concerned: &Concerned) {
        for place in 0..self.gates.len() {
            let (sole, others_loss) = self.sole_among(concerned.of(place));
            let gate = &mut self.gates[place];
            (gate.sole, gate.others_loss) = (sole, others_loss);
        }
    }

    /// The one among those that a signal concerns that takes least off its level, and what all others take off at
    /// least.
    fn sole_among(&self, members: &[Member]) -> (Sole, u8) {
        let losses = members.iter().map(|member| member.loss).enumerate();
        let Some((nearest, _)) = losses.clone().min_by_key(|(_, loss)| *loss) else {
            return (Sole::Nobody, u8::MAX);
        };
        let others = losses.filter(|(place, _)| *place != nearest);
        let others_loss = others.map(|(_, loss)| loss).min().unwrap_or(u8::MAX);
        (self.sole(members[nearest]), others_loss)
    }

    /// What a part is to a signal that concerns it alone.
    fn sole(&self, member: Member) -> Sole {
        let (place, loss) = (member.place() as u32, member.loss);
        match member.role {
            Role::Carries => Sole::Wire { place, loss },
            Role::Inverts => Sole::Inverter(place),
            Role::Locked => Sole::Lock(place),
            Role::Reads if self.of(member.place()).rule.looks_again() => Sole::Reader(place),
            Role::Reads
            | Role::CatchesUp
            | Role::ObservesLevel
            | Role::ObservesSwitch
            | Role::Triggered
            | Role::Released => Sole::OneOfMany,
        }
    }

    /// Whose event this is.
    pub(in crate::engine) fn part_of(&self, scheduled: Scheduled) -> PartId {
        let number = scheduled.number as usize;
        if scheduled.task == Task::Fire {
            PartId::from_index(number)
        } else {
            self.of(number).part
        }
    }

    /// The gate of a signal, by its place.
    pub(in crate::engine) fn of(&self, place: usize) -> &Gate {
        &self.gates[place]
    }

    fn rule(&mut self, signal: &Signal, parts: &Parts) -> Rule {
        let place = |signal: &PartId| parts.place(*signal) as u32;
        match signal {
            Signal::Lever { .. } | Signal::Button { .. } => Rule::Own,
            Signal::Observer { .. } => Rule::Own,
            &Signal::Clock {
                period_ticks,
                high_ticks,
                ..
            } => Rule::Clock {
                high_ticks,
                low_ticks: period_ticks.saturating_sub(high_ticks),
            },
            Signal::Toggle { .. } => Rule::Toggle,
            Signal::Wire { inputs } => {
                Rule::Wire(self.add(inputs.iter().map(|(input, loss)| (place(input), *loss))))
            }
            Signal::AllOf { inputs } => {
                Rule::AllOf(self.add(inputs.iter().map(|input| (place(input), 0))))
            }
            Signal::NoneOf { inputs } => {
                Rule::NoneOf(self.add(inputs.iter().map(|input| (place(input), 0))))
            }
            Signal::Comparator { rear, side, mode } => {
                let side = Side {
                    signal: side.and_then(|side| PlacedSignal::new(place(&side) + 1)),
                    mode: *mode,
                };
                match rear {
                    Rear::Inventory(read) if parts.sort(*read) == PartSort::Hopper => {
                        let seat = place(read);
                        Rule::ReadHopper { seat, side }
                    }
                    Rear::Inventory(read) => Rule::ReadInventory { read: *read, side },
                    Rear::Signal(rear) => Rule::ReadSignal {
                        rear: place(rear),
                        side,
                    },
                }
            }
            Signal::Repeater { input, .. } => Rule::Repeater(place(input)),
            Signal::Hold { input, .. } => Rule::Hold(place(input)),
            Signal::Inverter { input } => Rule::Inverter(place(input)),
            Signal::DelayLine { input, .. } => Rule::DelayLine(place(input)),
            Signal::Latch { set, reset } => Rule::Latch {
                set: place(set),
                reset: place(reset),
            },
        }
    }

    fn add(&mut self, inputs: impl Iterator<Item = (u32, u8)>) -> Inputs {
        let start = self.inputs.len() as u32;
        self.inputs
            .extend(inputs.map(|(place, loss)| Input { place, loss }));
        Inputs {
            start,
            end: self.inputs.len() as u32,
        }
    }

    #[inline]
    pub(in crate::engine) fn inputs(&self, inputs: Inputs) -> &[Input] {
        &self.inputs[inputs.start as usize..inputs.end as usize]
    }
}

impl Rule {
    /// Whether all that follows from a change of an input is that the signal compares its output to its inputs.
    pub(in crate::engine) fn looks_again(self) -> bool {
        match self {
            Self::Repeater(_)
            | Self::ReadHopper { .. }
            | Self::ReadInventory { .. }
            | Self::ReadSignal { .. }
            | Self::Latch { .. }
            | Self::AllOf(_)
            | Self::NoneOf(_) => true,
            Self::Own | Self::Clock { .. } | Self::Toggle | Self::Wire(_) => false,
            Self::Inverter(_) | Self::Hold(_) | Self::DelayLine(_) => false,
        }
    }

    /// Whether it is a comparator's.
    pub(in crate::engine) fn is_comparator(self) -> bool {
        matches!(
            self,
            Self::ReadHopper { .. } | Self::ReadInventory { .. } | Self::ReadSignal { .. }
        )
    }
}

impl Side {
    /// What a comparator gives for this rear.
    #[inline(always)]
    pub(in crate::engine) fn compare(self, rear: u8, level: impl Fn(u32) -> u8) -> u8 {
        let side = self.signal.map_or(0, |signal| level(signal.get() - 1));
        match self.mode {
            ComparatorMode::Compare if rear >= side => rear,
            ComparatorMode::Compare => 0,
            ComparatorMode::Subtract => rear.saturating_sub(side),
        }
    }
}

/// For every part, whether it feeds a repeater or comparator (tick rules, section 3).
fn feeders(network: &Network) -> Vec<bool> {
    let mut feeds = vec![false; network.part_count()];
    for edge in network.graph().raw_edges() {
        let reads = matches!(
            edge.weight,
            Link::Signal(SignalRole::Input | SignalRole::Lock)
        );
        let reader = network.signal(PartId::from_index(edge.target().index()));
        if reads && let Some(Signal::Repeater { .. } | Signal::Comparator { .. }) = reader {
            feeds[edge.source().index()] = true;
        }
    }
    feeds
}
