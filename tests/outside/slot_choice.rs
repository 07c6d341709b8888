//! Does a dropper choose among its occupied slots evenly? A chi-square test over many seeds.
//!
//! Critical values: NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.4, upper 5 %.

use hallwright_core::chance::part_stream;
use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Trace};
use hallwright_core::goods::StackLimit;
use hallwright_core::id::KindId;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{Container, Dropper, Outlet, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use rand::RngExt;

/// How many seeds each test looks at.
const SEEDS: u64 = 1000;

/// One way to fill a dropper: how many slots are occupied, how often it fires, and the value that
/// chi-square exceeds in 5 % of all cases for one degree of freedom less.
struct Case {
    slots: u16,
    firings: usize,
    critical: f64,
}

/// No slot runs empty in any of these but with a chance of less than one in a million.
const CASES: [Case; 4] = [
    Case {
        slots: 2,
        firings: 60,
        critical: 3.841,
    },
    Case {
        slots: 4,
        firings: 80,
        critical: 7.815,
    },
    Case {
        slots: 5,
        firings: 100,
        critical: 9.488,
    },
    Case {
        slots: 9,
        firings: 180,
        critical: 15.507,
    },
];

fn chi_square(counts: &[u32]) -> f64 {
    let total: u32 = counts.iter().sum();
    let expected = f64::from(total) / counts.len() as f64;
    let square = |count: &u32| (f64::from(*count) - expected).powi(2) / expected;
    counts.iter().map(square).sum()
}

/// The share of seeds that the test rejects.
fn rejected(case: &Case, counts_of_seed: impl Fn(u64) -> Vec<u32>) -> f64 {
    let rejects = |seed: &u64| chi_square(&counts_of_seed(*seed)) > case.critical;
    (0..SEEDS).filter(rejects).count() as f64 / SEEDS as f64
}

/// A dropper of so many occupied slots, each with a kind of its own, that fires every other tick.
fn firing_dropper(slots: u16) -> Network {
    let mut builder = NetworkBuilder::new(Rules {
        dropper_delay_ticks: 1,
        ..Rules::default()
    });
    let chest = builder.add("chest", Part::Container(Container { slots: 27 }));
    let beat = Signal::Clock {
        period_ticks: 2,
        high_ticks: 1,
        phase_ticks: 0,
    };
    let beat = builder.add("beat", Part::Signal(beat));
    let dropper = builder.add(
        "dropper",
        Part::Dropper(Dropper {
            trigger: Some(beat),
            outlet: Outlet::Into(chest),
        }),
    );
    for slot in 0..slots {
        let kind = builder.kind(&format!("good {slot}"), StackLimit::SixtyFour);
        let filling = Filling {
            slot,
            kind,
            count: 64,
            contents: Vec::new(),
        };
        builder.fill(dropper, filling);
    }
    builder.build().expect("a dropper may fill a chest")
}

/// How often each slot was chosen.
fn choices(network: &Network, case: &Case, seed: u64) -> Vec<u32> {
    let setup = Setup {
        seed,
        ..Setup::default()
    };
    let mut trace = Trace::default();
    let mut engine = Engine::new(network, &setup);
    // The first edge comes at tick 2, the first firing at tick 3.
    engine.run_until(Tick(2 * case.firings as u64 + 2), &mut trace);
    let kinds = trace.events.iter().filter_map(|(_, event)| match event {
        Event::ItemMoved { item, .. } => Some(item.kind),
        _ => None,
    });
    let mut counts = vec![0; usize::from(case.slots)];
    kinds.for_each(|kind: KindId| counts[kind.index()] += 1);
    assert_eq!(counts.iter().sum::<u32>() as usize, case.firings);
    counts
}

#[test]
fn an_even_draw_is_rejected_as_often_as_chance_has_it() {
    for case in CASES {
        let network = firing_dropper(case.slots);
        let share = rejected(&case, |seed| choices(&network, &case, seed));
        println!(
            "{} slots: {:.1} % of seeds rejected",
            case.slots,
            share * 100.0
        );
        assert!(
            (0.03..=0.07).contains(&share),
            "{} slots: {share} of the seeds are rejected, not about 0.05",
            case.slots
        );
    }
}

#[test]
fn a_draw_that_favours_the_first_slot_is_rejected() {
    for case in CASES {
        let slots = u32::from(case.slots);
        // The first slot is drawn twice as often as any other.
        let favouring = |seed| {
            let mut stream = part_stream(seed, "favouring");
            let mut counts = vec![0; usize::from(case.slots)];
            for _ in 0..case.firings {
                let drawn = stream.random_range(0..=slots) % slots;
                counts[drawn as usize] += 1;
            }
            counts
        };
        let share = rejected(&case, favouring);
        println!(
            "{} slots: {:.1} % of seeds rejected",
            case.slots,
            share * 100.0
        );
        assert!(
            share > 0.5,
            "{} slots: only {share} are rejected",
            case.slots
        );
    }
}
