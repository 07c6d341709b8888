//! The box wing: it stands, sorts boxes into their own columns, locks what idles, and stops in time.

use hallwright_core::order::{Order, Orders};
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::StorePurpose;
use hallwright_declared::space::Block;
use hallwright_plan::boxes::{
    BoxedKind, Haul, MODULES, MODULES_FILE, NoWing, WING_FILE, Wanted, Wing, boxes_a_column,
    items_a_column,
};
use hallwright_report::findings::Findings;
use hallwright_report::{RunInput, run};
use hallwright_scenario::{LoadOptions, Scenario, load, render};

/// Boxes a second that a line of selectors takes: one in 8 ticks.
const TICKS_A_BOX: u64 = 8;

/// Where the first column stands, and from there the switch.
const ORIGIN: [i64; 3] = [20, 3, -7];
const RUN_AT: [i64; 3] = [-8, 4, 0];

/// A wing of so many kinds, each with room for so many boxes.
fn wanted(boxes: &[u64], levels: u32) -> Wanted {
    let kind = |(number, boxes): (usize, &u64)| BoxedKind {
        name: format!("ware {number}"),
        stack_limit: [64, 16, 1][number % 3],
        boxes: *boxes,
    };
    Wanted {
        kinds: boxes.iter().enumerate().map(kind).collect(),
        levels,
        box_name: "crate".into(),
        tally_name: Some("token".into()),
        has_hatch: boxes.len().is_multiple_of(2),
        run: "run".into(),
        run_at: RUN_AT,
    }
}

fn wing(boxes: &[u64], levels: u32) -> Wing {
    Wing::new(wanted(boxes, levels)).expect("it can be built")
}

