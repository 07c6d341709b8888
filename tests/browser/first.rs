//! What the page opens with: what went wrong first, where and why, before anything is clicked.

use serde_json::{Value, json};

use crate::support::{Shown, drawn, says};

/// A screen on which everything of this must be seen without scrolling.
const SCREEN: (u32, u32) = (1400, 900);

/// The lines of text that are seen on the first screen.
const SEEN: &str = "(() => {
    const seen = [];
    for (const each of document.querySelectorAll('h1, h2, h3, p, td, th, li')) {
        const { top, bottom, width } = each.getBoundingClientRect();
        const bar = document.getElementById('cursor').getBoundingClientRect().top;
        if (width > 0 && top >= 0 && bottom <= bar && each.checkVisibility()) seen.push(each.innerText);
    }
    return seen.join('\\n');
})()";

/// Opens the page of a hall, keeps a picture, and gives what is seen, the tick and the chosen part.
fn opened(name: &str) -> (String, u64, Value) {
    let page = drawn(&[&format!("tests/browser/first/{name}.ron")]);
    let shown = Shown::open(&page, SCREEN, "light");
    let seen = shown.text(SEEN);
    shown.keep_view(&format!("first-{name}"));
    let chosen = shown.json(
        "hallwright.map.chosen < 0 ? null : hallwright.runs[0].partName(hallwright.map.chosen)",
    );
    let tick = shown.tick();
    shown.assert_untroubled();
    (seen, tick, chosen)
}

#[test]
fn a_jam_is_shown_where_it_stands() {
    let (seen, tick, chosen) = opened("jam");
    says(
        &seen,
        &[
            "✕ backed up: 36 barley in line: \"barley\" is full",
            "Where: bin.",
            "Why: line waits for bin of \"barley\", which has been full since 25.95 s (519 t)",
        ],
    );
    assert_eq!((tick, chosen), (519, json!("bin")));
}

#[test]
fn a_loss_is_shown_where_it_lay() {
    let (seen, tick, chosen) = opened("loss");
    says(
        &seen,
        &[
            "✕ 3 flax lost at landing, first at 16.85 s (337 t): no hopper there",
            "Where: landing.",
            "Why: it came loose at brook and lay for 15.75 s.",
            "Not as it should be, either: without a home",
        ],
    );
    assert_eq!((tick, chosen), (337, json!("landing")));
}

#[test]
fn a_slow_stop_is_shown_at_what_moved_on() {
    let (seen, tick, chosen) = opened("slow_stop");
    says(
        &seen,
        &[
            "✕ stopped at 10.0 s (200 t): safe to close only 10.3 s (206 t) later, not within 3.0 s (60 t)",
            "Where: late halt.",
            "of it are signal's delay, most of it at late halt",
        ],
    );
    // When 3 s were over.
    assert_eq!((tick, chosen), (260, json!("late halt")));
}

#[test]
fn a_leaky_filter_is_shown_at_its_sieve() {
    let (seen, tick, chosen) = opened("leaky_filter");
    says(
        &seen,
        &[
            "✕ sieves not intact: sieve lacks 41 barley, 4 peg, since 1.2 s (24 t)",
            "Where: sieve.",
            "the first left it at 0.0 s (0 t) for outlet, which shut should lock",
        ],
    );
    assert_eq!((tick, chosen), (24, json!("sieve")));
}

#[test]
fn that_all_is_well_is_said() {
    let (seen, tick, chosen) = opened("all_well");
    says(
        &seen,
        &["✓ All is well: 9 of 9 answers are as they should be"],
    );
    assert_eq!((tick, chosen), (0, Value::Null));
}
