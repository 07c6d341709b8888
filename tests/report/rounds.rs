//! Items that go round along a midway return and are never stored.

use hallwright_core::goods::StackLimit;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::rules::Rules;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::{Declarations, Goal, Section};
use hallwright_report::findings::{Findings, GoingRound};

use crate::support::{capped, deliver, lever, run_with};

/// A line hopper and a return that lead to each other by way of a third hopper, which the section
/// does not name. A lever locks the return.
struct Loop {
    network: Network,
    declarations: Declarations,
    line: PartId,
    lever: PartId,
    barley: KindId,
}

fn closed_loop() -> Loop {
    let mut builder = NetworkBuilder::new(Rules::default());
    let barley = builder.kind("barley", StackLimit::SixtyFour);
    let lever = lever(&mut builder, "lever");
    let line = builder.declare("line");
    let back = builder.declare("back");
    let way = builder.add("way", capped(Some(line), None));
    builder.define(back, capped(Some(way), Some(lever)));
    builder.define(line, capped(Some(back), None));
    let declarations = Declarations {
        sections: vec![Section {
            name: "loop".to_owned(),
            line: vec![line],
            queue: Vec::new(),
            locked: Vec::new(),
            call: None,
            returns: vec![back],
            width_blocks: None,
        }],
        goals: vec![Goal::GoingRoundAtMost(0)],
        ..Declarations::default()
    };
    Loop {
        network: builder.build().expect("sound"),
        declarations,
        line,
        lever,
        barley,
    }
}

/// Two barley come into the loop in tick 0, and what else is done.
fn run_loop(ring: &Loop, more: Vec<(u64, Action)>) -> Findings {
    let mut entries = vec![(0, deliver(ring.line, ring.barley, 2))];
    entries.extend(more);
    run_with(&ring.network, &ring.declarations, 400, entries)
}

#[test]
fn what_only_passes_a_return_again_and_again_goes_round() {
    let ring = closed_loop();
    let found = run_loop(&ring, Vec::new());
    let round = GoingRound {
        items: 2,
        since: Tick(0),
    };
    assert_eq!(found.sections[0].going_round, Some(round));
    assert!(!found.verdicts[0].is_met());
}

#[test]
fn what_stands_still_behind_a_locked_return_does_not_go_round() {
    let ring = closed_loop();
    let lock = Action::MoveLever {
        lever: ring.lever,
        on: true,
    };
    let found = run_loop(&ring, vec![(200, lock)]);
    assert_eq!(found.sections[0].going_round, None);
    assert!(found.verdicts[0].is_met());
}

#[test]
fn what_leaves_begins_the_count_anew() {
    let ring = closed_loop();
    let out = Action::Withdraw {
        place: ring.line,
        count: 1,
    };
    // The first item leaves the line in tick 7, passes the return in tick 14, the third hopper in
    // tick 21, each of them empty before, and is back in the line until tick 28.
    let found = run_loop(&ring, vec![(24, out)]);
    let round = GoingRound {
        items: 1,
        since: Tick(24),
    };
    assert_eq!(found.sections[0].going_round, Some(round));
    assert_eq!(found.verdicts[0].went_wrong_at, Some(Tick(24)));
}
