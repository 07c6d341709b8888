//! How pages look: by day and by night, on a desk and on a phone.

use crate::support::{DESK, PHONE, Shown, drawn};

#[test]
fn nothing_sticks_out_by_day_and_by_night_at_any_width() {
    let (_folder, page) = drawn(&["scenarios/granary.ron", "--variant", "four sections"]);
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
    let (_folder, page) = drawn(&["scenarios/first-slice.ron", "--variant", "leaky"]);
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
