//! A hand-over from dropper to dropper is warned of if the signal order alone decides whether it comes off: both
//! orders are run, of what is warned of and of what is not.

use hallwright_core::engine::Engine;
use hallwright_core::order::{Order, Orders};
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_scenario::{LoadOptions, Loaded, Scenario};

use crate::{ids_of, load_text, readable};

/// A hopper that draws from the second of two droppers.
const BELOW: &str = "\"below\": Hopper(above: \"next\", target: \"trap\"),\n\"trap\": Chest(),\n";

/// Two droppers, fired by `first` and `second`, of which the first hands one item to the second; these are the
/// other parts, the signals, and what the operator does.
fn droppers(parts: &str, signals: &str, actions: &str) -> Loaded {
    let text = format!(
        "(\ntitle: \"Handed over\",\nrun_for: \"10s\",\ngoods: {{\"flax\": 64}},\nparts: {{\n\
         \"in\": Dropper(trigger: \"first\", target: \"next\", holds: [\"flax\"]),\n\
         \"next\": Dropper(trigger: \"second\", target: \"store\"),\n\"store\": Chest(),\n{parts}}},\n\
         signals: {{\n{signals}\n}},\noperator: [(at: \"1s\", actions: [{actions}])],\n)\n"
    );
    load_text(&text, &LoadOptions::default())
}

/// Two droppers that a hopper below may come between.
fn above_a_hopper(signals: &str) -> Loaded {
    droppers(
        BELOW,
        &format!("\"gate\": Lever(),\n\"line\": Wire(inputs: [\"gate\"]),\n{signals}"),
        "On(\"gate\")",
    )
}

/// Two droppers that fire when a clock does and the first holds something, after a repeater of this delay each.
fn lift(clock: &str, delay: &str) -> Loaded {
    droppers(
        "",
        &format!(
            "\"beat\": Clock({clock}),\n\"holds\": Comparator(reads: \"in\"),\n\
             \"lifting\": AllOf(inputs: [\"beat\", \"holds\"]),\n\
             \"first\": Repeater(input: \"lifting\", delay: \"{delay}\"),\n\
             \"second\": Repeater(input: \"lifting\", delay: \"{delay}\"),"
        ),
        "",
    )
}

/// How many items are in the store at the end, in a signal order.
fn stored(scenario: &Scenario, signal: Order) -> u32 {
    let setup = Setup {
        orders: Orders {
            signal,
            ..Orders::default()
        },
        timeline: scenario.timeline.clone(),
        ..Setup::default()
    };
    let mut engine = Engine::new(&scenario.network, &setup);
    engine.run_until(Tick(scenario.run_ticks), &mut ());
    let store = scenario.network.find("store").expect("it is declared");
    let slots = engine.view().slots(store).expect("it has slots");
    slots.flatten().map(|stack| u32::from(stack.count)).sum()
}

/// What is in the store at the end, in the signal order as declared and reversed.
fn in_both_orders(loaded: Loaded) -> (u32, u32) {
    let scenario = readable(loaded);
    (
        stored(&scenario, Order::Declared),
        stored(&scenario, Order::Reversed),
    )
}

#[track_caller]
fn warned_of_and_undecided(loaded: Loaded, said: &str) {
    assert_eq!(ids_of(&loaded), ["smell::signal-order"], "{said}");
    let (declared, reversed) = in_both_orders(loaded);
    assert_ne!(declared, reversed, "{said}");
}

#[track_caller]
fn silent_and_decided(loaded: Loaded, said: &str) {
    assert_eq!(ids_of(&loaded), [""; 0], "{said}");
    let (declared, reversed) = in_both_orders(loaded);
    assert_eq!(declared, reversed, "{said}");
}

#[test]
fn two_like_parts_fire_in_signal_order() {
    for part in [
        "Repeater(input: \"line\")",
        "Repeater(input: \"line\", delay: \"6t\")",
        "Repeater(input: \"line\", lock: \"off\")",
        "Comparator(rear: \"line\")",
        "Comparator(rear: \"line\", side: \"off\", mode: Subtract)",
        "Comparator(reads: \"shelf\")",
        "Inverter(input: \"beat\")",
        "Observer(watches: Signal(\"line\"))",
        "Wire(inputs: [\"line\"])",
        "Hold(input: \"line\", hold: \"4t\")",
        "Latch(set: \"line\", reset: \"beat\")",
        "Toggle(input: \"line\")",
        "AllOf(inputs: [\"line\", \"beat\"])",
        "NoneOf(inputs: [\"off\", \"beat\"])",
        "DelayLine(input: \"line\", delay: \"3t\")",
        "Clock(period: \"16t\", high: \"8t\", phase: \"5t\")",
    ] {
        let loaded = droppers(
            &format!(
                "{BELOW}\"line of goods\": Hopper(target: \"shelf\", holds: [\"flax\"]),\n\"shelf\": Chest(),\n"
            ),
            &format!(
                "\"gate\": Lever(),\n\"off\": Lever(),\n\"line\": Wire(inputs: [\"gate\"]),\n\
                 \"beat\": Clock(period: \"16t\", high: \"8t\"),\n\"first\": {part},\n\"second\": {part},"
            ),
            "On(\"gate\")",
        );
        warned_of_and_undecided(loaded, part);
    }
}

#[test]
fn two_that_feed_repeaters_fire_in_signal_order_too() {
    for part in ["Repeater(input: \"line\")", "Comparator(rear: \"line\")"] {
        let loaded = above_a_hopper(&format!(
            "\"first\": {part},\n\"second\": {part},\n\"one\": Repeater(input: \"first\"),\n\
             \"other\": Repeater(input: \"second\"),"
        ));
        warned_of_and_undecided(loaded, part);
    }
}

#[test]
fn what_a_rank_or_a_delay_decides_is_not_warned_of() {
    let later = "Repeater(input: \"line\", delay: \"4t\")";
    let (repeater, comparator) = ("Repeater(input: \"line\")", "Comparator(rear: \"line\")");
    let fed = |feeder: &str| format!("\"fed\": Repeater(input: \"{feeder}\"),");
    for (first, second, more) in [
        (repeater, comparator, String::new()),
        (repeater, later, String::new()),
        (later, repeater, String::new()),
        (repeater, repeater, fed("first")),
        (repeater, repeater, fed("second")),
        (comparator, comparator, fed("first")),
        (comparator, comparator, fed("second")),
    ] {
        let said = format!("\"first\": {first},\n\"second\": {second},\n{more}");
        silent_and_decided(above_a_hopper(&said), &said);
    }
}

#[test]
fn the_operator_moves_one_lever_after_the_other() {
    let signals = "\"first\": Lever(),\n\"second\": Lever(),";
    let moved = "On(\"first\"), On(\"second\")";
    silent_and_decided(droppers(BELOW, signals, moved), signals);
}

#[test]
fn what_fires_only_while_a_place_holds_something_is_followed_through_repeaters() {
    for (clock, delay) in [
        ("period: \"16t\", high: \"8t\"", "2t"),
        ("period: \"16t\", high: \"4t\"", "8t"),
        ("period: \"24t\", high: \"12t\"", "8t"),
    ] {
        warned_of_and_undecided(lift(clock, delay), clock);
    }
}

#[test]
fn a_clock_that_may_fire_again_before_the_place_is_seen_to_be_empty_is_not_warned_of() {
    let quick = lift("period: \"14t\", high: \"4t\"", "8t");
    assert_eq!(ids_of(&quick), [""; 0]);
}
