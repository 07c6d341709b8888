//! The order of building: nothing draws or pushes before it should.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_core::engine::Engine;
use hallwright_core::event::{Event, Trace};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Intake, Outlet, Part, Signal};
use hallwright_core::setup::Setup;
use hallwright_core::tick::Tick;
use hallwright_declared::space::Block;
use hallwright_scenario::Scenario;
use hallwright_sheet::{Doing, Entry, Sheet, Sort, sheet};

use crate::support::{all_files, loaded, scenario, written};

/// Who gives to whom, by what each part says of itself: this knows nothing of how the order is found.
fn gives(network: &Network) -> BTreeSet<(PartId, PartId)> {
    let mut gives = BTreeSet::new();
    for (part, what) in network.parts() {
        match what {
            Part::Hopper(hopper) => {
                gives.extend(hopper.target.map(|target| (part, target)));
                match hopper.intake {
                    Intake::Above(above) => drop(gives.insert((above, part))),
                    Intake::Mouth(mouth) => drop(gives.insert((mouth, part))),
                    Intake::Cap => {}
                }
            }
            Part::Dropper(dropper) => {
                let (Outlet::Into(to) | Outlet::Bench(to) | Outlet::Loose(to)) = dropper.outlet;
                gives.insert((part, to));
            }
            Part::Stream(stream) => drop(gives.insert((part, stream.mouth))),
            Part::Bench(bench) => drop(gives.insert((part, bench.output))),
            Part::Selector(selector) => {
                gives.insert((part, selector.match_target));
                gives.insert((part, selector.rest_target));
                gives.extend(selector.when_full.map(|target| (part, target)));
            }
            Part::Shuttle(shuttle) => {
                for stop in &shuttle.stops {
                    gives.extend([(part, stop.dock), (stop.dock, part)]);
                }
            }
            _ => {}
        }
    }
    gives
}

/// All that a part leads to, however far.
fn reached(gives: &BTreeSet<(PartId, PartId)>, from: PartId) -> BTreeSet<PartId> {
    let mut reached = BTreeSet::new();
    let mut open = vec![from];
    while let Some(part) = open.pop() {
        let next = gives.range((part, PartId::from_index(0))..);
        for (_, to) in next.take_while(|(giver, _)| *giver == part) {
            if reached.insert(*to) {
                open.push(*to);
            }
        }
    }
    reached
}

fn is_of_shuttle(network: &Network, part: PartId) -> bool {
    matches!(network.part(part), Part::Dock | Part::Shuttle(_))
}

fn step(sheet: &Sheet, doing: Doing) -> &[Entry] {
    let found = sheet.order.iter().find(|step| step.doing == doing);
    found.map_or(&[], |step| &step.entries)
}

fn names(sheet: &Sheet, doing: Doing) -> Vec<&str> {
    let entries = step(sheet, doing).iter();
    entries
        .map(|entry| sheet.name(entry.piece.expect("it stands")))
        .collect()
}

/// Every scenario in the folder that loads.
fn all() -> Vec<(String, Scenario)> {
    let files = all_files().into_iter();
    files
        .filter_map(|path| Some((path.display().to_string(), loaded(&path, None)?)))
        .collect()
}

#[test]
fn every_receiver_comes_before_its_givers_unless_goods_go_round() {
    let (mut pairs, mut in_rings) = (0, 0);
    for (name, scenario) in all() {
        let network = &scenario.network;
        let sheet = sheet(&scenario, Block::default());
        let gives = gives(network);
        for doing in [Doing::Inventories, Doing::Contents, Doing::Sieves] {
            let entries = step(&sheet, doing).iter().enumerate();
            let places: BTreeMap<PartId, (usize, Option<usize>)> = entries
                .filter_map(|(place, entry)| Some((entry.part?, (place, entry.ring))))
                .collect();
            for (giver, (place, ring)) in &places {
                let all_reached = reached(&gives, *giver);
                let goes_round = all_reached.contains(giver);
                for receiver in all_reached {
                    let Some((before, other_ring)) = places.get(&receiver) else {
                        continue;
                    };
                    if reached(&gives, receiver).contains(giver) {
                        // A shuttle and its docks are one inventory, and no ring.
                        let docks = [*giver, receiver].map(|part| is_of_shuttle(network, part));
                        assert!(ring.is_some() || docks == [true; 2], "{name}");
                        assert_eq!(ring, other_ring, "{name}: one ring");
                        in_rings += 1;
                        continue;
                    }
                    let (giver, receiver) = (network.name(*giver), network.name(receiver));
                    assert!(before < place, "{name}: {giver} before {receiver}");
                    pairs += 1;
                }
                assert!(ring.is_none() || goes_round, "{name}: nothing goes round");
            }
        }
    }
    println!("{pairs} pairs, {in_rings} in rings");
    assert!(pairs > 1_000 && in_rings > 10, "{pairs}, {in_rings}");
}

