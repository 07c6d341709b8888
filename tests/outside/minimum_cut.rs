//! Throughput of random hopper networks against minimum cuts.
//!
//! No flow is greater than the capacity of any cut, and the greatest one equals the smallest cut:
//! L. R. Ford and D. R. Fulkerson, Maximal Flow through a Network, Canadian Journal of Mathematics 8,
//! 1956, pages 399 to 404. The cuts are worked out by a maximum flow of petgraph.

use hallwright_reference::Fault;

use crate::flow_network::FlowNetwork;
use crate::runs::{Runner, events, ticks_of_moves_into};

/// Between two items that pass over one link.
const COOLDOWN_TICKS: u64 = 8;
/// Lines are full, or as empty as they will be, after this.
const WARM_UP_TICKS: u64 = 4000;
/// 500 items over each link.
const MEASURED_TICKS: u64 = 4000;
/// A fed line gives at least so much of what it could: 98 of 100.
const LEAST_HUNDREDTHS: u64 = 98;

/// What a network passes, beside what it could.
struct Flow {
    minimum_cut: u64,
    /// The tick in which each item reached the store.
    ticks: Vec<u64>,
}

impl Flow {
    fn measure(flow_network: &FlowNetwork, runner: Runner) -> Self {
        let length = WARM_UP_TICKS + MEASURED_TICKS;
        let (network, setup, store) = flow_network.build(length);
        let events = events(&network, &setup, length, runner);
        Self {
            minimum_cut: u64::from(flow_network.minimum_cut()),
            ticks: ticks_of_moves_into(store, &events),
        }
    }

    /// Whether no more items reached the store by any tick than the cut had passed by then: over each
    /// of its links one at once and one more every 8 ticks. Hoppers are empty at the start.
    fn is_never_above(&self) -> bool {
        let mut reached = (1..).zip(&self.ticks);
        reached.all(|(items, tick)| items <= self.minimum_cut * (tick / COOLDOWN_TICKS + 1))
    }

    /// How many items reached the store while it was measured.
    fn measured(&self) -> u64 {
        let measured = self.ticks.iter().filter(|tick| **tick >= WARM_UP_TICKS);
        measured.count() as u64
    }

    /// How many could.
    fn possible(&self) -> u64 {
        self.minimum_cut * MEASURED_TICKS / COOLDOWN_TICKS
    }

    fn is_close(&self) -> bool {
        self.measured() * 100 >= self.possible() * LEAST_HUNDREDTHS
    }
}

/// The first networks, by seed, that let anything through and, if asked, are fed.
fn networks(count: usize, fed_only: bool) -> impl Iterator<Item = (u64, FlowNetwork)> {
    let drawn = (0..).map(|seed| (seed, FlowNetwork::draw(seed)));
    let wanted = drawn
        .filter(move |(_, network)| network.minimum_cut() > 0 && (!fed_only || network.is_fed()));
    wanted.take(count)
}

#[test]
fn throughput_is_never_above_the_minimum_cut() {
    let mut below = 0;
    for (seed, network) in networks(200, false) {
        let flow = Flow::measure(&network, Runner::Core);
        assert!(flow.is_never_above(), "seed {seed}: {network:?}");
        assert!(
            flow.measured() <= flow.possible(),
            "seed {seed}: {} of {}",
            flow.measured(),
            flow.possible()
        );
        below += u32::from(!flow.is_close());
    }
    println!("{below} of 200 networks stay more than 2 % below their minimum cut");
}

#[test]
fn fed_lines_come_within_two_percent_of_the_minimum_cut() {
    let mut with_cut = [0; 12];
    for (seed, network) in networks(200, true) {
        let flow = Flow::measure(&network, Runner::Core);
        assert!(
            flow.is_close(),
            "seed {seed}: {} of {} in {network:?}",
            flow.measured(),
            flow.possible()
        );
        with_cut[flow.minimum_cut as usize] += 1;
    }
    println!("networks by minimum cut, from 0: {with_cut:?}");
}

#[test]
fn another_cut_is_noticed() {
    for (seed, network) in networks(50, true) {
        let mut flow = Flow::measure(&network, Runner::Core);
        flow.minimum_cut -= 1;
        assert!(!flow.is_never_above(), "seed {seed}: a cut one smaller");
        flow.minimum_cut += 2;
        assert!(!flow.is_close(), "seed {seed}: a cut one greater");
    }
}

#[test]
fn broken_rules_are_noticed() {
    let is_above = |(_, network): (u64, FlowNetwork)| {
        !Flow::measure(&network, Runner::Broken(Fault::CooldownOneShort)).is_never_above()
    };
    assert!(
        networks(3, true).any(is_above),
        "hoppers that are a tick too fast"
    );
    let is_below = |(_, network): (u64, FlowNetwork)| {
        !Flow::measure(&network, Runner::Broken(Fault::PushOrPull)).is_close()
    };
    assert!(
        networks(3, true).any(is_below),
        "hoppers that do half their work"
    );
}
