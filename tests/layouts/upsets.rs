//! Regions, sleep, reopening and mishaps: what their names stand for.

use hallwright_core::network::Network;
use hallwright_core::order::{Order, Orders};
use hallwright_core::timeline::Action;
use hallwright_scenario::{LoadOptions, Scenario, ids, load};

use crate::{beside, ids_of, load_text, sound};

fn upsets() -> Scenario {
    sound(load(&beside("valid/upsets.ron"), &LoadOptions::default()))
}

/// What is done in a tick.
fn done(scenario: &Scenario, tick: u64) -> Vec<Action> {
    let entries = scenario.timeline.entries().iter();
    let entries = entries.filter(|(at, _)| at.0 == tick);
    entries.map(|(_, action)| action.clone()).collect()
}

fn names(network: &Network, parts: &[hallwright_core::id::PartId]) -> Vec<String> {
    let parts = parts.iter();
    parts.map(|part| network.name(*part).to_owned()).collect()
}

/// The parts of the module `lane` under these names.
fn lanes(prefixes: &[&str]) -> Vec<String> {
    let parts = ["line", "eye", "wire"];
    let prefixes = prefixes.iter();
    prefixes
        .flat_map(|prefix| parts.iter().map(move |part| format!("{prefix}.{part}")))
        .collect()
}

#[test]
fn a_region_is_all_parts_of_its_modules_in_the_order_of_the_text() {
    let scenario = upsets();
    let regions = &scenario.declarations.regions;
    let found: Vec<(&str, Vec<String>)> = regions
        .iter()
        .map(|region| {
            (
                region.name.as_str(),
                names(&scenario.network, &region.parts),
            )
        })
        .collect();
    let plain =
        |names: &[&str]| -> Vec<String> { names.iter().map(|name| (*name).to_owned()).collect() };
    let near: Vec<String> = plain(&["quay", "head"])
        .into_iter()
        .chain(lanes(&["yard.lanes[0]", "yard.lanes[1]"]))
        .collect();
    let middle: Vec<String> = lanes(&["hall[0].lanes[0]", "hall[0].lanes[1]", "hall[1].lanes[0]"])
        .into_iter()
        .chain(plain(&["hall[1].lanes[1].line"]))
        .collect();
    let far: Vec<String> = plain(&["end"])
        .into_iter()
        .chain(lanes(&["hall[2].lanes[0]", "hall[2].lanes[1]"]))
        .collect();
    assert_eq!(found, [("near", near), ("middle", middle), ("far", far)]);
}

#[test]
fn sleepers_are_named_by_region_module_and_part() {
    let scenario = upsets();
    let network = &scenario.network;
    let asleep = |tick: u64, ticks: u32| {
        let all = done(&scenario, tick).into_iter();
        let mut sleeps = all.filter_map(|action| match action {
            Action::Sleep { parts, sleep_ticks } if sleep_ticks == ticks => Some(parts),
            _ => None,
        });
        names(network, &sleeps.next().expect("something sleeps"))
    };
    let regions = &scenario.declarations.regions;
    let region = |place: usize| names(network, &regions[place].parts);
    assert_eq!(asleep(100, 200), region(2));
    let mut near = region(0);
    near.push("hall[1].lanes[1].wire".to_owned());
    assert_eq!(asleep(120, 30), near);
    // Both come from a parameter and from every row of a row.
    assert_eq!(asleep(320, 20).len(), 1 + 6 + 3 * 6);
}

#[test]
fn orders_are_drawn_turned_round_or_listed() {
    let scenario = upsets();
    let reopened = |tick: u64| -> Vec<Orders> {
        let all = done(&scenario, tick).into_iter();
        let orders = all.filter_map(|action| match action {
            Action::Reopen { orders } => Some(orders),
            _ => None,
        });
        orders.collect()
    };
    let orders = |update, signal| Orders { update, signal };
    assert_eq!(reopened(320), [orders(Order::Reversed, Order::Shuffled(3))]);
    let two = reopened(360);
    assert_eq!(two[0], Orders::default());
    let Order::Listed(listed) = &two[1].update else {
        panic!("{:?}", two[1]);
    };
    let listed = names(&scenario.network, listed);
    let first = ["bell", "head", "yard.lanes[0].line", "yard.lanes[1].line"];
    assert_eq!(listed[..4], first);
    assert_eq!(listed.len(), 10);
    assert_eq!(two[1].signal, Order::Declared);
}

