//! The span of time that is seen, its axes and flags, and time that runs.

use serde_json::json;

use crate::support::{DESK, GRANARY, PHONE, Shown, drawn, drawn_from, input, scenario};

const SPAN: &str = "[hallwright.cursor.span.from, hallwright.cursor.span.until]";

/// The ticks that curves and slider show: from, and up to but without.
fn span(shown: &Shown) -> (u64, u64) {
    serde_json::from_value(shown.json(SPAN)).expect("two ticks")
}

#[test]
fn it_opens_at_the_stop_and_the_whole_run_is_one_click_away() {
    let scenario = scenario("granary.ron", "five sections");
    let found = hallwright_report::run(&input(&scenario), &mut |_| {});
    let stop = &found.stops[0];
    let safe = stop.at.0 + stop.all.safe_to_close_ticks.expect("it is safe");
    let shown = Shown::open(&drawn(&GRANARY), DESK, "light");
    let at_stop = span(&shown);
    assert!(
        at_stop.0 < stop.at.0 && stop.at.0 - at_stop.0 < 200,
        "{at_stop:?}"
    );
    assert!(at_stop.1 > safe && at_stop.1 - safe < 200, "{at_stop:?}");
    // The slider has the same scale.
    let slider = "['min', 'max'].map((end) => Number(document.getElementById('slider')[end]))";
    assert_eq!(shown.json(slider), json!([at_stop.0, at_stop.1 - 1]));
    let unlocked =
        "document.querySelector('[data-key=unlocked] polyline.first').getAttribute('points')";
    let near = shown.text(unlocked);

    shown.click("#whole-run");
    assert_eq!(span(&shown), (0, scenario.run_ticks));
    assert_eq!(shown.tick(), stop.at.0, "the cursor stays");
    assert_ne!(shown.text(unlocked), near);
    shown.go(9000);
    shown.click("#the-stop");
    assert_eq!(span(&shown), at_stop);
    assert_eq!(shown.text(unlocked), near);
    assert_eq!(shown.tick(), stop.at.0, "it was out of what is seen");
    // Whoever goes out of it takes it along.
    shown.go(9000);
    let (from, until) = span(&shown);
    assert!(from < 9000 && 9000 < until && until - from == at_stop.1 - at_stop.0);
    shown.assert_untroubled();
}

#[test]
fn wheel_and_dragging_choose_what_is_seen() {
    let shown = Shown::open(&drawn(&GRANARY), DESK, "light");
    shown.click("#whole-run");
    shown.text("document.querySelector('.hall').scrollIntoView({ behavior: 'instant' })");
    let [left, top, width, height] = shown.place(".strip-curve");
    let at = |part: f64| (left + width * part, top + height / 2.0);
    let all = span(&shown).1;
    shown.wheel(at(0.25), -480.0);
    // Four times closer, and what is under the mouse stays there: a quarter is on either side.
    let (from, until) = span(&shown);
    let near = |tick: u64, expected: u64| tick.abs_diff(expected) <= all / 500;
    assert!(
        near(until - from, all / 4) && near(from, all * 3 / 16),
        "{from} to {until}"
    );
    // Below, the axis: what is dragged over is seen.
    let [_, axis, ..] = shown.place("#axis");
    let length = until - from;
    shown.drag((at(0.2).0, axis + 8.0), (at(0.6).0, axis + 8.0));
    let chosen = span(&shown);
    assert!(
        near(chosen.0, from + length / 5) && near(chosen.1, from + length * 3 / 5),
        "{chosen:?} of {from} to {until}"
    );
    // The bar of the whole run moves it on; its keys zoom around the cursor.
    let [bar_left, bar_top, bar_width, _] = shown.place("#overview");
    let on_bar = |tick: u64| {
        (
            bar_left + bar_width * tick as f64 / all as f64,
            bar_top + 7.0,
        )
    };
    let middle = (chosen.0 + chosen.1) / 2;
    shown.drag(on_bar(middle), on_bar(middle + 3000));
    let moved = span(&shown);
    assert!(
        near(moved.0, chosen.0 + 3000) && near(moved.1, chosen.1 + 3000),
        "{moved:?}"
    );
    shown.text("document.getElementById('span-in').focus()");
    shown.press("Enter");
    let (from, until) = span(&shown);
    assert!((until - from).abs_diff((moved.1 - moved.0) / 2) <= 1);
    shown.keep("time-zoomed");
    shown.assert_untroubled();
}

