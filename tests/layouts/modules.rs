//! Modules, rows, ports, paths.

use hallwright_core::id::KindId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::timeline::{Action, Terms};
use hallwright_scenario::LoadOptions;

use crate::{ids_of, load_text, readable};

/// A scenario with these fields.
fn network(fields: &str) -> Network {
    let text = format!("(title: \"Modules\", run_for: \"10s\", {fields})");
    readable(load_text(&text, &LoadOptions::default())).network
}

/// The name of what a hopper pushes into.
fn target<'n>(network: &'n Network, hopper: &str) -> Option<&'n str> {
    let id = network.find(hopper).expect("the hopper is there");
    let Part::Hopper(part) = network.part(id) else {
        panic!("{hopper} is no hopper");
    };
    part.target.map(|target| network.name(target))
}

#[test]
fn a_row_is_chained_and_its_ends_are_ports_of_the_whole() {
    let network = network(
        r#"
        modules: {"link": (
            ports: {"inlet": "hopper", "outlet": "hopper"},
            parts: {"hopper": Hopper()},
        )},
        parts: {"before": Hopper(target: "line.inlet"), "end": Chest(), "under": Hopper(above: "line.outlet")},
        uses: {"line": Row(module: "link", count: 3, then: {"outlet": "end"})},
        "#,
    );
    assert_eq!(target(&network, "before"), Some("line[0].hopper"));
    assert_eq!(target(&network, "line[0].hopper"), Some("line[1].hopper"));
    assert_eq!(target(&network, "line[1].hopper"), Some("line[2].hopper"));
    assert_eq!(target(&network, "line[2].hopper"), Some("end"));
}

#[test]
fn arrivals_of_modules_are_named_and_drawn_like_their_parts() {
    let text = r#"(title: "Modules", run_for: "100s", goods: {"barley": 64, "oat": 64},
        modules: {"berth": (
            parameters: {"kind": Name},
            parts: {"quay": Chest()},
            signals: {"open": Lever()},
            arrivals: {
                "boat": Steady(place: "quay", kind: "$kind", every: "40s", when_full: Wait, while_on: "open"),
                "rain": ByChance(place: "quay", kind: "$kind", per_tick: 0.1),
                "never": AllAtOnce(when: false, place: "quay", kind: "$kind"),
            },
        )},
        arrivals: {"first": AllAtOnce(place: "berths[1].quay", kind: "oat")},
        uses: {"berths": Row(module: "berth", each: ["oat", "barley"], with: {"kind": "$each"})},
    )"#;
    let scenario = readable(load_text(text, &LoadOptions::default()));
    let names = [
        "first",
        "berths[0].boat",
        "berths[0].rain",
        "berths[1].boat",
        "berths[1].rain",
    ];
    assert_eq!(scenario.declarations.arrivals, names);
    let of = |wanted: u32| -> Vec<(u64, Action)> {
        let entries = scenario.timeline.entries().iter();
        let its = entries.filter(
            |(_, action)| matches!(action, Action::Deliver { terms, .. } if terms.arrival == Some(wanted)),
        );
        its.map(|(tick, action)| (tick.0, action.clone())).collect()
    };
    let network = &scenario.network;
    let boats: Vec<(u64, Action)> = [0, 800, 1600]
        .map(|tick| {
            let action = Action::Deliver {
                place: network.find("berths[1].quay").expect("it is there"),
                kind: KindId::from_index(0),
                count: 1,
                contents: Vec::new(),
                terms: Terms {
                    waits: true,
                    while_on: network.find("berths[1].open"),
                    arrival: Some(3),
                },
            };
            (tick, action)
        })
        .to_vec();
    assert_eq!(of(3), boats);
    // Each instance has a chance of its own.
    let ticks = |rain: u32| -> Vec<u64> { of(rain).iter().map(|(tick, _)| *tick).collect() };
    assert!(ticks(2).len() > 100);
    assert_ne!(ticks(2), ticks(4));
}

#[test]
fn a_mixed_delivery_keeps_its_proportions_or_draws() {
    let kinds_of = |by: &str| -> Vec<usize> {
        let text = format!(
            r#"(title: "Mixed", run_for: "70s", seed: 3, goods: {{"barley": 64, "oat": 64}}, parts: {{"inbox": Chest()}},
            arrivals: {{"cart": Mixed(place: "inbox", kinds: {{"barley": 5, "oat": 2}}, per_second: 10, by: {by})}})"#
        );
        let scenario = readable(load_text(&text, &LoadOptions::default()));
        let entries = scenario.timeline.entries().iter();
        entries
            .map(|(_, action)| match action {
                Action::Deliver { kind, .. } => kind.index(),
                other => panic!("no delivery: {other:?}"),
            })
            .collect()
    };
    let turns = kinds_of("Turns");
    assert_eq!(turns.len(), 700);
    for week in turns.chunks(7) {
        assert_eq!(week, [0, 0, 1, 0, 0, 0, 1]);
    }
    let drawn = kinds_of("Chance");
    let oats = drawn.iter().filter(|kind| **kind == 1).count();
    // 200 expected, with a deviation of 12.
    assert!((150..250).contains(&oats), "{oats}");
    assert_ne!(drawn, turns);
    assert_eq!(drawn, kinds_of("Chance"));
}

