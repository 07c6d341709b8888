//! Names in scenarios are untrusted: they are text, whatever is in them.

use crate::support::{DESK, Shown, drawn_from};

#[test]
fn a_script_in_a_title_a_part_or_a_kind_is_text() {
    const BAD: &str = "<script>caught=1</script>";
    const IMAGE: &str = "<img src=x onerror=caught=2>";
    let text = r#"(
        title: "TITLE",
        run_for: "10s",
        goods: {"KIND": 64, "</script>&amp;": 64},
        parts: {
            "PART": Chest(),
            "IMAGE": Hopper(above: "PART", target: "store", lock: "LEVER"),
            "store": Chest(),
        },
        signals: {"LEVER": Lever()},
        arrivals: {"cart": Steady(place: "PART", kind: "KIND", per_second: 2.5)},
        operator: [(at: "5s", actions: [On("LEVER")])],
        stores: {"STORE": (parts: "store", takes: "KIND")},
        flows: {"STORE": (into: "store")},
        sections: {"STORE": (line: ["IMAGE"], queue: ["PART"])},
        goals: [MisplacedAtMost(0)],
    )"#;
    let text = text
        .replace("TITLE", &format!("title {BAD}"))
        .replace("PART", &format!("part {BAD}"))
        .replace("KIND", &format!("kind {BAD}"))
        .replace("STORE", &format!("store {BAD}"))
        .replace("LEVER", &format!("lever {BAD}"))
        .replace("IMAGE", IMAGE);
    let (_folder, page) = drawn_from(&text);
    let shown = Shown::open(&page, DESK, "light");
    shown.go(60);
    assert_eq!(
        shown.text("document.querySelector('h1').textContent"),
        format!("title {BAD}")
    );
    for name in [
        format!("part {BAD}"),
        IMAGE.to_owned(),
        format!("lever {BAD}"),
    ] {
        let name = serde_json::json!(name);
        shown.text(&format!(
            "document.dispatchEvent(new CustomEvent('choose', {{ detail: {name} }}))"
        ));
        shown.settle();
        let seen = shown.text("document.querySelector('#details h2').textContent");
        assert_eq!(name, seen);
    }
    shown.text("document.getElementById('parts').open = true");
    shown.type_into("#find", "kind");
    shown.text("document.querySelector('#found button').click()");
    shown.settle();
    let heading = shown.text("document.querySelector('#found h3').textContent");
    assert!(heading.starts_with(&format!("kind {BAD}: ")), "{heading}");
    // The page's own data, rows and script, and no other.
    assert_eq!(shown.text("document.scripts.length"), "3");
    assert_eq!(shown.text("document.images.length"), "0");
    assert_eq!(shown.text("String(window.caught)"), "undefined");
    shown.assert_untroubled();
}
