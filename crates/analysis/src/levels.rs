//! Which levels signals can settle at, given what inventories hold.
//!
//! Only what stays is looked at: delays are waited out, and pulses are left aside. A signal may seem
//! able to settle at a level that it never has; it never seems unable to settle at one that it has.

use std::collections::BTreeMap;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{ComparatorMode, Rear, Signal};

/// The highest level.
const MOST: u8 = 15;

/// A set of levels from 0 to 15.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Levels(u16);

impl Levels {
    /// All of them.
    pub const ALL: Self = Self(u16::MAX);
    /// Off, 0, and full on, 15.
    pub const EITHER: Self = Self(1 | 1 << MOST);

    /// One level, at most 15.
    #[must_use]
    pub const fn only(level: u8) -> Self {
        Self(1 << if level > MOST { MOST } else { level })
    }

    /// 15 if it is on, else 0.
    const fn on(is_on: bool) -> Self {
        Self::only(if is_on { MOST } else { 0 })
    }

    /// Whether the signal can be off.
    #[must_use]
    pub const fn can_be_off(self) -> bool {
        self.0 & 1 != 0
    }

    /// Whether the signal can be on.
    #[must_use]
    pub const fn can_be_on(self) -> bool {
        self.0 & !1 != 0
    }

    /// What is in either.
    #[must_use]
    pub const fn or(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }

    /// The levels, rising.
    fn iter(self) -> impl Iterator<Item = u8> {
        (0..=MOST).filter(move |level| self.0 & (1 << level) != 0)
    }

    /// What comes of each level.
    fn each(self, of: impl Fn(u8) -> u8) -> Self {
        let found = self.iter().map(|level| Self::only(of(level)));
        found.fold(Self(0), Self::or)
    }

    /// What comes of each pair of levels.
    fn pairs(self, other: Self, of: impl Fn(u8, u8) -> u8) -> Self {
        let found = self.iter().map(|one| other.each(|two| of(one, two)));
        found.fold(Self(0), Self::or)
    }

    /// 15 where it is on, 0 where it is off.
    fn full(self) -> Self {
        self.each(|level| if level > 0 { MOST } else { 0 })
    }
}

/// What is known of a network beside its parts, while signals settle.
#[derive(Clone, Copy)]
pub struct Known<'k> {
    /// What inventories read of which that is known; all others may read anything.
    pub readings: &'k BTreeMap<PartId, u8>,
    /// Whether a lever is ever moved.
    pub moves: &'k dyn Fn(PartId) -> bool,
}

/// What signals settle at.
pub struct Settled<'n> {
    network: &'n Network,
    known: Known<'n>,
    /// An inventory that reads a level of its own.
    apart: (PartId, u8),
    /// What has been worked out; `None` while it is being worked out.
    found: BTreeMap<PartId, Option<Levels>>,
}

impl<'n> Settled<'n> {
    /// While the inventory `apart` reads a level, whatever is known of it otherwise.
    #[must_use]
    pub fn new(network: &'n Network, known: Known<'n>, apart: (PartId, u8)) -> Self {
        Self {
            network,
            known,
            apart,
            found: BTreeMap::new(),
        }
    }

    /// The levels that a signal can settle at. Of one on a loop, or behind one, all are taken to be
    /// possible, and of one of which a part's past decides, off and on.
    pub fn levels(&mut self, signal: PartId) -> Levels {
        // The parts before a signal are worked out before it, without calling itself for each part of
        // a long chain.
        let mut waiting = vec![signal];
        while let Some(&next) = waiting.last() {
            if matches!(self.found.get(&next), Some(Some(_))) {
                waiting.pop();
                continue;
            }
            let inputs = self.network.signal(next).map_or_else(Vec::new, inputs_of);
            let was_entered = self.found.insert(next, None).is_some();
            let is_open = |input: &PartId| !self.found.contains_key(input);
            let open: Vec<PartId> = inputs.into_iter().filter(is_open).collect();
            if open.is_empty() || was_entered {
                let levels = self.of(next);
                self.found.insert(next, Some(levels));
                waiting.pop();
            } else {
                waiting.extend(open);
            }
        }
        self.of_input(signal)
    }

