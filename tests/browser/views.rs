//! A placed hall from above, from the side and one height at a time: what is seen, and which way it points.
//! What is expected of `in_blocks.ron` is by hand from that file.

use std::collections::BTreeSet;

use hallwright_declared::placement::Placed;
use serde_json::json;

use crate::support::{DESK, PHONE, Shown, drawn, scenario};

const PLACED: &str = "tests/page/in_blocks.ron";

/// The colour of the map at a pixel, read from a copy: red, green and blue.
const COLOUR_AT: &str = "const copy = document.createElement('canvas');
    Object.assign(copy, { width: hallwright.map.canvas.width, height: hallwright.map.canvas.height });
    const pen = copy.getContext('2d', { willReadFrequently: true });
    pen.drawImage(hallwright.map.canvas, 0, 0);
    const colourAt = (x, y) => {
        const { ratio } = hallwright.map.size();
        return [...pen.getImageData(Math.round(x * ratio), Math.round(y * ratio), 1, 1).data].slice(0, 3);
    };";

/// Chooses a view.
fn view(shown: &Shown, name: &str) {
    shown.click(&format!("#views [data-view={name}]"));
    let pressed = shown.json(
        "[...document.querySelectorAll('#views [aria-pressed=true]')].map((each) => each.dataset.view)",
    );
    assert_eq!(pressed, json!([name]));
}

/// The names of the parts that are seen.
fn seen(shown: &Shown) -> BTreeSet<String> {
    let names =
        shown.json("hallwright.map.placed.parts.map((part) => hallwright.map.run.partName(part))");
    serde_json::from_value(names).expect("a list of names")
}

fn set(names: &[&str]) -> BTreeSet<String> {
    names.iter().map(|name| (*name).to_owned()).collect()
}

/// Where the mark of a part is drawn in its square, or nothing if it is at none of its four edges.
fn marked_edge(shown: &Shown, part: &str) -> Vec<String> {
    let part = json!(part);
    // A patch within the edge on each side. Nothing but a mark is as dark as ink there.
    let edges = shown.json(&format!(
        "(() => {{
            {COLOUR_AT}
            const {{ map }} = hallwright;
            const [block] = map.placed.blocksOf(map.run.find({part})).blocks;
            const {{ x, y, w }} = map.placed.pixels(map, block);
            const isDark = (out, aside, u, v) => {{
                const [r, g, b] = colourAt(x + w / 2 + (u * out - v * aside) * w / 2, y + w / 2 + (v * out + u * aside) * w / 2);
                return r < 60 && g < 70 && b < 80;
            }};
            const ways = {{ right: [1, 0], left: [-1, 0], down: [0, 1], up: [0, -1] }};
            return Object.keys(ways).filter((name) => {{
                let dark = 0;
                for (const out of [0.8, 0.83, 0.86]) for (let aside = -0.18; aside < 0.2; aside += 0.06) dark += isDark(out, aside, ...ways[name]) ? 1 : 0;
                return dark >= 4;
            }});
        }})()"
    ));
    serde_json::from_value(edges).expect("a list of edges")
}

#[test]
fn a_placed_hall_is_seen_from_above_and_from_the_side() {
    let page = drawn(&[PLACED]);
    let shown = Shown::open(&page, DESK, "light");
    shown.go(20);
    assert_eq!(shown.json("hallwright.map.placed"), json!(null));
    shown.keep("views-map");
    view(&shown, "above");
    // Of a column the topmost: below it are head, store, hand, pond with its cup and basin.
    let above = set(&[
        "inbox", "next", "yonder", "thrower", "brook", "feeder", "sorter", "left", "right", "gate",
        "level", "line", "off", "eye", "bell", "knock",
    ]);
    assert_eq!(seen(&shown), above);
    shown.keep("views-above");
    // From the side the nearest: z 2 is before z 0, and the chest's first half and hopper before nothing.
    view(&shown, "side");
    let turned = shown.json("document.getElementById('turn').getAttribute('aria-pressed')");
    if turned == json!("true") {
        shown.click("#turn");
    }
    let side = seen(&shown);
    for name in [
        "basin", "cup", "pond", "brook", "thrower", "line", "off", "inbox", "head",
    ] {
        assert!(side.contains(name), "{name} in {side:?}");
    }
    // Behind the wire are the comparator and, behind the button's own wire, the button; behind the basin the other.
    for name in ["level", "store", "bell", "eye", "knock"] {
        assert!(!side.contains(name), "{name} in {side:?}");
    }
    shown.keep("views-side");
    shown.click("#turn");
    let other = seen(&shown);
    for name in ["eye", "store", "bell", "head", "line"] {
        assert!(other.contains(name), "{name} in {other:?}");
    }
    for name in ["basin", "next", "level"] {
        assert!(!other.contains(name), "{name} in {other:?}");
    }
    shown.assert_untroubled();
}

