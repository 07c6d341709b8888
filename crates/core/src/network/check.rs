//! Everything that is checked before a network is built.

use std::collections::BTreeSet;

use petgraph::algo::kosaraju_scc;
use petgraph::graphmap::DiGraphMap;

use super::links::for_each_input;
use super::{NetworkBuilder, NetworkError, Problem};
use crate::goods::Kind;
use crate::id::PartId;
use crate::part::{Intake, Lift, Outlet, Part, Rear, Selector, Shuttle, Signal, Watched};
use crate::slot::{BOX_SLOTS, DROPPER_SLOTS, Filling, HOPPER_SLOTS};

/// Every problem there is, in the order of declaration; loops last.
pub(super) fn check(builder: &NetworkBuilder) -> Vec<NetworkError> {
    let mut checker = Checker {
        builder,
        errors: Vec::new(),
    };
    checker.rules();
    checker.names();
    for (index, part) in builder.parts.iter().enumerate() {
        let id = PartId::from_index(index);
        match part {
            Some(part) => checker.part(id, part),
            None => checker.report(id, Problem::Undefined),
        }
    }
    checker.fillings();
    checker.shuttle_starts();
    checker.zero_delay_loops();
    checker.errors
}

/// How many kinds a network may handle: a slot stores a kind in 16 bits.
const KINDS_AT_MOST: usize = 65_535;

struct Checker<'a> {
    builder: &'a NetworkBuilder,
    errors: Vec<NetworkError>,
}

/// Which parts may stand at the end of a connection.
struct Expected {
    words: &'static str,
    fits: fn(&Part) -> bool,
}

const INVENTORY: Expected = Expected {
    words: "an inventory (a container, hopper, dropper, bench or shuttle's dock)",
    fits: |part| {
        matches!(
            part,
            Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Bench(_) | Part::Dock
        )
    },
};
const TARGET: Expected = Expected {
    words: "something to push into (an inventory or a selector)",
    fits: |part| (INVENTORY.fits)(part) || matches!(part, Part::Selector(_)),
};
const LOOSE: Expected = Expected {
    words: "a mouth or a stream",
    fits: |part| matches!(part, Part::Mouth | Part::Stream(_)),
};
const ANY_TARGET: Expected = Expected {
    words: "an inventory, selector, mouth or stream",
    fits: |part| (TARGET.fits)(part) || (LOOSE.fits)(part),
};
const SIGNAL: Expected = Expected {
    words: "a signal",
    fits: |part| matches!(part, Part::Signal(_)),
};
const MOUTH: Expected = Expected {
    words: "a mouth",
    fits: |part| matches!(part, Part::Mouth),
};
const BENCH: Expected = Expected {
    words: "a bench",
    fits: |part| matches!(part, Part::Bench(_)),
};
const DOCK: Expected = Expected {
    words: "a shuttle's dock",
    fits: |part| matches!(part, Part::Dock),
};
const LOCKABLE: Expected = Expected {
    words: "a hopper or selector",
    fits: |part| matches!(part, Part::Hopper(_) | Part::Selector(_)),
};
const DROPPER: Expected = Expected {
    words: "a dropper",
    fits: |part| matches!(part, Part::Dropper(_)),
};
const SELECTOR: Expected = Expected {
    words: "a selector",
    fits: |part| matches!(part, Part::Selector(_)),
};

