//! The page with the keyboard alone: what Tab comes to, in what order, and that it is seen.

use serde_json::{Value, json};

use crate::support::{DESK, GRANARY, Shown, drawn};

/// What has the focus: its name, whether it is marked, and whether it is in view, not below the bar
/// with the cursor.
const FOCUS: &str = "(() => {
    const each = document.activeElement;
    if (!each || each === document.body) return null;
    const style = getComputedStyle(each);
    const box = each.getBoundingClientRect();
    const bar = document.getElementById('cursor');
    const bottom = bar.contains(each) ? innerHeight : bar.getBoundingClientRect().top;
    const name = each.getAttribute('aria-label') || (each.labels && each.labels[0]?.textContent) || each.textContent;
    return {
        name: name.trim(),
        id: each.id || each.parentElement.className,
        marked: style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2,
        seen: box.width > 0 && box.bottom > 0 && box.top < bottom - 4,
    };
})()";

fn walked(shown: &Shown, most: usize) -> Vec<Value> {
    let mut stops = Vec::new();
    for _ in 0..most {
        shown.press("Tab");
        let focus = shown.json(FOCUS);
        if focus.is_null() {
            break;
        }
        stops.push(focus);
    }
    stops
}

#[test]
fn tab_comes_to_everything_in_the_order_of_the_page_and_is_seen() {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, DESK, "light");
    shown.go(2540);
    shown.choose("line[0].row[1].line_2");
    shown.text("document.activeElement.blur(); window.scrollTo(0, 0)");
    let stops = walked(&shown, 120);
    let field = |at: &str| -> Vec<String> {
        let fields = stops
            .iter()
            .map(|stop| stop[at].as_str().unwrap_or("").to_owned());
        fields.collect()
    };
    for stop in &stops {
        assert_eq!(stop["marked"], true, "{stop}");
        assert_eq!(stop["seen"], true, "{stop}");
        assert_ne!(stop["name"], "", "{stop}");
    }
    // The many events and flags are one stop each: there are not many before the cursor.
    let play = stops.iter().position(|stop| stop["id"] == "play");
    assert!(play.is_some_and(|play| play < 45), "{play:?}");
    // From the head of the page over map, part and flags to the cursor.
    let ids = field("id");
    let places = [
        "theme",
        "fit",
        "open-more",
        "zoom-in",
        "map",
        "find",
        "play",
        "tick",
        "slider",
    ];
    let order: Vec<usize> = places
        .iter()
        .map(|id| ids.iter().position(|each| each == id))
        .map(|place| place.unwrap_or_else(|| panic!("{places:?} in {ids:?}")))
        .collect();
    assert!(order.is_sorted(), "{order:?} {ids:?}");
    let names = field("name");
    for name in [
        "line[0].row[1].line_1",
        "go to stop, 125.0 s (2,500 t)",
        "8 ticks on",
    ] {
        assert!(
            names.iter().any(|each| each.starts_with(name)),
            "{name}: {names:?}"
        );
    }
    shown.assert_untroubled();
}

#[test]
fn a_part_is_found_and_followed_without_a_mouse() {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, DESK, "light");
    // The map: closer, to the side, and whole again.
    shown.text("document.getElementById('map').focus()");
    let seen = |shown: &Shown| shown.json("[hallwright.map.scale, hallwright.map.left]");
    let whole = seen(&shown);
    shown.press("+");
    shown.press("ArrowRight");
    let closer = seen(&shown);
    assert!(closer[0].as_f64() > whole[0].as_f64() && closer[1] != whole[1]);
    shown.press("0");
    assert_eq!(seen(&shown), whole);
    assert_eq!(
        shown.tick(),
        2500,
        "the arrow keys of the map move the map alone"
    );

    // A part by its name; what is chosen is reported to those who do not see it.
    shown.type_into("#find", "line[0].head");
    shown.press("Enter");
    let reported = shown.text("document.getElementById('reported').textContent");
    assert!(reported.starts_with("line[0].head: "), "{reported}");
    // On to a neighbour by its link in the panel, and the panel keeps the focus as time goes on.
    shown.text("document.querySelector('#details .pairs button').focus()");
    shown.press("Enter");
    let neighbour = shown.text("document.querySelector('#details h2').textContent");
    assert_ne!(neighbour, "line[0].head");
    shown.text("document.querySelector('#details .pairs button').focus()");
    let focused = shown.text("document.activeElement.textContent");
    shown.text("hallwright.cursor.step(8)");
    shown.settle();
    assert_eq!(shown.tick(), 2508);
    assert_eq!(shown.text("document.activeElement.textContent"), focused);
    assert_eq!(
        shown.json("document.getElementById('details').contains(document.activeElement)"),
        json!(true)
    );
    shown.assert_untroubled();
}