#[test]
fn marks_point_where_the_parts_do() {
    let page = drawn(&[PLACED]);
    // High enough for marks that are read dot by dot.
    let shown = Shown::open(&page, (1440, 960), "light");
    shown.go(20);
    view(&shown, "above");
    for (part, edges) in [
        ("thrower", vec!["right"]),
        ("level", vec!["down"]),
        ("eye", vec!["down"]),
        ("off", vec!["right"]),
        ("bell", vec!["right"]),
        // Down, away from who looks; and what points nowhere.
        ("feeder", vec![]),
        ("knock", vec![]),
        ("yonder", vec![]),
    ] {
        assert_eq!(marked_edge(&shown, part), edges, "{part} from above");
    }
    view(&shown, "side");
    if shown.text("document.getElementById('turn').getAttribute('aria-pressed')") == "true" {
        shown.click("#turn");
    }
    for (part, edges) in [
        ("head", vec!["right"]),
        ("hand", vec!["up"]),
        ("cup", vec!["down"]),
        ("thrower", vec!["right"]),
        ("off", vec!["right"]),
        ("gate", vec!["down"]),
    ] {
        assert_eq!(marked_edge(&shown, part), edges, "{part} from the side");
    }
    // From behind, x runs to the left, and up is still up.
    shown.click("#turn");
    for (part, edges) in [
        ("head", vec!["left"]),
        ("hand", vec!["up"]),
        ("thrower", vec!["left"]),
        ("bell", vec!["left"]),
        ("eye", vec![]),
    ] {
        assert_eq!(marked_edge(&shown, part), edges, "{part} from behind");
    }
    shown.assert_untroubled();
}

#[test]
fn each_height_shows_exactly_its_parts() {
    let page = drawn(&[PLACED]);
    let shown = Shown::open(&page, DESK, "light");
    view(&shown, "height");
    // It begins at the top; the keys go down, the button up.
    assert_eq!(shown.text("document.getElementById('height').value"), "4");
    shown.text("document.getElementById('map').focus()");
    for _ in 0..4 {
        shown.press("PageDown");
    }
    assert_eq!(
        shown.text("document.getElementById('lower').disabled"),
        "true"
    );
    let heights: [&[&str]; 5] = [
        &["store", "level", "line", "off", "sorter", "left", "right"],
        &[
            "head", "next", "gate", "eye", "hand", "bell", "basin", "sorter",
        ],
        &["inbox", "yonder", "cup", "feeder"],
        &["brook", "pond"],
        &["thrower", "brook", "knock"],
    ];
    for (height, parts) in heights.iter().enumerate() {
        assert_eq!(seen(&shown), set(parts), "height {height}");
        let note = shown.text("document.getElementById('view-note').textContent");
        let said = format!("Height y {height}: {} parts.", parts.len());
        assert!(note.starts_with(&said), "{note}");
        shown.keep(&format!("views-height-{height}"));
        if height < 4 {
            shown.click("#higher");
        }
    }
    assert_eq!(
        shown.text("document.getElementById('higher').disabled"),
        "true"
    );
    // A part that is looked for is shown at its height.
    shown.type_into("#find", "basin");
    shown.press("Enter");
    assert_eq!(shown.text("document.getElementById('height').value"), "1");
    let place = shown.text("document.querySelector('#details .place').textContent");
    assert_eq!(place, "stands at (7, 1, 2)");
    shown.assert_untroubled();
}

#[test]
fn the_heights_of_a_scenario_have_the_parts_that_it_puts_there() {
    let page = drawn(&["scenarios/bulk-slice.ron", "--variant", "gate watched"]);
    let shown = Shown::open(&page, DESK, "light");
    shown.go(3000);
    let scenario = scenario("bulk-slice.ron", "gate watched");
    let is_at = |placed: &Placed, height: i32| {
        let high = placed.size.map_or(1, |size| size.y);
        let own = placed.position.into_iter();
        own.clone()
            .any(|block| (block.y..block.y + high).contains(&height))
            || placed.path.iter().any(|block| block.y == height)
    };
    let parts = &scenario.declarations.placement.parts;
    let names = |is_it: &dyn Fn(Option<&Placed>) -> bool| -> BTreeSet<String> {
        let all = scenario
            .network
            .part_ids()
            .filter(|part| is_it(parts[part.index()].as_deref()));
        all.map(|part| scenario.network.name(part).to_owned())
            .collect()
    };
    // A mouth that does not say where it is stands above its hopper.
    let silent = names(&|placed| {
        placed.is_none_or(|placed| placed.position.is_none() && placed.path.is_empty())
    });
    view(&shown, "height");
    let heights = shown.json("[...hallwright.map.run.stand.heights]");
    let heights: Vec<i32> = serde_json::from_value(heights).expect("numbers");
    assert!(heights.len() > 5, "{heights:?}");
    for height in heights.into_iter().rev() {
        assert_eq!(
            shown.text("document.getElementById('height').value"),
            height.to_string()
        );
        let expected = names(&|placed| placed.is_some_and(|placed| is_at(placed, height)));
        let said: BTreeSet<String> = seen(&shown).difference(&silent).cloned().collect();
        assert_eq!(said, expected, "height {height}");
        shown.text("document.getElementById('lower').click()");
        shown.settle();
    }
    for name in ["above", "side"] {
        view(&shown, name);
        shown.keep(&format!("views-bulk-{name}"));
    }
    shown.assert_untroubled();
}

