//! From an outline to a network that can run.

use std::collections::BTreeSet;

use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder, NetworkError};
use hallwright_core::part::{
    Bench, Container, Dropper, Hopper, Intake, Leg, Lift, Outlet, Part, Rear, Selector, Shuttle,
    Signal, Stream, Watched,
};

use super::{Ear, Member, Outline, Role};
use crate::blocks::{LiftedWhen, Settings};

impl Outline {
    /// The network, its parts in the order of the members, and behind them one wire for each ear that hears
    /// several sources, or one through a wire or a full block. What leads nowhere leads to an open place of
    /// its own, where things come loose and lie; what must hear something and does not hears an empty wire.
    /// Member `n` is part `n`.
    ///
    /// # Errors
    ///
    /// What the network's own checks find, as a loop of signals without delay.
    pub fn network(&self) -> Result<Network, Vec<NetworkError>> {
        let mut builder = NetworkBuilder::new(self.rules);
        for kind in &self.kinds {
            if kind.is_box {
                builder.box_kind(&kind.name);
            } else {
                builder.kind(&kind.name, kind.stack_limit);
            }
        }
        for member in &self.members {
            builder.declare(&member.name);
        }
        let names = self.members.iter().map(|member| member.name.clone());
        let mut writer = Writer::new(&mut builder, names.collect());
        for (number, member) in self.members.iter().enumerate() {
            let id = PartId::from_index(number);
            writer.define(id, member);
            for filling in &member.contents {
                writer.builder.fill(id, filling.clone());
            }
        }
        builder.build()
    }
}

/// Defines parts by their members, and adds what these need besides.
pub(crate) struct Writer<'b> {
    builder: &'b mut NetworkBuilder,
    names: BTreeSet<String>,
    /// The wire that nothing gives a signal to.
    silence: Option<PartId>,
    /// What was added.
    added: Vec<(PartId, Added)>,
}

/// A part that was added, since a member needed it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Added {
    /// A wire to one listener.
    Wire,
    /// An open block where what this part throws or lets go comes to lie.
    OpenBlock(PartId),
    /// A place where a shuttle stops.
    Dock,
}

/// What a member is linked to in a role.
fn linked(member: &Member, role: Role) -> Option<PartId> {
    let mut links = member.links.iter();
    let found = links.find(|(other, _)| *other == role);
    found.map(|(_, to)| PartId::from_index(*to))
}

impl<'b> Writer<'b> {
    /// One for a builder that has parts of these names.
    pub(crate) fn new(builder: &'b mut NetworkBuilder, names: BTreeSet<String>) -> Self {
        Self {
            builder,
            names,
            silence: None,
            added: Vec::new(),
        }
    }

    /// Says what a declared part is. The members to which this one is linked, and which it hears, are the
    /// parts of their numbers.
    pub(crate) fn define(&mut self, id: PartId, member: &Member) {
        let part = self.part(id, member);
        self.builder.define(id, part);
    }

    /// What was added.
    pub(crate) fn added(self) -> Vec<(PartId, Added)> {
        self.added
    }

    fn part(&mut self, id: PartId, member: &Member) -> Part {
        match &member.settings {
            Settings::Container { slots } => Part::Container(Container { slots: *slots }),
            Settings::Mouth => Part::Mouth,
            Settings::Dock => Part::Dock,
            Settings::Hopper => self.hopper(member),
            Settings::Dropper => self.dropper(id, member),
            Settings::Stream { transit_ticks } => Part::Stream(Stream {
                transit_ticks: *transit_ticks,
                mouth: self.led_to(id, member, Role::End),
            }),
            Settings::Bench { lift, after_ticks } => Part::Bench(Bench {
                lift: match lift {
                    LiftedWhen::Empty => Lift::Empty,
                    LiftedWhen::Full => Lift::Full,
                    LiftedWhen::Signal => Lift::Signal(self.must_hear(member, Ear::Lift)),
                },
                after_ticks: *after_ticks,
                output: self.led_to(id, member, Role::Out),
            }),
            Settings::Selector {
                latency_ticks,
                interval_ticks,
                holds,
                takes,
            } => Part::Selector(Box::new(Selector {
                latency_ticks: *latency_ticks,
                interval_ticks: *interval_ticks,
                holds: *holds,
                takes: takes.clone(),
                match_target: self.led_to(id, member, Role::Match),
                rest_target: self.led_to(id, member, Role::Rest),
                when_full: linked(member, Role::WhenFull),
                lock: self.hears(member, Ear::Lock),
            })),
            Settings::Shuttle { slots, stops } => {
                let numbered = stops.iter().enumerate();
                let stops = numbered
                    .map(|(number, (travel_ticks, dwell_ticks))| Leg {
                        dock: self.dock(member, number),
                        travel_ticks: *travel_ticks,
                        dwell_ticks: *dwell_ticks,
                        release: self.hears(member, Ear::Release(number)),
                    })
                    .collect();
                let slots = *slots;
                Part::Shuttle(Box::new(Shuttle { slots, stops }))
            }
            Settings::Lever { .. }
            | Settings::Button { .. }
            | Settings::Repeater { .. }
            | Settings::Comparator { .. }
            | Settings::Inverter
            | Settings::Observer
            | Settings::Hold { .. }
            | Settings::Latch
            | Settings::Toggle
            | Settings::AllOf { .. }
            | Settings::NoneOf { .. }
            | Settings::Clock { .. }
            | Settings::DelayLine { .. } => Part::Signal(self.signal(member, &member.settings)),
        }
    }

