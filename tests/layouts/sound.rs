//! Designs that come near to a warning and are as they should be: nothing is reported of them. A false
//! alarm is worse than a warning that is missed.

use hallwright_scenario::{LoadOptions, render};

use crate::load_text;

/// What is reported of some fields of a scenario.
fn reported(fields: &str) -> String {
    let goods =
        "{\"barley\": 64, \"flax\": 64, \"ham\": 16, \"peg\": 64, \"jug\": 16, \"box\": Box}";
    let text = format!("(title: \"Near\", run_for: \"60s\", goods: {goods},\n{fields}\n)");
    let loaded = load_text(&text, &LoadOptions::default());
    render(&loaded.diagnostics, &loaded.sources, false)
}

/// A line with one sieve of this filling, and what opens it.
fn with_sieve(holds: &str, signals: &str, more: &str) -> String {
    format!(
        "parts: {{\"in\": Chest(holds: [(kind: \"barley\", count: 9), (kind: \"ham\", count: 9)]),
        \"line\": Hopper(above: \"in\", target: \"rest\"), \"rest\": Chest(),
        \"sieve\": Hopper(above: \"line\", holds: [{holds}]),
        \"out\": Hopper(above: \"sieve\", target: \"store\", lock: \"shut\"), \"store\": Chest(), {more}}},
        signals: {{\"level\": Comparator(reads: \"sieve\"), {signals}}}, sieves: \"sieve\","
    )
}

/// The classic lock: at level 3 the hopper below is unlocked.
const AT_THREE: &str =
    "\"open\": Wire(inputs: [Loss(\"level\", 2)]), \"shut\": Inverter(input: \"open\")";

/// Barley, 41 items and four fillers: level 2, and 3 with one more.
const CLASSIC: &str = "(kind: \"barley\", count: 41), (kind: \"peg\", slots: 4)";

#[test]
fn sieves_that_the_next_item_opens_are_right_whatever_they_are_built_of() {
    let sound = [
        (CLASSIC, AT_THREE),
        // 10 of 16 and four fillers weigh 44 of 320, and 48 with one more.
        (
            "(kind: \"ham\", count: 10), (kind: \"peg\", slots: 4)",
            AT_THREE,
        ),
        // 7 of 16, and four fillers of 16, weigh 44 as well.
        (
            "(kind: \"ham\", count: 7), (kind: \"jug\", slots: 4)",
            AT_THREE,
        ),
        // Level 4 begins at 69: 46 with 22 fillers of which one slot has more.
        (
            "(kind: \"barley\", count: 46), (slot: 1, kind: \"peg\", count: 19), (slot: 2, kind: \"peg\"), (slot: 3, kind: \"peg\"), (slot: 4, kind: \"peg\")",
            "\"open\": Wire(inputs: [Loss(\"level\", 3)]), \"shut\": Inverter(input: \"open\")",
        ),
        // Less two, by a comparator that subtracts what a lever gives with losses of 13.
        (
            CLASSIC,
            "\"full\": Lever(starts_on: true), \"two\": Wire(inputs: [Loss(\"full\", 13)]), \
             \"open\": Comparator(rear: \"level\", side: \"two\", mode: Subtract), \
             \"shut\": NoneOf(inputs: [\"open\"])",
        ),
        // What opens a gate besides can lock it too: a lever is moved.
        (
            CLASSIC,
            "\"gate\": Lever(), \"open\": Wire(inputs: [Loss(\"level\", 2)]), \
             \"both\": AllOf(inputs: [\"open\", \"gate\"]), \"shut\": Inverter(input: \"both\")",
        ),
        // What a memory does is not foreseen.
        (
            CLASSIC,
            "\"open\": Wire(inputs: [Loss(\"level\", 3)]), \"gate\": Lever(), \
             \"kept\": Latch(set: \"level\", reset: \"open\"), \"shut\": Inverter(input: \"kept\")",
        ),
    ];
    for (holds, signals) in sound {
        let mut fields = with_sieve(holds, signals, "");
        if signals.contains("\"gate\"") {
            fields += "\noperator: [(at: \"1s\", actions: [On(\"gate\")])],";
        }
        assert_eq!(reported(&fields), "", "{fields}");
    }
}

#[test]
fn a_free_slot_into_which_nothing_strange_can_come_is_no_fault() {
    // Before the sieve an eye takes out barley, and nothing else comes to it.
    let fields = "
    parts: {\"in\": Chest(holds: [\"barley\", \"flax\"]), \"head\": Hopper(above: \"in\", target: \"eye\"),
        \"eye\": Selector(takes: Kinds([\"barley\"]), match: \"line\", rest: \"rest\"), \"rest\": Chest(),
        \"line\": Hopper(target: \"end\"), \"end\": Chest(),
        \"sieve\": Hopper(above: \"line\", holds: [(kind: \"barley\", count: 45)]),
        \"out\": Hopper(above: \"sieve\", target: \"store\", lock: \"shut\"), \"store\": Chest()},
    signals: {\"level\": Comparator(reads: \"sieve\"), \"open\": Wire(inputs: [Loss(\"level\", 2)]),
        \"shut\": Inverter(input: \"open\")},
    sieves: \"sieve\",";
    assert_eq!(reported(fields), "");
}

#[test]
fn fillers_may_lie_and_arrive_where_they_cannot_come_to_the_sieve() {
    let spare = "\"spare\": Chest(holds: [(kind: \"peg\", count: 60)])";
    let mut fields = with_sieve(CLASSIC, AT_THREE, spare);
    fields += "arrivals: {\"pegs\": AllAtOnce(place: \"spare\", kind: \"peg\")},";
    assert_eq!(reported(&fields), "");
}

/// Two sieves for barley below these places, with these parts around them.
fn two_sieves(places: [&str; 2], parts: &str) -> String {
    let sieve = |number: usize, place: &str| {
        format!(
            "\"sieve {number}\": Hopper(above: \"{place}\", holds: [{CLASSIC}]),
            \"out {number}\": Hopper(above: \"sieve {number}\", target: \"store {number}\", lock: \"shut {number}\"),
            \"store {number}\": Chest(),"
        )
    };
    let signals = |number: usize| {
        format!(
            "\"level {number}\": Comparator(reads: \"sieve {number}\"),
            \"open {number}\": Wire(inputs: [Loss(\"level {number}\", 2)]),
            \"shut {number}\": Inverter(input: \"open {number}\"),"
        )
    };
    format!(
        "parts: {{{parts} {} {}}}, signals: {{{} {}}}, sieves: [\"sieve 1\", \"sieve 2\"],",
        sieve(1, places[0]),
        sieve(2, places[1]),
        signals(1),
        signals(2),
    )
}

#[test]
fn two_sieves_of_a_kind_on_lines_apart_or_below_one_chest_are_meant() {
    let parallel = "\"in\": Chest(holds: [\"barley\"]), \"rest\": Chest(),
        \"left\": Hopper(above: \"in\", target: \"rest\"), \"right\": Hopper(above: \"in\", target: \"rest\"),";
    assert_eq!(reported(&two_sieves(["left", "right"], parallel)), "");
    // A chest can be filled faster than one hopper draws from it.
    let chest = "\"in\": Chest(holds: [\"barley\"]),";
    assert_eq!(reported(&two_sieves(["in", "in"], chest)), "");
    // What comes home to the store between them has left the first line.
    let through_store = "\"in\": Chest(holds: [\"barley\"]), \"left\": Hopper(above: \"in\", target: \"home\"),
        \"home\": Chest(), \"right\": Hopper(above: \"home\", target: \"rest\"), \"rest\": Chest(),";
    let mut fields = two_sieves(["left", "right"], through_store);
    fields += "stores: {\"home\": (parts: [\"home\", \"rest\"], takes: \"barley\")},";
    assert_eq!(reported(&fields), "");
}

#[test]
fn rings_that_a_signal_breaks_or_that_items_can_leave_are_meant() {
    let ring = |west: &str, more: &str, rest: &str| {
        format!(
            "parts: {{\"north\": Hopper(target: \"east\", holds: [\"flax\"]), \"east\": Hopper(target: \"west\"),
            \"west\": {west}, {more}}}, {rest}"
        )
    };
    let sound = [
        // A signal locks one of its hoppers.
        ring(
            "Hopper(target: \"north\", lock: \"gate\")",
            "",
            "signals: {\"gate\": Lever()}, operator: [(at: \"1s\", actions: [On(\"gate\")])],",
        ),
        // A dropper is fired by one.
        ring(
            "Dropper(target: \"north\", trigger: \"beat\")",
            "",
            "signals: {\"beat\": Clock(period: \"8t\", high: \"4t\")},",
        ),
        // A hopper draws from it.
        ring(
            "Hopper(target: \"north\")",
            "\"out\": Hopper(above: \"east\", target: \"store\"), \"store\": Chest()",
            "",
        ),
        // What goes round is taken out by its eye.
        ring(
            "Selector(takes: Kinds([\"flax\"]), match: \"store\", rest: \"north\")",
            "\"store\": Chest()",
            "",
        ),
        // The operator takes it out.
        ring(
            "Hopper(target: \"north\")",
            "",
            "operator: [(at: \"1s\", actions: [Withdraw(place: \"east\", count: 5)])],",
        ),
    ];
    for fields in sound {
        assert_eq!(reported(&fields), "", "{fields}");
    }
}

#[test]
fn a_part_belongs_to_what_is_declared_around_it() {
    let hall = |parts: &str, section: &str, rest: &str| {
        format!(
            "parts: {{\"in\": Chest(holds: [\"flax\"]), \"line\": Hopper(above: \"in\", target: \"end\", lock: \"halt\"),
            {parts}}},
            signals: {{\"run\": Lever(starts_on: true), \"halt\": Inverter(input: \"run\")}},
            stores: {{\"store\": (parts: \"store\", takes: \"flax\")}}, {section} {rest}"
        )
    };
    let declared = "sections: {\"line\": (queue: \"in\", locked: \"line\")},";
    let stop = "stops: [(at: \"5s\", actions: [Off(\"run\")])],";
    let own_line = "\"end\": Hopper(target: \"store\"), \"store\": Chest(),
        \"other\": Chest(holds: [\"flax\"]), \"across\": Hopper(above: \"other\", target: \"store\"),";
    let sound = [
        // Without a stop, or without sections, nothing is judged by them.
        hall(own_line, declared, ""),
        hall(own_line, "", stop),
        // The last hopper before the store is behind the section.
        hall("\"end\": Hopper(target: \"store\"), \"store\": Chest(),", declared, stop),
        // A hopper that brings work to the queue.
        hall(
            "\"end\": Chest(), \"store\": Chest(holds: [\"flax\"]),
            \"quay\": Chest(holds: [\"flax\"]), \"crane\": Hopper(above: \"quay\", target: \"in\"),",
            declared,
            stop,
        ),
        // The stop holds the other line as well.
        hall(
            "\"end\": Hopper(target: \"store\"), \"store\": Chest(), \"other\": Chest(holds: [\"flax\"]),
            \"across\": Hopper(above: \"other\", target: \"far\", lock: \"halt\"), \"far\": Chest(),",
            declared,
            stop,
        ),
        // What a return carries back to its queue.
        hall(
            "\"end\": Hopper(target: \"store\"), \"store\": Chest(),
            \"back\": Hopper(above: \"line\", target: \"step\", lock: \"halt\"),
            \"step\": Hopper(target: \"in\"),",
            "sections: {\"line\": (queue: \"in\", locked: \"line\", returns: \"back\")},",
            stop,
        ),
    ];
    for fields in sound {
        assert_eq!(reported(&fields), "", "{fields}");
    }
}

#[test]
fn goals_that_can_be_missed_are_left_alone() {
    let fields = "
    parts: {\"in\": Chest(holds: [(kind: \"flax\", count: 40), Full(\"barley\")]),
        \"line\": Hopper(above: \"in\", target: \"store\", lock: \"halt\"), \"store\": Chest()},
    signals: {\"run\": Lever(starts_on: true), \"halt\": Inverter(input: \"run\"),
        \"level\": Comparator(reads: \"store\")},
    stops: [(at: \"5s\", actions: [Off(\"run\")])],
    stores: {\"store\": (parts: \"store\", takes: [\"flax\", \"barley\"])},
    flows: {\"in\": (into: \"line\")},
    lamps: {\"lamp\": (signal: \"level\", watches: \"store\")},
    goals: [
        MisplacedAtMost(0), PassedByAtMost(0), LostAtMost(0), InNoStoreAtMost(39), GoingRoundAtMost(0),
        // A box and 1,728 items in it are there too.
        InNoStoreAtMost(1768),
        ThroughputAtLeast(flow: \"in\", items_per_second: 0.1),
        MarkWithin(mark: Quiet, within: \"59s\"),
        Contents(parts: \"store\", at_least: 1),
        Contents(parts: \"store\", kinds: \"flax\", at_least: 0, at_most: 39),
        Contents(parts: \"store\", kinds: \"ham\", at_most: 0),
        // That it rises is asked.
        LampRise(lamp: \"lamp\", not_before: \"0s\"),
    ],";
    assert_eq!(reported(fields), "");
}

#[test]
fn a_sieve_with_a_free_slot_is_first_to_get_a_filler() {
    // A peg is missing: one item more of its own would open it in time, and leave the slot to what comes.
    let one_short = "(kind: \"barley\", count: 41), (kind: \"peg\", slots: 3)";
    let found = reported(&with_sieve(one_short, AT_THREE, ""));
    assert!(found.contains("smell::sieve-short"), "{found}");
    assert!(found.contains("smell::sieve-free-slot"), "{found}");
    assert!(
        found.contains("first put a filler into its free slot"),
        "{found}"
    );
    assert!(!found.contains("fill in 1 more"), "{found}");
    // One too many now, and two with a filler in the slot.
    let too_full = "(kind: \"barley\", count: 43), (kind: \"peg\", slots: 3)";
    let found = reported(&with_sieve(too_full, AT_THREE, ""));
    assert!(found.contains("smell::sieve-leaks"), "{found}");
    assert!(
        found.contains("first put a filler into its free slot"),
        "{found}"
    );
    assert!(!found.contains("leave out"), "{found}");
}
