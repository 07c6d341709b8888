//! Where it waits: tints and the list of the parts that waited most.

use serde_json::json;

use crate::support::{DESK, GRANARY, PHONE, Shown, drawn, drawn_from};

/// One hopper before a chest without room, one that is locked, and one to which nothing comes.
const WAITING: &str = r#"(
    title: "Waiting",
    run_for: "400t",
    goods: {"barley": 64},
    parts: {
        "blocked": Hopper(target: "brim", holds: ["barley"]),
        "brim": Chest(holds: [(kind: "barley", slots: 27, count: 64)]),
        "stopped": Hopper(target: "store", lock: "halt", holds: ["barley"]),
        "bare": Hopper(target: "store"),
        "store": Chest(),
    },
    signals: {"halt": Lever(starts_on: true)},
    stores: {"all": (parts: ["store", "brim"], takes: "barley")},
)"#;

#[test]
fn the_parts_that_waited_most_are_listed_by_class() {
    let (_folder, page) = drawn_from(WAITING);
    let shown = Shown::open(&page, DESK, "light");
    let listed = "document.getElementById('waits-most').checkVisibility()";
    assert_eq!(shown.text(listed), "false");
    shown.click("#tint");
    let rows = shown.json(
        "[...document.querySelectorAll('#waits-most h3')].map((head) => [head.textContent, head.nextElementSibling.textContent])",
    );
    for (at, class, part) in [
        (0, "F – full", "blocked"),
        (1, "L – locked", "stopped"),
        (2, "G – for goods", "bare"),
    ] {
        assert_eq!(rows[at][0], class);
        let (share, name) = rows[at][1]
            .as_str()
            .and_then(|row| row.split_once(" % "))
            .expect("a share and a name");
        assert_eq!(name, part);
        assert!(share.parse::<f64>().is_ok_and(|share| share > 98.0));
    }
    shown.click("#waits-most button");
    let chosen = shown.text("document.querySelector('#details h2').textContent");
    assert_eq!(chosen, "blocked");
    shown.keep("tints-three");
    shown.assert_untroubled();
}

#[test]
fn every_tick_counts_once_and_spans_add_up() {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, DESK, "light");
    shown.click("#tint");
    let sums = |shown: &Shown, from: u64, until: u64| {
        shown.text(&format!("hallwright.cursor.setSpan({from}, {until})"));
        shown.settle();
        shown.text("globalThis.sums = hallwright.tints.sums.slice(); ''");
        shown.text(&format!(
            "globalThis.{} = globalThis.sums",
            if from > 0 { "late" } else { "early" }
        ));
    };
    sums(&shown, 0, 2700);
    sums(&shown, 2700, 18_000);
    shown.click("#whole-run");
    let checked = shown.json(
        "(() => { const { run } = hallwright.map; const whole = hallwright.tints.sums; \
         const parts = Array.from({ length: run.partCount }, (_, part) => whole.slice(part * 5, part * 5 + 5).reduce((a, b) => a + b)); \
         return [run.runTicks, parts.every((sum) => sum === run.runTicks), whole.every((sum, at) => sum === early[at] + late[at])]; })()",
    );
    assert_eq!(checked, json!([18_000, true, true]));
    for (view, name) in [("map", "tints-map"), ("side", "tints-side")] {
        shown.click(&format!("#views [data-view={view}]"));
        shown.choose("line[0].row[1].line_2");
        shown.keep(name);
    }
    let phone = Shown::open(&page, PHONE, "dark");
    phone.click("#tint");
    phone.keep("tints-phone");
    let widths =
        phone.json("[document.documentElement.scrollWidth, document.documentElement.clientWidth]");
    assert_eq!(widths[0], widths[1]);
    phone.assert_untroubled();
    shown.assert_untroubled();
}
