//! The way of one item.

use serde_json::{Value, json};

use crate::support::{DESK, GRANARY, PHONE, Shown, drawn, drawn_from};

/// Two kinds behind each other: the barley is held up by a lock until tick 100.
const HELD_UP: &str = r#"(
    title: "Held up",
    run_for: "300t",
    goods: {"barley": 64, "flax": 64},
    parts: {
        "inbox": Chest(holds: [(kind: "barley", slots: 1, count: 2)]),
        "head": Hopper(above: "inbox", target: "gate"),
        "gate": Hopper(target: "store", lock: "halt"),
        "store": Chest(),
    },
    signals: {"halt": Lever(starts_on: true)},
    operator: [(at: "100t", actions: [Off("halt")])],
    stores: {"all": (parts: "store", takes: ["barley", "flax"])},
)"#;

/// The rows of the way: when, and where with what it waited for.
fn rows(shown: &Shown) -> Vec<[String; 2]> {
    let rows = shown.json(
        "[...document.querySelectorAll('#story li')].map((row) => [row.querySelector('.row').textContent, \
         row.textContent.slice(row.querySelector('.row').textContent.length)])",
    );
    serde_json::from_value(rows).expect("rows of two texts")
}

#[test]
fn an_item_is_followed_to_where_it_was_held_up_and_on() {
    let (_folder, page) = drawn_from(HELD_UP);
    let shown = Shown::open(&page, DESK, "light");
    shown.go(50);
    shown.choose("gate");
    shown.click("#slots button[aria-label='follow barley']");
    let found = rows(&shown);
    let places: Vec<&str> = found
        .iter()
        .map(|[_, place]| place.split(": ").next().unwrap_or(""))
        .collect();
    assert_eq!(places, ["inbox", "head", "gate", "store"]);
    // It came through the head in its first cooldown, and waited in the gate for the lever.
    assert!(found[2][1].ends_with("gate: locked by halt"), "{found:?}");
    let said = shown.text("document.querySelector('#story p').textContent");
    assert!(said.contains("longest in gate"), "{said}");
    assert!(said.contains("at the end in store"), "{said}");
    // A click goes to the tick; the row of where it is then is marked.
    shown.click("#story li:last-child .row");
    assert!(shown.tick() >= 100);
    let here = shown.text("document.querySelector('#story [aria-current]').textContent");
    assert!(here.contains("store"), "{here}");
    assert_eq!(
        shown.json("hallwright.map.way.map((part) => hallwright.map.run.partName(part))"),
        json!(["inbox", "head", "gate", "store"])
    );
    shown.keep("story");
    shown.assert_untroubled();
}

#[test]
fn a_way_is_whole_and_the_map_rides_along() {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, DESK, "light");
    shown.go(2500);
    shown.follow_first("fine oat");
    // From part to part without a gap, over streams and what throws, too.
    let visits = shown.json(
        "(() => { const { visits } = hallwright.story.story; \
         return visits.map(({ from, until }, at) => [from, until, visits[at + 1]?.from ?? until]); })()",
    );
    let visits: Vec<[u64; 3]> = serde_json::from_value(visits).expect("ticks");
    assert!(visits.len() > 2, "{visits:?}");
    assert!(
        visits
            .iter()
            .all(|[from, until, next]| from <= until && until == next)
    );
    // Riding along, the part where it is comes into view.
    shown.text("hallwright.map.setAll(true); hallwright.map.zoom(20 / hallwright.map.scale); ''");
    shown.text("document.querySelector('#story button').click()");
    shown.settle();
    let middle = visits[visits.len() / 2];
    shown.go(middle[0]);
    let seen: Value = shown.json(
        "(() => { const { map, story } = hallwright; const { part } = story.story.visits[story.at]; \
         return map.isInView(map.box(map.placeOf[part])); })()",
    );
    assert_eq!(seen, true);
    shown.keep("story-granary");
    shown.assert_untroubled();
    let phone = Shown::open(&page, PHONE, "dark");
    phone.choose("line[0].buffer");
    phone.click("#slots button");
    let widths =
        phone.json("[document.documentElement.scrollWidth, document.documentElement.clientWidth]");
    assert_eq!(widths[0], widths[1]);
    phone.keep("story-phone");
    phone.assert_untroubled();
}
