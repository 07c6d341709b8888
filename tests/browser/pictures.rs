//! The pictures of the documentation. With `PICTURES=folder` they are written there, else to
//! `target/screenshots`.

use crate::support::{FIVE_AND_ONE, GRANARY, Shown, drawn};

/// The sizes of the pictures: high enough for what they are to show.
const HALL: (u32, u32) = (1280, 900);
const SCREEN: (u32, u32) = (1400, 900);
const PART: (u32, u32) = (1440, 900);

/// Scrolls to the map, so that map and curves are seen together.
const TO_THE_MAP: &str =
    "(() => { document.querySelector('.hall').scrollIntoView(); return ''; })()";

/// The granary's page at the stop, with its map in view.
fn granary(size: (u32, u32), scheme: &str) -> Shown {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, size, scheme);
    shown.go(2540);
    shown.text(TO_THE_MAP);
    shown
}

/// Keeps a picture of a page without troubles.
fn keep(shown: &Shown, name: &str) {
    shown.settle();
    shown.keep_view(name);
    shown.assert_untroubled();
}

#[test]
fn the_pictures_of_the_pages() {
    // As it stands, from the side: bulk, canal, quay and benches, and the first of the line's five sections.
    let shown = granary(HALL, "light");
    shown.click("#views [data-view=side]");
    shown.text(
        "(() => { const { map } = hallwright; const { x, y, h } = map.placed.whole; \
         map.fit({ x, y, w: 64, h }, 24); return ''; })()",
    );
    shown.text(TO_THE_MAP);
    keep(&shown, "hall");

    // A section of the line, opened, with goods on their way through it.
    let shown = granary(PART, "dark");
    shown.text(
        "(() => { const { map } = hallwright; \
         const module = map.run.modules.findIndex((each) => each.name === 'line[0]'); \
         map.setAll(true); map.fit(map.run.modules[module]); \
         map.choose(map.run.find('line[0].head'), false); return ''; })()",
    );
    shown.text(TO_THE_MAP);
    keep(&shown, "part");

    // The stop as it opens: curves of it alone, and which section was how long under way.
    let shown = granary(SCREEN, "light");
    keep(&shown, "stop");

    let shown = granary(SCREEN, "light");
    shown.click("#tint");
    shown.text(TO_THE_MAP);
    keep(&shown, "waits");

    let page = drawn(&["tests/browser/first/leaky_filter.ron"]);
    let shown = Shown::open(&page, SCREEN, "light");
    keep(&shown, "first");
}

#[test]
fn the_pictures_of_an_item_and_of_two_variants() {
    let shown = granary(SCREEN, "light");
    shown.follow_first("fine oat");
    shown.text(TO_THE_MAP);
    keep(&shown, "item");

    let page = drawn(&FIVE_AND_ONE);
    let shown = Shown::open(&page, SCREEN, "light");
    shown.go(2700);
    shown.click("#pair");
    shown.text(TO_THE_MAP);
    keep(&shown, "compared");
}