/// With what a wing is tried.
struct Trial {
    haul: Haul,
    stop_at: Option<u64>,
    /// Boxes of the first kind that come besides.
    more: u64,
    is_mirrored: bool,
    /// When each of both displays of the hatch is emptied, in ticks: a box a time.
    taken_at: [&'static [u64]; 2],
}

fn trial(haul: Haul, stop_at: Option<u64>) -> Trial {
    Trial {
        haul,
        stop_at,
        more: 0,
        is_mirrored: false,
        taken_at: [&[], &[]],
    }
}

/// A scenario of a wing alone, with its first column away from the origin: a haul, boxes and goods that belong
/// in no column, and perhaps a stop.
fn scenario_of(wanted: &Wanted, trial: &Trial) -> Scenario {
    let Trial {
        haul,
        stop_at,
        more,
        is_mirrored,
        taken_at,
    } = *trial;
    let wing = Wing::new(wanted.clone()).expect("it can be built");
    let mut text = wing.text(ORIGIN, haul);
    if is_mirrored {
        text.uses = text
            .uses
            .replace("with:", "axes: (x: \"-x\", z: \"+z\"),\nwith:");
    }
    let run_ticks = haul.asked_at_ticks + 3000 + 200 * wing.columns().len() as u64;
    for (display, ticks) in taken_at.iter().enumerate() {
        for tick in *ticks {
            text.operator.push_str(&format!(
                "(at: \"{tick}t\", actions: [Withdraw(place: \"boxes.hatch.display[{display}].bench\", \
                 count: 1728)]),\n"
            ));
        }
    }
    let goods = wanted.kinds.iter();
    let goods = goods.map(|kind| format!("\"{}\": {}, ", kind.name, kind.stack_limit));
    let first = &wanted.kinds[0];
    let stop = stop_at.map_or_else(String::new, |at| {
        format!(
            "stops: [(at: \"{at}t\", actions: [Off(\"run\")], \
             restart: (after: \"700t\", actions: [On(\"run\")]))],"
        )
    });
    let shared = text.shared_homes.iter().map(|kind| format!("{kind:?}, "));
    let without = text.without_home.iter().map(|kind| format!("{kind:?}, "));
    let mut lever = [0, 1, 2].map(|axis: usize| ORIGIN[axis] + wanted.run_at[axis]);
    if is_mirrored {
        lever[0] = ORIGIN[0] - wanted.run_at[0];
    }
    let scenario = format!(
        "(title: \"Box wing\", run_for: \"{run_ticks}t\", include: [\"{WING_FILE}\"],\n\
         goods: {{{goods}\"chaff\": 64}},\n\
         signals: {{\"run\": Lever(starts_on: true, position: ({x}, {y}, {z}), on: \"-y\")}},\n\
         full: [({x}, {below}, {z})],\nuses: {{\n{uses}}},\narrivals: {{\n{arrivals}\
         \"no column\": AllAtOnce(place: \"boxes.inlet\", kind: Full(\"chaff\"), count: 2, when_full: Wait),\n\
         \"part-filled\": AllAtOnce(place: \"boxes.inlet\", kind: Boxed(holds: [(kind: {kind:?}, count: 1)]), \
         count: 2, when_full: Wait),\n\
         \"more\": AllAtOnce(when: {has_more}, place: \"boxes.inlet\", kind: Full({kind:?}), count: {count}, when_full: Wait),\n\
         \"empty\": AllAtOnce(place: \"boxes.inlet\", kind: \"crate\", when_full: Wait),\n\
         \"loose\": AllAtOnce(place: \"boxes.inlet\", kind: \"chaff\", count: 3, when_full: Wait),\n}},\noperator: [\n{operator}],\n{stop}\n\
         goals: [\nWithoutHome([\"chaff\", \"crate\", {without}]),\nSharedHome([{shared}]),\n\
         Contents(parts: \"boxes.quay.others\", kinds: \"crate\", at_least: 5, at_most: 5),\n\
         Contents(parts: \"boxes.quay.strays\", at_least: 3, at_most: 3),\n\
         Contents(parts: \"boxes.unsorted\", at_most: 0),\n{goals}],)\n",
        goods = goods.collect::<String>(),
        shared = shared.collect::<String>(),
        without = without.collect::<String>(),
        operator = text.operator,
        x = lever[0],
        y = lever[1],
        below = lever[1] - 1,
        z = lever[2],
        uses = text.uses,
        arrivals = text.arrivals,
        kind = first.name,
        has_more = more > 0,
        count = more.max(1),
        goals = text.goals,
    );
    loaded(&scenario, &text.module_file)
}

/// A scenario that is beside its wing, loaded: nothing is wrong with it, and nothing is warned of.
fn loaded(scenario: &str, wing: &str) -> Scenario {
    let folder = tempfile::tempdir().expect("there is room for files");
    let path = folder.path().join("scenario.ron");
    let files = [
        ("scenario.ron", scenario),
        (MODULES_FILE, MODULES),
        (WING_FILE, wing),
    ];
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).expect("there is room");
    }
    let loaded = load(&path, &LoadOptions::default());
    let drawn = render(&loaded.diagnostics, &loaded.sources, false);
    assert!(loaded.diagnostics.is_empty(), "{drawn}");
    loaded.scenario.expect("it compiles")
}

fn found(scenario: &Scenario, orders: Orders) -> Findings {
    let input = RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        orders,
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    };
    run(&input, &mut |_: Tick| {})
}

/// Both orders declared, each reversed by itself, both, and both shuffled.
fn all_orders() -> Vec<Orders> {
    let pair = |update: Order, signal: Order| Orders { update, signal };
    vec![
        Orders::default(),
        pair(Order::Reversed, Order::Declared),
        pair(Order::Declared, Order::Reversed),
        pair(Order::Reversed, Order::Reversed),
        pair(Order::Shuffled(1), Order::Shuffled(1)),
        pair(Order::Shuffled(2), Order::Shuffled(2)),
    ]
}

/// Every question is answered with yes: what the wing's own goals ask, and what is judged anyway.
/// All of it stands without a problem.
fn assert_all_ok(found: &Findings, case: &str) {
    let missed: Vec<_> = found
        .verdicts
        .iter()
        .filter(|verdict| !verdict.is_met())
        .map(|verdict| (&verdict.subject, &verdict.why, &verdict.remark))
        .collect();
    assert!(missed.is_empty(), "{case}: {missed:#?}");
    let site = found.site.as_ref().expect("it stands somewhere");
    assert_eq!(site.stand, site.parts, "{case}");
    assert!(site.problems.is_empty(), "{case}: {:#?}", site.problems);
}

