//! The page on paper: as a browser prints it, from a dark screen.

use serde_json::json;

use crate::support::{DESK, GRANARY, Shown, drawn};

#[test]
fn it_prints_black_on_white_without_controls_and_with_everything_unfolded() {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, DESK, "dark");
    shown.go(2540);
    shown.choose("line[0].row[1].line_2");
    let before = shown.json("[hallwright.map.scale, hallwright.map.left, hallwright.map.top]");
    shown.print_as("target/screenshots/paper.pdf");
    shown.on_paper(true);
    shown.wait_for("document.documentElement.dataset.theme === 'paper'");

    // Nothing that can only be clicked.
    let controls = shown.json(
        "['#cursor', '#find', '#parts', '#theme', '#fit', '#zoom-in', '.legend summary'].filter(\
         (each) => document.querySelector(each).checkVisibility())",
    );
    assert_eq!(controls, json!([]));
    assert_eq!(
        shown.json(
            "[getComputedStyle(document.documentElement).backgroundColor, \
             getComputedStyle(document.body).color]"
        ),
        json!(["rgb(255, 255, 255)", "rgb(0, 0, 0)"])
    );
    // The map is drawn on white, and in its own proportions.
    let map = shown.json(
        "(() => { const { map } = hallwright; const { width, height } = map.canvas; \
         const box = map.canvas.getBoundingClientRect(); \
         return { corner: [...map.pen.getImageData(3, 3, 1, 1).data], \
         stretch: (box.width / box.height) / (width / height), \
         dots: width / box.width }; })()",
    );
    // White, or the light ground of a module.
    let corner: Vec<u8> = serde_json::from_value(map["corner"].clone()).expect("a colour");
    assert!(corner.iter().all(|part| *part >= 240), "{corner:?}");
    let stretch = map["stretch"].as_f64().expect("a number");
    assert!((stretch - 1.0).abs() < 0.02, "{stretch}");
    // The summary comes first, then the map with its moment, the part, the curves, every goal.
    let tops = shown.json(
        "['.cards', '#moment', '#map', '#legend', '#causes', '#strips', '.goals li'].map((each) => \
         document.querySelector(each).getBoundingClientRect().top)",
    );
    let tops: Vec<f64> = serde_json::from_value(tops).expect("numbers");
    assert!(tops.is_sorted_by(|one, other| one < other), "{tops:?}");
    assert_eq!(
        shown.text("document.getElementById('moment').textContent"),
        "The hall at the end of tick 2,540, 127.0 s into the run"
    );
    // Back on the screen it is as it was.
    shown.on_paper(false);
    shown.wait_for("document.documentElement.dataset.theme === undefined");
    let after = shown.json("[hallwright.map.scale, hallwright.map.left, hallwright.map.top]");
    for at in 0..3 {
        let [one, other] = [&before[at], &after[at]].map(|each| each.as_f64().expect("a number"));
        assert!((one - other).abs() < 0.01, "{before} and {after}");
    }
    assert_eq!(
        shown.text("document.querySelector('.legend').open"),
        "false"
    );
    shown.assert_untroubled();
}
