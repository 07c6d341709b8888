//! Random lines: hoppers in a row with selectors, small stores, locks and lifts, in which items block,
//! overtake and go round. Here the promises about undisturbed lines are put to the test.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::{
    Container, Dropper, Hopper, Intake, Outlet, Part, Rear, Selector, Signal,
};
use hallwright_core::predicate::Predicate;
use hallwright_core::rules::Rules;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms, Timeline};
use hallwright_declared::declarations::{Declarations, Section, Stop};
use hallwright_report::{RunInput, run_with_limits};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::random::{Seen, marks};

const RUN_TICKS: u64 = 1_200;

/// A random line under way.
struct Sketch {
    builder: NetworkBuilder,
    random: ChaCha8Rng,
    kinds: Vec<KindId>,
    line: Vec<PartId>,
    lever: PartId,
    locks: Vec<PartId>,
    entries: Vec<(Tick, Action)>,
}

impl Sketch {
    fn new(seed: u64) -> Self {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let rules = Rules {
            cooldown_ticks: [8, 8, 8, 4, 12][random.random_range(0..5)],
            arrival_ticks: [8, 8, 8, 5, 10][random.random_range(0..5)],
            ..Rules::default()
        };
        let mut builder = NetworkBuilder::new(rules);
        let names = ["barley", "flax", "wool", "slate", "hops", "rye", "oat"];
        let count = random.random_range(1..=names.len());
        let kinds = names[..count].iter().map(|name| {
            let limit = [StackLimit::SixtyFour, StackLimit::One][usize::from(*name == "slate")];
            builder.kind(name, limit)
        });
        let kinds = kinds.collect();
        let starts_on = random.random_ratio(1, 4);
        let lever = builder.add("lever", Part::Signal(Signal::Lever { starts_on }));
        let held = Signal::Hold {
            input: lever,
            hold_ticks: random.random_range(1..150),
        };
        let held = builder.add("held", Part::Signal(held));
        let turned = builder.add("turned", Part::Signal(Signal::Inverter { input: held }));
        let mut entries = Vec::new();
        for _ in 0..random.random_range(0..4) {
            let tick = Tick(random.random_range(0..RUN_TICKS));
            let on = random.random_ratio(1, 2);
            entries.push((tick, Action::MoveLever { lever, on }));
        }
        Self {
            builder,
            random,
            kinds,
            line: Vec::new(),
            lever,
            locks: vec![lever, held, turned],
            entries,
        }
    }

    fn kind(&mut self) -> KindId {
        self.kinds[self.random.random_range(0..self.kinds.len())]
    }

    /// Puts a few items into the first slots of a part.
    fn fill(&mut self, part: PartId, slots: u16) {
        for slot in 0..slots {
            let kind = self.kind();
            let is_single = self.kinds.get(3) == Some(&kind);
            let most = if is_single {
                1
            } else {
                [1, 1, 64][self.random.random_range(0..3)]
            };
            let count = self.random.random_range(1..=most);
            let filling = Filling {
                slot,
                kind,
                count,
                contents: Vec::new(),
            };
            self.builder.fill(part, filling);
        }
    }

    /// A chest of few slots, some of them taken.
    fn chest(&mut self, name: &str) -> PartId {
        let slots = self.random.random_range(1..=9);
        let chest = self.builder.add(name, Part::Container(Container { slots }));
        let taken = self.random.random_range(0..=slots);
        self.fill(chest, taken);
        chest
    }

    fn lock(&mut self, percent: u32) -> Option<PartId> {
        let lock = self.locks[self.random.random_range(0..self.locks.len())];
        self.random.random_ratio(percent, 100).then_some(lock)
    }

    /// A lift: a dropper on a clock.
    fn lift(&mut self, store: PartId) -> PartId {
        let beat = Signal::Clock {
            period_ticks: self.random.random_range(4..60),
            high_ticks: 2,
            phase_ticks: 0,
        };
        let beat = self.builder.add("beat", Part::Signal(beat));
        let dropper = Dropper {
            trigger: Some(beat),
            outlet: Outlet::Into(store),
        };
        let lift = self.builder.add("lift", Part::Dropper(dropper));
        let reads = Signal::Comparator {
            rear: Rear::Inventory(lift),
            side: None,
            mode: Default::default(),
        };
        let reads = self.builder.add("lift reads", Part::Signal(reads));
        self.locks.push(reads);
        self.line.push(lift);
        lift
    }