    fn hopper(&mut self, member: &Member) -> Part {
        let above = linked(member, Role::Above).map(Intake::Above);
        let mouth = || linked(member, Role::Mouth).map(Intake::Mouth);
        Part::Hopper(Hopper {
            target: linked(member, Role::Target),
            intake: above.or_else(mouth).unwrap_or(Intake::Cap),
            lock: self.hears(member, Ear::Lock),
        })
    }

    fn dropper(&mut self, id: PartId, member: &Member) -> Part {
        let into = linked(member, Role::Into).map(Outlet::Into);
        let bench = || linked(member, Role::Bench).map(Outlet::Bench);
        let outlet = into.or_else(bench);
        Part::Dropper(Dropper {
            trigger: self.hears(member, Ear::Trigger),
            outlet: outlet.unwrap_or_else(|| Outlet::Loose(self.led_to(id, member, Role::Loose))),
        })
    }

    fn signal(&mut self, member: &Member, settings: &Settings) -> Signal {
        match *settings {
            Settings::Lever { starts_on } => Signal::Lever { starts_on },
            Settings::Button { hold_ticks } => Signal::Button { hold_ticks },
            Settings::Clock {
                period_ticks,
                high_ticks,
                phase_ticks,
            } => Signal::Clock {
                period_ticks,
                high_ticks,
                phase_ticks,
            },
            Settings::Repeater { delay_ticks } => Signal::Repeater {
                input: self.must_hear(member, Ear::Input(0)),
                delay_ticks,
                lock: self.hears(member, Ear::Lock),
            },
            Settings::Comparator { mode } => Signal::Comparator {
                rear: match linked(member, Role::Reads) {
                    Some(read) => Rear::Inventory(read),
                    None => Rear::Signal(self.must_hear(member, Ear::Rear)),
                },
                side: self.hears(member, Ear::Side),
                mode,
            },
            Settings::Observer => Signal::Observer {
                watches: self.watched(member),
            },
            Settings::Inverter => Signal::Inverter {
                input: self.must_hear(member, Ear::Input(0)),
            },
            Settings::Hold { hold_ticks } => Signal::Hold {
                input: self.must_hear(member, Ear::Input(0)),
                hold_ticks,
            },
            Settings::Latch => Signal::Latch {
                set: self.must_hear(member, Ear::Input(0)),
                reset: self.must_hear(member, Ear::Input(1)),
            },
            Settings::Toggle => Signal::Toggle {
                input: self.must_hear(member, Ear::Input(0)),
            },
            Settings::AllOf { inputs } => Signal::AllOf {
                inputs: self.must_hear_all(member, inputs),
            },
            Settings::NoneOf { inputs } => Signal::NoneOf {
                inputs: self.must_hear_all(member, inputs),
            },
            Settings::DelayLine { delay_ticks } => Signal::DelayLine {
                input: self.must_hear(member, Ear::Input(0)),
                delay_ticks,
            },
            Settings::Container { .. } | Settings::Hopper | Settings::Dropper => {
                unreachable!("a part that holds items is no signal")
            }
            Settings::Mouth | Settings::Stream { .. } | Settings::Bench { .. } => {
                unreachable!("a part where items lie is no signal")
            }
            Settings::Selector { .. } | Settings::Dock | Settings::Shuttle { .. } => {
                unreachable!("a part that carries items is no signal")
            }
        }
    }

