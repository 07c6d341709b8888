//! Throughput, backlog and lamps of the demo line (see `line.rs` for its rhythm).

use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Goal, Lamp};
use hallwright_report::findings::LampChange;
use hallwright_report::units::Rate;

use crate::line::line;
use crate::support::run_with;

#[test]
fn a_line_passes_two_and_a_half_items_a_second() {
    let mut line = line(1_000, None);
    let goal = |items_per_second| Goal::ThroughputAtLeast {
        flow: 0,
        items_per_second,
        best: false,
    };
    line.declarations.goals = vec![goal(2.5), goal(2.51)];
    let found = run_with(&line.network, &line.declarations, 400, Vec::new());
    // Twenty items, pushed in ticks 8 to 160, arrive in ticks 50 to 202.
    let flow = &found.flows[0];
    assert_eq!(
        (flow.first_at, flow.last_at),
        (Some(Tick(50)), Some(Tick(202)))
    );
    assert_eq!(
        flow.counting,
        Rate {
            items: 19,
            ticks: 152
        }
    );
    assert_eq!(
        flow.whole,
        Rate {
            items: 20,
            ticks: 400
        }
    );
    // A quarter of 152 ticks is 38: the first count at least so much later comes after 40.
    assert_eq!(flow.window_ticks, 38);
    assert_eq!(
        flow.steadiest,
        Rate {
            items: 5,
            ticks: 40
        }
    );
    assert!(found.verdicts[0].is_met());
    assert!(!found.verdicts[1].is_met());
}

#[test]
fn the_backlog_is_sampled_at_the_ends_of_ticks() {
    let line = line(1_000, None);
    let found = run_with(&line.network, &line.declarations, 400, Vec::new());
    let backlog = &found.sections[0].backlog;
    assert_eq!(backlog.step_ticks, 2);
    assert_eq!(backlog.curve_items.len(), 200);
    // Twenty until the first item leaves in tick 50; it is sampled at the end of that tick.
    assert_eq!(backlog.curve_items[..26], [vec![20; 25], vec![19]].concat());
    assert_eq!((backlog.peak_items, backlog.peak_at), (20, Tick(0)));
    assert_eq!(backlog.final_items, 0);
    assert_eq!(found.stores[0].peak_items, 20);
}

#[test]
fn a_lamp_is_reported_with_what_it_watches() {
    let mut line = line(100, Some(60));
    let source = line.network.find("source").expect("it is there");
    line.declarations.lamps = vec![Lamp {
        name: "halt lamp".to_owned(),
        signal: line.lever,
        watches: vec![source],
    }];
    let goal = |not_after, at_most_items| Goal::LampRise {
        lamp: 0,
        not_before: Some(Tick(100)),
        not_after,
        at_least_items: None,
        at_most_items,
    };
    line.declarations.goals = vec![
        goal(Some(Tick(100)), Some(7)),
        goal(Some(Tick(99)), None),
        goal(None, Some(6)),
    ];
    let found = run_with(&line.network, &line.declarations, 400, Vec::new());
    let lamp = &found.lamps[0];
    // The feeder pulled in ticks 0 to 96, thirteen times: seven are left.
    let change = |at, rose, watched_items| LampChange {
        at: Tick(at),
        rose,
        watched_items,
    };
    assert_eq!(lamp.changes, [change(100, true, 7), change(160, false, 7)]);
    assert_eq!(lamp.first_rise, Some(change(100, true, 7)));
    let met: Vec<bool> = found.goals().map(|verdict| verdict.is_met()).collect();
    assert_eq!(met, [true, false, false]);
}
