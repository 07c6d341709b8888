//! Throughput of random hopper networks against minimum cuts.
//!
//! No flow is greater than the capacity of any cut, and the greatest one equals the smallest cut:
//! L. R. Ford and D. R. Fulkerson, Maximal Flow through a Network, Canadian Journal of Mathematics 8,
//! 1956, pages 399 to 404. The cuts are worked out by a maximum flow of petgraph.
//!
//! That a link passes one item in 8 ticks at most holds for lines that draw from chests which never
//! run dry. By the rule of arrival (tick rules, section 4) a hopper whose last item has just left acts
//! 7 ticks after the next one came, so that items brought to it 7 ticks apart, by two lines in turn,
//! may leave it 7 ticks apart as well: the last test here shows it.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::PartId;
use hallwright_core::network::NetworkBuilder;
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::{Container, Hopper, Intake, Part};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};
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

/// Two hoppers push into a third, which pushes into a store. Each of the two is delivered an item
/// every 14 ticks, 7 ticks after the other. Gives the ticks between the last items that the store got.
fn gaps_behind_lines_in_turn(order: Order) -> Vec<u64> {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let lines = [builder.declare("left"), builder.declare("right")];
    let joint = builder.declare("joint");
    let store = builder.add("store", Part::Container(Container { slots: 54 }));
    let pushing_into = |target: PartId| {
        Part::Hopper(Hopper {
            target: Some(target),
            intake: Intake::Cap,
            lock: None,
        })
    };
    for line in lines {
        builder.define(line, pushing_into(joint));
    }
    builder.define(joint, pushing_into(store));
    let network = builder.build().expect("two lines may meet");
    let deliveries = (0..100).map(|number| {
        let delivery = Action::Deliver {
            place: lines[number % 2],
            kind: barley,
            count: 1,
            contents: Vec::new(),
            terms: Terms::default(),
        };
        (Tick(7 * number as u64), delivery)
    });
    let setup = Setup {
        seed: 0,
        orders: Orders::of_update(order),
        timeline: Timeline::new(deliveries.collect()),
    };
    let events = events(&network, &setup, 2000, Runner::Core);
    let ticks = ticks_of_moves_into(store, &events);
    let gaps = ticks.windows(2).map(|pair| pair[1] - pair[0]);
    gaps.skip(50).collect()
}

#[test]
fn lines_that_bring_items_in_turn_may_pass_one_every_7_ticks() {
    // The joint takes its turn first, hands on its item and is empty when the next one comes.
    let joint_first = gaps_behind_lines_in_turn(Order::Reversed);
    assert_eq!(joint_first, [7; 49]);
    // Here the next item comes before the joint's turn and finds it occupied.
    let joint_last = gaps_behind_lines_in_turn(Order::Declared);
    assert_eq!(joint_last, [8; 49]);
}