#[test]
fn of_modules_and_regions_the_signals_are_stuck() {
    let scenario = upsets();
    let network = &scenario.network;
    let stuck = |tick: u64| -> Vec<(Vec<String>, bool, u32)> {
        let all = done(&scenario, tick).into_iter();
        let stuck = all.filter_map(|action| match action {
            Action::Stick {
                signals,
                on,
                stuck_ticks,
            } => Some((names(network, &signals), on, stuck_ticks)),
            _ => None,
        });
        stuck.collect()
    };
    let of = |prefixes: &[&str]| -> Vec<String> {
        let all = lanes(prefixes).into_iter();
        all.filter(|name| !name.ends_with("line")).collect()
    };
    let mut some = vec!["gate".to_owned()];
    some.extend(of(&["hall[0].lanes[0]", "hall[0].lanes[1]"]));
    assert_eq!(
        stuck(400),
        [(some, true, 40), (vec!["button".to_owned()], false, 40)]
    );
    // A gate, a button, and an eye and a wire in each of eight lanes.
    let all = stuck(460);
    assert_eq!((all[0].0.len(), all[0].1, all[0].2), (2 + 8 * 2, false, 60));
    let some = of(&[
        "hall[1].lanes[0]",
        "hall[1].lanes[1]",
        "hall[2].lanes[0]",
        "hall[2].lanes[1]",
    ]);
    assert_eq!(stuck(520), [(some, false, 1)]);
}

/// A scenario of two chests, a module with a lever, and this.
fn loaded(more: &str) -> hallwright_scenario::Loaded {
    let text = format!(
        "(
            title: \"T\", run_for: \"60s\", goods: {{\"barley\": 64}},
            modules: {{\"cell\": (signals: {{\"gate\": Lever()}})}},
            parts: {{\"in\": Chest(holds: [\"barley\"]), \"end\": Chest(holds: [\"barley\"])}},
            uses: {{\"cells\": Row(module: \"cell\", count: 2)}},
            {more}
        )"
    );
    load_text(&text, &LoadOptions::default())
}

fn reported(more: &str) -> Vec<(&'static str, String)> {
    let loaded = loaded(more);
    let reported = loaded.diagnostics.iter();
    reported.map(|one| (one.id, one.message.clone())).collect()
}

#[test]
fn a_part_can_sleep_again_from_the_tick_on_in_which_it_is_awake() {
    let twice = |second: &str| {
        format!(
            "operator: [
                (at: \"1s\", actions: [Sleep(parts: [\"in\", \"in\"], time: \"5s\")]),
                (at: \"{second}\", actions: [Sleep(parts: [\"in\"], time: \"5s\")]),
            ],"
        )
    };
    assert_eq!(ids_of(&loaded(&twice("6s"))), [] as [&str; 0]);
    let text = "`in` is asleep already, until tick 120";
    let expected = [(ids::ALREADY_ASLEEP, text.to_owned())];
    assert_eq!(reported(&twice("119t")), expected);
}

#[test]
fn the_operator_and_a_stop_let_different_parts_sleep() {
    let both = |in_stop: &str| {
        format!(
            "operator: [(at: \"1s\", actions: [Sleep(parts: \"in\", time: \"5s\")])],
            stops: [(
                at: \"20s\", actions: [Sleep(parts: \"{in_stop}\", time: \"5s\")],
                restart: (after: \"5s\", actions: [Sleep(parts: \"end\", time: \"5s\")]),
            )],"
        )
    };
    assert_eq!(ids_of(&loaded(&both("end"))), [] as [&str; 0]);
    let text = "both the operator and a stop let `in` fall asleep";
    let expected = [(ids::ALREADY_ASLEEP, text.to_owned())];
    assert_eq!(reported(&both("in")), expected);
}

#[test]
fn a_name_that_nobody_has_is_compared_with_regions_and_modules_too() {
    let loaded = loaded(
        "regions: {\"far\": [\"end\"]},
        operator: [(at: \"1s\", actions: [
            Sleep(parts: [\"fra\", \"cels\", \"cells[2]\"], time: \"5s\"),
        ])],",
    );
    let helps: Vec<(&str, String, Option<&str>)> = loaded
        .diagnostics
        .iter()
        .map(|one| (one.id, one.message.clone(), one.help.as_deref()))
        .collect();
    let unknown = |name: &str| format!("no region, module or part is named `{name}`");
    assert_eq!(
        helps,
        [
            (
                ids::UNKNOWN_PART,
                unknown("fra"),
                Some("did you mean `far`?")
            ),
            (
                ids::UNKNOWN_PART,
                unknown("cels"),
                Some("did you mean `cells`?")
            ),
            (
                ids::NOT_IN_ROW,
                "`cells` is a row of 2 modules, and none is `[2]`".to_owned(),
                Some("modules are numbered from 0; `first`, `last` and `*` are known too")
            ),
        ]
    );
}

#[test]
fn only_signals_are_stuck() {
    let stuck = |signals: &str| {
        let more = format!(
            "operator: [(at: \"1s\", actions: [
                Stuck(signals: {signals}, on: true, time: \"5s\"),
            ])],"
        );
        ids_of(&loaded(&more))
    };
    assert_eq!(stuck("\"cells\""), [] as [&str; 0]);
    assert_eq!(stuck("[\"cells[0].gate\", \"in\"]"), [] as [&str; 0]);
    assert_eq!(stuck("\"in\""), [ids::WRONG_PART]);
    assert_eq!(stuck("[\"in\", \"end\"]"), [ids::WRONG_PART]);
}
