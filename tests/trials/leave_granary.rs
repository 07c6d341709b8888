//! Whoever leaves the granary at *safe to close* or later finds it as it was, whichever way it is left;
//! whoever leaves 5 s after the stop does not.

use hallwright_core::tick::Tick;
use hallwright_report::{RunInput, run};
use hallwright_trials::leave::{LeaveFindings, Leaving, MOST_PATTERNS, leave, patterns};
use hallwright_trials::{Machine, StopRange};

use crate::support::{base, scenario};

fn left(base: &RunInput<'_>, ways: usize, at: Tick) -> LeaveFindings {
    let regions = &base.declarations.regions;
    let ways = &patterns(base.seed, regions.len(), 200)[..ways];
    let leaving = Leaving {
        apart_ticks: 40,
        pause_ticks: 40,
    };
    let range = StopRange {
        from: at,
        to: at,
        step_ticks: 1,
    };
    let machine = Machine::new(None, |_| {}).expect("threads start");
    leave(base, regions, leaving, ways, range, &machine)
}

#[test]
fn the_granary_is_left_well_from_safe_to_close_on() {
    let scenario = scenario("scenarios/granary.ron", Some("five sections"));
    let base = base(&scenario);
    let stop = scenario.declarations.stops[0].at;
    let closed_ticks = run(&base, &mut |_| {}).stops[0]
        .all
        .safe_to_close_ticks
        .expect("it comes to that");
    let safe = stop + closed_ticks;
    // Every way at once, and the first of them later.
    for (ways, at) in [(MOST_PATTERNS, safe), (12, safe + 200)] {
        let found = left(&base, ways, at);
        assert_eq!(found.well_from(), Some(at), "{:?}", found.last_broken());
        let left = &found.ticks[0];
        assert_eq!(left.patterns, ways);
        // The lamp is on, and that is true.
        assert!(!left.lamps_on.is_empty());
    }
}

#[test]
fn left_five_seconds_after_the_stop_the_granary_breaks() {
    let scenario = scenario("scenarios/granary.ron", Some("five sections"));
    let base = base(&scenario);
    let early = scenario.declarations.stops[0].at + 100;
    let found = left(&base, 12, early);
    let left = &found.ticks[0];
    assert!(left.lamps_on.is_empty());
    assert!(left.failed.is_empty());
    // An earlier leave lets the far end sleep through what the near end still does.
    assert!(!left.broken.is_empty());
}
