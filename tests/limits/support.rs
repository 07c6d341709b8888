//! Short ways to build a network, run it and look at its limits.

use hallwright_analysis::limits::{Bound, Limiter, Limits};
use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::NetworkBuilder;
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::{Container, Dropper, Hopper, Intake, Outlet, Part, Signal, Stream};
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};
use hallwright_declared::declarations::{Declarations, Flow, Section, Stop};
use hallwright_report::findings::Findings;
use hallwright_report::{RunInput, run_with_limits};

/// A hall under way: one kind of goods, barley.
pub(crate) struct Hall {
    pub(crate) builder: NetworkBuilder,
    pub(crate) barley: KindId,
    pub(crate) declared: Declarations,
    pub(crate) entries: Vec<(Tick, Action)>,
}

impl Hall {
    pub(crate) fn new() -> Self {
        let mut builder = NetworkBuilder::new(Rules::default());
        let barley = builder.kind("barley", StackLimit::SixtyFour);
        Self {
            builder,
            barley,
            declared: Declarations::default(),
            entries: Vec::new(),
        }
    }

    /// A chest with 27 slots, so many of them full.
    pub(crate) fn chest(&mut self, name: &str, full_slots: u16) -> PartId {
        let chest = self
            .builder
            .add(name, Part::Container(Container { slots: 27 }));
        for slot in 0..full_slots {
            self.fill(chest, slot, 64);
        }
        chest
    }

    /// Puts barley into a slot.
    pub(crate) fn fill(&mut self, part: PartId, slot: u16, count: u8) {
        let filling = Filling {
            slot,
            kind: self.barley,
            count,
            contents: Vec::new(),
        };
        self.builder.fill(part, filling);
    }

    /// A hopper without a lock.
    pub(crate) fn hopper(&mut self, name: &str, intake: Intake, target: PartId) -> PartId {
        let hopper = Hopper {
            target: Some(target),
            intake,
            lock: None,
        };
        self.builder.add(name, Part::Hopper(hopper))
    }

    /// Hoppers `h[1]` to `h[count]`, each of which pushes into the next and the last into the target.
    /// The first pulls from what is above it.
    pub(crate) fn line(&mut self, count: usize, above: Intake, target: PartId) -> Vec<PartId> {
        let mut line = Vec::new();
        let mut next = target;
        for number in (1..=count).rev() {
            let intake = if number == 1 { above } else { Intake::Cap };
            next = self.hopper(&format!("h[{number}]"), intake, next);
            line.push(next);
        }
        line.reverse();
        line
    }

    /// A clock that is on for half its period.
    pub(crate) fn clock(&mut self, period_ticks: u32) -> PartId {
        let clock = Signal::Clock {
            period_ticks,
            high_ticks: period_ticks / 2,
            phase_ticks: 0,
        };
        self.builder.add("beat", Part::Signal(clock))
    }

    /// A stream that takes so long to a mouth.
    pub(crate) fn stream(&mut self, transit_ticks: u32, mouth: PartId) -> PartId {
        let stream = Stream {
            transit_ticks,
            mouth,
        };
        self.builder.add("brook", Part::Stream(stream))
    }

    /// A dropper that throws an item into a mouth or stream at each rise of a signal.
    pub(crate) fn thrower(&mut self, name: &str, beat: PartId, place: PartId) -> PartId {
        let dropper = Dropper {
            trigger: Some(beat),
            outlet: Outlet::Loose(place),
        };
        self.builder.add(name, Part::Dropper(dropper))
    }

    /// The operator takes so much out of a part at a tick.
    pub(crate) fn withdraw(&mut self, tick: u64, place: PartId, count: u32) {
        let taken = Action::Withdraw { place, count };
        self.entries.push((Tick(tick), taken));
    }

    /// So much barley comes to a part at a tick.
    pub(crate) fn deliver(&mut self, tick: u64, place: PartId, count: u32) {
        let delivery = Action::Deliver {
            place,
            kind: self.barley,
            count,
            contents: Vec::new(),
            terms: Terms::default(),
        };
        self.entries.push((Tick(tick), delivery));
    }

    /// Counts what comes into these parts.
    pub(crate) fn count_into(&mut self, into: &[PartId]) {
        self.declared.flows.push(Flow {
            name: "flow".to_owned(),
            into: into.to_vec(),
            kinds: Vec::new(),
        });
    }

    /// A stop that must clear this line.
    pub(crate) fn stop(&mut self, at: u64, line: &[PartId]) {
        self.declared.sections.push(Section {
            name: "line".to_owned(),
            line: line.to_vec(),
            queue: Vec::new(),
            locked: Vec::new(),
            call: None,
            returns: Vec::new(),
            width_blocks: None,
        });
        self.declared.stops.push(Stop {
            at: Tick(at),
            actions: Vec::new(),
            restart: None,
        });
    }

    /// Runs it.
    pub(crate) fn run(self, order: Order, run_ticks: u64) -> (Findings, Limits) {
        let network = self.builder.build().expect("the hall is sound");
        let timeline = Timeline::new(self.entries);
        let input = RunInput {
            network: &network,
            timeline: &timeline,
            seed: 1,
            orders: Orders::of_update(order),
            run_ticks,
            declarations: &self.declared,
        };
        let found = run_with_limits(&input, &mut (), &mut |_| {});
        let limits = found.limits.clone().expect("limits were asked for");
        (found, limits)
    }
}

/// The parts that limits a flow by their pace.
pub(crate) fn slowest(bound: &Bound) -> Vec<&str> {
    let paces = bound
        .limited_by
        .iter()
        .filter(|each| each.limiter == Limiter::Pace);
    paces.filter_map(|each| each.part.as_deref()).collect()
}
