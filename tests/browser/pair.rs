//! Both variants beside each other, and what stays when another one is chosen.

use serde_json::json;

use crate::support::{DESK, FIVE_AND_ONE, PHONE, Shown, drawn, drawn_from};

/// Where the map is, and what is chosen.
const SEEN: &str = "(() => { const { map } = hallwright; \
     return [map.scale, map.left, map.top, map.run.partName(map.chosen)]; })()";

#[test]
fn another_variant_is_seen_at_the_same_place_with_the_same_choice() {
    let shown = Shown::open(&drawn(&FIVE_AND_ONE), DESK, "light");
    shown.click("#views [data-view=side]");
    shown.choose("line[0].row[0].line_2");
    let before = shown.json(SEEN);
    shown.click("#which button:nth-child(2)");
    assert_eq!(shown.text("hallwright.map.run.name"), "one section");
    assert_eq!(shown.json(SEEN), before);
    let chosen = shown.text("document.querySelector('#details h2').textContent");
    assert_eq!(chosen, "line[0].row[0].line_2");
    shown.click("#which button:nth-child(1)");
    assert_eq!(shown.json(SEEN), before);
    // Above their blocks stands what the modules take.
    let labels = shown.json("hallwright.map.placed.labels.map(({ words }) => words)");
    let labels: Vec<String> = serde_json::from_value(labels).expect("texts");
    assert!(
        labels.iter().any(|words| words.starts_with("raw rye")),
        "{labels:?}"
    );
    shown.assert_untroubled();
}

#[test]
fn both_variants_are_linked_and_differences_are_marked() {
    let page = drawn(&FIVE_AND_ONE);
    let shown = Shown::open(&page, DESK, "light");
    shown.click("#pair");
    shown.go(2700);
    shown.text("hallwright.map.zoom(3); ''");
    shown.settle();
    let linked = shown.json(
        "(() => { const { map, pair: { second } } = hallwright; \
         return [second.run.name, second.scale === map.scale, second.left === map.left, second.state.tick, map.state.tick]; })()",
    );
    assert_eq!(linked, json!(["one section", true, true, 2700, 2700]));
    // What is marked is what the two states say, part for part by their names.
    let wrong = shown.json(
        "(() => { const { map, pair: { second } } = hallwright; \
         return [[map, second], [second, map]].flatMap(([one, other]) => Array.from({ length: one.run.partCount }, (_, part) => { \
             const twin = other.run.find(one.run.partName(part)); \
             const isOther = twin >= 0 && (one.state.held[part] !== other.state.held[twin] || one.state.isLocked(part) !== other.state.isLocked(twin)); \
             return one.differs[part] === (twin < 0 ? 2 : isOther ? 1 : 0); \
         })).filter((is) => !is).length; })()",
    );
    assert_eq!(wrong, 0);
    let marked = shown.json("[1, 2].map((sort) => hallwright.map.differs.includes(sort))");
    assert_eq!(marked, json!([true, true]));
    shown.keep("pair");
    // Back to one.
    shown.click("#pair");
    let there = shown.json("document.querySelector('canvas.second').checkVisibility()");
    assert_eq!(there, false);
    shown.assert_untroubled();

    let phone = Shown::open(&page, PHONE, "dark");
    phone.click("#pair");
    let widths = phone.json(
        "(() => { const { scrollWidth, clientWidth } = document.querySelector('.hall'); return [scrollWidth, clientWidth]; })()",
    );
    assert_eq!(widths[0], widths[1]);
    phone.text("document.querySelector('.hall').scrollIntoView({ block: 'start' })");
    phone.keep("pair-phone");
    phone.assert_untroubled();
}

#[test]
fn a_page_of_one_variant_has_no_such_button() {
    let (_folder, page) = drawn_from(
        r#"(
            title: "Alone",
            run_for: "20t",
            goods: {"barley": 64},
            parts: {"store": Chest()},
            stores: {"all": (parts: "store", takes: "barley")},
        )"#,
    );
    let shown = Shown::open(&page, DESK, "light");
    let there = shown.json("document.getElementById('which').checkVisibility()");
    assert_eq!(there, false);
    shown.assert_untroubled();
}
