//! What a builder does with a page.

use serde_json::json;

use crate::support::{DESK, FIVE_AND_ONE, GRANARY, Shown, drawn, drawn_from, input, scenario};

#[test]
fn the_cursor_is_dragged_stepped_and_sent() {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, DESK, "light");
    let scenario = scenario("granary.ron", "five sections");
    let found = hallwright_report::run(&input(&scenario), &mut |_| {});
    let goals = format!("{0} of {0} met", found.verdicts.len());
    let summary = shown.text("document.querySelector('.summary').textContent");
    assert!(summary.contains(&goals), "{goals}: {summary}");
    // It begins at the stop.
    let stop = &found.stops[0];
    assert_eq!(shown.tick(), stop.at.0);

    shown.click("#whole-run");
    shown.text("document.querySelector('.strip-curve').scrollIntoView({ block: 'center' })");
    let [left, top, width, height] = shown.place(".strip-curve");
    let y = top + height / 2.0;
    shown.drag((left + width * 0.25, y), (left + width * 0.5, y));
    assert_eq!(
        shown.text("getSelection().toString()"),
        "",
        "no text is marked"
    );
    // Half of the run, give or take a pixel: the curve is over 1,000 of them wide.
    let dragged = shown.tick();
    let half = scenario.run_ticks / 2;
    assert!(
        dragged.abs_diff(half) <= scenario.run_ticks / 1000,
        "{dragged}"
    );

    shown.go(3000);
    for (button, tick) in [("8", 3008), ("1", 3009), ("-8", 3001), ("-1", 3000)] {
        shown.click(&format!("#cursor [data-step='{button}']"));
        assert_eq!(shown.tick(), tick);
    }
    // Marks as in the report, where the stop is seen and where all of it is.
    shown.click("#the-stop");
    let at = |ticks: Option<u64>| stop.at.0 + ticks.expect("the granary stops");
    let restart = stop.resume.as_ref().expect("it is started again");
    for (name, tick) in [
        ("cleared", at(stop.all.cleared_ticks)),
        ("safe to close", at(stop.all.safe_to_close_ticks)),
        ("quiet", at(stop.all.quiet.ticks)),
        ("restart", restart.at.0),
    ] {
        if name == "restart" {
            shown.click("#whole-run");
        }
        let label = json!(format!("go to {name},")).to_string();
        shown.text(&format!(
            "document.querySelector('[aria-label^={label}]').click()"
        ));
        shown.settle();
        assert_eq!(shown.tick(), tick, "{name}");
    }
    shown.assert_untroubled();
}

#[test]
fn the_keyboard_is_enough() {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, DESK, "light");
    shown.press("ArrowRight");
    assert_eq!(shown.tick(), 2501);
    // The list has every module and part of the map, as buttons.
    shown.text("document.getElementById('parts').open = true");
    shown.wait_for("document.querySelectorAll('#tree button').length > 20");
    shown.text("document.querySelector('#tree [aria-label=\"open line[1]\"]').focus()");
    shown.press("Enter");
    shown.wait_for("document.querySelector('#tree [aria-label=\"close line[1]\"]') !== null");
    assert_eq!(
        shown.text("document.activeElement.getAttribute('aria-label')"),
        "close line[1]"
    );
    // Everything that can be acted on has a name.
    let nameless = shown.json(
        "[...document.querySelectorAll('button, input, select, canvas')].filter((each) => \
         !each.getAttribute('aria-label') && !each.textContent.trim() && \
         !(each.labels && each.labels.length)).map((each) => each.outerHTML)",
    );
    assert_eq!(nameless, json!([]));
    shown.assert_untroubled();
}

