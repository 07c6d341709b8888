//! A link to what a page shows.

use std::path::PathBuf;

use serde_json::json;

use crate::support::{DESK, FIVE_AND_ONE, GRANARY, Shown, drawn};

const CHOSEN: &str = "document.querySelector('#details h2').textContent";
const VIEW: &str = "document.querySelector('#views [aria-pressed=true]').dataset.view";

#[test]
fn a_link_leads_to_tick_part_view_and_span() {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, DESK, "light");
    let title = shown.text("document.title");
    assert!(title.contains("five sections"), "{title}");
    shown.text(
        "(Object.defineProperty(navigator, 'clipboard', { value: { writeText: async (text) => { window.link = text; } } }), '')",
    );
    shown.click("#views [data-view=side]");
    shown.choose("line[0].head");
    shown.go(2620);
    shown.text("(hallwright.cursor.setSpan(2600, 2700), '')");
    shown.click("#copy-link");
    shown.wait_for("typeof window.link === 'string'");
    assert_eq!(
        shown.text("document.getElementById('reported').textContent"),
        "Link copied"
    );
    let link = shown.text("window.link");
    let (_, place) = link.split_once('#').expect("it says what is seen");
    let opened = |place: &str| {
        let path = PathBuf::from(format!("{}#{place}", page.display()));
        Shown::open(&path, DESK, "light")
    };
    let there = opened(place);
    assert_eq!(there.tick(), 2620);
    assert_eq!(there.text(CHOSEN), "line[0].head");
    assert_eq!(there.text(VIEW), "side");
    assert_eq!(
        there.json("[hallwright.cursor.span.from, hallwright.cursor.span.until]"),
        json!([2600, 2700])
    );
    there.assert_untroubled();
    // A link by hand may say less, and what there is not does no harm.
    let there = opened("t=300&part=nowhere&view=inside&span=9-x");
    assert_eq!(there.tick(), 300);
    assert_eq!(there.text(VIEW), "map");
    there.text("(location.hash = '#t=310&part=line[1].head', '')");
    there.wait_for("hallwright.cursor.tick === 310");
    // What stands beside the map follows a little later.
    there.wait_for(&format!("{CHOSEN} === 'line[1].head'"));
    there.assert_untroubled();
}

#[test]
fn the_way_back_leads_to_what_was_chosen_before() {
    let shown = Shown::open(&drawn(&GRANARY), DESK, "light");
    shown.choose("line[0].head");
    shown.go(2620);
    shown.wait_for("location.hash.includes('t=2620')");
    shown.choose("line[1].head");
    // Whoever chooses twice at once is not led back to what was between.
    shown.text("new Promise((done) => setTimeout(() => done(''), 500))");
    shown.click("#views [data-view=above]");
    shown.text("(history.back(), '')");
    shown.wait_for(&format!("{VIEW} === 'map'"));
    shown.settle();
    assert_eq!(shown.text(CHOSEN), "line[1].head");
    shown.text("(history.back(), '')");
    shown.wait_for(&format!("{CHOSEN} === 'line[0].head'"));
    assert_eq!(shown.tick(), 2620);
    shown.text("(history.forward(), '')");
    shown.wait_for(&format!("{CHOSEN} === 'line[1].head'"));
    shown.assert_untroubled();
}

#[test]
fn a_link_names_the_variant_that_is_shown() {
    let page = drawn(&FIVE_AND_ONE);
    let path = PathBuf::from(format!("{}#variant=one+section&t=3000", page.display()));
    let shown = Shown::open(&path, DESK, "light");
    assert_eq!(shown.text("hallwright.map.run.name"), "one section");
    assert_eq!(shown.tick(), 3000);
    shown.wait_for("location.hash.includes('variant=one+section')");
    shown.assert_untroubled();
}
