//! What the page shows of 20 parts at 20 ticks, chosen at random, against the engine's own state.

use std::ops::Range;
use std::path::Path;

use hallwright_core::engine::{Engine, View};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::slot::Stack;
use hallwright_core::tick::Tick;
use hallwright_report::setup_for;
use hallwright_scenario::{LoadOptions, Scenario, load};
use serde_json::{Value, json};

use crate::large::SCENARIO;
use crate::support::{DESK, Shown, drawn, input, root, scenario};

/// Chooses parts and ticks: small, and the same every time (the constants are Knuth's, from memory).
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % most
    }
}

#[test]
fn what_is_shown_of_20_parts_at_20_ticks_is_the_engines_state() {
    let scenario = scenario("granary.ron", "five sections");
    let drawn = drawn(&["scenarios/granary.ron", "--variant", "five sections"]);
    compare(&scenario, &drawn, 0..scenario.run_ticks, 7);
}

#[test]
fn the_same_of_a_line_that_returns_midway() {
    let scenario = scenario("multi-item-line.ron", "midway returns");
    let drawn = drawn(&[
        "scenarios/multi-item-line.ron",
        "--variant",
        "midway returns",
    ]);
    compare(&scenario, &drawn, 0..scenario.run_ticks, 8);
}

/// The record of this hall is thinned out, but not around its stop at tick 800.
#[test]
fn the_same_around_the_stop_of_a_hall_whose_record_is_thinned_out() {
    let loaded = load(&root().join(SCENARIO), &LoadOptions::default());
    let scenario = loaded.scenario.expect("the scenario is sound");
    let drawn = drawn(&[SCENARIO]);
    compare(&scenario, &drawn, 750..850, 9);
}

fn compare(scenario: &Scenario, page: &Path, within: Range<u64>, seed: u64) {
    let network = &scenario.network;
    let setup = setup_for(&input(scenario));
    let mut dice = Dice(seed);
    let mut ticks: Vec<u64> = (0..20)
        .map(|_| within.start + dice.below(within.end - within.start))
        .collect();
    let parts: Vec<PartId> = (0..20)
        .map(|_| PartId::from_index(dice.below(network.part_count() as u64) as usize))
        .collect();
    ticks.sort_unstable();
    let mut engine = Engine::new(network, &setup);
    let expected: Vec<Value> = ticks
        .iter()
        .map(|tick| {
            engine.run_until(Tick(*tick + 1), &mut ());
            let view = engine.view();
            parts.iter().map(|part| state(&view, *part)).collect()
        })
        .collect();

    let shown = Shown::open(page, DESK, "light");
    let names: Vec<&str> = parts.iter().map(|part| network.name(*part)).collect();
    // Not in order, so that time is gone through both ways.
    for at in (0..ticks.len())
        .step_by(2)
        .chain((1..ticks.len()).step_by(2))
    {
        shown.go(ticks[at]);
        let mut seen = shown.json(&script(&names));
        for (part, name) in names.iter().enumerate() {
            // Not every wait can be reported from the state alone.
            if expected[at][part]["waits"].is_null() {
                seen[part]["waits"] = Value::Null;
            }
            assert_eq!(
                seen[part], expected[at][part],
                "{name} at the end of tick {} (left: the page)",
                ticks[at]
            );
        }
    }
    shown.assert_untroubled();
}

/// Chooses each part and reads what the panel says of it.
fn script(names: &[&str]) -> String {
    let names = json!(names);
    format!(
        "(() => {names}.map((name) => {{
            document.dispatchEvent(new CustomEvent('choose', {{ detail: name }}));
            const panel = document.getElementById('details');
            const words = (selector) => panel.querySelector(selector)?.textContent ?? '';
            const slots = [...panel.querySelectorAll('.slots li:not(.empty)')].map((slot) =>
                [slot.dataset.slot === undefined ? null : Number(slot.dataset.slot), slot.querySelector('b').textContent]);
            const lines = [...panel.querySelectorAll('p')].map((line) => line.textContent);
            return {{
                name: words('h2'),
                slots,
                lock: lines.find((line) => /; cooldown/.test(line)) ?? '',
                waits: words('#now-waits').replace(/^Waits: (locked|cooldown|arrival cooldown).*/, '$1').replace('arrival ', ''),
                level: /level \\d+$/.test(words('#holding')) ? words('#holding') : '',
            }};
        }}))()"
    )
}

/// The state of a part as the engine has it, in the form of the page's.
fn state(view: &View<'_>, part: PartId) -> Value {
    let network = view.network();
    let mut slots: Vec<Value> = Vec::new();
    for (slot, stack) in view.slots(part).into_iter().flatten().enumerate() {
        slots.extend(stack.map(|stack| json!([slot, words(network, stack)])));
    }
    let mut lock = String::new();
    let mut level = String::new();
    let mut waits = Value::Null;
    match network.part(part) {
        Part::Selector(_) => {
            let queue = view.queue(part).enumerate();
            slots = queue
                .map(|(place, queued)| {
                    json!([place, format!("1 {}", network.kind(queued.item.kind).name)])
                })
                .collect();
        }
        Part::Hopper(_) => {
            let locked = if view.is_locked(part) {
                "locked"
            } else {
                "unlocked"
            };
            let cooldown_ticks = view.cooldown_ticks(part);
            lock = format!("{locked}; cooldown {cooldown_ticks} t");
            waits = match (view.is_locked(part), slots.is_empty()) {
                (true, _) => json!("locked"),
                (false, false) if cooldown_ticks > 0 => json!("cooldown"),
                _ => Value::Null,
            };
        }
        Part::Mouth | Part::Stream(_) => {
            let here = view.loose_stacks().filter(|stack| {
                part == if stack.at_rest {
                    stack.mouth
                } else {
                    stack.place
                }
            });
            slots = here
                .map(|stack| {
                    let kind = &network.kind(stack.item.kind).name;
                    json!([null, format!("{} {kind}", stack.count)])
                })
                .collect();
        }
        Part::Signal(_) => {
            level = match view.level(part) {
                0 => "off, level 0".to_owned(),
                level => format!("on, level {level}"),
            };
        }
        _ => {}
    }
    json!({
        "name": network.name(part), "slots": slots, "lock": lock, "level": level, "waits": waits,
    })
}

fn words(network: &Network, stack: Stack) -> String {
    format!("{} {}", stack.count, network.kind(stack.item.kind).name)
}
