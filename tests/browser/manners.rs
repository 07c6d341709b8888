//! What the map does with wheel, fingers and keys, and how much of it is shown.

use serde_json::json;

use crate::support::{DESK, GRANARY, PHONE, Shown, drawn};

const PLACED: &str = "tests/page/in_blocks.ron";

/// How large the map is drawn, where it begins, and how far down the page is scrolled.
fn seen(shown: &Shown) -> [f64; 3] {
    let seen = shown.json("[hallwright.map.scale, hallwright.map.top, scrollY]");
    serde_json::from_value(seen).expect("numbers")
}

fn chosen(shown: &Shown) -> String {
    shown.text("document.querySelector('#details h2').textContent")
}

#[test]
fn a_part_is_shown_with_what_it_is_linked_to() {
    let shown = Shown::open(&drawn(&GRANARY), DESK, "light");
    for view in ["map", "side"] {
        shown.click(&format!("#views [data-view={view}]"));
        shown.choose("line[0].row[1].line_2");
        let in_view = shown.json(
            "(() => { const { map } = hallwright; return [1, 2, 3].map((at) => { \
             const part = map.run.find(`line[0].row[1].line_${at}`); \
             return map.isInView(map.placed ? map.placed.around([part]) : map.box(part)); }); })()",
        );
        assert_eq!(in_view, json!([true, true, true]), "{view}");
        assert!(seen(&shown)[0] >= 20.0, "they can be read");
        shown.keep(&format!("manners-{view}"));
    }
    // What is seen already and can be read stays where it is.
    let before = seen(&shown);
    shown.choose("line[0].row[1].line_3");
    assert_eq!(seen(&shown), before);
    shown.assert_untroubled();
}

#[test]
fn the_wheel_scrolls_the_page_until_the_map_is_meant() {
    let shown = Shown::open(&drawn(&GRANARY), DESK, "light");
    shown.text(
        "document.querySelector('#map').scrollIntoView({ block: 'center', behavior: 'instant' })",
    );
    shown.text("document.activeElement.blur()");
    let middle = |shown: &Shown| {
        let [left, top, width, height] = shown.place("#map");
        (left + width / 2.0, top + height / 2.0)
    };
    let before = seen(&shown);
    shown.wheel(middle(&shown), -60.0);
    shown.wait_for(&format!("scrollY < {}", before[2]));
    assert_eq!(seen(&shown)[..2], before[..2]);
    let hint = shown.text("document.getElementById('wheel-hint').checkVisibility()");
    assert_eq!(hint, "true");
    // A click means the map.
    shown.text("document.querySelector('#map').focus({ preventScroll: true })");
    let before = seen(&shown);
    shown.wheel(middle(&shown), -60.0);
    shown.wait_for(&format!("hallwright.map.scale > {}", before[0]));
    let hint = shown.text("document.getElementById('wheel-hint').checkVisibility()");
    assert_eq!(hint, "false");
    shown.assert_untroubled();
}

#[test]
fn one_finger_scrolls_the_page_and_two_zoom_the_map() {
    let shown = Shown::open(&drawn(&GRANARY), PHONE, "light");
    shown.text(
        "document.querySelector('#map').scrollIntoView({ block: 'center', behavior: 'instant' })",
    );
    shown.settle();
    let [left, top, width, height] = shown.place("#map");
    let at = |x: f64, y: f64| (left + width * x, top + height * y);
    let before = seen(&shown);
    shown.touch(&[at(0.5, 0.4)], &[at(0.5, 0.7)]);
    shown.wait_for(&format!("scrollY < {}", before[2]));
    assert_eq!(seen(&shown)[..2], before[..2]);
    shown.text(
        "document.querySelector('#map').scrollIntoView({ block: 'center', behavior: 'instant' })",
    );
    shown.settle();
    let before = seen(&shown);
    shown.touch(
        &[at(0.45, 0.5), at(0.55, 0.5)],
        &[at(0.25, 0.5), at(0.75, 0.5)],
    );
    let after = seen(&shown);
    assert!(after[0] > before[0] * 2.0, "{before:?} {after:?}");
    assert_eq!(after[2], before[2], "the page stays");
    shown.assert_untroubled();
}

#[test]
fn all_signs_are_within_the_window() {
    let page = drawn(&GRANARY);
    for (size, scheme) in [
        ((1400, 900), "light"),
        ((1920, 1080), "dark"),
        (PHONE, "light"),
    ] {
        let shown = Shown::open(&page, size, scheme);
        shown.click(".legend summary");
        let [left, top, width, height] = shown.place("#legend");
        let (right, bottom) = (f64::from(size.0), f64::from(size.1));
        assert!(left >= 0.0 && top >= 0.0, "{size:?}: {left} {top}");
        assert!(left + width <= right && top + height <= bottom, "{size:?}");
        shown.keep(&format!("manners-signs-{}", size.0));
        // A click puts them away.
        shown.click("#legend");
        let open = shown.text("document.querySelector('.legend').open");
        assert_eq!(open, "false");
        shown.assert_untroubled();
    }
}

#[test]
fn parts_and_modules_are_chosen_with_the_arrow_keys() {
    let shown = Shown::open(&drawn(&[PLACED]), DESK, "light");
    shown.click("#views [data-view=above]");
    shown.choose("gate");
    shown.text("document.getElementById('map').focus()");
    // In the row of z 0, from x 3 to the left.
    for part in ["next", "inbox"] {
        shown.press("Shift+ArrowLeft");
        assert_eq!(chosen(&shown), part);
    }
    // In the map of the granary, modules are among them, and Enter opens them.
    let shown = Shown::open(&drawn(&GRANARY), DESK, "light");
    shown.text("hallwright.map.setAll(false); document.getElementById('map').focus()");
    shown.press("Shift+ArrowRight");
    let module = shown.json("hallwright.map.chosenModule");
    assert!(module.as_i64() > Some(0), "{module}");
    shown.press("Enter");
    assert_eq!(shown.text(&format!("hallwright.map.isOpen[{module}]")), "1");
    shown.press("Enter");
    assert_eq!(shown.text(&format!("hallwright.map.isOpen[{module}]")), "0");
    shown.assert_untroubled();
}
