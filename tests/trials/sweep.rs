//! The stop sweep of a line (see `line.ron` for its rhythm).

use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};

use hallwright_core::setup::UpdateOrder;
use hallwright_core::tick::Tick;
use hallwright_report::RunInput;
use hallwright_scenario::{LoadOptions, Scenario, load, render};
use hallwright_trials::{MarkRange, MissedGoal, sweep};

/// The line, whose stop has a restart or none.
fn line(restarts: bool) -> Scenario {
    let folder = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/trials"));
    let options = LoadOptions {
        set: vec![("restarts".to_owned(), restarts.to_string())],
        ..LoadOptions::default()
    };
    let loaded = load(&folder.join("line.ron"), &options);
    let drawn = render(&loaded.diagnostics, &loaded.sources, false);
    assert!(loaded.diagnostics.is_empty(), "{drawn}");
    loaded.scenario.expect("nothing is wrong with it")
}

fn input(line: &Scenario, order: UpdateOrder) -> RunInput<'_> {
    RunInput {
        network: &line.network,
        timeline: &line.timeline,
        seed: line.seed,
        order,
        run_ticks: line.run_ticks,
        declarations: &line.declarations,
    }
}

#[test]
fn the_worst_tick_to_stop_at_is_found() {
    let line = line(true);
    let input = input(&line, UpdateOrder::Declared);
    let runs_over = AtomicUsize::new(0);
    let count = |_| {
        runs_over.fetch_add(1, Ordering::Relaxed);
    };
    let found = sweep(&input, Tick(100), Tick(107), 1, &count);
    assert_eq!(found.runs, 8);
    assert_eq!(runs_over.into_inner(), 8);
    // Stopped in ticks 100 to 104, the last push is in tick 96 and arrives in tick 138: 38 down to
    // 34 ticks. Stopped in ticks 105 to 107, it is in tick 104 and arrives in tick 146: 41 to 39.
    let cleared = MarkRange {
        section: None,
        mark: "cleared",
        best_ticks: Some(34),
        worst_ticks: Some(41),
        worst_at: Tick(105),
        never: 0,
    };
    assert_eq!(found.marks[0], cleared);
    // Four marks of all together and four of the one section.
    assert_eq!(found.marks.len(), 8);
    let missed = MissedGoal {
        goal: 0,
        subject: "cleared".to_owned(),
        at: vec![Tick(105)],
    };
    assert_eq!(found.missed, [missed]);
    assert_eq!(found.misplaced_at, []);
    assert_eq!(found.lost_at, []);
    // Stopped up to tick 104, eight items are held back, resumed 98 ticks after the restart as
    // worked out for the stop in tick 100. Later, seven: 8 ticks less.
    let resumed = &found.marks[3];
    assert_eq!(
        (resumed.best_ticks, resumed.worst_ticks),
        (Some(90), Some(98))
    );
    assert_eq!(resumed.worst_at, Tick(100));
}

#[test]
fn a_sweep_takes_every_step_and_stays_in_its_range() {
    let line = line(false);
    let input = input(&line, UpdateOrder::Reversed);
    let found = sweep(&input, Tick(50), Tick(59), 4, &|_| {});
    // Ticks 50, 54 and 58.
    assert_eq!(found.runs, 3);
    assert!(found.goals_met());
}
