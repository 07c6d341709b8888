//! Whole halls in both engines: planned for random catalogues, stopped, left and upset at random, and compared event for
//! event. `HALLS=10000` tries so many of them, `HALLS_FIRST=500` begins with others, `PLAN_SEED=17` tries one alone.

use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::order::Orders;
use hallwright_core::part::Part;
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_declared::declarations::Region;
use hallwright_plan::schedule::Sent;
use hallwright_report::{RunInput, setup_for};
use hallwright_scenario::Scenario;
use hallwright_swarm::lockstep::compare_built;
use hallwright_trials::leave::{Leaving, pair, patterns};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::draws::Drawn;
use crate::random::{base, case, draw_order, loaded, number, planned};

/// So many are tried unless `HALLS` says otherwise.
const HALLS: u64 = 30;

/// A hall runs for so many ticks at least, and at most for so many that its parts have so many turns together.
const LEAST_TICKS: u64 = 300;
const MOST_TICKS: u64 = 2_400;
const MOST_TURNS: u64 = 250_000;

/// So many kinds a hall is for, at most: large ones are no other.
const MOST_KINDS: usize = 10;

/// What came of all halls.
#[derive(Default, Debug)]
struct Counted {
    halls: u64,
    refused: u64,
    parts: u64,
    ticks: u64,
    stopped: u64,
    left: u64,
    upset: u64,
}

#[test]
fn both_engines_agree_on_random_halls() {
    let seeds = match number("PLAN_SEED") {
        Some(seed) => seed..seed + 1,
        None => {
            let first = number("HALLS_FIRST").unwrap_or(0);
            first..first + number("HALLS").unwrap_or(HALLS)
        }
    };
    let is_enough = seeds.end - seeds.start >= HALLS;
    let mut counted = Counted::default();
    for seed in seeds {
        counted.take(seed);
    }
    println!("{counted:?}");
    let each = [counted.stopped, counted.left, counted.upset];
    let few = each.iter().any(|count| count * 4 < counted.halls);
    assert!(!is_enough || !few, "{counted:?}");
}

impl Counted {
    /// Plans the hall of a seed, and runs it in both engines.
    fn take(&mut self, seed: u64) {
        let mut random = ChaCha8Rng::seed_from_u64(seed.wrapping_add(2 << 32));
        let drawn = Drawn::draw(seed).perhaps_with_boxes(seed, 6);
        let drawn = match random.random_ratio(1, 4) {
            true => drawn.with_two_lines(),
            false => drawn,
        };
        let drawn = drawn.with_at_most(random.random_range(1..=MOST_KINDS));
        let Some((plan, _)) = planned(&drawn, seed) else {
            self.refused += 1;
            return;
        };
        let sent = [Sent::Load, Sent::Stack][random.random_range(0..2)];
        let scenario = loaded(&plan, sent, seed);
        let parts = scenario.network.part_count() as u64;
        let ticks = (MOST_TURNS / parts).clamp(LEAST_TICKS, MOST_TICKS);
        let setup = self.setup(&scenario, ticks, &mut random);
        let compared = compare_built(&scenario.network, &setup, ticks, None, &mut ());
        if let Err(difference) = compared {
            panic!("{}: {difference}", case(seed));
        }
        self.halls += 1;
        self.parts += parts;
        self.ticks += ticks;
    }

    /// What happens in a run of so many ticks.
    fn setup(&mut self, scenario: &Scenario, ticks: u64, random: &mut ChaCha8Rng) -> Setup {
        let mut declarations = scenario.declarations.clone();
        declarations.stops.truncate(1);
        for stop in &mut declarations.stops {
            stop.at = Tick(random.random_range(0..ticks));
            self.stopped += 1;
            if let Some(restart) = &mut stop.restart {
                restart.after_ticks = random.random_range(1..ticks);
            }
        }
        let orders = Orders {
            update: draw_order(random),
            signal: draw_order(random),
        };
        let input = RunInput {
            declarations: &declarations,
            ..base(scenario, orders)
        };
        let mut setup = match random.random_ratio(2, 3) {
            true => {
                self.left += 1;
                left(&input, ticks, random)
            }
            false => setup_for(&input),
        };
        if random.random_bool(0.5) {
            self.upset += 1;
            for _ in 0..random.random_range(1..=4) {
                upset(&mut setup, &scenario.network, ticks, random);
            }
        }
        setup
    }
}

/// The run left at a random tick in a random way; its parts are of random regions.
fn left(input: &RunInput<'_>, ticks: u64, random: &mut ChaCha8Rng) -> Setup {
    let count = random.random_range(1..=4);
    let parts: Vec<PartId> = input.network.part_ids().collect();
    let regions = parts.chunks(parts.len().div_ceil(count));
    let regions = regions.enumerate().map(|(number, parts)| Region {
        name: format!("region {number}"),
        // Some parts of the world never sleep.
        parts: parts
            .iter()
            .copied()
            .filter(|_| !random.random_ratio(1, 50))
            .collect(),
    });
    let regions: Vec<Region> = regions.filter(|region| !region.parts.is_empty()).collect();
    let most_late_ticks = ticks / 8;
    let patterns = patterns(random.random(), regions.len(), most_late_ticks);
    let leaving = Leaving {
        apart_ticks: random.random_range(0..40),
        pause_ticks: random.random_range(0..40),
    };
    let pattern = &patterns[random.random_range(0..patterns.len())];
    let at = Tick(random.random_range(0..ticks * 3 / 4));
    let [left, _] = pair(input, &regions, leaving, pattern, at);
    let orders = pattern.before(input).orders;
    Setup {
        orders,
        ..setup_for(&left.input())
    }
}

/// Something goes wrong, unless it cannot at that tick.
fn upset(setup: &mut Setup, network: &Network, ticks: u64, random: &mut ChaCha8Rng) {
    let mut some = |is_such: fn(&Part) -> bool| {
        let such: Vec<PartId> = network
            .parts()
            .filter(|(_, part)| is_such(part))
            .map(|(id, _)| id)
            .collect();
        such.get(random.random_range(0..such.len().max(1))).copied()
    };
    let signal = some(|part| matches!(part, Part::Signal(_)));
    let place = some(|part| {
        matches!(
            part,
            Part::Container(_) | Part::Hopper(_) | Part::Dropper(_)
        )
    });
    let (Some(signal), Some(place)) = (signal, place) else {
        return;
    };
    let spell_ticks = random.random_range(1..400);
    let action = match random.random_range(0..5) {
        0 => Action::Fill {
            place,
            kind: KindId::from_index(random.random_range(0..network.kinds().len())),
            contents: Vec::new(),
        },
        1 => Action::TakeBox { place },
        2 => Action::Withdraw {
            place,
            count: random.random_range(1..200),
        },
        3 => Action::Sleep {
            parts: vec![place, signal],
            sleep_ticks: spell_ticks,
        },
        _ => Action::Stick {
            signals: vec![signal],
            on: random.random(),
            stuck_ticks: spell_ticks,
        },
    };
    let mut entries = setup.timeline.entries().to_vec();
    entries.push((Tick(random.random_range(0..ticks)), action));
    let upset = Setup {
        timeline: Timeline::new(entries),
        ..setup.clone()
    };
    if upset.problems(network).is_empty() {
        *setup = upset;
    }
}