#[test]
fn a_wing_of_any_size_stands_sorts_locks_and_stops_in_time() {
    // Kinds with the boxes that are to have room, and levels; a column of two levels has room for 150.
    let wings: [(Vec<u64>, u32); 9] = [
        (vec![1], 1),
        (vec![1], 2),
        (vec![1, 400], 2),
        (vec![1, 1, 1], 3),
        (vec![400, 1, 151, 0], 2),
        (vec![1; 7], 4),
        (vec![1; 20], 5),
        (vec![151; 20], 2),
        // Fourteen columns of one kind: behind the second stream there is no desk.
        (vec![3600, 1], 2),
    ];
    for (boxes, levels) in wings {
        let wanted = wanted(&boxes, levels);
        let wing = wing(&boxes, levels);
        let haul = Haul {
            boxes_a_kind: 9,
            at_ticks: 40,
            asked_at_ticks: 1900 + boxes.len() as u64 * 90,
        };
        let limit = wing.measures().stop_at_most_ticks;
        assert!(limit <= 600, "{boxes:?}, {levels} levels: {limit}");
        let long = boxes.len() as u64 * 9 * TICKS_A_BOX;
        for (number, orders) in all_orders().into_iter().enumerate() {
            // While boxes come in, and while the barge is on its way.
            let (asked, last) = (haul.asked_at_ticks, haul.asked_at_ticks + 300);
            for stop in [40, long / 3, long + 77, asked + 3, asked + 60, last] {
                let stop = stop + number as u64;
                let case = format!("{boxes:?}, {levels} levels, orders {number}, stop {stop}");
                let scenario = scenario_of(&wanted, &trial(haul, Some(stop)));
                let found = found(&scenario, orders.clone());
                assert_all_ok(&found, &case);
                for stop in &found.stops {
                    let safe = stop.all.safe_to_close_ticks.expect("it comes to rest");
                    assert!(safe <= limit, "{case}: {safe} of {limit}");
                }
            }
        }
    }
}

#[test]
fn a_wing_of_a_hundred_kinds_stands_and_stops_in_time() {
    let wanted = wanted(&[1; 100], 5);
    let haul = Haul {
        boxes_a_kind: 2,
        at_ticks: 0,
        asked_at_ticks: 9000,
    };
    let wing = Wing::new(wanted.clone()).expect("it can be built");
    let limit = wing.measures().stop_at_most_ticks;
    assert!(limit <= 600, "{limit}");
    let scenario = scenario_of(&wanted, &trial(haul, Some(1000)));
    let found = found(&scenario, Orders::default());
    assert_all_ok(&found, "a hundred kinds");
    let safe = found.stops[0].all.safe_to_close_ticks;
    assert!(safe.is_some_and(|ticks| ticks <= limit), "{safe:?}");
}

#[test]
fn a_wing_stands_however_far_its_switch_is() {
    let haul = Haul {
        boxes_a_kind: 2,
        at_ticks: 0,
        asked_at_ticks: 1600,
    };
    let near = wing(&[1; 5], 3).measures().stop_at_most_ticks;
    for run_at in [[-3, 6, 19], [-3, 6, 80], [-70, 4, 30], [9, 60, -50]] {
        let wanted = Wanted {
            run_at,
            ..wanted(&[1; 5], 3)
        };
        let limit = Wing::new(wanted.clone()).expect("it can be built");
        let limit = limit.measures().stop_at_most_ticks;
        // A repeater at least for each 18 steps.
        let steps = (run_at[0].abs() + run_at[2].abs()).max(run_at[1].abs()) as u64;
        let more = 2 * (steps / 18 + 2);
        assert!((near..=near + more).contains(&limit), "{run_at:?}: {limit}");
        let scenario = scenario_of(&wanted, &trial(haul, Some(60)));
        let found = found(&scenario, Orders::default());
        assert_all_ok(&found, &format!("{run_at:?}"));
        let safe = found.stops[0].all.safe_to_close_ticks;
        assert!(safe.is_some_and(|ticks| ticks <= limit), "{safe:?}");
    }
}

