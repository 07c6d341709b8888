//! The pictures of the documentation. With `PICTURES=folder` they are written there, else to
//! `target/screenshots`.

use crate::support::{Shown, drawn};

/// The sizes of the pictures: high enough for what they are to show.
const HALL: (u32, u32) = (1280, 1620);
const PART: (u32, u32) = (1440, 1060);
const COMPARED: (u32, u32) = (1280, 1530);

#[test]
fn the_pictures_of_the_pages() {
    let page = drawn(&["scenarios/granary.ron", "--variant", "five sections"]);
    let shown = Shown::open(&page, HALL, "light");
    shown.go(2540);
    // As it stands, from the side: bulk, canal, quay and benches, and the first of the line's five sections.
    shown.click("#views [data-view=side]");
    shown.text(
        "(() => { const { map } = hallwright; const { x, y, h } = map.placed.whole; \
         map.fit({ x, y, w: 64, h }, 72); return ''; })()",
    );
    shown.settle();
    shown.keep_view("hall");
    shown.assert_untroubled();

    let shown = Shown::open(&page, PART, "dark");
    shown.go(2540);
    shown.text(
        "(() => { const { map } = hallwright; \
         const module = map.run.modules.findIndex((each) => each.name === 'line[0]'); \
         map.setAll(true); map.fit(map.run.modules[module]); \
         map.choose(map.run.find('line[0].head'), false); \
         document.querySelector('.hall').scrollIntoView(); return ''; })()",
    );
    shown.keep_view("part");
    shown.assert_untroubled();

    let page = drawn(&[
        "scenarios/granary.ron",
        "--variant",
        "five sections",
        "--variant",
        "one section",
    ]);
    let shown = Shown::open(&page, COMPARED, "light");
    shown.go(3000);
    shown.keep_view("compared");
    shown.assert_untroubled();
}
