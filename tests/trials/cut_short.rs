//! What was cut short reports what was tried, as if nothing else had been asked, and claims nothing of the rest.

use std::num::NonZeroUsize;
use std::sync::atomic::{AtomicI64, Ordering};

use hallwright_core::tick::Tick;
use hallwright_trials::leave::{LeaveAsked, LeaveReported, Wording, report};
use hallwright_trials::margin::{Margin, margin};
use hallwright_trials::stops_everywhere::{spread, stops_everywhere};
use hallwright_trials::{Case, Machine, StopRange, Unmade, orders};

use crate::support::{base, scenario};

/// A machine for one run after the other, which is cut short once it was asked so often whether it is.
fn machine(is_cut_short: fn() -> bool) -> Machine<'static> {
    let machine = Machine::new(NonZeroUsize::new(1), |_| {}).expect("threads start");
    machine.cut_short_by(is_cut_short)
}

fn whole() -> Machine<'static> {
    machine(|| false)
}

#[test]
fn stops_are_those_that_were_tried() {
    static ASKED: AtomicI64 = AtomicI64::new(0);
    let scenario = scenario("tests/trials/line.ron", None);
    let base = base(&scenario);
    let ticks = spread(scenario.declarations.stops[0].at, 40, 40);
    let orders = orders(1);
    let all = (ticks.len() * orders.len()) as u64;
    for stops in [0, 1, 7] {
        // The machine asks once before the shared run, and then the run before each stop.
        ASKED.store(-1 - stops, Ordering::SeqCst);
        let machine = machine(|| ASKED.fetch_add(1, Ordering::SeqCst) >= 0);
        let found = stops_everywhere(&base, &orders, &ticks, &machine);
        let first = usize::try_from(stops).expect("it is small");
        assert_eq!(
            (found.runs, found.unmade_runs),
            (first as u64, all - first as u64)
        );
        let tried = stops_everywhere(&base, &orders[..1], &ticks[..first], &whole());
        assert_eq!(found.worst, tried.worst);
        assert_eq!((found.astray, found.broken), (tried.astray, Vec::new()));
    }
}

#[test]
fn a_margin_that_was_not_searched_to_the_end_is_not_known() {
    static ASKED: AtomicI64 = AtomicI64::new(0);
    let scenario = scenario("scenarios/bulk-slice.ron", Some("gate watched"));
    let bases = [base(&scenario)];
    let cases = [Case::as_declared(scenario.seed)];
    let of = |machine: &Machine<'_>| -> Margin { margin(&bases, &cases, Vec::new(), machine) };
    let known = of(&whole());
    assert_eq!(known.unmade_searches(), 0);
    assert!(known.groups.len() > 1, "there is more than one search");
    let mut some = 0;
    for asked in [0, 1, 3, 8, 12] {
        ASKED.store(-asked, Ordering::SeqCst);
        let found = of(&machine(|| ASKED.fetch_add(1, Ordering::SeqCst) >= 0));
        assert!(found.unmade_searches() > 0);
        assert_eq!(found.groups.len(), known.groups.len());
        for (group, known) in found.groups.iter().zip(&known.groups) {
            match &group.found {
                Err(unmade) => assert_eq!(*unmade, Unmade::CutShort),
                Ok(_) => {
                    some += 1;
                    assert_eq!(group, known);
                }
            }
        }
    }
    assert!(some > 0, "a search was over before it was cut short");
}

#[test]
fn a_hall_that_was_left_in_some_ways_only_is_not_known_to_be_left_well() {
    static ASKED: AtomicI64 = AtomicI64::new(0);
    let scenario = scenario("scenarios/leaving.ron", Some("lamp of the gate"));
    let base = base(&scenario);
    let range = StopRange {
        from: Tick(460),
        to: Tick(480),
        step_ticks: 20,
    };
    let wording = Wording {
        command: &|tick| format!("again at {tick}"),
        explain: &|_, _| Vec::new(),
    };
    let of = |machine: &Machine<'_>| report(&base, range, 3, machine, wording);
    let reported =
        |asked: LeaveAsked| -> LeaveReported { asked.report().expect("it has regions").clone() };
    let known = reported(of(&whole()));
    let last = known.last_broken.as_ref().or(known.first_broken.as_ref());
    assert!(last.is_some_and(|broken| !broken.changed.is_empty()));

    ASKED.store(0, Ordering::SeqCst);
    let none = of(&machine(|| ASKED.fetch_add(1, Ordering::SeqCst) >= 0));
    assert_eq!(none, LeaveAsked::CutShort(6));
    assert!(!none.is_ok() && none.is_ok_so_far());
    // Asked once before all, and once before each leave. From 7 on all is known but why.
    for asked in [1, 2, 5, 7, 8] {
        ASKED.store(-asked, Ordering::SeqCst);
        let asked_for = of(&machine(|| ASKED.fetch_add(1, Ordering::SeqCst) >= 0));
        assert!(!asked_for.is_ok() && asked_for.unmade_leaves() > 0);
        let found = reported(asked_for);
        let leaves = u64::try_from(asked - 1).expect("it is small").min(6);
        assert_eq!(
            (found.leaves(), found.found.unmade() as u64),
            (leaves, 6 - leaves)
        );
        if leaves < 6 {
            assert_eq!(found.found.well_from(), None);
        }
        for (left, known) in found.found.ticks.iter().zip(&known.found.ticks) {
            assert_eq!(left.lamps_on, known.lamps_on);
            assert!(left.broken.iter().all(|way| known.broken.contains(way)));
        }
        for broken in found.reported_broken() {
            assert!(broken.crossings.is_empty(), "why is not known");
            assert!(!broken.untried.is_empty());
            let mut ticks = found.found.ticks.iter();
            let left = ticks.find(|left| left.tick == broken.tick);
            assert_eq!(Some(broken.ways().1), left.map(|left| left.patterns));
        }
    }
}