    /// What is known of an input: everything seems possible of one that hangs on itself.
    fn of_input(&self, input: PartId) -> Levels {
        self.found
            .get(&input)
            .copied()
            .flatten()
            .unwrap_or(Levels::ALL)
    }

    /// What a comparator reads of an inventory.
    fn read(&self, inventory: PartId) -> Levels {
        let (apart, level) = self.apart;
        match self.known.readings.get(&inventory) {
            _ if inventory == apart => Levels::only(level),
            Some(level) => Levels::only(*level),
            None => Levels::ALL,
        }
    }

    /// What one signal can settle at, from what its inputs can.
    fn of(&self, part: PartId) -> Levels {
        let Some(signal) = self.network.signal(part) else {
            return Levels::ALL;
        };
        let input = |input: &PartId| self.of_input(*input);
        match signal {
            Signal::Lever { starts_on } => match (self.known.moves)(part) {
                true => Levels::EITHER,
                false => Levels::on(*starts_on),
            },
            Signal::Wire { inputs } => {
                let inputs = inputs.iter();
                let levels = inputs.map(|(from, loss)| {
                    self.of_input(*from)
                        .each(|level| level.saturating_sub(*loss))
                });
                levels.fold(Levels::only(0), |one, two| one.pairs(two, u8::max))
            }
            Signal::Comparator { rear, side, mode } => {
                let rear = match rear {
                    Rear::Inventory(read) => self.read(*read),
                    Rear::Signal(rear) => input(rear),
                };
                let side = side.as_ref().map_or(Levels::only(0), input);
                rear.pairs(side, |rear, side| match mode {
                    ComparatorMode::Compare if rear >= side => rear,
                    ComparatorMode::Compare => 0,
                    ComparatorMode::Subtract => rear.saturating_sub(side),
                })
            }
            Signal::Inverter { input: from } => {
                input(from).each(|level| if level > 0 { 0 } else { MOST })
            }
            Signal::Repeater {
                input: from,
                lock: None,
                ..
            }
            | Signal::Hold { input: from, .. } => input(from).full(),
            Signal::DelayLine { input: from, .. } => input(from),
            Signal::AllOf { inputs } => {
                let levels = inputs.iter().map(|from| input(from).full());
                levels.fold(Levels::only(MOST), |one, two| one.pairs(two, u8::min))
            }
            Signal::NoneOf { inputs } => {
                let levels = inputs.iter().map(|from| input(from).full());
                let any = levels.fold(Levels::only(0), |one, two| one.pairs(two, u8::max));
                any.each(|level| MOST - level)
            }
            Signal::Button { .. }
            | Signal::Repeater { .. }
            | Signal::Observer { .. }
            | Signal::Latch { .. }
            | Signal::Toggle { .. }
            | Signal::Clock { .. } => Levels::EITHER,
        }
    }
}

/// The signals whose levels decide what a signal settles at.
fn inputs_of(signal: &Signal) -> Vec<PartId> {
    match signal {
        Signal::Wire { inputs } => inputs.iter().map(|(input, _)| *input).collect(),
        Signal::Comparator { rear, side, .. } => {
            let rear = match rear {
                Rear::Inventory(_) => None,
                Rear::Signal(rear) => Some(*rear),
            };
            rear.into_iter().chain(*side).collect()
        }
        Signal::Inverter { input }
        | Signal::Repeater { input, .. }
        | Signal::Hold { input, .. }
        | Signal::DelayLine { input, .. } => vec![*input],
        Signal::AllOf { inputs } | Signal::NoneOf { inputs } => inputs.clone(),
        Signal::Lever { .. } | Signal::Button { .. } | Signal::Observer { .. } => Vec::new(),
        Signal::Latch { .. } | Signal::Toggle { .. } | Signal::Clock { .. } => Vec::new(),
    }
}
