//! Tandems: servers one behind the other, each of which takes a fixed time for each item.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::{Container, Hopper, Intake, Part, Selector};
use hallwright_core::predicate::Predicate;
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};
use rand::RngExt;
use rand::seq::SliceRandom;
use rand_chacha::ChaCha8Rng;

use crate::runs::{Runner, delivered, events, ticks_of_moves_into};

/// More than any tandem here ever holds at once.
const AMPLE_ROOM: u32 = 10_000;
/// No server here takes longer for an item, its rest included.
const LONGEST_SERVICE_TICKS: u64 = 20;

/// One server.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Stage {
    /// A selector whose latency and interval are this long.
    Selector { service_ticks: u32 },
    /// A tray and a hopper below it, which pulls from it.
    PullingHopper,
    /// A hopper with a cap, into which its items are pushed or delivered.
    PushingHopper,
}

/// Servers one behind the other, and when items come to the first of them.
#[derive(Clone, Debug)]
pub(crate) struct Tandem {
    /// The servers, the first one first.
    pub(crate) stages: Vec<Stage>,
    /// The tick of each item's delivery, in order.
    pub(crate) arrival_ticks: Vec<u64>,
    /// For each stage its place in the update order.
    pub(crate) turns: Vec<usize>,
}

impl Tandem {
    /// A tandem with a random update order.
    pub(crate) fn draw(
        stages: Vec<Stage>,
        arrival_ticks: Vec<u64>,
        random: &mut ChaCha8Rng,
    ) -> Self {
        let mut turns: Vec<usize> = (0..stages.len()).collect();
        turns.shuffle(random);
        Self {
            stages,
            arrival_ticks,
            turns,
        }
    }

    /// The tick in which each item leaves the last server.
    ///
    /// # Panics
    ///
    /// If an item is not delivered or does not come through.
    pub(crate) fn departure_ticks(&self, runner: Runner) -> Vec<u64> {
        let (network, setup, store) = self.build();
        let last_arrival = self.arrival_ticks.last().copied().unwrap_or(0);
        let items = self.arrival_ticks.len() as u64;
        let length = last_arrival + (items + self.stages.len() as u64) * LONGEST_SERVICE_TICKS;
        let events = events(&network, &setup, length, runner);
        assert_eq!(delivered(&events) as u64, items, "room for every delivery");
        let departures = ticks_of_moves_into(store, &events);
        assert_eq!(departures.len() as u64, items, "every item comes through");
        departures
    }

    /// The network, its setup, and the store behind the last server.
    fn build(&self) -> (Network, Setup, PartId) {
        let mut builder = NetworkBuilder::new(Rules::default());
        let barley = builder.kind("barley", StackLimit::SixtyFour);
        let store = builder.add("store", Part::Container(Container { slots: 54 }));
        let mut next = store;
        let mut servers = Vec::new();
        for (number, stage) in self.stages.iter().enumerate().rev() {
            let (entry, server) = add_stage(&mut builder, number, *stage, next);
            servers.insert(0, server);
            next = entry;
        }
        let mut order = vec![store; servers.len()];
        for (server, turn) in servers.iter().zip(&self.turns) {
            order[*turn] = *server;
        }
        let deliveries = self.arrival_ticks.iter().map(|tick| {
            let delivery = Action::Deliver {
                place: next,
                kind: barley,
                count: 1,
                contents: Vec::new(),
                terms: Terms::default(),
            };
            (Tick(*tick), delivery)
        });
        let setup = Setup {
            seed: 0,
            orders: Orders::of_update(Order::Listed(order)),
            timeline: Timeline::new(deliveries.collect()),
        };
        let network = builder.build().expect("a tandem is sound");
        (network, setup, store)
    }
}

/// Adds one server. Gives where its items come in, and the part that takes its turns.
fn add_stage(
    builder: &mut NetworkBuilder,
    number: usize,
    stage: Stage,
    next: PartId,
) -> (PartId, PartId) {
    let hopper = |intake| {
        Part::Hopper(Hopper {
            target: Some(next),
            intake,
            lock: None,
        })
    };
    match stage {
        Stage::Selector { service_ticks } => {
            let selector = Selector {
                latency_ticks: service_ticks,
                interval_ticks: service_ticks,
                holds: AMPLE_ROOM,
                takes: Predicate::Any(Vec::new()),
                match_target: next,
                rest_target: next,
                when_full: None,
                lock: None,
            };
            let name = format!("selector {number}");
            let server = builder.add(&name, Part::Selector(Box::new(selector)));
            (server, server)
        }
        Stage::PullingHopper => {
            let tray = Part::Container(Container { slots: 54 });
            let tray = builder.add(&format!("tray {number}"), tray);
            let name = format!("hopper {number}");
            let server = builder.add(&name, hopper(Intake::Above(tray)));
            (tray, server)
        }
        Stage::PushingHopper => {
            let name = format!("hopper {number}");
            let server = builder.add(&name, hopper(Intake::Cap));
            (server, server)
        }
    }
}

/// The ticks in which `count` items come: now and then several in one tick, on average one item in
/// `mean_gap_ticks`.
pub(crate) fn draw_arrivals(
    count: usize,
    mean_gap_ticks: u64,
    random: &mut ChaCha8Rng,
) -> Vec<u64> {
    let mut tick = 0;
    let gaps = (0..count).map(|_| {
        if random.random_ratio(3, 4) {
            tick += random.random_range(0..=2 * mean_gap_ticks * 4 / 3);
        }
        tick
    });
    gaps.collect()
}
