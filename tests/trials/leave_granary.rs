//! Whoever leaves the granary at *safe to close* or later finds it as it was, whichever way it is left;
//! whoever leaves 5 s after the stop does not.

use std::path::Path;

use hallwright_core::order::Orders;
use hallwright_core::tick::Tick;
use hallwright_report::{RunInput, run};
use hallwright_scenario::{LoadOptions, Scenario, load};
use hallwright_trials::leave::{LeaveFindings, Leaving, MOST_PATTERNS, leave, patterns};
use hallwright_trials::{Machine, StopRange};

fn granary() -> Scenario {
    let path = Path::new(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../scenarios/granary.ron"
    ));
    let options = LoadOptions {
        variant: Some("five sections".to_owned()),
        ..LoadOptions::default()
    };
    load(path, &options).scenario.expect("it loads")
}

fn base(scenario: &Scenario) -> RunInput<'_> {
    RunInput {
        network: &scenario.network,
        timeline: &scenario.timeline,
        seed: scenario.seed,
        orders: Orders::default(),
        run_ticks: scenario.run_ticks,
        declarations: &scenario.declarations,
    }
}

fn left(base: &RunInput<'_>, from: Tick, to: Tick, step_ticks: u64) -> LeaveFindings {
    let regions = &base.declarations.regions;
    let ways = patterns(base.seed, regions.len(), 200);
    let leaving = Leaving {
        apart_ticks: 40,
        pause_ticks: 40,
    };
    let range = StopRange {
        from,
        to,
        step_ticks,
    };
    let machine = Machine::new(None, |_| {}).expect("threads start");
    leave(base, regions, leaving, &ways, range, &machine)
}

#[test]
fn the_granary_is_left_well_from_safe_to_close_on() {
    let scenario = granary();
    let base = base(&scenario);
    let stop = scenario.declarations.stops[0].at;
    let closed_ticks = run(&base, &mut |_| {}).stops[0]
        .all
        .safe_to_close_ticks
        .expect("it comes to that");
    let safe = stop + closed_ticks;
    let found = left(&base, safe, safe + 200, 67);
    assert_eq!(found.well_from(), Some(safe), "{:?}", found.last_broken());
    assert!(found.last_broken().is_none());
    assert!(
        found
            .ticks
            .iter()
            .all(|left| left.patterns == MOST_PATTERNS)
    );
    // The lamp is on at each of them, and that is true.
    assert!(found.ticks.iter().all(|left| !left.lamps_on.is_empty()));
}

#[test]
fn left_five_seconds_after_the_stop_the_granary_breaks() {
    let scenario = granary();
    let base = base(&scenario);
    let early = scenario.declarations.stops[0].at + 100;
    let found = left(&base, early, early, 1);
    let left = &found.ticks[0];
    assert!(left.lamps_on.is_empty());
    assert!(left.failed.is_empty());
    // An earlier leave lets the far end sleep through what the near end still does.
    assert!(!left.broken.is_empty());
}
