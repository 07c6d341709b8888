//! The stop sweep of a line (see `line.ron` for its rhythm).

use std::path::Path;

use hallwright_core::order::{Order, Orders};
use hallwright_core::tick::Tick;
use hallwright_report::RunInput;
use hallwright_report::figures::Name;
use hallwright_scenario::{LoadOptions, Scenario, load, render};
use hallwright_trials::compare::{Range, Value};
use hallwright_trials::sweep::{MarkRange, MissedGoal, SweepFindings, sweep};
use hallwright_trials::{Case, Machine, Over, StopRange};

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

/// The sweep of the line in one update order, for so many ticks (`None`: as many as its file says).
fn swept(line: &Scenario, run_ticks: Option<u64>, order: Order, range: StopRange) -> SweepFindings {
    let base = RunInput {
        network: &line.network,
        timeline: &line.timeline,
        seed: line.seed,
        orders: Orders::default(),
        run_ticks: run_ticks.unwrap_or(line.run_ticks),
        declarations: &line.declarations,
    };
    let mut runs_over = Over::default();
    let machine = Machine::new(None, |runs| runs_over = runs).expect("threads start");
    let swept = sweep(&[base], vec![Orders::of_update(order)], range, &machine);
    drop(machine);
    assert_eq!(swept.broken, []);
    let found = swept.found.expect("no run broke");
    assert_eq!((runs_over.made, runs_over.passed), (found.tried.runs, 0));
    found
}

fn range(from: u64, to: u64, step_ticks: u64) -> StopRange {
    StopRange {
        from: Tick(from),
        to: Tick(to),
        step_ticks,
    }
}

/// The run in the declared orders that is stopped in this tick.
fn stopped_at(line: &Scenario, tick: u64) -> Case {
    Case {
        stop_at: Some(Tick(tick)),
        ..Case::as_declared(line.seed)
    }
}

#[test]
fn the_worst_tick_to_stop_at_is_found() {
    let line = line(true);
    let found = swept(&line, None, Order::Declared, range(100, 107, 1));
    assert_eq!((found.tried.runs, found.tried.stop_ticks), (8, 8));
    // Stopped in ticks 100 to 104, the last push is in tick 96 and arrives in tick 138: 38 down to
    // 34 ticks. Stopped in ticks 105 to 107, it is in tick 104 and arrives in tick 146: 41 to 39. Of
    // 34 to 41, the worse of the two in the middle is 38.
    let cleared = MarkRange {
        section: None,
        mark: Name::CLEARED,
        ticks: Range {
            best: Value::Number(34.0),
            median: Value::Number(38.0),
            worst: Value::Number(41.0),
            runs: 8,
            never: 0,
        },
        worst_in: stopped_at(&line, 105),
    };
    assert_eq!(found.marks[0], cleared);
    // Four marks of all together and four of the one section.
    assert_eq!(found.marks.len(), 8);
    let missed = MissedGoal {
        goal: Some(0),
        subject: "cleared".to_owned(),
        missed_in: vec![stopped_at(&line, 105)],
    };
    assert_eq!(found.missed, [missed]);
    assert_eq!(found.misplaced_in, []);
    assert_eq!(found.lost_in, []);
    // Stopped up to tick 104, eight items are held back, resumed 98 ticks after the restart as
    // worked out for the stop in tick 100. Later, seven: 8 ticks less.
    let resumed = &found.marks[3];
    let ticks = [resumed.ticks.best, resumed.ticks.worst];
    assert_eq!(ticks, [90.0, 98.0].map(Value::Number));
    assert_eq!(resumed.worst_in, stopped_at(&line, 100));
}

#[test]
fn a_sweep_takes_every_step_and_stays_in_its_range() {
    let line = line(false);
    let found = swept(&line, None, Order::Reversed, range(50, 59, 4));
    // Ticks 50, 54 and 58.
    assert_eq!(found.tried.runs, 3);
    assert!(found.goals_met());
}

#[test]
fn a_late_stop_has_as_long_to_come_to_rest_as_the_declared_one() {
    // Its file stops it in tick 100: cleared after 38 ticks, within a run of 160. Stopped in tick 148,
    // six items and 48 ticks later, everything happens 48 ticks later, long after tick 160: the run must
    // be longer by as much.
    let line = line(false);
    for (from, to) in [(100, 100), (148, 148), (100, 148)] {
        let found = swept(&line, Some(160), Order::Declared, range(from, to, 48));
        let cleared = &found.marks[0];
        assert_eq!((cleared.mark, cleared.ticks.never), (Name::CLEARED, 0));
        let ticks = [cleared.ticks.best, cleared.ticks.worst];
        assert_eq!(ticks, [38.0; 2].map(Value::Number), "{from} to {to}");
    }
}