    /// Draws the line from its end to its head.
    fn draw(&mut self) {
        let lock_percent = [0, 0, 10, 50][self.random.random_range(0..4)];
        let end = self.chest("end");
        let mut next = if self.random.random_ratio(1, 2) {
            self.lift(end)
        } else {
            end
        };
        let length = self.random.random_range(3..16);
        for number in 0..length {
            let lock = self.lock(lock_percent);
            let is_hopper = self.random.random_ratio(3, 4);
            next = if !is_hopper {
                let store = self.chest(&format!("store {number}"));
                let selector = Selector {
                    latency_ticks: [0, 0, 1, 9][self.random.random_range(0..4)],
                    interval_ticks: [8, 8, 0, 3][self.random.random_range(0..4)],
                    holds: [1, 1, 3][self.random.random_range(0..3)],
                    takes: Predicate::Kinds(vec![self.kind()]),
                    match_target: store,
                    rest_target: next,
                    when_full: self.random.random_ratio(1, 5).then_some(end),
                    lock,
                };
                let name = format!("eye {number}");
                self.builder.add(&name, Part::Selector(Box::new(selector)))
            } else {
                let hopper = Hopper {
                    target: Some(next),
                    intake: Intake::Cap,
                    lock,
                };
                let hopper = self
                    .builder
                    .add(&format!("h {number}"), Part::Hopper(hopper));
                let items = [0, 0, 0, 1, 1, 3][self.random.random_range(0..6)];
                self.fill(hopper, items);
                hopper
            };
            self.line.push(next);
            if is_hopper && self.random.random_ratio(1, 20) {
                let back = Hopper {
                    target: Some(end),
                    intake: Intake::Above(next),
                    lock: Some(self.lever),
                };
                self.builder
                    .add(&format!("back {number}"), Part::Hopper(back));
            }
        }
        self.feed(next);
    }

    /// A chest with a locked or open head, and what is delivered.
    fn feed(&mut self, first: PartId) {
        let feed = self
            .builder
            .add("feed", Part::Container(Container { slots: 27 }));
        // With an empty feed the line is cleared as soon as it can be.
        let taken = [0, 0, 1, 7][self.random.random_range(0..4)];
        self.fill(feed, taken);
        let lock = self.lock(60);
        let head = Hopper {
            target: Some(first),
            intake: Intake::Above(feed),
            lock,
        };
        self.builder.add("head", Part::Hopper(head));
        let into_line = self.random.random_ratio(1, 8);
        for _ in 0..self.random.random_range(0..6) {
            let tick = Tick(self.random.random_range(0..RUN_TICKS));
            let delivery = Action::Deliver {
                place: if into_line { first } else { feed },
                kind: self.kind(),
                count: self.random.random_range(1..6),
                contents: Vec::new(),
                terms: Terms::default(),
            };
            self.entries.push((tick, delivery));
        }
    }
}

fn broken_limit(seed: u64, seen: &mut Seen) -> Result<(), String> {
    let mut sketch = Sketch::new(seed);
    sketch.draw();
    let Ok(network): Result<Network, _> = sketch.builder.build() else {
        return Ok(());
    };
    let mut random = sketch.random;
    let mut declared = Declarations::default();
    declared.sections.push(Section {
        name: "line".to_owned(),
        line: sketch.line,
        queue: Vec::new(),
        locked: Vec::new(),
        call: None,
        returns: Vec::new(),
        width_blocks: None,
    });
    for at in [0, random.random_range(1..40), random.random_range(40..400)] {
        declared.stops.push(Stop {
            at: Tick(at),
            actions: Vec::new(),
            restart: None,
        });
    }
    // Stops are watched until the next one; one that is watched to the end says most.
    let kept = random.random_range(0..3);
    declared.stops = vec![declared.stops.swap_remove(kept)];
    let timeline = Timeline::new(sketch.entries);
    let orders = [Order::Declared, Order::Reversed, Order::Shuffled(seed)];
    for order in orders {
        let input = RunInput {
            network: &network,
            timeline: &timeline,
            seed,
            orders: Orders::of_update(order.clone()),
            run_ticks: RUN_TICKS,
            declarations: &declared,
        };
        let found = run_with_limits(&input, &mut (), &mut |_| {});
        let limits = found.limits.as_ref().ok_or("limits were asked for")?;
        let label = format!("seed {seed}, {order:?}, stop at {}", found.stops[0].at.0);
        marks(&label, &found.stops[0].all, &limits.stops[0].all, seen)?;
    }
    Ok(())
}

#[test]
fn no_line_is_cleared_before_its_limit() {
    let mut seen = Seen::default();
    let last = std::env::var("LIMIT_SEEDS").ok();
    let last = last.and_then(|seeds| seeds.parse().ok()).unwrap_or(3_000);
    let broken: Vec<String> = (0..last)
        .filter_map(|seed| broken_limit(seed, &mut seen).err())
        .collect();
    println!("{seen:?}");
    let shown = broken[..broken.len().min(12)].join("\n");
    assert!(broken.is_empty(), "{} broken:\n{shown}", broken.len());
    assert!(seen.marks > 2_000, "{seen:?}");
    assert!(seen.marks_at_limit > 20, "{seen:?}");
}
