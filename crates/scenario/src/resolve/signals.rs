//! What each signal is.

use hallwright_core::id::PartId;
use hallwright_core::part::{ComparatorMode, Rear, Signal, Watched};
use hallwright_site::drawn::PlacedWire;

use super::Resolver;
use super::parts::{ANY_PART, Owner};
use crate::diagnostic::Diagnostic;
use crate::document::{
    ComparatorDocument, Expression, InputsDocument, ModeDocument, ObserverDocument, PartDocument,
    WatchedDocument, WireDocument, WireInputDocument,
};
use crate::ids;
use crate::source::Span;

/// The shortest delay that a repeater can be set to.
const REPEATER_DELAY_TICKS: u32 = 2;

/// The most that a wire can lose: a level has 15 steps.
const MOST_LOSS: u8 = 15;

impl<'d> Resolver<'d> {
    /// The signal that a document describes. `None` if something needed is missing, which is reported.
    pub(super) fn signal(
        &mut self,
        owner: Owner,
        document: &'d PartDocument,
        span: Span,
    ) -> Option<Signal> {
        Some(match document {
            PartDocument::Lever(lever) => Signal::Lever {
                starts_on: match &lever.starts_on {
                    Some(flag) => self.flag(owner.scope, flag).unwrap_or(false),
                    None => false,
                },
            },
            PartDocument::Button(button) => Signal::Button {
                hold_ticks: self.duration(owner, "hold time in ticks", &button.hold),
            },
            PartDocument::Wire(wire) => self.wire(owner, wire),
            PartDocument::Repeater(repeater) => Signal::Repeater {
                input: self.input(owner, ("input", repeater.head), &repeater.input),
                delay_ticks: match &repeater.delay {
                    Some(delay) => self.duration(owner, "delay in ticks", delay),
                    None => REPEATER_DELAY_TICKS,
                },
                lock: self.optional(owner, "lock", repeater.lock.as_ref()),
            },
            PartDocument::Comparator(comparator) => {
                return self.comparator(owner, comparator, span);
            }
            PartDocument::Inverter(inverter) => Signal::Inverter {
                input: self.input(owner, ("input", inverter.head), &inverter.input),
            },
            PartDocument::Observer(observer) => Signal::Observer {
                watches: self.observed(owner, observer),
            },
            PartDocument::Hold(hold) => Signal::Hold {
                input: self.input(owner, ("input", hold.head), &hold.input),
                hold_ticks: self.duration(owner, "hold time in ticks", &hold.hold),
            },
            PartDocument::Latch(latch) => Signal::Latch {
                set: self.input(owner, ("set", latch.head), &latch.set),
                reset: self.input(owner, ("reset", latch.head), &latch.reset),
            },
            PartDocument::Toggle(toggle) => Signal::Toggle {
                input: self.input(owner, ("input", toggle.head), &toggle.input),
            },
            PartDocument::AllOf(all) => Signal::AllOf {
                inputs: self.needed_inputs(owner, all),
            },
            PartDocument::NoneOf(none) => Signal::NoneOf {
                inputs: self.needed_inputs(owner, none),
            },
            PartDocument::Clock(clock) => Signal::Clock {
                period_ticks: self.duration(owner, "period in ticks", &clock.period),
                high_ticks: self.part_ticks(owner.scope, &clock.high).unwrap_or(1),
                phase_ticks: match &clock.phase {
                    Some(phase) => self.signed_ticks(owner.scope, phase).unwrap_or(0),
                    None => 0,
                },
            },
            PartDocument::DelayLine(line) => Signal::DelayLine {
                input: self.input(owner, ("input", line.head), &line.input),
                delay_ticks: self.duration(owner, "delay in ticks", &line.delay),
            },
            _ => return None,
        })
    }