    fn watched(&mut self, member: &Member) -> Watched {
        let signal = || linked(member, Role::WatchesSignal).map(Watched::Signal);
        let lock = || linked(member, Role::WatchesLock).map(Watched::Lock);
        let trigger = || linked(member, Role::WatchesTrigger).map(Watched::Trigger);
        let matches = || linked(member, Role::WatchesMatches).map(Watched::Matches);
        let looks_at = signal().or_else(lock).or_else(trigger).or_else(matches);
        looks_at.unwrap_or_else(|| {
            // What an observer sees of a wire is not what it would see of its only source.
            Watched::Signal(match member.hears.contains_key(&Ear::Watch) {
                true => self.wire(member, Ear::Watch),
                false => self.silence(),
            })
        })
    }

    fn hears(&mut self, member: &Member, ear: Ear) -> Option<PartId> {
        let hearing = member.hears.get(&ear)?;
        match hearing.only_one_itself() {
            Some(source) => Some(PartId::from_index(source)),
            None => Some(self.wire(member, ear)),
        }
    }

    fn must_hear(&mut self, member: &Member, ear: Ear) -> PartId {
        self.hears(member, ear).unwrap_or_else(|| self.silence())
    }

    fn must_hear_all(&mut self, member: &Member, inputs: usize) -> Vec<PartId> {
        let ears = (0..inputs).map(Ear::Input);
        ears.map(|ear| self.must_hear(member, ear)).collect()
    }

    /// The wire through which an ear hears.
    fn wire(&mut self, member: &Member, ear: Ear) -> PartId {
        let hearing = member.hears.get(&ear);
        let all = hearing.into_iter().flat_map(|hearing| hearing.iter());
        let inputs = all
            .map(|(source, heard)| (PartId::from_index(source), heard.loss))
            .collect();
        let name = format!("{} of {}", ear.words(), member.name);
        self.add(name, Part::Signal(Signal::Wire { inputs }), Added::Wire)
    }

    fn silence(&mut self) -> PartId {
        if let Some(silence) = self.silence {
            return silence;
        }
        let inputs = Vec::new();
        let part = Part::Signal(Signal::Wire { inputs });
        let silence = self.add("no signal".to_owned(), part, Added::Wire);
        self.silence = Some(silence);
        silence
    }

    /// Where a member leads in a role: an open place of its own if to nothing.
    fn led_to(&mut self, id: PartId, member: &Member, role: Role) -> PartId {
        linked(member, role).unwrap_or_else(|| {
            let name = format!("open block at {}", member.name);
            self.add(name, Part::Mouth, Added::OpenBlock(id))
        })
    }

    fn dock(&mut self, member: &Member, number: usize) -> PartId {
        linked(member, Role::Stop(number)).unwrap_or_else(|| {
            let name = format!("stop {} of {}", number + 1, member.name);
            self.add(name, Part::Dock, Added::Dock)
        })
    }

    /// Adds a part that is no member, under this name or one like it that is free.
    pub(crate) fn add(&mut self, mut name: String, part: Part, added: Added) -> PartId {
        while !self.names.insert(name.clone()) {
            name.push('\'');
        }
        let id = self.builder.add(&name, part);
        self.added.push((id, added));
        id
    }
}

#[cfg(test)]
mod tests {
    use hallwright_core::rules::Rules;

    use super::*;
    use crate::network::same;

    #[test]
    fn a_network_is_the_same_after_its_wires_are_laid_anew() {
        let mut builder = NetworkBuilder::new(Rules::default());
        let lever = builder.add("lever", Part::Signal(Signal::Lever { starts_on: false }));
        let hold_ticks = 20;
        let button = builder.add("button", Part::Signal(Signal::Button { hold_ticks }));
        let mut wire =
            |name: &str, inputs| builder.add(name, Part::Signal(Signal::Wire { inputs }));
        let near = wire("near", vec![(lever, 3)]);
        let far = wire("far", vec![(near, 4), (lever, 9), (button, 15)]);
        builder.add(
            "hopper",
            Part::Hopper(Hopper {
                target: None,
                intake: Intake::Cap,
                lock: Some(far),
            }),
        );
        builder.add("inverter", Part::Signal(Signal::Inverter { input: lever }));
        let network = builder.build().expect("the network is sound");
        let outline = Outline::of(&network);
        let lock = &outline.members[2].hears[&Ear::Lock];
        let losses: Vec<(usize, u8)> = lock.iter().map(|(s, heard)| (s, heard.loss)).collect();
        assert_eq!(
            losses,
            [(0, 7)],
            "the better way counts, and 15 is not heard"
        );
        let again = outline.network().expect("the outline is sound");
        assert_eq!(again.part_count(), 5, "one wire, for the lock");
        let matched = same(&outline, &Outline::of(&again));
        assert_eq!(matched, Some(vec![0, 1, 2, 3]));
    }
}
