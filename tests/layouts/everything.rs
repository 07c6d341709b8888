//! `valid/everything.ron` has every construct of the language once.

use hallwright_core::engine::Engine;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms};
use hallwright_declared::declarations::{
    CostWeights, Desk, Flow, Gather, Goal, Lamp, Mark, Open, Restart, Section, Stop, Store,
    StorePurpose,
};
use hallwright_scenario::{LoadOptions, Scenario, load};

use crate::expected_network::{expected_network, full_of};
use crate::{beside, sound};

fn everything() -> Scenario {
    let path = beside("valid/everything.ron");
    sound(load(&path, &LoadOptions::default()))
}

/// The part of a name.
fn part(network: &Network, name: &str) -> PartId {
    network.find(name).expect("the part is there")
}

#[test]
fn every_valid_file_and_every_scenario_of_ours_compiles() {
    let ours = beside("../../scenarios");
    for folder in [beside("valid"), ours] {
        for entry in std::fs::read_dir(folder).expect("the folder is there") {
            let path = entry.expect("it can be read").path();
            if path.extension().is_some_and(|extension| extension == "ron") {
                sound(load(&path, &LoadOptions::default()));
            }
        }
    }
}

#[test]
fn the_network_is_the_one_built_by_hand() {
    let scenario = everything();
    let (expected, _) = expected_network();
    let network = &scenario.network;
    let names = |network: &Network| -> Vec<String> {
        network
            .part_ids()
            .map(|part| network.name(part).to_owned())
            .collect()
    };
    assert_eq!(names(network), names(&expected));
    for (id, wanted) in expected.parts() {
        assert_eq!(network.part(id), wanted, "{}", expected.name(id));
    }
    assert_eq!(network.mouth_blocks(part(network, "pond")), 2);
    assert_eq!(network.kinds(), expected.kinds());
    assert_eq!(network.rules(), expected.rules());
    assert_eq!(network.fillings(), expected.fillings());
}

#[test]
fn title_seed_and_length_are_those_of_the_file() {
    let scenario = everything();
    assert_eq!(scenario.title, "Everything");
    assert_eq!(scenario.seed, 7);
    assert_eq!(scenario.run_ticks, 2400); // 2 minutes of 60 s of 20 ticks.
    assert_eq!(scenario.variants, ["wide", "shallow"]);
    assert_eq!(scenario.variant, None);
}

/// The name of the arrival that a delivery belongs to, which it does not any more.
fn taken_arrival<'n>(action: &mut Action, names: &'n [String]) -> Option<&'n str> {
    let Action::Deliver { terms, .. } = action else {
        return None;
    };
    let number = terms.arrival.take()?;
    Some(names[number as usize].as_str())
}

#[test]
fn arrivals_and_actions_come_in_the_order_of_their_ticks() {
    let scenario = everything();
    let (network, kinds) = expected_network();
    let deliver = |at: u64, place: &str, kind: KindId, count: u32, contents: Vec<Filling>| {
        let place = part(&network, place);
        (
            Tick(at),
            Action::Deliver {
                place,
                kind,
                count,
                contents,
                terms: Terms::default(),
            },
        )
    };
    let flax = |at, place, count| deliver(at, place, kinds.flax, count, Vec::new());
    let is_rain = |(_, action): &&(Tick, Action)| {
        matches!(action, Action::Deliver { kind, place, .. }
            if *kind == kinds.ham && *place == part(&network, "pond"))
    };
    let entries = scenario.timeline.entries();
    let mut without_rain: Vec<_> = entries
        .iter()
        .filter(|entry| !is_rain(entry))
        .cloned()
        .collect();
    let names = &scenario.declarations.arrivals;
    let arrivals = without_rain.iter_mut();
    let arrivals: Vec<Option<&str>> = arrivals
        .map(|(_, action)| taken_arrival(action, names))
        .collect();
    let lever = part(&network, "gate");
    let button = part(&network, "start");
    let place = part(&network, "in");
    let expected = [
        deliver(0, "pond", kinds.box_kind, 1, full_of(kinds.barley, 64)),
        // 2.5 a second: one every 8 ticks, for 20 ticks: at 0, 8 and 16.
        flax(0, "river", 1),
        flax(8, "river", 1),
        // Every 8 ticks from 10 up to, not including, 30.
        flax(10, "in", 2),
        flax(16, "river", 1),
        flax(18, "in", 2),
        deliver(20, "in", kinds.barley, 5, Vec::new()),
        flax(26, "in", 2),
        deliver(40, "in", kinds.barley, 10, Vec::new()),
        deliver(45, "row[1].chest", kinds.ham, 1, Vec::new()),
        (Tick(60), Action::MoveLever { lever, on: false }),
        (Tick(60), Action::Press { button }),
        deliver(60, "in", kinds.flail, 2, Vec::new()),
        (Tick(60), Action::Withdraw { place, count: 64 }),
        // A request is laid on its desk: a ham for each box.
        deliver(60, "in", kinds.ham, 2, Vec::new()),
        deliver(2380, "packing", kinds.box_kind, 1, Vec::new()),
        deliver(2380, "waiting", kinds.box_kind, 1, Vec::new()),
        deliver(2380, "sorter", kinds.barley, 1, Vec::new()),
        flax(2380, "pusher", 1),
    ];
    assert_eq!(without_rain, expected);
    let of_arrivals: Vec<&str> = arrivals.into_iter().flatten().collect();
    assert_eq!(
        of_arrivals,
        [
            "boxes", "rate", "rate", "steady", "rate", "steady", "morning", "steady", "listed",
            "listed",
        ]
    );
    // A hundred draws of one half: outside 20 to 80 would be a wonder (less than 1 in 10^9).
    let rain = entries.iter().filter(is_rain).count();
    assert!((20..=80).contains(&rain), "{rain} drops of rain");
    let last_drop = entries.iter().rfind(is_rain).map(|(tick, _)| *tick);
    assert!(last_drop < Some(Tick(100)));
}