impl Checker<'_> {
    fn report(&mut self, part: PartId, problem: Problem) {
        let name = self.builder.names.get(part).map(str::to_owned);
        self.errors.push(NetworkError {
            part: Some(part),
            name,
            problem,
        });
    }

    fn report_general(&mut self, problem: Problem) {
        self.errors.push(NetworkError {
            part: None,
            name: None,
            problem,
        });
    }

    fn rules(&mut self) {
        if let Some((field, value, range)) = self.builder.rules.out_of_range() {
            self.report_general(Problem::OutOfRange {
                field,
                value: value.into(),
                range,
            });
        }
    }

    fn names(&mut self) {
        if self.builder.kinds.len() > KINDS_AT_MOST {
            self.report_general(Problem::TooManyKinds(self.builder.kinds.len()));
        }
        let mut kinds = BTreeSet::new();
        for kind in &self.builder.kinds {
            if !kinds.insert(&kind.name) {
                self.report_general(Problem::DuplicateName(kind.name.clone()));
            }
        }
        let mut names: Vec<(&str, PartId)> = self
            .builder
            .names
            .iter()
            .map(|(part, name)| (name, part))
            .collect();
        names.sort_unstable();
        let mut again: Vec<(PartId, &str)> = names
            .windows(2)
            .filter(|pair| pair[0].0 == pair[1].0)
            .map(|pair| (pair[1].1, pair[1].0))
            .collect();
        again.sort_unstable();
        for (part, name) in again {
            self.report(part, Problem::DuplicateName(name.to_owned()));
        }
    }

    fn name(&self, part: PartId) -> String {
        self.builder.names.get(part).unwrap_or_default().to_owned()
    }

    fn connection(&mut self, from: PartId, role: &'static str, to: PartId, expected: &Expected) {
        let Some(Some(other)) = self.builder.parts.get(to.index()) else {
            return; // Declared but never defined: reported there.
        };
        if from == to {
            self.report(from, Problem::LeadsToItself(role));
            return;
        }
        if !(expected.fits)(other) {
            let problem = Problem::WrongPart {
                role,
                other: self.name(to),
                found: in_words(other),
                expected: expected.words,
            };
            self.report(from, problem);
        }
    }

    fn optional(&mut self, from: PartId, role: &'static str, to: Option<PartId>, is: &Expected) {
        if let Some(to) = to {
            self.connection(from, role, to, is);
        }
    }

    fn at_least_one(&mut self, part: PartId, field: &'static str, value: u32) {
        if value == 0 {
            self.report(
                part,
                Problem::OutOfRange {
                    field,
                    value: 0,
                    range: "at least 1",
                },
            );
        }
    }

    fn part(&mut self, id: PartId, part: &Part) {
        match part {
            Part::Container(container) => self.at_least_one(id, "slots", container.slots.into()),
            Part::Hopper(hopper) => {
                self.optional(id, "target", hopper.target, &TARGET);
                self.optional(id, "lock", hopper.lock, &SIGNAL);
                match hopper.intake {
                    Intake::Above(above) => {
                        self.connection(id, "inventory above", above, &INVENTORY);
                    }
                    Intake::Mouth(mouth) => self.connection(id, "mouth", mouth, &MOUTH),
                    Intake::Cap => {}
                }
            }
            Part::Dropper(dropper) => {
                self.optional(id, "trigger", dropper.trigger, &SIGNAL);
                match dropper.outlet {
                    Outlet::Into(target) => self.connection(id, "target", target, &TARGET),
                    Outlet::Bench(bench) => self.connection(id, "bench", bench, &BENCH),
                    Outlet::Loose(place) => self.connection(id, "outlet", place, &LOOSE),
                }
            }
            Part::Mouth | Part::Dock => {}
            Part::Stream(stream) => {
                self.at_least_one(id, "transit time in ticks", stream.transit_ticks);
                self.connection(id, "end", stream.mouth, &MOUTH);
            }
            Part::Bench(bench) => {
                self.connection(id, "output", bench.output, &LOOSE);
                if let Lift::Signal(signal) = bench.lift {
                    self.connection(id, "lift signal", signal, &SIGNAL);
                }
            }
            Part::Selector(selector) => self.selector(id, selector),
            Part::Shuttle(shuttle) => self.shuttle(id, shuttle),
            Part::Signal(signal) => self.signal(id, signal),
        }
    }

    fn selector(&mut self, id: PartId, selector: &Selector) {
        self.at_least_one(id, "`holds`", selector.holds);
        self.connection(id, "match target", selector.match_target, &ANY_TARGET);
        self.connection(id, "rest target", selector.rest_target, &ANY_TARGET);
        self.optional(id, "`when_full` target", selector.when_full, &ANY_TARGET);
        self.optional(id, "lock", selector.lock, &SIGNAL);
    }

    fn shuttle(&mut self, id: PartId, shuttle: &Shuttle) {
        if shuttle.slots != BOX_SLOTS && shuttle.slots != HOPPER_SLOTS {
            let value = shuttle.slots.into();
            self.report(
                id,
                Problem::OutOfRange {
                    field: "slots",
                    value,
                    range: "27 or 5",
                },
            );
        }
        let stops = u32::try_from(shuttle.stops.len()).unwrap_or(u32::MAX);
        self.at_least_one(id, "number of stops", stops);
        for stop in &shuttle.stops {
            self.connection(id, "stop", stop.dock, &DOCK);
            self.optional(id, "release", stop.release, &SIGNAL);
        }
    }

    fn signal(&mut self, id: PartId, signal: &Signal) {
        let mut inputs = Vec::new();
        for_each_input(signal, &mut |input| inputs.push(input));
        for input in inputs.into_iter().filter(|input| *input != id) {
            self.connection(id, "input", input, &SIGNAL); // A signal may read itself.
        }
        match signal {
            Signal::Button { hold_ticks } | Signal::Hold { hold_ticks, .. } => {
                self.at_least_one(id, "hold time in ticks", *hold_ticks);
            }
            Signal::Repeater {
                delay_ticks, lock, ..
            } => {
                self.at_least_one(id, "delay in ticks", *delay_ticks);
                self.optional(id, "lock", lock.filter(|lock| *lock != id), &SIGNAL);
            }
            Signal::DelayLine { delay_ticks, .. } => {
                self.at_least_one(id, "delay in ticks", *delay_ticks);
            }
            Signal::Clock { period_ticks, .. } => {
                self.at_least_one(id, "period in ticks", *period_ticks);
            }
            Signal::Comparator {
                rear: Rear::Inventory(read),
                ..
            } => {
                self.connection(id, "reading", *read, &INVENTORY);
            }
            Signal::Observer { watches } => {
                let (of, expected) = match watches {
                    Watched::Signal(of) => (of, &SIGNAL),
                    Watched::Lock(of) => (of, &LOCKABLE),
                    Watched::Trigger(of) => (of, &DROPPER),
                    Watched::Matches(of) => (of, &SELECTOR),
                };
                if *of != id {
                    self.connection(id, "watched part", *of, expected);
                }
            }
            Signal::Comparator {
                rear: Rear::Signal(_),
                ..
            } => {}
            Signal::Lever { .. } | Signal::Wire { .. } | Signal::Inverter { .. } => {}
            Signal::Latch { .. } | Signal::Toggle { .. } => {}
            Signal::AllOf { .. } | Signal::NoneOf { .. } => {}
        }
    }

    fn fillings(&mut self) {
        let builder = self.builder;
        let mut previous = None;
        for (part, filling) in &builder.fillings {
            if previous == Some((*part, filling.slot)) {
                self.report(*part, Problem::SlotFilledTwice(filling.slot));
            }
            previous = Some((*part, filling.slot));
            let slots = match builder.parts[part.index()].as_ref() {
                None => continue,
                Some(Part::Container(container)) => container.slots,
                Some(Part::Hopper(_)) => HOPPER_SLOTS,
                Some(Part::Dropper(_)) => DROPPER_SLOTS,
                Some(Part::Shuttle(shuttle)) => shuttle.slots,
                Some(other) => {
                    self.report(*part, Problem::CannotHold(in_words(other)));
                    continue;
                }
            };
            for problem in filling_problems(builder, slots, filling) {
                self.report(*part, problem);
            }
        }
    }

    fn shuttle_starts(&mut self) {
        let builder = self.builder;
        let mut starts: Vec<(PartId, PartId)> = Vec::new();
        for (index, part) in builder.parts.iter().enumerate() {
            let Some(Part::Shuttle(shuttle)) = part else {
                continue;
            };
            let Some(first) = shuttle.stops.first() else {
                continue;
            };
            let id = PartId::from_index(index);
            if let Some((other, _)) = starts.iter().find(|(_, place)| *place == first.dock) {
                let other = self.name(*other);
                self.report(id, Problem::SameStart(other));
            }
            starts.push((id, first.dock));
        }
    }

    /// Wires and holds pass a change on at once; a loop of them alone has no meaning.
    fn zero_delay_loops(&mut self) {
        let is_zero_delay = |id: PartId| {
            matches!(
                self.builder.parts.get(id.index()),
                Some(Some(Part::Signal(
                    Signal::Wire { .. } | Signal::Hold { .. }
                )))
            )
        };
        let mut wires = DiGraphMap::<PartId, ()>::new();
        for (index, part) in self.builder.parts.iter().enumerate() {
            let id = PartId::from_index(index);
            let Some(Part::Signal(signal)) = part else {
                continue;
            };
            if is_zero_delay(id) {
                for_each_input(signal, &mut |input| {
                    if is_zero_delay(input) {
                        wires.add_edge(input, id, ());
                    }
                });
            }
        }
        let components: Vec<Vec<PartId>> = kosaraju_scc(&wires);
        let mut loops: Vec<Vec<PartId>> = components
            .iter()
            .filter(|members| members.len() > 1 || wires.contains_edge(members[0], members[0]))
            .map(|members| one_loop(&wires, members))
            .collect();
        loops.sort();
        for members in loops {
            let name = |part: &PartId| self.name(*part);
            let mut names: Vec<String> = members.iter().map(name).collect();
            names.push(names[0].clone());
            self.report(members[0], Problem::ZeroDelayLoop(names));
        }
    }
}

