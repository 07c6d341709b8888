//! The dirty hall of `dirty.ron`, reported as text and as JSON. Every figure asserted here is worked out by
//! hand from the scenario and the tick rules.

use hallwright_render::{json, text};
use hallwright_report::findings::Findings;
use hallwright_report::{run, run_with_limits};
use serde_json::{Value, json};

use crate::support::{heading, input, scenario};

/// The findings of the run and its report for programs.
fn dirty() -> (Findings, Value) {
    let hall = scenario("dirty.ron");
    let found = run(&input(&hall), &mut |_| {});
    let report = json(&heading(&hall), &found, None, None);
    let report = serde_json::from_str(&report).expect("it is JSON");
    (found, report)
}

#[test]
fn the_text_of_a_dirty_hall() {
    let hall = scenario("dirty.ron");
    let found = run(&input(&hall), &mut |_| {});
    insta::assert_snapshot!(text(&heading(&hall), &found, None, None, 80));
}

/// What the text says to a question, on one line.
fn answer(question: &str) -> String {
    let hall = scenario("dirty.ron");
    let found = run(&input(&hall), &mut |_| {});
    let text = text(&heading(&hall), &found, None, None, 80);
    let lines = text.lines().skip_while(|line| !line.starts_with(question));
    let mut lines = lines.map(str::trim_end);
    let mut reported = lines.next().expect("it is answered").to_owned();
    for line in lines.take_while(|line| line.starts_with(' ')) {
        reported.push(' ');
        reported.push_str(line.trim_start());
    }
    reported
}

#[test]
fn sorted_reports_everything_that_is_not_where_it_belongs() {
    // 40 barley, 3 flax, 2 wool and 64 slate are at home, and 2 boxes with 5 flax each. 2 barley and an
    // empty box are in the flax store. 2 barley and a box of flax passed their stores by; beside them
    // slate, oak and an empty box are in overflow.
    // When the run goes on, 6 barley of the queue and 1 in the selector get home. 6 slate find their store
    // full. 15 oak in till and pit and 3 tokens have no store that takes them, nor has a box in the pit.
    // Stuck are 7 flax aboard, 2 flax on the ring, 3 and 4 barley in sieves and 4 slate that lie loose,
    // and 3 boxes: one with 5 flax in the pit, two with 10 slate on the rack.
    // Lost are 1 oak, 3 wool, 5 flax in a box, 2 wool and 1 oak.
    assert_eq!(
        answer("Sorted"),
        "Sorted    no: 109 items and 2 boxes with 10 items home, 3 items misplaced, 3 items passed by; \
         20 items and 3 boxes with 15 items stuck; 6 items backed up; 18 items and 1 box without a home; \
         7 items held back; 4 items and 2 boxes with 5 items in overflow; 1 of 3 sieves intact \
         2 items still go round in \"ring\" at the end: none of them was stored for 25.0 s (500 t)"
    );
    assert_eq!(
        answer("Lost"),
        "Lost      7 items and 1 box with 5 items in 5 stacks"
    );
}

#[test]
fn where_everything_is_adds_up() {
    let (_, report) = dirty();
    let here = &report["sorting"]["whereabouts"];
    assert_eq!(
        *here,
        json!({
            // As in the text; boxes and what they hold count.
            "sorted_items": 121,
            "sorted_boxes": 2,
            "misplaced_items": 3,
            "overflow_items": 11,
            "overflow_boxes": 2,
            // 41 + 3 + 1 in the first, 41 + 4 + 1 in the second, nothing in the third.
            "sieve_items": 91,
            "loose_items": 4,
            // 6 wait, 30 are in no store, 7 are aboard, 9 + 1 + 1 + 5 in the pit.
            "in_lines_items": 59,
            "waiting_items": 6,
            // 6 + 30 + 4.
            "in_no_store_items": 40,
            "lost_items": 13,
            "withdrawn_items": 4,
            // 18 barley, 23 flax, 5 wool, 11 slate, 2 oak, 6 boxes, 3 tokens.
            "delivered_items": 68,
        })
    );
    let sum: u64 = [
        "sorted_items",
        "misplaced_items",
        "overflow_items",
        "sieve_items",
        "loose_items",
        "in_lines_items",
        "lost_items",
        "withdrawn_items",
    ]
    .iter()
    .filter_map(|field| here[field].as_u64())
    .sum();
    // At the start: 81 barley, 55 flax, 2 wool, 74 slate, 20 oak, 2 markers, 4 boxes.
    assert_eq!(sum, 238 + 68);
}