/// The parts of these names.
fn parts(names: &[&str]) -> Vec<PartId> {
    let (network, _) = expected_network();
    names.iter().map(|name| part(&network, name)).collect()
}

#[test]
fn stores_are_declared_those_of_the_top_layout_first() {
    let (_, kinds) = expected_network();
    let store = |name: &str, names: &[&str], takes: &[KindId], purpose| Store {
        name: name.to_owned(),
        parts: parts(names),
        takes: takes.to_vec(),
        purpose,
    };
    let slice = |name: &str, chest: &str, kind| store(name, &[chest], &[kind], StorePurpose::Slice);
    assert_eq!(
        everything().declarations.stores,
        [
            store("spare", &["big"], &[], StorePurpose::Overflow),
            store("bins", &["bin", "small"], &[], StorePurpose::Serving),
            slice("row[0].goods", "row[0].chest", kinds.barley),
            slice("row[1].goods", "row[1].chest", kinds.flax),
            slice("extra.goods", "extra.chest", kinds.barley),
        ]
    );
}

#[test]
fn flows_sections_sieves_and_lamps_are_declared() {
    let declarations = everything().declarations;
    let (_, kinds) = expected_network();
    let flow = |name: &str, names: &[&str], kinds: &[KindId]| Flow {
        name: name.to_owned(),
        into: parts(names),
        kinds: kinds.to_vec(),
    };
    let through = flow("through", &["in"], &[kinds.barley]);
    assert_eq!(
        declarations.flows,
        [through, flow("all", &["bin", "small"], &[])]
    );
    let hall = Section {
        name: "hall".to_owned(),
        line: parts(&[
            "first",
            "second",
            "setter",
            "pusher",
            "row[0].eye",
            "row[1].eye",
            "extra.eye",
        ]),
        queue: parts(&["in"]),
        locked: parts(&["first"]),
        call: Some(parts(&["level"])[0]),
        returns: parts(&["bin"]),
        width_blocks: Some(9),
    };
    assert_eq!(declarations.sections, [hall]);
    let sieves = parts(&["second", "row[0].under", "row[1].under", "extra.under"]);
    assert_eq!(declarations.sieves, sieves);
    let lamp = |name: &str, signal, watches| Lamp {
        name: name.to_owned(),
        signal: parts(&[signal])[0],
        watches: parts(&[watches]),
    };
    let sign = lamp("sign.full", "sign.level", "row[1].chest");
    assert_eq!(declarations.lamps, [lamp("busy", "level", "in"), sign]);
    assert_eq!(declarations.width_blocks, Some(20));
    let weights = CostWeights {
        hopper_turn_picoseconds: 900_000,
        comparator_update_picoseconds: 12_000_000,
        loose_stack_picoseconds: 1,
        base_picoseconds: 350_500_000,
    };
    assert_eq!(declarations.costs, Some(weights));
    assert_eq!(declarations.blocks_per_hour, Some(450));
}

