//! Short ways to build a network.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{
    Bench, Container, Hopper, Intake, Lift, Part, Selector, Signal, Stream,
};
use hallwright_core::predicate::Predicate;
use hallwright_core::rules::Rules;

/// A network under way, with two kinds of goods.
pub(crate) struct Draft {
    pub(crate) builder: NetworkBuilder,
    pub(crate) barley: KindId,
    pub(crate) rye: KindId,
}

impl Draft {
    pub(crate) fn new() -> Self {
        let mut builder = NetworkBuilder::new(Rules::default());
        let barley = builder.kind("barley", StackLimit::SixtyFour);
        let rye = builder.kind("rye", StackLimit::SixtyFour);
        Self {
            builder,
            barley,
            rye,
        }
    }

    pub(crate) fn chest(&mut self, name: &str) -> PartId {
        self.builder
            .add(name, Part::Container(Container { slots: 27 }))
    }

    pub(crate) fn chests<const N: usize>(&mut self, names: [&str; N]) -> [PartId; N] {
        names.map(|name| self.chest(name))
    }

    /// A hopper that takes from what stands above it.
    pub(crate) fn below(&mut self, name: &str, above: PartId, target: Option<PartId>) -> PartId {
        self.hopper(name, Intake::Above(above), target, None)
    }

    pub(crate) fn hopper(
        &mut self,
        name: &str,
        intake: Intake,
        target: Option<PartId>,
        lock: Option<PartId>,
    ) -> PartId {
        let hopper = Hopper {
            target,
            intake,
            lock,
        };
        self.builder.add(name, Part::Hopper(hopper))
    }

    /// A selector of these kinds.
    pub(crate) fn selector(
        &mut self,
        name: &str,
        kinds: &[KindId],
        match_target: PartId,
        rest_target: PartId,
    ) -> PartId {
        let selector = Selector {
            latency_ticks: 1,
            interval_ticks: 1,
            holds: 1,
            takes: Predicate::Kinds(kinds.to_vec()),
            match_target,
            rest_target,
            when_full: None,
            lock: None,
        };
        self.builder.add(name, Part::Selector(Box::new(selector)))
    }

    pub(crate) fn signal(&mut self, name: &str, signal: Signal) -> PartId {
        self.builder.add(name, Part::Signal(signal))
    }

    pub(crate) fn stream(&mut self, name: &str, mouth: PartId) -> PartId {
        let stream = Stream {
            transit_ticks: 10,
            mouth,
        };
        self.builder.add(name, Part::Stream(stream))
    }

    pub(crate) fn bench(&mut self, name: &str, output: PartId) -> PartId {
        let bench = Bench {
            lift: Lift::Empty,
            after_ticks: 0,
            output,
        };
        self.builder.add(name, Part::Bench(bench))
    }

    pub(crate) fn done(self) -> Network {
        self.builder.build().expect("the network is sound")
    }
}

/// The names of the parts of which something is true.
pub(crate) fn names(network: &Network, holds: impl Fn(PartId) -> bool) -> Vec<&str> {
    let parts = network.part_ids().filter(|part| holds(*part));
    parts.map(|part| network.name(part)).collect()
}