#[test]
fn axes_name_round_values_and_times_and_the_mouse_reads_the_curves() {
    let shown = Shown::open(&drawn(&GRANARY), DESK, "light");
    shown.text("document.querySelector('.hall').scrollIntoView({ behavior: 'instant' })");
    let texts = |selector: &str| -> Vec<String> {
        let texts = shown.json(&format!(
            "[...document.querySelectorAll('{selector}')].map((each) => each.textContent)"
        ));
        serde_json::from_value(texts).expect("texts")
    };
    let times = texts("#axis span");
    assert!(
        times.len() > 4 && times.iter().all(|time| time.ends_with(" s")),
        "{times:?}"
    );
    for strip in ["backlog", "throughput", "unlocked", "loose", "work"] {
        let values = texts(&format!("[data-key={strip}] .values span"));
        assert!(values.len() >= 2 && values[0] == "0", "{strip}: {values:?}");
    }
    // What the mouse reads is what the cursor reads there.
    let [left, top, width, height] = shown.place(".strip-curve");
    let point = (left + width * 0.7, top + height / 2.0);
    shown.mouse("mouseMoved", point, 0);
    shown.settle();
    let read = texts(".hover-value:not([hidden])");
    shown.keep("time-read");
    shown.click_at(point.0, point.1);
    let units = texts(".strip-name span");
    let figures = texts(".strip-name output");
    let expected: Vec<String> = figures
        .iter()
        .zip(&units)
        .map(|(figure, unit)| format!("{figure} {unit}"))
        .collect();
    assert_eq!(read, expected);
    shown.assert_untroubled();
}

#[test]
fn map_curves_and_cursor_fit_one_screen() {
    let page = drawn(&GRANARY);
    for (size, name) in [((1400, 900), "time-1400"), ((1920, 1080), "time-1920")] {
        let shown = Shown::open(&page, size, "light");
        shown.text("document.querySelector('.hall').scrollIntoView({ behavior: 'instant' })");
        shown.settle();
        shown.keep(name);
        let [_, cursor, ..] = shown.place("#cursor");
        let [_, head, _, head_height] = shown.place(".top");
        assert_eq!(head, 0.0, "the headline is there");
        let [_, map, ..] = shown.place("#map");
        let [_, axis, _, axis_height] = shown.place("#axis");
        assert!(map >= head + head_height, "{map}");
        assert!(axis + axis_height <= cursor, "{axis} in {cursor}");
    }
    let shown = Shown::open(&page, PHONE, "dark");
    shown.text("document.querySelector('.time').scrollIntoView({ behavior: 'instant' })");
    shown.keep("time-phone");
    shown.assert_untroubled();
}

/// Forty stacks are lost one after the other, most of them close together.
#[test]
fn flags_share_a_place_and_each_is_reached() {
    let losses: String = (0..40)
        .map(|at| {
            format!(
                "(at: \"{}t\", actions: [Deliver(place: \"pond\", kind: \"barley\", count: {})]),",
                20 + at,
                at % 5 + 1
            )
        })
        .collect();
    let (_folder, page) = drawn_from(&format!(
        r#"(
            title: "A leak", run_for: "1000t", rules: (despawn_ticks: 100), goods: {{"barley": 64}},
            parts: {{"pond": Mouth, "store": Chest()}}, operator: [{losses}],
            stores: {{"all": (parts: "store", takes: "barley")}}, goals: [LostAtMost(0)],
        )"#
    ));
    let shown = Shown::open(&page, DESK, "light");
    shown.text("document.querySelector('.time').scrollIntoView({ behavior: 'instant' })");
    let boxes = shown.json(
        "[...document.querySelectorAll('#flags button')].map((each) => { \
         const { left, right, top } = each.getBoundingClientRect(); return [left, right, top]; })",
    );
    let boxes: Vec<[f64; 3]> = serde_json::from_value(boxes).expect("boxes");
    assert!(!boxes.is_empty() && boxes.len() < 20, "{boxes:?}");
    for (at, one) in boxes.iter().enumerate() {
        for other in &boxes[at + 1..] {
            let is_apart = one[2] != other[2] || one[1] <= other[0] || other[1] <= one[0];
            assert!(is_apart, "{one:?} and {other:?}");
        }
    }
    // Pressed again and again, a flag goes to each of those that it stands for.
    let first = "document.querySelector('#flags button')";
    shown.text(&format!("{first}.focus()"));
    let mut ticks = Vec::new();
    for _ in 0..40 {
        shown.press("Enter");
        ticks.push(shown.tick());
    }
    ticks.dedup();
    assert_eq!(ticks.len(), 40, "{ticks:?}");
    shown.assert_untroubled();
}