#[test]
fn a_module_opens_where_it_is_clicked_and_a_part_reports_its_next_move() {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, DESK, "light");
    let spot = shown.json(
        "(() => { const { map } = hallwright; const module = map.run.modules.findIndex((each) => \
         each.name === 'line[2]'); const { x, y, w, h } = map.run.modules[module]; \
         const [px, py] = map.toPixel(x + w / 2, y + h / 2); \
         const { left, top } = map.canvas.getBoundingClientRect(); \
         return [left + px, top + py, module, map.isOpen[module]]; })()",
    );
    let number = |at: usize| spot[at].as_f64().expect("a number");
    assert_eq!(number(3), 0.0, "it is closed at first");
    shown.click_at(number(0), number(1));
    assert_eq!(
        shown.text(&format!("hallwright.map.isOpen[{}]", number(2))),
        "1"
    );
    assert_eq!(
        shown.text("document.querySelector('#details h2').textContent"),
        "line[2]"
    );

    shown.go(0);
    shown.type_into("#find", "line[0].row[0].line_1");
    shown.press("Enter");
    assert_eq!(
        shown.text("document.querySelector('#details h2').textContent"),
        "line[0].row[0].line_1"
    );
    shown.click("#next-move");
    let moved = shown.tick();
    assert!(moved > 0);
    let event = shown.text("document.querySelector('.events [aria-current]').textContent");
    assert!(
        event.contains(" from ") || event.contains(" to "),
        "{event}"
    );
    shown.click("#next-move");
    assert!(shown.tick() > moved);
    shown.click("#previous-move");
    assert_eq!(shown.tick(), moved);
    shown.assert_untroubled();
}

#[test]
fn every_place_that_holds_a_kind_is_found() {
    let page = drawn(&GRANARY);
    let shown = Shown::open(&page, DESK, "light");
    shown.go(5000);
    shown.type_into("#find", "chaff");
    shown.text("document.querySelector('#found button').click()");
    shown.settle();
    let heading = shown.text("document.querySelector('#found h3').textContent");
    assert!(
        heading.starts_with("chaff: ") && heading.ends_with("at 5,000 t"),
        "{heading}"
    );
    assert!(!heading.starts_with("chaff: 0 items"), "{heading}");
    // The list follows the cursor.
    shown.click("#cursor [data-step='8']");
    let heading = shown.text("document.querySelector('#found h3').textContent");
    assert!(heading.ends_with("at 5,008 t"), "{heading}");
    shown.assert_untroubled();
}

#[test]
fn a_loss_is_a_moment_to_go_to() {
    // Nobody collects what lies at the pond: 3 barley, there from tick 20 on, lost after 100 ticks.
    let (_folder, page) = drawn_from(
        r#"(
            title: "A leak",
            run_for: "300t",
            rules: (despawn_ticks: 100),
            goods: {"barley": 64},
            parts: {"pond": Mouth, "store": Chest()},
            operator: [(at: "20t", actions: [Deliver(place: "pond", kind: "barley", count: 3)])],
            stores: {"all": (parts: "store", takes: "barley")},
            goals: [LostAtMost(0)],
        )"#,
    );
    let shown = Shown::open(&page, DESK, "light");
    assert_eq!(
        shown.text("document.querySelectorAll('.flag.loss').length"),
        "1"
    );
    shown.go(0);
    shown.click(".flag.loss");
    let tick = shown.tick();
    assert_eq!(
        shown.text("document.querySelector('#details h2').textContent"),
        "pond"
    );
    let event = shown.text("document.querySelector('.events [aria-current]').textContent");
    assert!(event.contains("LOST: 3 barley"), "{event}");
    // The tick before, they lie there.
    shown.go(tick - 1);
    let slots = shown.text("document.querySelector('.slots').textContent");
    assert!(slots.starts_with("3 barley"), "{slots}");
    shown.assert_untroubled();
}

#[test]
fn two_variants_share_one_time() {
    let page = drawn(&FIVE_AND_ONE);
    let shown = Shown::open(&page, DESK, "light");
    assert_eq!(
        shown.text("document.querySelectorAll('.card:first-child .answers i').length"),
        "2"
    );
    // Both curves are in each strip.
    for run in ["first", "second"] {
        let curves = shown.text(&format!(
            "document.querySelectorAll('.strip-curve polyline.{run}').length >= 5"
        ));
        assert_eq!(curves, "true", "{run}");
    }
    shown.go(3000);
    let figures = shown.json(
        "[...document.querySelectorAll('[data-key=\"backlog\"] output')].map((each) => each.textContent)",
    );
    assert_ne!(figures[0], figures[1]);
    let parts = |shown: &Shown| shown.text("hallwright.map.run.partCount");
    let before = parts(&shown);
    shown.click("#which button:last-child");
    assert_ne!(parts(&shown), before);
    assert_eq!(shown.tick(), 3000);
    shown.keep("compared");
    shown.assert_untroubled();
}