/// One loop through the lowest member of a strongly connected component, in the order in which the
/// signal goes round.
fn one_loop(wires: &DiGraphMap<PartId, ()>, members: &[PartId]) -> Vec<PartId> {
    let inside: BTreeSet<PartId> = members.iter().copied().collect();
    let Some(&first) = inside.first() else {
        return Vec::new();
    };
    let mut paths = vec![vec![first]];
    let mut seen = BTreeSet::new();
    // Breadth first, so that the loop named is a shortest one.
    while !paths.is_empty() {
        let mut longer = Vec::new();
        for path in paths {
            for next in wires.neighbors(path[path.len() - 1]) {
                if next == first {
                    return path;
                }
                if inside.contains(&next) && seen.insert(next) {
                    longer.push([path.as_slice(), &[next]].concat());
                }
            }
        }
        paths = longer;
    }
    vec![first]
}

/// What is wrong with one filling of a part.
fn filling_problems(builder: &NetworkBuilder, slots: u16, filling: &Filling) -> Vec<Problem> {
    let kinds = &builder.kinds;
    let kind = &kinds[filling.kind.index()];
    let mut problems = slot_problems(kinds, slots, filling);
    problems.extend(contents_problems(kinds, kind, &filling.contents));
    problems
}

/// What is wrong with the slot and count of a filling.
fn slot_problems(kinds: &[Kind], slots: u16, filling: &Filling) -> Vec<Problem> {
    let mut problems = Vec::new();
    let kind = &kinds[filling.kind.index()];
    if filling.slot >= slots {
        problems.push(Problem::NoSuchSlot {
            slot: filling.slot,
            slots,
        });
    }
    let limit = kind.stack_limit.items();
    if filling.count == 0 || filling.count > limit {
        problems.push(Problem::WrongCount {
            slot: filling.slot,
            kind: kind.name.clone(),
            count: filling.count.into(),
            limit,
        });
    }
    problems
}