#[test]
fn ports_lead_through_modules_inside_modules() {
    let network = network(
        r#"
        modules: {
            "inner": (ports: {"eye": "hopper"}, parts: {"hopper": Hopper()}),
            "outer": (ports: {"way": "deep.eye", "all": "deep"}, uses: {"deep": One(module: "inner")}),
        },
        parts: {"by_port": Hopper(target: "use.way"), "by_name": Hopper(target: "use.deep.hopper"), "by_use": Hopper(target: "use.all.eye")},
        uses: {"use": One(module: "outer")},
        "#,
    );
    assert_eq!(target(&network, "by_port"), Some("use.deep.hopper"));
    assert_eq!(target(&network, "by_name"), Some("use.deep.hopper"));
    assert_eq!(target(&network, "by_use"), Some("use.deep.hopper"));
}

#[test]
fn a_name_given_as_parameter_is_looked_up_where_it_was_given() {
    // Both layouts have a part named `chest`.
    let network = network(
        r#"
        modules: {"cell": (
            parameters: {"to": Name},
            parts: {"chest": Chest(), "out": Hopper(target: "$to"), "in": Hopper(target: "chest")},
        )},
        parts: {"chest": Chest()},
        uses: {"one": One(module: "cell", with: {"to": "chest"})},
        "#,
    );
    assert_eq!(target(&network, "one.out"), Some("chest"));
    assert_eq!(target(&network, "one.in"), Some("one.chest"));
}

#[test]
fn a_parameter_can_name_an_instance_whose_ports_are_used() {
    let network = network(
        r#"
        modules: {
            "store": (ports: {"top": "chest"}, parts: {"chest": Chest()}),
            "feeder": (parameters: {"to": Name}, parts: {"out": Hopper(target: "$to.top")}),
        },
        uses: {
            "stores": Row(module: "store", count: 2),
            "feeders": Row(module: "feeder", count: 2, with: {"to": "stores[$index]"}),
        },
        "#,
    );
    assert_eq!(target(&network, "feeders[0].out"), Some("stores[0].chest"));
    assert_eq!(target(&network, "feeders[1].out"), Some("stores[1].chest"));
}

#[test]
fn counts_are_worked_out_from_parameters() {
    let network = network(
        r#"
        parameters: {"slices": 3, "kinds": ["a", "b", "c", "d"]},
        modules: {"cell": (parts: {"chest": Chest()})},
        uses: {
            "one": Row(module: "cell", count: Times("$slices", Minus(5, 1))),
            "two": Row(module: "cell", count: Plus(Divided(Length("$kinds"), 3), Remainder(8, 3))),
            "three": Row(module: "cell", count: If(Below("$slices", 3), 9, 1)),
            "four": Row(module: "cell", count: 7, when: Both(true, Either(false, Not(Is("a", "a"))))),
        },
        "#,
    );
    // 3 * 4 = 12; 4 / 3 = 1 and 8 mod 3 = 2; 3 is not below 3; `four` is not there.
    assert_eq!(network.part_count(), 12 + 3 + 1);
}

#[test]
fn rows_in_rows_may_grow_with_their_number() {
    let network = network(
        r#"
        modules: {
            "cell": (parts: {"chest": Chest()}),
            "step": (uses: {"cells": Row(module: "cell", count: Plus("$index", 1))}),
        },
        uses: {"stairs": Row(module: "step", count: 4)},
        "#,
    );
    assert_eq!(network.part_count(), 1 + 2 + 3 + 4);
    assert!(network.find("stairs[3].cells[3].chest").is_some());
}

#[test]
fn one_mistake_in_a_module_is_reported_once() {
    let text = r#"(
        title: "Modules", run_for: "10s",
        modules: {"cell": (parts: {"hopper": Hopper(target: "nowhere")})},
        uses: {"row": Row(module: "cell", count: 500)},
    )"#;
    let loaded = load_text(text, &LoadOptions::default());
    assert_eq!(ids_of(&loaded), ["layout::unknown-part"]);
}

#[test]
fn an_endless_row_of_nothing_is_refused() {
    let text = r#"(
        title: "Modules", run_for: "10s",
        modules: {"none": (), "more": (uses: {"inner": Row(module: "none", count: 2000000000)})},
        uses: {"row": Row(module: "more", count: 2000000000)},
    )"#;
    let loaded = load_text(text, &LoadOptions::default());
    assert_eq!(ids_of(&loaded), ["layout::too-many-parts"]);
}

#[test]
fn modules_that_double_again_and_again_are_refused() {
    let modules: Vec<String> = (0..50)
        .map(|depth| {
            let next = depth + 1;
            format!(r#""m{depth}": (uses: {{"a": One(module: "m{next}"), "b": One(module: "m{next}")}})"#)
        })
        .collect();
    let text = format!(
        r#"(title: "Doubling", run_for: "10s", modules: {{{}, "m50": ()}}, uses: {{"top": One(module: "m0")}})"#,
        modules.join(", ")
    );
    let loaded = load_text(&text, &LoadOptions::default());
    assert_eq!(ids_of(&loaded), ["layout::too-many-parts"]);
}

#[test]
fn modules_nested_too_deep_are_refused() {
    let modules: Vec<String> = (0..70)
        .map(|depth| {
            format!(
                r#""m{depth}": (uses: {{"a": One(module: "m{}")}})"#,
                depth + 1
            )
        })
        .collect();
    let text = format!(
        r#"(title: "Deep", run_for: "10s", modules: {{"m70": (), {}}}, uses: {{"top": One(module: "m0")}})"#,
        modules.join(", ")
    );
    let loaded = load_text(&text, &LoadOptions::default());
    assert_eq!(ids_of(&loaded), ["layout::nested-too-deep"]);
}
