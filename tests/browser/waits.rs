//! What a part waited for, by cause: the figures of a small network, worked out by hand.

use serde_json::json;

use crate::support::{DESK, GRANARY, Shown, drawn, drawn_from};

/// Two barley behind a head that is locked until tick 10, a line of one hopper, and a store with room
/// for one of them.
///
/// The head pulls in tick 10 and has cooled down in tick 18: it pushes the first item and pulls the
/// second, which it pushes in tick 26. The line acts 7 ticks after each arrival, in ticks 25 and 33;
/// then the store is full, to the end of the run after 60 ticks.
const SCENARIO: &str = r#"(
    title: "A small line",
    run_for: "60t",
    goods: {"barley": 64},
    parts: {
        "source": Chest(holds: [(kind: "barley", slots: 1, count: 2)]),
        "head": Hopper(above: "source", target: "line", lock: "permit A"),
        "line": Hopper(target: "store"),
        "store": Container(slots: 1, holds: [(kind: "barley", slots: 1, count: 63)]),
    },
    signals: {"permit A": Lever(starts_on: true)},
    operator: [(at: "10t", actions: [Off("permit A")])],
    stores: {"all": (parts: "store", takes: "barley")},
)"#;

const ROWS: &str = "[...document.querySelectorAll('#causes tbody tr, #causes tfoot tr')].map((row) => \
                    [...row.children].map((cell) => cell.textContent).join(' | '))";

#[test]
fn a_part_reports_how_long_it_waited_for_what() {
    let (_folder, page) = drawn_from(SCENARIO);
    let shown = Shown::open(&page, DESK, "light");
    let now = |shown: &Shown| shown.text("document.getElementById('now-waits').textContent");

    shown.go(4);
    shown.choose("head");
    assert_eq!(
        shown.json(ROWS),
        json!([
            "nothing comes from source | 34 t | 1.7 s | 56.7 %",
            "cooldown | 16 t | 0.8 s | 26.7 %",
            "locked by permit A ◂ now | 10 t | 0.5 s | 16.7 %",
            "the whole run | 60 t | 3.0 s | 100.0 %",
        ])
    );
    assert_eq!(
        now(&shown),
        "Waits: locked by permit A, this time 5 t (0.25 s) so far of 10 t (0.5 s)"
    );
    // The one that causes it is one click away.
    shown.click("#now-waits button");
    assert_eq!(
        shown.text("document.querySelector('#details h2').textContent"),
        "permit A"
    );

    shown.choose("line");
    shown.go(20);
    assert_eq!(
        now(&shown),
        "Waits: arrival cooldown, item from head, this time 3 t (0.15 s) so far of 7 t (0.35 s)"
    );
    shown.go(59);
    assert_eq!(
        shown.json(ROWS),
        json!([
            "full target: store ◂ now | 27 t | 1.35 s | 45.0 %",
            "nothing comes from head | 19 t | 0.95 s | 31.7 %",
            "arrival cooldown, item from head | 14 t | 0.7 s | 23.3 %",
            "the whole run | 60 t | 3.0 s | 100.0 %",
        ])
    );
    // The way from what is full to what holds it up in the end.
    assert_eq!(
        shown.text("document.querySelector('#details .chain').textContent"),
        "There, store: holds what it has: nothing leads on"
    );
    shown.assert_untroubled();
}

/// The parts of a whole hall: whatever is chosen, its ticks add up to the run's.
#[test]
fn the_waits_of_every_part_of_the_granary_add_up_to_the_run() {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, DESK, "light");
    let wrong = shown.json(
        "hallwright.runs[0].waits.map((waits, part) => [part, waits.reduce((sum, wait) => sum + \
         wait.ticks, 0)]).filter(([part, sum]) => sum !== hallwright.runs[0].runTicks)",
    );
    assert_eq!(wrong, json!([]));
    shown.assert_untroubled();
}