/// What is wrong with the contents of an item.
pub(super) fn contents_problems(kinds: &[Kind], kind: &Kind, contents: &[Filling]) -> Vec<Problem> {
    let mut problems = Vec::new();
    if !kind.is_box && !contents.is_empty() {
        problems.push(Problem::NotABox(kind.name.clone()));
    }
    let mut filled = BTreeSet::new();
    for inner in contents {
        if kinds[inner.kind.index()].is_box {
            problems.push(Problem::BoxInBox(kinds[inner.kind.index()].name.clone()));
        } else {
            if !inner.contents.is_empty() {
                problems.push(Problem::NotABox(kinds[inner.kind.index()].name.clone()));
            }
            problems.extend(slot_problems(kinds, BOX_SLOTS, inner));
        }
        if !filled.insert(inner.slot) {
            problems.push(Problem::SlotFilledTwice(inner.slot));
        }
    }
    problems
}

/// A part's kind in words, with its article.
fn in_words(part: &Part) -> String {
    if let Part::Signal(_) = part {
        "a signal".to_owned()
    } else if let Part::Dock = part {
        "a shuttle's dock".to_owned()
    } else {
        format!("a {}", part.word())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::part::{Container, Dropper, Hopper};
    use crate::predicate::Predicate;
    use crate::rules::Rules;

    fn problems(builder: NetworkBuilder) -> Vec<Problem> {
        let errors = builder.build().err().unwrap_or_default();
        errors.into_iter().map(|error| error.problem).collect()
    }

    #[test]
    fn no_part_hands_items_to_itself() {
        let mut builder = NetworkBuilder::new(Rules::default());
        let chest = builder.add("chest", Part::Container(Container { slots: 27 }));
        let hopper = builder.declare("hopper");
        let hopper_part = Hopper {
            target: Some(hopper),
            intake: Intake::Above(hopper),
            lock: None,
        };
        builder.define(hopper, Part::Hopper(hopper_part));
        let dropper = builder.declare("dropper");
        let dropper_part = Dropper {
            trigger: None,
            outlet: Outlet::Into(dropper),
        };
        builder.define(dropper, Part::Dropper(dropper_part));
        let selector = builder.declare("selector");
        let selector_part = Selector {
            latency_ticks: 8,
            interval_ticks: 8,
            holds: 1,
            takes: Predicate::Box,
            match_target: chest,
            rest_target: selector,
            when_full: None,
            lock: None,
        };
        builder.define(selector, Part::Selector(Box::new(selector_part)));
        let roles = ["target", "inventory above", "target", "rest target"];
        let expected: Vec<Problem> = roles.map(Problem::LeadsToItself).into();
        assert_eq!(problems(builder), expected);
    }

    #[test]
    fn a_delayed_signal_may_read_itself() {
        let mut builder = NetworkBuilder::new(Rules::default());
        let blinker = builder.declare("blinker");
        builder.define(blinker, Part::Signal(Signal::Inverter { input: blinker }));
        assert_eq!(problems(builder), Vec::new());
    }
}