#[test]
fn every_part_is_placed_once() {
    for (name, scenario) in all() {
        let sheet = sheet(&scenario, Block::default());
        let placing = [
            Doing::FullBlocks,
            Doing::Inventories,
            Doing::Signals,
            Doing::Caps,
            Doing::Water,
        ];
        let mut pieces = BTreeMap::new();
        let mut parts = BTreeMap::new();
        for entry in placing.into_iter().flat_map(|doing| step(&sheet, doing)) {
            match (entry.piece, entry.part) {
                (Some(piece), _) => *pieces.entry(piece).or_insert(0) += 1,
                (None, part) => *parts.entry(part.expect("a part")).or_insert(0) += 1,
            }
        }
        let all: BTreeMap<usize, i32> = (0..sheet.placed.len()).map(|piece| (piece, 1)).collect();
        assert_eq!(pieces, all, "{name}");
        let nowhere: BTreeMap<PartId, i32> =
            sheet.nowhere.iter().map(|own| (own.part, 1)).collect();
        assert_eq!(parts, nowhere, "{name}");
        for window in sheet.order.windows(2) {
            assert!(
                window[0].doing < window[1].doing,
                "{name}: steps in their order"
            );
        }
    }
}

#[test]
fn what_carries_something_is_there_before_it() {
    for (name, scenario) in all() {
        let sheet = sheet(&scenario, Block::default());
        let mut there: BTreeSet<Block> = BTreeSet::new();
        for entry in sheet.order.iter().flat_map(|step| &step.entries) {
            let Some(piece) = entry.piece else { continue };
            let own = &sheet.placed[piece].piece;
            if sheet.problems == 0
                && let Some(side) = own.fastened_on()
            {
                for block in &own.blocks {
                    assert!(there.contains(&block.beside(side)), "{name}: {}", own.name);
                }
            }
            there.extend(&own.blocks);
        }
    }
}

#[test]
fn the_filter_is_built_from_its_store_up_and_filled_before_it_is_fed() {
    let sheet = sheet(&scenario("standing/filter.ron"), Block::default());
    let steps: Vec<Doing> = sheet.order.iter().map(|step| step.doing).collect();
    assert_eq!(
        steps,
        [
            Doing::FullBlocks,
            Doing::Inventories,
            Doing::Signals,
            Doing::Caps,
            Doing::Sieves,
            Doing::Contents,
            Doing::Start,
        ]
    );
    let inventories = names(&sheet, Doing::Inventories);
    let place = |name: &str| inventories.iter().position(|other| *other == name);
    for pair in ["store", "drop", "out", "sieve", "line", "head", "feed"].windows(2) {
        assert!(place(pair[0]) < place(pair[1]), "{pair:?}: {inventories:?}");
    }
    assert!(place("rest") < place("line"), "{inventories:?}");
    assert_eq!(names(&sheet, Doing::Sieves), ["sieve"]);
    assert_eq!(names(&sheet, Doing::Contents), ["store"]);
    // The lever is on while the hall is stopped, and off when it starts.
    let stop = step(&sheet, Doing::Signals)
        .iter()
        .find_map(Entry::lever_words);
    assert_eq!(stop, Some("on"));
    let start = step(&sheet, Doing::Start);
    assert_eq!(start.len(), 1);
    assert_eq!(start[0].lever_words(), Some("off"));
}

