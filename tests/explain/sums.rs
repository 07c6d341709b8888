//! The waits add up to the stop time, whatever the hall: on every scenario at several stop ticks and
//! in several update orders, and on random networks.

use hallwright_core::id::PartId;
use hallwright_core::order::Order;
use hallwright_core::part::Part;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Declarations, Mark, Section, Stop};
use hallwright_explain::{Cause, Explanation, StopPath, explain, mark_ways, slowest_first};
use hallwright_report::{RunInput, run};
use hallwright_swarm::generate::generate;

use crate::support::{Hall, from_root};

const MARKS: [Mark; 3] = [Mark::Cleared, Mark::SafeToClose, Mark::Quiet];

/// The way to a mark is reported whole: its waits follow each other and add up to its time.
#[track_caller]
fn adds_up(found: &Explanation) -> bool {
    found.stop.as_ref().is_some_and(way_adds_up)
}

#[track_caller]
fn way_adds_up(stop: &StopPath) -> bool {
    let Some(ticks) = stop.ticks.filter(|ticks| *ticks > 0) else {
        return false;
    };
    // A mark of a section may wait for signals alone, to which no way of items leads.
    if stop.rows.is_empty() {
        return false;
    }
    let mut at = 0;
    for row in &stop.rows {
        assert_eq!(row.from_ticks, at, "{stop:#?}");
        at += row.ticks;
    }
    assert_eq!(at, ticks, "{stop:#?}");
    assert_eq!(
        stop.by_cause.iter().map(|sum| sum.ticks).sum::<u64>(),
        ticks
    );
    assert_eq!(
        stop.by_place.iter().map(|sum| sum.ticks).sum::<u64>(),
        ticks
    );
    true
}

#[test]
fn on_every_scenario_at_several_stop_ticks() {
    let mut added_up = 0;
    for name in [
        "scenarios/multi-item-line.ron",
        "scenarios/bulk-slice.ron",
        "scenarios/granary.ron",
    ] {
        let path = from_root(name);
        let all = Hall::load(&path, None, &[]);
        let variants: Vec<Option<String>> = all.variants().iter().cloned().map(Some).collect();
        for variant in std::iter::once(None).chain(variants.into_iter().take(2)) {
            let hall = Hall::load(&path, variant.as_deref(), &[]);
            let Some(stop) = hall.stop_tick() else {
                continue;
            };
            let orders = [Order::Declared, Order::Reversed, Order::Shuffled(3)];
            for (step, (order, mark)) in orders.into_iter().zip(MARKS).enumerate() {
                let found = hall.explained_at(mark, stop + 3 * step as u64, order);
                added_up += u64::from(adds_up(&found));
            }
        }
    }
    assert!(added_up >= 12, "{added_up}");
}

#[test]
fn on_random_networks() {
    let mut added_up = 0;
    let mut ways_added_up = 0;
    for seed in 0..150 {
        let blueprint = generate(seed);
        let (network, setup) = blueprint
            .build()
            .expect("the generator draws sound networks");
        let network = &network;
        let is_line = |part: &PartId| {
            matches!(
                network.part(*part),
                Part::Hopper(_) | Part::Dropper(_) | Part::Selector(_) | Part::Mouth
            )
        };
        let lines: Vec<PartId> = network.part_ids().filter(is_line).collect();
        let section = Section {
            name: "everything".to_owned(),
            line: lines,
            queue: Vec::new(),
            locked: Vec::new(),
            call: None,
            returns: Vec::new(),
            width_blocks: None,
        };
        let declarations = Declarations {
            sections: vec![section],
            stops: vec![Stop {
                at: Tick(seed % 50),
                actions: Vec::new(),
                restart: None,
            }],
            ..Declarations::default()
        };
        let input = RunInput {
            network,
            timeline: &setup.timeline,
            seed: setup.seed,
            orders: setup.orders.clone(),
            run_ticks: 1200,
            declarations: &declarations,
        };
        for mark in MARKS {
            added_up += u64::from(adds_up(&explain(&input, mark)));
        }
        let found = run(&input, &mut |_| {});
        let ways = mark_ways(&input, &found, 0, 0);
        ways_added_up += ways.iter().filter(|way| way_adds_up(&way.path)).count();
    }
    assert!(added_up > 20, "{added_up}");
    assert!(ways_added_up > 40, "{ways_added_up}");
}

/// The ways to all marks at once are those that are asked for one by one; each section has its own.
#[test]
fn all_marks_at_once_are_explained_as_one_by_one() {
    let hall = Hall::load(
        &from_root("scenarios/granary.ron"),
        Some("five sections"),
        &[],
    );
    let input = hall.input();
    let found = run(&input, &mut |_| {});
    let ways = mark_ways(&input, &found, 0, 800_000_000);
    for mark in [Mark::SafeToClose, Mark::Quiet] {
        let alone = explain(&input, mark).stop.expect("it is stopped");
        let way = ways
            .iter()
            .find(|way| way.section.is_none() && way.path.mark == mark);
        let path = &way.expect("the hall has a way").path;
        assert_eq!((&path.rows, path.ticks), (&alone.rows, alone.ticks));
        assert_eq!(path.shorter[0], alone.shorter[0]);
    }
    let quiet = ways
        .iter()
        .filter(|way| way.section.is_some() && way.path.mark == Mark::Quiet);
    let added_up = quiet.filter(|way| way_adds_up(&way.path)).count();
    assert!(added_up > 8, "{added_up}");
    // The slowest line is quiet when its last item has come down its stream and been collected.
    let slowest = slowest_first(&found.stops[0])[0];
    let of_slowest = |mark: Mark| {
        let mut ways = ways.iter();
        ways.find(|way| way.section == Some(slowest) && way.path.mark == mark)
            .expect("a way")
    };
    let quiet = of_slowest(Mark::Quiet);
    assert_eq!(quiet.path.by_cause[0].cause, Cause::Stream);
    // Being safe to close comes last of it: for that mark alone shorter times are tried.
    assert!(!quiet.is_tried && quiet.path.shorter.is_empty());
    let safe = of_slowest(Mark::SafeToClose);
    assert!(safe.is_tried && !safe.path.shorter.is_empty() && way_adds_up(&safe.path));
    // Without work, nothing is tried.
    let untried = mark_ways(&input, &found, 0, 0);
    assert!(
        untried
            .iter()
            .all(|way| !way.is_tried && way.path.shorter.is_empty())
    );
}