    fn wire(&mut self, owner: Owner, wire: &'d WireDocument) -> Signal {
        let mut inputs: Vec<(PartId, Option<u8>)> = Vec::new();
        for input in &wire.inputs {
            match input {
                WireInputDocument::Plain(names) => {
                    let all = self.inputs(owner, names).into_iter();
                    inputs.extend(all.map(|input| (input, None)));
                }
                WireInputDocument::Loss(name, loss) => {
                    let input = self.connection(owner, "input", name);
                    let number: Option<u8> = self.number_from(owner.scope, loss, 0);
                    if number.is_some_and(|number| number > MOST_LOSS) {
                        let message = format!("a loss is at most {MOST_LOSS}");
                        self.problems.report(Diagnostic::error(
                            ids::BAD_NUMBER,
                            loss.span,
                            message,
                        ));
                    }
                    inputs.push((input, Some(number.unwrap_or(0))));
                }
            }
        }
        let chained = self.connections.wire_inputs(owner.part);
        inputs.extend(chained.iter().map(|input| (*input, None)));
        let placed = self.placement.of(owner.part);
        let has_blocks =
            placed.is_some_and(|placed| placed.position.is_some() || !placed.path.is_empty());
        if has_blocks && inputs.iter().any(|(_, loss)| loss.is_none()) {
            self.placed_wires.push(PlacedWire {
                part: owner.part,
                inputs: inputs.clone(),
            });
        }
        let all = inputs.into_iter();
        Signal::Wire {
            inputs: all
                .map(|(input, loss)| (input, loss.unwrap_or(0)))
                .collect(),
        }
    }

    /// The input of a field, which begins with this word.
    fn input(&mut self, owner: Owner, field: (&str, Span), name: &'d Option<Expression>) -> PartId {
        self.needed(owner, "input", field, name.as_ref())
    }

    /// Whether a part is a wire whose losses are left to its blocks.
    pub(super) fn leaves_losses(&self, part: PartId) -> bool {
        self.placed_wires
            .last()
            .is_some_and(|wire| wire.part == part)
    }

    /// Every input that a list names.
    fn inputs(&mut self, owner: Owner, list: &'d Expression) -> Vec<PartId> {
        let mut inputs = Vec::new();
        for (path, scope, span) in self.names(owner.scope, list) {
            for input in self.parts_at(&path, scope, span) {
                self.mark(owner.part, "input", Some(input), span);
                inputs.push(input);
            }
        }
        inputs
    }

    /// The inputs that a list names; of a drawn part as many as its box has sides for them.
    fn needed_inputs(&mut self, owner: Owner, document: &'d InputsDocument) -> Vec<PartId> {
        let is_drawn = self.is_drawn(owner.part);
        match &document.inputs {
            Some(inputs) => {
                if is_drawn {
                    self.report_declared_link(owner, inputs.span);
                }
                self.inputs(owner, inputs)
            }
            None if self.needs_no_links(owner.part) => {
                let sides = self.placement.of(owner.part).map(|placed| &placed.sides);
                let inputs = sides.into_iter().flatten();
                let inputs = inputs.filter(|gate| gate.name.starts_with("in"));
                inputs.map(|_| ANY_PART).collect()
            }
            None => {
                self.report_missing("inputs", document.head);
                vec![self.placeholder()]
            }
        }
    }

    fn comparator(
        &mut self,
        owner: Owner,
        comparator: &'d ComparatorDocument,
        span: Span,
    ) -> Option<Signal> {
        let rear = match (&comparator.reads, &comparator.rear) {
            (Some(reads), None) => Rear::Inventory(self.connection(owner, "reading", reads)),
            (None, Some(rear)) => Rear::Signal(self.connection(owner, "input", rear)),
            (None, None) if self.needs_no_links(owner.part) => Rear::Signal(ANY_PART),
            (reads, _) => {
                self.report_one_of(span, "`reads` and `rear`", usize::from(reads.is_some()));
                return None;
            }
        };
        Some(Signal::Comparator {
            rear,
            side: self.optional(owner, "input", comparator.side.as_ref()),
            mode: match comparator.mode {
                Some(ModeDocument::Subtract) => ComparatorMode::Subtract,
                Some(ModeDocument::Compare) | None => ComparatorMode::Compare,
            },
        })
    }

    fn observed(&mut self, owner: Owner, observer: &'d ObserverDocument) -> Watched {
        match &observer.watches {
            Some(watches) => self.watched(owner, watches),
            None => {
                let field = ("watches", observer.head);
                Watched::Signal(self.needed(owner, "watched part", field, None))
            }
        }
    }

    fn watched(&mut self, owner: Owner, watched: &'d WatchedDocument) -> Watched {
        let role = "watched part";
        match watched {
            WatchedDocument::Signal(of) => Watched::Signal(self.connection(owner, role, of)),
            WatchedDocument::Lock(of) => Watched::Lock(self.connection(owner, role, of)),
            WatchedDocument::Trigger(of) => Watched::Trigger(self.connection(owner, role, of)),
            WatchedDocument::Matches(of) => Watched::Matches(self.connection(owner, role, of)),
        }
    }
}