#[test]
fn goods_that_go_round_are_said_to() {
    let sheet = sheet(&scenario("standing/return.ron"), Block::default());
    let ring: BTreeSet<&str> = step(&sheet, Doing::Inventories)
        .iter()
        .filter(|entry| entry.ring == Some(1))
        .map(|entry| sheet.name(entry.piece.expect("it stands")))
        .collect();
    for name in [
        "merge", "line_2", "line_8", "end", "thrower", "landing", "cup",
    ] {
        assert!(ring.contains(name), "{name}: {ring:?}");
    }
    for name in ["head", "inbox", "barley_sieve", "spare"] {
        assert!(!ring.contains(name), "{name}: {ring:?}");
    }
    // The stream closes the ring, and comes last: until then every receiver is there before its giver.
    let inventories = names(&sheet, Doing::Inventories);
    let place = |name: &str| inventories.iter().position(|other| *other == name);
    let down = [
        "thrower", "end", "line_8", "line_3", "line_2", "merge", "cup", "landing",
    ];
    for pair in down.windows(2) {
        assert!(place(pair[0]) < place(pair[1]), "{pair:?}: {inventories:?}");
    }
    let water = step(&sheet, Doing::Water);
    assert_eq!(water.len(), 1);
    assert_eq!(
        sheet.placed[water[0].piece.expect("it stands")].sort,
        Sort::Stream
    );
}

#[test]
fn what_feeds_the_hall_is_filled_last() {
    let scenario = written(
        r##"(
            title: "A chain of chests", seed: 1, run_for: "1s",
            goods: {"barley": 64},
            parts: {
                "feed": Chest(holds: [(kind: "barley", count: 5)]),
                "first": Hopper(above: "feed", target: "middle"),
                "middle": Chest(holds: [(kind: "barley", count: 6)]),
                "second": Hopper(above: "middle", target: "store", holds: [(kind: "barley", count: 1)]),
                "store": Chest(holds: [(kind: "barley", count: 7)]),
            },
        )"##,
    );
    let sheet = sheet(&scenario, Block::default());
    let filled: Vec<&str> = step(&sheet, Doing::Contents)
        .iter()
        .map(|entry| scenario.network.name(entry.part.expect("a part")))
        .collect();
    assert_eq!(filled, ["store", "second", "middle", "feed"]);
}

/// The network as it is while it is built: levers as in the steps, and nothing arrives.
fn while_built(scenario: &Scenario, sheet: &Sheet) -> Network {
    let network = &scenario.network;
    let signals = step(sheet, Doing::Signals).iter();
    let levers: BTreeMap<PartId, bool> = signals
        .filter_map(|entry| Some((entry.part?, entry.lever_on?)))
        .collect();
    let changed = network.changed(|part, what| match levers.get(&part) {
        Some(on) => Part::Signal(Signal::Lever { starts_on: *on }),
        None => what.clone(),
    });
    changed.expect("it was a network before")
}

#[test]
fn a_standing_example_that_is_built_stands_still_until_it_is_started() {
    let mut still = 0;
    let mut restless: BTreeSet<String> = BTreeSet::new();
    for (name, scenario) in all() {
        let sheet = sheet(&scenario, Block::default());
        if sheet.problems > 0 || sheet.placed.is_empty() {
            continue;
        }
        let network = while_built(&scenario, &sheet);
        let mut trace = Trace::default();
        let setup = Setup::default();
        Engine::new(&network, &setup).run_until(Tick(400), &mut trace);
        let moves = trace
            .events
            .iter()
            .filter(|(_, event)| event.is_item_event());
        let moves: BTreeSet<&str> = moves
            .map(|(_, event)| match event {
                Event::ItemMoved { from, .. } => network.name(*from),
                other => panic!("{name}: {other:?}"),
            })
            .collect();
        let filled = [Doing::Sieves, Doing::Contents].into_iter();
        let filled: Vec<_> = filled.flat_map(|doing| step(&sheet, doing)).collect();
        let holders: BTreeSet<&str> = filled
            .iter()
            .map(|entry| network.name(entry.part.expect("a part")))
            .collect();
        let said: BTreeSet<&str> = filled
            .iter()
            .filter(|entry| entry.is_restless)
            .map(|entry| network.name(entry.part.expect("a part")))
            .collect();
        // What gets something from others may hand it on.
        let first: BTreeSet<&str> = moves.intersection(&holders).copied().collect();
        assert_eq!(first, said, "{name}");
        if !name.contains("standing") {
            continue; // The others have no lever, or feed the hall at once.
        }
        restless.extend(said.into_iter().map(str::to_owned));
        still += 1;
    }
    assert!(still >= 6, "{still} examples stand");
    // In the example with the return they hold an item each, and have no lock.
    let expected = ["barley_drop", "barley_out"].map(str::to_owned);
    assert_eq!(restless, BTreeSet::from(expected));
}