#[test]
fn stores_report_what_they_hold_and_what_does_not_belong() {
    let (_, report) = dirty();
    let flax = &report["sorting"]["stores"][1];
    assert_eq!(
        *flax,
        json!({
            "name": "flax store",
            "purpose": "slice",
            // Three boxes, 3 flax and 2 barley; all of them came.
            "final_items": 8,
            "peak_items": 8,
            "arrived_items": 8,
            // Two chests.
            "room_slots": 54,
            "room_boxes": null,
            "room_items": 3456,
            // Of boxes only the empty one is counted itself.
            "contents_items": {"barley": 2, "box": 1, "flax": 13},
            "misplaced_items": {"barley": 2, "box": 1},
            // Delivered into the empty stray in tick 50.
            "first_misplaced_at_tick": 57,
        })
    );
    let slate = &report["sorting"]["stores"][3];
    assert_eq!(
        (&slate["arrived_items"], &slate["final_items"]),
        (&json!(0), &json!(64))
    );
    // One every 8 ticks, from tick 37 on: 2 barley, slate, oak, the empty box, that of flax.
    assert_eq!(report["sorting"]["first_passed_by_at_tick"], 37);
    assert_eq!(
        report["sorting"]["overflow"],
        json!([
            {"kind": "barley", "reason": "passed_by", "items": 2},
            {"kind": "slate", "reason": "store_full", "items": 1},
            {"kind": "oak", "reason": "no_store", "items": 1},
            {"kind": "box", "reason": "passed_by", "items": 1},
            {"kind": "box", "reason": "no_store", "items": 1},
        ])
    );
    let sieve = |part: &str, missing: Value, foreign: Value, surplus: Value, since: Option<u64>| {
        json!({
            "part": part,
            "intact": since.is_none(),
            "missing_items": missing,
            "foreign_items": foreign,
            "surplus_items": surplus,
            "broken_since_tick": since,
        })
    };
    assert_eq!(
        report["sorting"]["sieves"],
        json!([
            sieve(
                "barley sieve",
                json!({}),
                json!({}),
                json!({"barley": 3}),
                None
            ),
            sieve(
                "flax sieve",
                json!({}),
                json!({"barley": 4}),
                json!({}),
                Some(70)
            ),
            // It pushes in ticks 0 and 8.
            sieve(
                "leaky sieve",
                json!({"wool": 2}),
                json!({}),
                json!({}),
                Some(0)
            ),
        ])
    );
}

#[test]
fn losses_report_where_when_and_why() {
    let (_, report) = dirty();
    let row = |kind: &str, items: u64, inside: Value, place: (&str, &str), at: u64, why: &str| {
        json!({
            "kind": kind,
            "items": items,
            "contents_items": inside,
            "came_loose_at": place.0,
            "mouth": place.1,
            "at_tick": at,
            "age_ticks": 100,
            // It ages in the tick in which it comes loose too.
            "loose_ticks": 99,
            "reason": why,
        })
    };
    let yard = ("yard", "yard");
    assert_eq!(
        report["loss"],
        json!({
            "lost_items": 13,
            "lost_stacks": 5,
            "rows": [
                row("oak", 1, json!({}), ("brook", "pond"), 10 + 99, "still_on_stream"),
                row("wool", 3, json!({}), yard, 20 + 99, "no_hopper"),
                row("box", 1, json!({"flax": 5}), yard, 30 + 99, "no_hopper"),
                row("wool", 2, json!({}), yard, 230 + 99, "no_hopper"),
                // The bell rings in tick 230, and the dropper fires 4 ticks later.
                row("oak", 1, json!({}), yard, 234 + 99, "no_hopper"),
            ],
        })
    );
}

