//! How pages look: by day and by night, on a desk and on a phone.

use crate::support::{DESK, GRANARY, PHONE, Shown, drawn};

#[test]
fn nothing_sticks_out_by_day_and_by_night_at_any_width() {
    let page = drawn(&GRANARY);
    for (name, size, scheme) in [
        ("desk-light", DESK, "light"),
        ("desk-dark", DESK, "dark"),
        ("phone-light", PHONE, "light"),
        ("phone-dark", PHONE, "dark"),
    ] {
        let shown = Shown::open(&page, size, scheme);
        let widths = shown
            .json("[document.documentElement.scrollWidth, document.documentElement.clientWidth]");
        assert_eq!(widths[0], widths[1], "{name}");
        shown.go(2550);
        shown.keep(name);
        shown.text("document.getElementById('details').scrollIntoView({ block: 'start' })");
        shown.keep(&format!("{name}-parts"));
        shown.assert_untroubled();
    }
}

#[test]
fn the_switch_turns_night_into_day() {
    let page = drawn(&["scenarios/first-slice.ron", "--variant", "leaky"]);
    let shown = Shown::open(&page, DESK, "dark");
    let paper = "getComputedStyle(document.documentElement).getPropertyValue('--paper')";
    let night = shown.text(paper);
    shown.click("#theme");
    let day = shown.text(paper);
    assert_ne!(night, day);
    shown.click("#theme");
    assert_eq!(shown.text(paper), night);
    shown.keep("first-slice-leaky");
    shown.assert_untroubled();
}

/// The columns of this scenario say where their parts stand.
#[test]
fn parts_stand_where_the_scenario_says() {
    let page = drawn(&["scenarios/bulk-slice.ron", "--variant", "gate watched"]);
    let shown = Shown::open(&page, DESK, "light");
    let place = |part: &str| -> (f64, f64) {
        let part = serde_json::json!(part);
        let place = shown.json(&format!(
            "(() => {{ const {{ run }} = hallwright.map; const part = run.find({part}); \
             return [run.x[part], run.y[part]]; }})()"
        ));
        serde_json::from_value(place).expect("two numbers")
    };
    // A column goes straight down from its gate to its lowest hopper, block for block.
    let [gate, chest, below, lowest] = ["gate", "level_3", "under_3", "under_barrel"]
        .map(|part| place(&format!("slice[0].{part}")));
    for (part, blocks) in [(chest, 1.0), (below, 2.0), (lowest, 8.0)] {
        assert_eq!(part.0, gate.0);
        assert!((part.1 - gate.1 - blocks * (chest.1 - gate.1)).abs() < 0.02);
    }
    // The next column is one block further along, at the same height.
    let [next, after_it] = ["slice[1].gate", "slice[2].gate"].map(place);
    assert!(next.0 > gate.0 && next.1 == gate.1);
    assert!((after_it.0 - next.0 - (next.0 - gate.0)).abs() < 0.02);
    shown.go(3000);
    shown.keep("placed");
    shown.assert_untroubled();
}