#[test]
fn a_mirrored_wing_stands_too() {
    let wanted = wanted(&[1; 20], 2);
    let haul = Haul {
        boxes_a_kind: 3,
        at_ticks: 0,
        asked_at_ticks: 2500,
    };
    let mirrored = Trial {
        is_mirrored: true,
        ..trial(haul, Some(200))
    };
    let scenario = scenario_of(&wanted, &mirrored);
    let found = found(&scenario, Orders::default());
    assert_all_ok(&found, "mirrored");
}

#[test]
fn a_wing_fills_the_blocks_that_it_says() {
    for (boxes, levels) in [(vec![1], 1), (vec![1, 400], 2), (vec![1; 20], 5)] {
        let measures = wing(&boxes, levels).measures();
        let haul = Haul {
            boxes_a_kind: 1,
            at_ticks: 0,
            asked_at_ticks: 2000,
        };
        let scenario = scenario_of(&wanted(&boxes, levels), &trial(haul, None));
        let filled = filled(&scenario);
        for axis in 0..3 {
            let along = || filled.iter().map(|block| block[axis] - ORIGIN[axis]);
            let (first, last) = (
                along().min().expect("it is there"),
                along().max().expect("it is there"),
            );
            assert_eq!(first, measures.from[axis], "{boxes:?}, from, axis {axis}");
            assert_eq!(
                last - first + 1,
                measures.blocks[axis] as i64,
                "{boxes:?}, axis {axis}"
            );
        }
    }
}

/// The corners of all that stands, without the switch.
fn filled(scenario: &Scenario) -> Vec<[i64; 3]> {
    let placement = &scenario.declarations.placement;
    let mut blocks = placement.full.clone();
    for placed in placement.parts.iter().flatten() {
        let at = placed.position;
        blocks.extend(at);
        blocks.extend(&placed.path);
        blocks.extend(
            at.zip(placed.size)
                .map(|(at, size)| at + size - Block::new(1, 1, 1)),
        );
    }
    for room in &placement.rooms {
        blocks.extend([room.corner, room.last_block()]);
    }
    let blocks = blocks
        .iter()
        .map(|block| [block.x, block.y, block.z].map(i64::from));
    // Both blocks of the switch stand at the same x, and nothing of the wing does.
    let switch = ORIGIN[0] + RUN_AT[0];
    blocks.filter(|block| block[0] != switch).collect()
}

#[test]
fn a_column_has_room_for_what_its_stores_hold() {
    for levels in 1..=5 {
        let wanted = wanted(&[1, 1, 1], levels);
        let haul = Haul {
            boxes_a_kind: 5,
            at_ticks: 0,
            asked_at_ticks: 900,
        };
        let scenario = scenario_of(&wanted, &trial(haul, None));
        let found = found(&scenario, Orders::default());
        let homes = found.stores.iter();
        let homes = homes.filter(|store| store.purpose == StorePurpose::Slice);
        let homes: Vec<_> = homes.collect();
        assert_eq!(homes.len(), 3);
        for (store, kind) in homes.into_iter().zip(&wanted.kinds) {
            assert_eq!(store.capacity.slots, boxes_a_column(levels));
            let items = items_a_column(levels, kind.stack_limit);
            assert_eq!(store.capacity.items, Some(items), "{}", store.name);
        }
    }
}

