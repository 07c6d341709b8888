//! Which signals can be on, and which can be off.

use hallwright_analysis::signals::reading_signals;
use hallwright_core::id::PartId;
use hallwright_core::part::{Rear, Signal};
use hallwright_core::timeline::Action;

use super::Design;
use super::reach::Reach;

/// What a signal may be at some time. More may seem possible than is, but never less.
#[derive(Clone, Copy, Default, PartialEq, Eq)]
struct States {
    on: bool,
    off: bool,
}

/// What every signal may be.
pub(super) struct Possible {
    states: Vec<States>,
}

impl Possible {
    /// Works it out, from the levers on.
    pub(super) fn new(design: &Design<'_>, reach: &Reach) -> Self {
        let network = design.network;
        let mut possible = Self {
            states: vec![States::default(); network.part_count()],
        };
        let parts = network.part_ids();
        let signals = parts.filter_map(|part| Some((part, network.signal(part)?)));
        let signals: Vec<(PartId, &Signal)> = signals.collect();
        let readers = reading_signals(network);
        for action in &design.actions {
            let (moved, on) = match action {
                Action::MoveLever { lever, on } => (std::slice::from_ref(lever), *on),
                Action::Stick { signals, on, .. } => (signals.as_slice(), *on),
                Action::Press { .. } | Action::Deliver { .. } | Action::Withdraw { .. } => continue,
                Action::Fill { .. } | Action::TakeBox { .. } => continue,
                Action::Sleep { .. } | Action::Reopen { .. } => continue,
            };
            for signal in moved {
                possible.add(*signal, States { on, off: !on });
            }
        }
        possible.spread(&readers, signals.clone(), reach);
        // What is left lies on loops of which nothing can be said.
        let unknown: Vec<PartId> = signals
            .iter()
            .map(|(id, _)| *id)
            .filter(|id| possible.states[id.index()] == States::default())
            .collect();
        for id in unknown {
            possible.add(
                id,
                States {
                    on: true,
                    off: true,
                },
            );
        }
        possible.spread(&readers, signals, reach);
        possible
    }

    /// Whether a signal may be off at some time.
    pub(super) fn off(&self, signal: PartId) -> bool {
        self.states[signal.index()].off
    }

    /// Whether a signal may go on and off.
    pub(super) fn changes(&self, signal: PartId) -> bool {
        self.on(signal) && self.off(signal)
    }

    fn on(&self, signal: PartId) -> bool {
        self.states[signal.index()].on
    }

    /// Notes states of a signal. Whether that is news.
    fn add(&mut self, signal: PartId, states: States) -> bool {
        let known = &mut self.states[signal.index()];
        let joined = States {
            on: known.on || states.on,
            off: known.off || states.off,
        };
        std::mem::replace(known, joined) != joined
    }

    /// Works out these signals, and again whatever reads one that is news.
    fn spread<'n>(
        &mut self,
        readers: &[Vec<(PartId, &'n Signal)>],
        mut waiting: Vec<(PartId, &'n Signal)>,
        reach: &Reach,
    ) {
        while let Some((id, signal)) = waiting.pop() {
            let states = self.states_of(signal, reach);
            if !self.add(id, states) {
                continue;
            }
            waiting.extend(&readers[id.index()]);
        }
    }

    /// What a signal may be, from what its inputs may be.
    fn states_of(&self, signal: &Signal, reach: &Reach) -> States {
        let same = |input: &PartId| self.states[input.index()];
        let (on, off) = match signal {
            Signal::Lever { starts_on } => (*starts_on, !*starts_on),
            Signal::Button { .. } | Signal::Observer { .. } => (true, true),
            Signal::Wire { inputs } => (
                inputs.iter().any(|(input, _)| self.on(*input)),
                inputs
                    .iter()
                    .all(|(input, loss)| *loss > 0 || self.off(*input)),
            ),
            Signal::Comparator { rear, side, .. } => {
                let rear = match rear {
                    Rear::Inventory(read) => States {
                        on: reach.can_hold(*read),
                        off: true,
                    },
                    Rear::Signal(rear) => same(rear),
                };
                let is_held_back = side.is_some_and(|side| self.on(side));
                (rear.on, rear.off || is_held_back)
            }
            Signal::Inverter { input } => (self.off(*input), self.on(*input)),
            Signal::Repeater { input, .. }
            | Signal::Hold { input, .. }
            | Signal::DelayLine { input, .. } => {
                let states = same(input);
                (states.on, states.off)
            }
            Signal::Latch { set, .. } => (self.on(*set), true),
            Signal::Toggle { input } => (self.on(*input), true),
            Signal::AllOf { inputs } => (
                inputs.iter().all(|input| self.on(*input)),
                inputs.iter().any(|input| self.off(*input)),
            ),
            Signal::NoneOf { inputs } => (
                inputs.iter().all(|input| self.off(*input)),
                inputs.iter().any(|input| self.on(*input)),
            ),
            Signal::Clock {
                period_ticks,
                high_ticks,
                ..
            } => (*high_ticks > 0, high_ticks < period_ticks),
        };
        States { on, off }
    }
}