#[test]
fn stops_report_what_stands_in_their_way() {
    let (found, report) = dirty();
    let [first, second] = [&report["stops"][0], &report["stops"][1]];
    let marks = |stop: &Value| {
        [
            stop["stop_cleared_ticks"].clone(),
            stop["stop_safe_to_close_ticks"].clone(),
            stop["stop_quiet_ticks"].clone(),
        ]
    };
    let (never, ticks) = (Value::Null, |ticks: u64| json!(ticks));
    // Slate stands, and the ring turns.
    assert_eq!(marks(first), [never.clone(), never.clone(), never.clone()]);
    // The last push before the stop is in tick 192, and that barley is in its chest in tick 206. Before
    // the stop 24 of 40 left the queue, the last two of them were in the line.
    let line = &first["sections"][0];
    // Nothing is left in it then, whatever the rest of the hall does.
    assert_eq!(marks(line), [ticks(6), ticks(6), ticks(6)]);
    assert_eq!(line["backlog_at_stop_items"], 17);
    // What came into the inbox in tick 420 was the last that happened at the line.
    assert_eq!(
        marks(&second["sections"][0]),
        [ticks(0), ticks(0), ticks(20)]
    );
    assert_eq!(
        first["left"],
        json!({
            "holding": [{"part": "ring 1", "items": 1}, {"part": "slate end", "items": 6}],
            "unlocked": ["slate end"],
            // Until tick 330.
            "pulses_under_way": ["bell"],
            "loose": [
                {"kind": "wool", "items": 2, "mouth": "yard", "lost_at_tick": 329},
                {"kind": "oak", "items": 1, "mouth": "yard", "lost_at_tick": 333},
            ],
            "in_selectors": [],
            "aboard_shuttles": [{"part": "barge", "items": 7}],
            "still_moving": ["ring 1", "ring 2"],
            "to_be_lifted": [],
            // Its pulse still lasts.
            "moves_later": {"after_ticks": 0, "parts": ["bell"]},
        })
    );
    assert_eq!(
        second["left"],
        json!({
            "holding": [{"part": "ring 1", "items": 1}, {"part": "slate end", "items": 6}],
            "unlocked": ["slate end"],
            "pulses_under_way": ["bell"],
            "loose": [{"kind": "slate", "items": 4, "mouth": "yard", "lost_at_tick": 559}],
            "in_selectors": [{"part": "slow selector", "items": 1}],
            "aboard_shuttles": [{"part": "barge", "items": 7}],
            "still_moving": ["ring 1", "ring 2"],
            "to_be_lifted": [],
            // Its pulse still lasts.
            "moves_later": {"after_ticks": 0, "parts": ["bell"]},
        })
    );
    // What goes on by itself is asked of a stop only.
    let mut at_the_end = report["left_at_the_end"].clone();
    at_the_end["moves_later"] = second["left"]["moves_later"].clone();
    assert_eq!(second["left"], at_the_end);
    // Held back: 16 in the line's queue, 1 on the ring's line, 6 slate, 3 loose. Those of the line leave
    // it every 8 ticks, the last pushed in tick 380 and stored in tick 394.
    let restart = &first["restart"];
    assert_eq!(restart["held_back_items"], 26);
    assert_eq!(restart["resumed_ticks"], Value::Null);
    assert_eq!(restart["sections"][0]["resumed_ticks"], 394 - 260);
    assert_eq!(found.stops.len(), 2);
}

#[test]
fn sections_flows_lamps_and_cost() {
    let (_, report) = dirty();
    let cover = |locked: u64, counted: u64, share: f64| {
        json!({
            "locked_hopper_ticks": locked, "counted_hopper_ticks": counted, "share": share,
        })
    };
    // The feeder is locked from tick 200 to 259 and from 400 to 499; the slates' hopper never.
    assert_eq!(report["sections"][0]["lock_cover"], cover(160, 500, 0.32));
    assert_eq!(report["cost"]["lock_cover"], cover(160, 1000, 0.16));
    assert_eq!(report["sections"][0]["hoppers_per_block"], 0.75);
    assert_eq!(report["cost"]["hoppers"], 12);
    let ring = &report["sections"][1];
    // Two hoppers that hand on an item every 8 ticks each.
    assert_eq!(
        (&ring["going_round_items"], &ring["going_round_since_tick"]),
        (&json!(2), &json!(0))
    );
    assert_eq!(report["sections"][0]["backlog_peak_items"], 40);
    assert_eq!(report["sections"][0]["backlog_final_items"], 6);
    assert_eq!(report["sections"][2]["backlog_peak_at_tick"], 15);
    let flow = &report["flows"][0];
    // Into the chest in ticks 22, 30, … 206, 274, … 394.
    assert_eq!(
        (&flow["first_at_tick"], &flow["last_at_tick"]),
        (&json!(22), &json!(394))
    );
    assert_eq!(flow["first_to_last"]["items"], 39);
    assert_eq!(flow["first_to_last"]["ticks"], 372);
    assert_eq!(flow["whole_run"]["throughput_items_per_second"], 1.6);
    // A quarter of 372 ticks; 12 items in the 96 ticks that are the first multiple of 8 above.
    assert_eq!(flow["steadiest_window_ticks"], 93);
    assert_eq!(
        (&flow["steadiest"]["items"], &flow["steadiest"]["ticks"]),
        (&json!(12), &json!(96))
    );
    assert_eq!(
        report["lamps"],
        json!([{
            "name": "shelf lamp",
            // The comparator looks two ticks after the boxes came, in which 3 flax came too.
            "first_rise_at_tick": 92,
            "first_rise_watched_items": 5,
            "first_rise_watched_boxes": 2,
            "rises": 1,
            "falls": 0,
            "is_on_at_the_end": true,
            "changes": [{"at_tick": 92, "rose": true, "watched_items": 5}],
        }])
    );
    let cost = &report["cost"];
    // The loader clicks at the third beat, the thrower at the second ring; the desk handed on three
    // tokens, the loader two boxes.
    assert_eq!(cost["dropper_clicks"], 2);
    assert_eq!(cost["dropper_throws_items"], 1);
    assert_eq!(cost["dropper_handed_on_items"], 5);
}

