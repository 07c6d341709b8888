//! The signal graph.

use hallwright_core::id::PartId;
use hallwright_core::part::{ComparatorMode, Part, Rear, Signal, Watched};

use super::{List, Sketch};

/// The sorts of signal.
#[derive(Clone, Copy, PartialEq, Eq)]
enum SignalSort {
    Lever,
    Button,
    Wire,
    Repeater,
    Comparator,
    Inverter,
    Observer,
    Hold,
    Latch,
    Toggle,
    AllOf,
    NoneOf,
    Clock,
    DelayLine,
}

impl SignalSort {
    /// Whether a change passes through at once. A loop of such signals alone has no meaning.
    fn is_zero_delay(self) -> bool {
        matches!(self, Self::Wire | Self::Hold)
    }
}

/// A signal to be defined: its own place in the line order, and what sort each signal there has.
struct Seat<'a> {
    place: usize,
    sorts: &'a [SignalSort],
}

impl Sketch {
    /// Defines every signal.
    pub(super) fn define_signals(&mut self) {
        let signals = self.cast.signals.clone();
        let sorts: Vec<SignalSort> = signals
            .iter()
            .enumerate()
            .map(|(place, _)| self.sort(place))
            .collect();
        for (place, &id) in signals.iter().enumerate() {
            let seat = Seat {
                place,
                sorts: &sorts,
            };
            let signal = self.signal(&seat);
            self.define(id, Part::Signal(signal));
        }
    }

    /// At times, two observers watch the same lock, trigger or matches. It is drawn last, so that all else
    /// is as without it.
    pub(super) fn watch_together(&mut self) {
        let observers = self.signals_where(|signal| matches!(signal, Signal::Observer { .. }));
        let is_of_signal = |watched: &Watched| matches!(watched, Watched::Signal(_));
        let watched = observers.iter().find_map(|observer| {
            let Some(Part::Signal(Signal::Observer { watches })) = self.parts[observer.index()]
            else {
                return None;
            };
            (!is_of_signal(&watches)).then_some(watches)
        });
        let Some(watches) = watched.filter(|_| self.draw.percent(50)) else {
            return;
        };
        for observer in observers {
            if self.draw.percent(60) {
                self.parts[observer.index()] = Some(Part::Signal(Signal::Observer { watches }));
            }
        }
    }

    /// The first in line is a source, so that every other has something to read.
    fn sort(&mut self, place: usize) -> SignalSort {
        let sources = [
            (12, SignalSort::Lever),
            (8, SignalSort::Button),
            (60, SignalSort::Clock),
        ];
        if place == 0 {
            return self.draw.weighted(&sources);
        }
        self.draw.weighted(&[
            (7, SignalSort::Lever),
            (6, SignalSort::Button),
            (12, SignalSort::Clock),
            (9, SignalSort::Wire),
            (12, SignalSort::Repeater),
            (14, SignalSort::Comparator),
            (9, SignalSort::Inverter),
            (9, SignalSort::Observer),
            (7, SignalSort::Hold),
            (5, SignalSort::Latch),
            (5, SignalSort::Toggle),
            (4, SignalSort::AllOf),
            (4, SignalSort::NoneOf),
            (6, SignalSort::DelayLine),
        ])
    }

    fn signal(&mut self, seat: &Seat<'_>) -> Signal {
        match seat.sorts[seat.place] {
            SignalSort::Lever => Signal::Lever {
                starts_on: self.draw.percent(40),
            },
            SignalSort::Button => Signal::Button {
                hold_ticks: self.draw.between(1, 30),
            },
            SignalSort::Clock => self.clock(),
            SignalSort::Wire => Signal::Wire {
                inputs: self
                    .inputs(seat)
                    .into_iter()
                    .map(|input| (input, self.loss()))
                    .collect(),
            },
            SignalSort::Repeater => Signal::Repeater {
                input: self.input(seat),
                delay_ticks: self.draw.between(1, 4) * self.draw.between(1, 2),
                lock: self.draw.percent(25).then(|| self.input(seat)),
            },
            SignalSort::Comparator => self.comparator(seat),
            SignalSort::Inverter => Signal::Inverter {
                input: self.input(seat),
            },
            SignalSort::Observer => Signal::Observer {
                watches: self.watched(seat),
            },
            SignalSort::Hold => Signal::Hold {
                input: self.input(seat),
                hold_ticks: self.draw.between(1, 12),
            },
            SignalSort::Latch => Signal::Latch {
                set: self.input(seat),
                reset: self.input(seat),
            },
            SignalSort::Toggle => Signal::Toggle {
                input: self.input(seat),
            },
            SignalSort::AllOf => Signal::AllOf {
                inputs: self.inputs(seat),
            },
            SignalSort::NoneOf => Signal::NoneOf {
                inputs: self.inputs(seat),
            },
            SignalSort::DelayLine => Signal::DelayLine {
                input: self.input(seat),
                delay_ticks: self.draw.between(1, 12),
            },
        }
    }