#[test]
fn desks_gathers_and_open_places_are_declared() {
    let declarations = everything().declarations;
    let (_, kinds) = expected_network();
    let desk = Desk {
        name: "barley".to_owned(),
        kind: kinds.barley,
        desk: parts(&["in"])[0],
        token: kinds.ham,
        counter: parts(&["bin", "small"]),
    };
    assert_eq!(declarations.desks, [desk]);
    let gather = Gather {
        name: "bench".to_owned(),
        at: parts(&["first", "second"]),
    };
    assert_eq!(declarations.gathers, [gather]);
    let open = Open {
        name: "hatch".to_owned(),
        parts: parts(&["bin"]),
        behind: parts(&["in", "first"]),
        kinds: vec![kinds.barley],
    };
    assert_eq!(declarations.open, [open]);
}

#[test]
fn stops_are_declared_with_their_restarts() {
    let declarations = everything().declarations;
    let (network, _) = expected_network();
    let lever = part(&network, "gate");
    let actions = |on| vec![Action::MoveLever { lever, on }];
    let restart = Restart {
        after_ticks: 400,
        actions: actions(false),
    };
    let stop = |at, restart| Stop {
        at: Tick(at),
        actions: actions(true),
        restart,
    };
    assert_eq!(
        declarations.stops,
        [stop(1200, Some(restart)), stop(2000, None)]
    );
}

#[test]
fn goals_name_what_they_bound() {
    let (network, kinds) = expected_network();
    let mark = |mark, section, ticks| Goal::MarkWithin {
        mark,
        section,
        ticks,
    };
    let expected = vec![
        Goal::MisplacedAtMost(0),
        Goal::PassedByAtMost(1),
        Goal::SievesBrokenAtMost(0),
        Goal::LostAtMost(0),
        Goal::RefusedAtMost(8),
        Goal::StuckAtMost(9),
        Goal::BackedUpAtMost(10),
        Goal::StopsNotSafeAtMost(1),
        Goal::WithoutHome(vec![kinds.flax]),
        Goal::SharedHome(vec![kinds.barley, kinds.flax]),
        Goal::InNoStoreAtMost(7),
        Goal::GoingRoundAtMost(6),
        Goal::RequestWithin {
            desk: 0,
            ticks: 1_200,
            with_stops: true,
        },
        Goal::PartStacksOutAtMost {
            gather: 0,
            stacks: 5,
        },
        Goal::LeftBehindAtMost(4),
        Goal::ThroughputAtLeast {
            flow: 0,
            items_per_second: 2.4,
            best: false,
        },
        mark(Mark::Cleared, Some(0), 200),
        mark(Mark::SafeToClose, None, 300),
        mark(Mark::Quiet, None, 400),
        mark(Mark::Resumed, None, 100),
        Goal::LockCoverAtLeast {
            section: Some(0),
            share: 0.9,
        },
        Goal::CallIdleAtMost {
            section: Some(0),
            ticks: 40,
        },
        Goal::WorkPerTickAtMost(500.0),
        Goal::HoppersPerBlockAtMost(2.5),
        Goal::Crowded(vec![part(&network, "pond"), part(&network, "row[0].chest")]),
        Goal::Contents {
            parts: vec![
                part(&network, "row[0].chest"),
                part(&network, "row[1].chest"),
            ],
            kinds: vec![kinds.barley, kinds.flax],
            at_least: Some(10),
            at_most: Some(20),
        },
        Goal::LampRise {
            lamp: 1,
            not_before: Some(Tick(20)),
            not_after: Some(Tick(1000)),
            at_least_items: Some(1),
            at_most_items: Some(9),
        },
    ];
    assert_eq!(everything().declarations.goals, expected);
}

#[test]
fn the_engine_runs_it_and_loses_count_of_nothing() {
    let scenario = everything();
    let setup = Setup {
        seed: scenario.seed,
        timeline: scenario.timeline.clone(),
        ..Setup::default()
    };
    let mut engine = Engine::new(&scenario.network, &setup);
    engine.run_until(Tick(scenario.run_ticks), &mut ());
    assert_eq!(engine.check_conservation(), Ok(()));
}

#[test]
fn a_comment_may_hold_another_one() {
    let text = r#"(
        title: "Comments", run_for: "1s", goods: {"flax": 64 /* one /* in the other */ still */},
        parts: {/* /* " */ */ "a": Chest(), "b": Chest() /* the end */},
    )"#;
    let loaded = crate::load_text(text, &hallwright_scenario::LoadOptions::default());
    let scenario = loaded.scenario.expect("it can be run");
    assert_eq!(scenario.network.part_count(), 2);
}