#[test]
fn getting_goods_out() {
    let (_, report) = dirty();
    // The comparator is on in tick 102, the gate in tick 104, within the beat of ticks 96 to 107; the
    // loader fires in tick 108. The next beat is from tick 120 on, the gate on in tick 122, and the
    // loader fires in tick 126; then the rack is empty. It was stopped for 60 ticks of the wait and for
    // the last 100.
    assert_eq!(
        report["retrieval"]["desks"][0]["requests"],
        json!([{
            "requested_at_tick": 100,
            "asked_boxes": 3,
            "owed_boxes": 1,
            "first_box_at_tick": 108,
            "last_box_at_tick": 126,
            "served_ticks": null,
            "running_ticks": null,
            "stopped_ticks": 160,
        }])
    );
    assert_eq!(
        report["retrieval"]["left_behind"],
        json!([{
            "name": "counter",
            // An empty box is an item; of a filled one, what it holds.
            "items": 15,
            "boxes": 1,
            "contents_items": {"box": 1, "flax": 5, "oak": 9},
            "parts": [{"part": "pit", "items": 15}],
            "taken_items": 10,
            // One minute in which the boxes are taken, and five in vain: the ring never rests.
            "continued_ticks": 6 * 1200,
            "ended": "nothing_came",
        }])
    );
}

#[test]
fn goals_report_what_was_measured() {
    let (_, report) = dirty();
    let verdicts = report["goals"]["verdicts"].as_array().expect("a list");
    let reported: Vec<(&str, bool, &Value, &str)> = verdicts
        .iter()
        .map(|verdict| {
            let check = &verdict["checks"][0];
            (
                verdict["subject"].as_str().expect("a text"),
                verdict["met"].as_bool().expect("a flag"),
                &check["measured"],
                check["unit"].as_str().expect("a text"),
            )
        })
        .collect();
    let [three, two, thirteen, whole, round, fifteen, zero] =
        [3, 2, 13, 40, 2, 15, 0].map(Value::from);
    let [pace, per_block] = [2.5, 1.2].map(Value::from);
    let [cleared, resumed, rise] = [6, 134, 92].map(Value::from);
    let never = Value::Null;
    assert_eq!(
        reported,
        [
            ("misplaced", false, &three, "items"),
            ("passed by", true, &three, "items_and_boxes"),
            ("sieves not intact", false, &two, "sieves"),
            ("lost", false, &thirteen, "items_and_boxes"),
            ("in no store", false, &whole, "items_and_boxes"),
            ("going round", true, &round, "items"),
            ("throughput of \"barley\"", true, &pace, "items_per_second"),
            ("\"line\" cleared", false, &cleared, "ticks"),
            ("\"line\" resumed", true, &resumed, "ticks"),
            ("safe to close", false, &never, "ticks"),
            ("requests for slate", false, &never, "ticks"),
            ("part stacks out of \"loader\"", true, &zero, "stacks"),
            ("left behind", false, &fifteen, "items"),
            ("hoppers per block", true, &per_block, "hoppers_per_block"),
            ("oak in pit, till", false, &fifteen, "items"),
            ("first rise of \"shelf lamp\"", true, &rise, "tick"),
        ]
    );
    let went_wrong: Vec<&Value> = verdicts
        .iter()
        .map(|verdict| &verdict["went_wrong_at_tick"])
        .collect();
    assert_eq!(went_wrong[0], 57);
    assert_eq!(went_wrong[2], 0);
    assert_eq!(went_wrong[3], 109);
}

#[test]
fn limits_report_the_whole_run_and_the_steadiest_time_apart() {
    let hall = scenario("dirty.ron");
    let found = run_with_limits(&input(&hall), &mut (), &mut |_| {});
    let report: Value =
        serde_json::from_str(&json(&heading(&hall), &found, None, None)).expect("it is JSON");
    let flow = &report["limits"]["flows"][0];
    assert_eq!(flow["name"], "barley");
    // 40 lay in the inbox, 6 came there and 1 into the selector.
    assert_eq!(flow["counted"]["most_items"], 47);
    assert_eq!(flow["counted"]["ticks"], 500);
    // The steadiest throughput is that of 96 ticks.
    assert_eq!(flow["steadiest"]["ticks"], 96);
    // The last barley before the stop needs 6 ticks to its chest.
    let line = &report["limits"]["stops"][0]["sections"][0];
    assert_eq!(line["least_stop_cleared_ticks"], 6);
}