    fn clock(&mut self) -> Signal {
        let short_ticks = self.draw.between(1, 6);
        let long_ticks = self.draw.between(5, 30);
        let period_ticks = self.draw.weighted(&[(35, short_ticks), (65, long_ticks)]);
        Signal::Clock {
            period_ticks,
            high_ticks: self.draw.between(0, period_ticks + 1),
            phase_ticks: i64::from(self.draw.between(0, 60)) - 20,
        }
    }

    fn loss(&mut self) -> u8 {
        self.draw.weighted(&[(60, 0), (20, 1), (15, 5), (5, 15)])
    }

    fn comparator(&mut self, seat: &Seat<'_>) -> Signal {
        let rear = if self.style.readings && self.draw.percent(75) {
            let weights = [
                (40, List::Containers),
                (30, List::Hoppers),
                (10, List::Droppers),
                (20, List::Benches),
                (20, List::Places),
            ];
            // A signal is none of these, so that any of them will do.
            let itself = self.cast.signals[seat.place];
            let read = self.pick_other(itself, &weights);
            Rear::Inventory(read.unwrap_or(self.cast.containers[0]))
        } else {
            Rear::Signal(self.input(seat))
        };
        Signal::Comparator {
            rear,
            side: self.draw.percent(40).then(|| self.input(seat)),
            mode: if self.draw.percent(50) {
                ComparatorMode::Compare
            } else {
                ComparatorMode::Subtract
            },
        }
    }

    fn watched(&mut self, seat: &Seat<'_>) -> Watched {
        let lockable = if self.draw.percent(60) {
            self.draw.pick(&self.cast.hoppers)
        } else {
            self.draw.pick(&self.cast.selectors)
        };
        let dropper = self.draw.pick(&self.cast.droppers);
        let selector = self.draw.pick(&self.cast.selectors);
        let watched = match self.draw.between(0, 6) {
            0 => lockable.map(Watched::Lock),
            1 => dropper.map(Watched::Trigger),
            2..=4 => selector.map(Watched::Matches),
            _ => None,
        };
        // What an observer watches makes no loop: it may watch any signal, even itself.
        watched.unwrap_or_else(|| {
            let any = self.any_signal();
            Watched::Signal(any.unwrap_or(self.cast.signals[seat.place]))
        })
    }

    fn inputs(&mut self, seat: &Seat<'_>) -> Vec<PartId> {
        (0..self.draw.weighted(&[(8, 0), (32, 1), (40, 2), (20, 3)]))
            .map(|_| self.input(seat))
            .collect()
    }

    /// A signal to read: one before it in line, or with feedback any one. What passes a change on at
    /// once reads its like only from before it, so that no loop is free of delay.
    fn input(&mut self, seat: &Seat<'_>) -> PartId {
        let own_is_zero_delay = seat.sorts[seat.place].is_zero_delay();
        let may_read = |other: usize, sort: SignalSort| {
            other < seat.place || !(own_is_zero_delay && sort.is_zero_delay())
        };
        let reach = if self.style.feedback && self.draw.percent(60) {
            seat.sorts.len()
        } else {
            seat.place
        };
        let choices: Vec<PartId> = (0..reach)
            .filter(|other| may_read(*other, seat.sorts[*other]))
            .map(|other| self.cast.signals[other])
            .collect();
        self.draw.pick(&choices).unwrap_or(self.cast.signals[0])
    }
}
