//! Waiting times against queueing theory.
//!
//! One item comes with chance `p` in each tick; serving one takes `D` ticks. A selector of latency
//! and interval `D` with ample room is such a server: an item accepted at `t` while it is idle waits
//! for 0 ticks and is ready at `t + D`, so that in general it waits for `ready - D - accepted` ticks.
//! The mean wait is `p D (D - 1) / (2 (1 - p D))`: Tran-Gia and Hossfeld, Performance Modeling and
//! Analysis of Communication Networks, 2021, section 6.3 (Geo/D/1).
//!
//! A hopper that pulls from a chest is not such a server. Its service begins with the pull and ends
//! with the push `D` ticks later, in the same turn in which it pulls the next item, so that while
//! items wait it is as fast. But after handing on its last item it waits out another `D` ticks: a
//! server that takes one vacation of `D` ticks at the end of each busy period. By the decomposition
//! for queues with vacations, the items in front of a random item gain `E[Q (Q - 1)] / (2 E[Q])`,
//! where `Q` items begin a busy period: those that came in the vacation, or one if none did. With
//! `E[Q] = p D + (1 - p)^D` and `E[Q (Q - 1)] = p^2 D (D - 1)`, and by Little's law, the mean wait
//! gains `p D (D - 1) / (2 (p D + (1 - p)^D))`. (Worked out here; no source.)

use std::collections::VecDeque;

use hallwright_core::engine::{Engine, View};
use hallwright_core::event::{Event, Moment, Observer};
use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::Orders;
use hallwright_core::part::{Container, Hopper, Intake, Part, Selector};
use hallwright_core::predicate::Predicate;
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// Ticks to serve one item.
const SERVICE_TICKS: u32 = 8;
/// One batch a seed.
const BATCHES: u64 = 41;
/// Student's t for 40 degrees of freedom, two-sided 99 %: NIST/SEMATECH e-Handbook of Statistical
/// Methods, section 1.3.6.7.2.
const STUDENT_T: f64 = 2.704;
/// Items that come before this tick are not counted.
const WARM_UP_TICKS: u64 = 2000;
const LENGTH_TICKS: u64 = 25_000;

/// A network whose waiting times are measured.
struct Server {
    network: Network,
    barley: KindId,
    /// Where items are delivered.
    entry: PartId,
}

fn selector() -> Server {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let chest = builder.add("chest", Part::Container(Container { slots: 54 }));
    let entry = builder.add(
        "selector",
        Part::Selector(Box::new(Selector {
            latency_ticks: SERVICE_TICKS,
            interval_ticks: SERVICE_TICKS,
            holds: 10_000,
            takes: Predicate::Kinds(vec![barley]),
            match_target: chest,
            rest_target: chest,
            when_full: None,
            lock: None,
        })),
    );
    let network = builder.build().expect("a selector may fill a chest");
    Server {
        network,
        barley,
        entry,
    }
}

fn hopper() -> Server {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let entry = builder.add("tray", Part::Container(Container { slots: 54 }));
    let chest = builder.add("chest", Part::Container(Container { slots: 54 }));
    builder.add(
        "hopper",
        Part::Hopper(Hopper {
            target: Some(chest),
            intake: Intake::Above(entry),
            lock: None,
        }),
    );
    let network = builder.build().expect("a hopper may empty a tray");
    Server {
        network,
        barley,
        entry,
    }
}

/// Notes for how long each item waits.
#[derive(Default)]
struct Waits {
    entry: Option<PartId>,
    /// When the items in the tray came there, first in first.
    accepted: VecDeque<Tick>,
    sum_ticks: u64,
    items: u64,
}

impl Waits {
    fn note(&mut self, accepted: Tick, served: Tick) {
        if accepted.0 >= WARM_UP_TICKS {
            self.sum_ticks += served - accepted;
            self.items += 1;
        }
    }
}