#[test]
fn time_runs_round_the_span_at_the_chosen_speed() {
    let shown = Shown::open(&drawn(&GRANARY), DESK, "light");
    let choose = |speed: &str| {
        shown.text(&format!(
            "(document.getElementById('speed').value = '{speed}', '')"
        ));
    };
    let (from, until) = span(&shown);
    // At its end, playing begins anew, and goes round and round.
    shown.go(until - 1);
    choose("64");
    shown.text("(document.activeElement.blur(), '')");
    shown.press(" ");
    assert_eq!(
        shown.text("document.getElementById('play').textContent"),
        "Pause"
    );
    let round = "new Promise((done) => { let before = -1; let rounds = 0; const { cursor } = hallwright; \
                 cursor.onMoment.push((moment) => { if (moment < before) rounds += 1; before = moment; \
                 if (rounds === 2) done(String(cursor.tick)); }); })";
    let tick: u64 = shown.text(round).parse().expect("a tick");
    assert!((from..until).contains(&tick), "{tick}");
    shown.press(" ");
    assert_eq!(
        shown.text("document.getElementById('play').textContent"),
        "Play"
    );
    let stopped = shown.tick();
    shown.settle();
    assert_eq!(shown.tick(), stopped);
    // Slowly, the exact time lies between ticks, and who follows the tick is told once a tick.
    shown.go(2600);
    choose("0.125");
    shown.click("#play");
    let slow = shown.json(
        "new Promise((done) => { const { cursor } = hallwright; const told = []; const moments = []; \
         cursor.followers.push((tick) => told.push(tick)); \
         cursor.onMoment.push((moment) => { moments.push(moment); \
         if (moment > 2602.5) done({ told, between: moments.some((each) => each % 1 > 0.1), \
         whole: Math.floor(moment) === cursor.tick }); }); })",
    );
    assert_eq!(slow["between"], true);
    assert_eq!(slow["whole"], true);
    let told: Vec<u64> = serde_json::from_value(slow["told"].clone()).expect("ticks");
    assert!(told.is_sorted_by(|one, other| one < other), "{told:?}");
    shown.click("#play");
    // A page that was in the background goes on where it was.
    shown.go(2600);
    choose("1");
    let leap = shown.json(
        "(() => { const { cursor, play } = hallwright; play.toggle(); \
         play.next(performance.now() + 60_000); play.toggle(); return cursor.tick; })()",
    );
    assert!(leap.as_u64().is_some_and(|tick| tick < 2610), "{leap}");
    // Where Space types or presses something, it does that.
    shown.type_into("#find", "a b");
    assert_eq!(
        shown.text("document.getElementById('play').textContent"),
        "Play"
    );
    shown.assert_untroubled();
}

#[test]
fn the_cursor_stays_where_nothing_is_typed_and_keys_go_through_the_moments() {
    let shown = Shown::open(&drawn(&GRANARY), DESK, "light");
    shown.text(
        "(() => { const field = document.getElementById('tick'); field.value = ''; \
         field.dispatchEvent(new Event('change')); return ''; })()",
    );
    shown.settle();
    assert_eq!(shown.tick(), 2500);
    // Each press goes to the next entry, whether the list is at one or not.
    shown.go(0);
    shown.text("(document.getElementById('jump').focus(), '')");
    let mut gone = Vec::new();
    for _ in 0..4 {
        shown.press("ArrowDown");
        gone.push(shown.tick());
    }
    let moments = shown.json("hallwright.map.run.flags.slice(0, 4).map((each) => each.tick)");
    assert_eq!(json!(gone), moments);
    shown.go(1);
    assert_eq!(shown.text("document.getElementById('jump').value"), "");
    // The flags are one stop of Tab, and the arrow keys go through them.
    shown.click("#the-stop");
    shown.text("(document.querySelector('#flags button').focus(), '')");
    let before = shown.tick();
    shown.press("ArrowRight");
    assert_eq!(shown.tick(), before, "the cursor stays");
    assert!(
        shown
            .text("document.activeElement.getAttribute('aria-label')")
            .starts_with("go to cleared")
    );
    shown.press("Enter");
    assert!(shown.tick() > before);
    assert_eq!(
        shown.json("[...document.querySelectorAll('#flags button')].filter((each) => each.tabIndex === 0).length"),
        json!(1)
    );
    // From the top of the page, the cursor is one key away.
    shown.text("(document.activeElement.blur(), scrollTo(0, 0), '')");
    shown.text("document.querySelector('.skip').focus()");
    shown.press("Enter");
    shown.press("Tab");
    assert_eq!(shown.text("document.activeElement.id"), "play");
    shown.assert_untroubled();
}