#[test]
fn columns_of_a_kind_fill_one_after_another_and_then_the_overflow() {
    // 150 boxes have room in a column of two levels, and nothing is fetched.
    let mut wanted = wanted(&[300, 10], 2);
    wanted.tally_name = None;
    wanted.has_hatch = false;
    let boxes_in = |found: &Findings, store: &str| {
        let store = found.stores.iter().find(|found| found.name == store);
        store.expect("it is declared").final_items
    };
    let columns = |found: &Findings| {
        [0, 1, 2].map(|column| boxes_in(found, &format!("boxes.half 0.column[{column}].store")))
    };
    let lit = |found: &Findings| -> Vec<String> {
        let lit = found.lamps.iter().filter(|lamp| lamp.is_on);
        let names = lit.map(|lamp| lamp.name.clone());
        names.filter(|name| !name.contains("quay")).collect()
    };
    let haul = |boxes_a_kind| Haul {
        boxes_a_kind,
        at_ticks: 0,
        asked_at_ticks: 4000,
    };
    for orders in all_orders() {
        let some = scenario_of(&wanted, &trial(haul(160), None));
        let found_some = found(&some, orders.clone());
        assert_all_ok(&found_some, "ten boxes in the second column");
        // The second kind has one column, and no more than that has room for came.
        assert_eq!(columns(&found_some), [150, 10, 150]);
        let many = scenario_of(
            &wanted,
            &Trial {
                more: 70,
                ..trial(haul(300), None)
            },
        );
        let found_many = found(&many, orders);
        assert_all_ok(&found_many, "seventy boxes too many");
        assert_eq!(columns(&found_many), [150, 150, 150]);
        assert_eq!(boxes_in(&found_many, "boxes.overflow 0.store"), 70);
        // The upper chest of the overflow holds eleven.
        let full = |column: u8| format!("boxes.half 0.column[{column}].full");
        let reserve = "boxes.overflow 0.reserve".to_owned();
        assert_eq!(lit(&found_some), [full(0), full(2)]);
        assert_eq!(lit(&found_many), [full(0), full(1), full(2), reserve]);
    }
}

#[test]
fn a_display_that_is_taken_empty_is_filled_again() {
    let mut wanted = wanted(&[1], 2);
    wanted.has_hatch = true;
    let haul = Haul {
        boxes_a_kind: 9,
        at_ticks: 0,
        asked_at_ticks: 2000,
    };
    let taken = Trial {
        // The last two in one tick, just before the stop.
        taken_at: [&[900, 1400, 1600], &[1200, 1600]],
        ..trial(haul, Some(1602))
    };
    let items_in = |found: &Findings, store: &str, kind: &str| {
        let store = found.stores.iter().find(|found| found.name == store);
        let store = store.expect("it is declared");
        let rows = store.contents.iter().filter(|row| row.kind == kind);
        rows.map(|row| row.items).sum::<u64>()
    };
    for orders in all_orders() {
        let found = found(&scenario_of(&wanted, &taken), orders);
        // Five boxes are gone, both displays show one, and two more are ready; the empty ones are in their chest.
        for display in 0..2 {
            let store = format!("boxes.hatch.display[{display}].shown");
            assert!(items_in(&found, &store, "ware 0") >= 1728, "{store}");
        }
        assert_eq!(items_in(&found, "boxes.hatch.empties", "crate"), 5);
        assert_eq!(found.loss.items, 0);
        let safe = found.stops[0]
            .all
            .safe_to_close_ticks
            .expect("it comes to rest");
        let limit = Wing::new(wanted.clone()).expect("it is built").measures();
        assert!(safe <= limit.stop_at_most_ticks, "{safe}");
        let site = found.site.as_ref().expect("it stands");
        assert!(site.problems.is_empty());
    }
}

#[test]
fn what_cannot_be_built_is_refused() {
    assert_eq!(Wing::new(wanted(&[], 2)), Err(NoWing::NoKinds));
    assert_eq!(Wing::new(wanted(&[1], 6)), Err(NoWing::Levels(6)));
    // 150 boxes have room in a column.
    assert_eq!(
        Wing::new(wanted(&[150 * 2_999, 151], 2)),
        Err(NoWing::TooLong(3_001))
    );
    assert!(Wing::new(wanted(&[u64::MAX, u64::MAX], 2)).is_err());
    let mut twice = wanted(&[1, 1], 2);
    twice.kinds[1].name = twice.kinds[0].name.clone();
    let refused = Wing::new(twice).expect_err("it is there twice");
    assert!(refused.to_string().contains("`ware 0`"));
}
