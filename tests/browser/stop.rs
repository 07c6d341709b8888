//! How the stop went.

use serde_json::json;

use crate::support::{DESK, FIVE_AND_ONE, GRANARY, PHONE, Shown, drawn, input, scenario};

#[test]
fn bars_lead_from_the_slowest_section_to_part_and_reason() {
    let scenario = scenario("granary.ron", "five sections");
    let found = hallwright_report::run(&input(&scenario), &mut |_| {});
    let stop = &found.stops[0];
    let shown = Shown::open(&drawn(&GRANARY), DESK, "light");
    shown.text("document.querySelector('.hall').scrollIntoView({ behavior: 'instant' })");
    // The hall first, then the sections by the time of their last mark.
    let names = shown.json(
        "[...document.querySelectorAll('.stopping-bar .name')].map((each) => each.textContent)",
    );
    let names: Vec<String> = serde_json::from_value(names).expect("names");
    assert_eq!(names[0], "the whole hall");
    assert_eq!(names.len(), stop.sections.len() + 1);
    let last: Vec<u64> = names[1..]
        .iter()
        .map(|name| {
            let section = stop.sections.iter().find(|section| section.name == *name);
            let marks = &section.expect("a section of this name").marks;
            let all = [
                marks.cleared_ticks,
                marks.safe_to_close_ticks,
                marks.quiet.ticks,
            ];
            all.into_iter().flatten().max().expect("it comes to rest")
        })
        .collect();
    assert!(last.is_sorted_by(|one, other| one >= other), "{last:?}");
    // It opens with why the hall was not safe to close any sooner, in the words of `explain`.
    let why = "document.getElementById('stopping-why').textContent";
    let reason = shown.text(why);
    for words in [
        "the whole hall: safe to close after 18.8 s (376 t)",
        "What decided it: held signal (59.5 %, most of it at line[2].washing)",
        "330 t224 t: held signal, line[2].washing",
        "saves up to 0.6 s (12 t); beyond that another path is slower",
    ] {
        assert!(reason.contains(words), "{words}: {reason}");
    }
    shown.keep("stop-hall");
    // A bar leads to the tick, the part and the reason of its last mark that has a way.
    let line = names
        .iter()
        .position(|name| name == "line[2].line")
        .expect("a line");
    shown.click(&format!("#stopping-bars li:nth-child({}) button", line + 1));
    let section = stop
        .sections
        .iter()
        .find(|section| section.name == "line[2].line");
    let marks = &section.expect("a line").marks;
    let safe = marks.safe_to_close_ticks.expect("it is safe to close");
    assert_eq!(shown.tick(), stop.at.0 + safe);
    // Its washing goes off a little after the last item: only then is nothing on its way that opens a lock.
    let reason = shown.text(why);
    for words in [
        "line[2].line: safe to close after 16.6 s (332 t)",
        "held signal, line[2].washing",
        "What a shorter time would save",
    ] {
        assert!(reason.contains(words), "{words}: {reason}");
    }
    // Its other marks have a way, too.
    shown.text("document.querySelector('#stopping-why .which button:nth-child(3)').click()");
    let chosen = "document.querySelector('#details h2').textContent";
    let reason = shown.text(why);
    for words in [
        "line[2].line: quiet after 16.35 s (327 t)",
        "stream's way, line[2].brook",
        "A shorter time was not tried for this mark",
    ] {
        assert!(reason.contains(words), "{words}: {reason}");
    }
    shown.keep("stop-section");
    // So does each wait on the way, and so does another mark of the section.
    shown.text("[...document.querySelectorAll('.stopping-way button')].find((each) => each.textContent.includes('brook')).click()");
    shown.settle();
    assert_eq!(shown.tick(), stop.at.0 + 312);
    assert_eq!(shown.text(chosen), "line[2].brook");
    shown.text("document.querySelector('#stopping-why .which button').click()");
    assert!(shown.text(why).contains("line[2].line: cleared after"));
    shown.assert_untroubled();
}

#[test]
fn the_stop_is_told_on_a_phone_and_of_the_variant_that_is_shown() {
    let shown = Shown::open(&drawn(&GRANARY), PHONE, "dark");
    let widths =
        shown.json("[document.documentElement.scrollWidth, document.documentElement.clientWidth]");
    assert_eq!(widths[0], widths[1]);
    shown.text("document.getElementById('stopping').scrollIntoView({ behavior: 'instant' })");
    shown.keep("stop-phone");
    let two = drawn(&FIVE_AND_ONE);
    let shown = Shown::open(&two, DESK, "light");
    let heading = "document.getElementById('stopping-head').textContent";
    assert_eq!(shown.text(heading), "The stop at 125.0 s, five sections");
    let last = "document.querySelector('.stopping-bar .last').textContent";
    let five = shown.text(last);
    shown.click("#which button:last-child");
    assert_ne!(shown.text(last), five);
    // A run without a stop has no panel, and shows the whole run.
    let shown = Shown::open(&drawn(&["tests/page/in_blocks.ron"]), DESK, "light");
    assert_eq!(
        shown.json("document.getElementById('stopping').checkVisibility()"),
        json!(false)
    );
    assert_eq!(shown.json("hallwright.cursor.span.from"), json!(0));
    shown.assert_untroubled();
}