#[test]
fn a_hall_without_positions_has_no_such_choice() {
    let page = drawn(&["tests/data/missed-goal.ron"]);
    let shown = Shown::open(&page, DESK, "light");
    let there = shown.json(
        "['views', 'heights', 'turn', 'view-note', 'nowhere'].filter((id) => \
         document.getElementById(id).checkVisibility())",
    );
    assert_eq!(there, json!([]));
    assert_eq!(shown.json("hallwright.map.run.stand"), json!(null));
    shown.assert_untroubled();
}

#[test]
fn the_run_shows_in_the_blocks_and_parts_are_chosen_there() {
    let page = drawn(&[PLACED]);
    let shown = Shown::open(&page, DESK, "light");
    shown.go(20);
    view(&shown, "above");
    // The middle of a block of the wire, which carries 4 of the comparator's 6.
    let wire = shown.json(&format!(
        "(() => {{ {COLOUR_AT} const {{ map }} = hallwright; \
         const block = map.placed.stand.first[map.run.find('line')] + 1; \
         return colourAt(...map.placed.middle(map, block)); }})()"
    ));
    assert_eq!(wire, json!([180, 81, 15]), "the colour of flow");
    // Wire that is no part hears the button, which is pressed at 2 s for a second.
    let levels = |shown: &Shown| {
        shown.json(
            "(() => { const { placed, state } = hallwright.map; \
             return placed.wires.filter((block) => placed.stand.of[block] < 0).map((block) => placed.level(state, block)); })()",
        )
    };
    assert_eq!(levels(&shown), json!([0, 0]));
    shown.go(50);
    assert_eq!(levels(&shown), json!([15, 14]));
    shown.go(20);
    // A click in the middle of a square chooses what is seen there, as on the map.
    let at = shown.json(
        "(() => { const { map } = hallwright; map.canvas.scrollIntoView({ block: 'center' }); \
         const [block] = map.placed.blocksOf(map.run.find('next')).blocks; \
         const [x, y] = map.placed.middle(map, block); const box = map.canvas.getBoundingClientRect(); \
         return [box.left + x, box.top + y]; })()",
    );
    let [x, y] = [0, 1].map(|axis| at[axis].as_f64().expect("a number"));
    shown.click_at(x, y);
    let name = "document.querySelector('#details h2').textContent";
    assert_eq!(shown.text(name), "next");
    assert_eq!(
        shown.text("document.querySelector('#details .place').textContent"),
        "stands at (2, 1, 0), pointing to -y"
    );
    // What is below it can be chosen too, and it is said where it is.
    shown.choose("store");
    let note = shown.text("document.getElementById('view-note').textContent");
    assert!(note.ends_with("store is below next."), "{note}");
    // What stands nowhere is listed below the drawing.
    let nowhere = "document.getElementById('nowhere').textContent";
    assert_eq!(shown.text(nowhere), "Stands nowhere: later");
    shown.click("#nowhere button");
    assert_eq!(shown.text(name), "later");
    let note = shown.text("document.getElementById('view-note').textContent");
    assert!(note.ends_with("later stands nowhere."), "{note}");
    // Locked, as on the map: the gate comes on at 15 s.
    let bolt = |shown: &Shown| {
        shown.json(&format!(
            "(() => {{ {COLOUR_AT} const {{ map }} = hallwright; \
             const [block] = map.placed.blocksOf(map.run.find('next')).blocks; \
             const {{ x, y, w }} = map.placed.pixels(map, block); \
             return colourAt(x + w * 0.5, y + w * 0.12); }})()"
        ))
    };
    let lock = json!([123, 122, 116]);
    assert_ne!(bolt(&shown), lock);
    shown.go(330);
    assert_eq!(bolt(&shown), lock, "the colour of locks");
    shown.assert_untroubled();
}

#[test]
fn the_views_fit_a_phone_and_the_keyboard_reaches_them() {
    let page = drawn(&[PLACED]);
    for (name, size, scheme) in [("phone", PHONE, "light"), ("dark", DESK, "dark")] {
        let shown = Shown::open(&page, size, scheme);
        shown.go(330);
        for kind in ["above", "side", "height"] {
            shown.text(&format!(
                "document.querySelector('#views [data-view={kind}]').focus()"
            ));
            shown.press("Enter");
            assert_eq!(shown.text("hallwright.map.placed.kind"), kind);
            let widths = shown.json(
                "[document.documentElement.scrollWidth, document.documentElement.clientWidth]",
            );
            assert_eq!(widths[0], widths[1], "{name} {kind}");
            shown.text("document.querySelector('.hall').scrollIntoView({ block: 'start' })");
            shown.keep(&format!("views-{name}-{kind}"));
        }
        shown.assert_untroubled();
    }
}