impl Observer for Waits {
    fn event(&mut self, moment: Moment, event: &Event, view: &View<'_>) {
        match event {
            Event::Delivered { place, .. } if is_selector(view, *place) => {
                if let Some(queued) = view.queue(*place).last() {
                    let served = Tick(queued.ready_at.0 - u64::from(SERVICE_TICKS));
                    self.note(moment.tick, served);
                }
            }
            Event::Delivered { .. } => self.accepted.push_back(moment.tick),
            // The first item in is the first out of a tray that holds one kind.
            Event::ItemMoved { from, .. } if Some(*from) == self.entry => {
                if let Some(accepted) = self.accepted.pop_front() {
                    self.note(accepted, moment.tick);
                }
            }
            _ => {}
        }
    }
}

fn is_selector(view: &View<'_>, part: PartId) -> bool {
    matches!(view.network().part(part), Part::Selector(_))
}

/// The mean wait in one run, in ticks.
fn mean_wait_ticks(server: &Server, chance: f64, seed: u64) -> f64 {
    let mut stream = ChaCha8Rng::seed_from_u64(seed);
    let delivery = Action::Deliver {
        place: server.entry,
        kind: server.barley,
        count: 1,
        contents: Vec::new(),
        terms: Terms::default(),
    };
    let timeline = (0..LENGTH_TICKS)
        .filter(|_| stream.random_bool(chance))
        .map(|tick| (Tick(tick), delivery.clone()));
    let setup = Setup {
        seed,
        orders: Orders::default(),
        timeline: Timeline::new(timeline.collect()),
    };
    let mut waits = Waits {
        entry: Some(server.entry),
        ..Waits::default()
    };
    Engine::new(&server.network, &setup).run_until(Tick(LENGTH_TICKS + 1000), &mut waits);
    waits.sum_ticks as f64 / waits.items as f64
}

/// The mean over all batches and half the width of its confidence interval, in ticks.
fn measured(server: &Server, chance: f64) -> (f64, f64) {
    let means: Vec<f64> = (0..BATCHES)
        .map(|seed| mean_wait_ticks(server, chance, seed))
        .collect();
    let count = means.len() as f64;
    let mean = means.iter().sum::<f64>() / count;
    let variance = means.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (count - 1.0);
    (mean, STUDENT_T * (variance / count).sqrt())
}

fn geometric_arrivals_mean_wait_ticks(chance: f64) -> f64 {
    let service = f64::from(SERVICE_TICKS);
    chance * service * (service - 1.0) / (2.0 * (1.0 - chance * service))
}

fn vacation_gain_ticks(chance: f64) -> f64 {
    let service = f64::from(SERVICE_TICKS);
    let none_came = (1.0 - chance).powf(service);
    chance * service * (service - 1.0) / (2.0 * (chance * service + none_came))
}

fn assert_within(name: &str, (mean, half_width): (f64, f64), expected: f64) {
    println!("{name}: mean wait {mean:.3} ± {half_width:.3} ticks, expected {expected:.3}");
    assert!(
        (mean - expected).abs() <= half_width,
        "{name}: {mean} is not within {half_width} of {expected}"
    );
}

#[test]
fn the_formula_gives_the_values_worked_out_by_hand() {
    // 0.1 * 56 / (2 * 0.2) and 0.05 * 56 / (2 * 0.6).
    assert!((geometric_arrivals_mean_wait_ticks(0.1) - 14.0).abs() < 1e-9);
    assert!((geometric_arrivals_mean_wait_ticks(0.05) - 7.0 / 3.0).abs() < 1e-9);
}

#[test]
fn a_selector_makes_items_wait_as_queueing_theory_has_it() {
    let server = selector();
    for chance in [0.1, 0.05] {
        let expected = geometric_arrivals_mean_wait_ticks(chance);
        assert_within("selector", measured(&server, chance), expected);
    }
}

#[test]
fn a_hopper_makes_items_wait_longer_for_it_rests_after_its_last_item() {
    let server = hopper();
    for chance in [0.1, 0.05] {
        let without_rest = geometric_arrivals_mean_wait_ticks(chance);
        let expected = without_rest + vacation_gain_ticks(chance);
        let (mean, half_width) = measured(&server, chance);
        assert_within("hopper", (mean, half_width), expected);
        // At p = 0.1 some 2.28 ticks longer, at p = 0.05 some 1.32.
        assert!(
            mean - half_width > without_rest,
            "the difference is not seen"
        );
    }
}
