//! A hall of 100,000 hoppers with goods on the move, for minutes or a whole day, in memory that the test sets.
//! `HALL_HOURS=24` runs it for so many hours.

#![cfg(unix)]

use std::time::Instant;

use crate::bounds::{MEMORY_KIB, in_memory_of};

const LANES: u64 = 400;
const HOPPERS_IN_A_LANE: u64 = 250;

/// Ticks from one cart of each lane to the next, and what it brings: an eighth of what a hopper moves in that time.
const CART_TICKS: u64 = 1024;
const CART_ITEMS: u64 = 16;

/// So long at least after the last carts the hall runs on: an item passes a hopper in 8 ticks, and those of one
/// cart leave one after the other.
const AFTER_THE_LAST_TICKS: u64 = 8 * (HOPPERS_IN_A_LANE + CART_ITEMS);

/// For how long the hall runs in the ordinary tests.
const MINUTES: u64 = 3;

/// How long the hall runs, in ticks.
fn run_ticks() -> u64 {
    let minutes = std::env::var("HALL_HOURS").map_or(MINUTES, |hours| {
        let hours: u64 = hours.parse().expect("HALL_HOURS is a number");
        hours * 60
    });
    minutes * 60 * 20
}

/// The hall, in which so many carts come to each lane.
fn hall(run_ticks: u64, carts: u64) -> String {
    let slots = (carts * CART_ITEMS).div_ceil(64);
    let arrivals: String = (0..LANES)
        .map(|lane| {
            format!(
                r#""carts of {lane}": Steady(place: "lanes[{lane}].in", kind: "flax", count: {CART_ITEMS},
                    every: "{CART_TICKS}t", until: "{}t"),"#,
                carts * CART_TICKS
            )
        })
        .collect();
    format!(
        r#"(title: "Hall", run_for: "{run_ticks}t", goods: {{"flax": 64}},
        modules: {{
            "cell": (ports: {{"in": "line", "out": "line"}}, parts: {{"line": Hopper()}}),
            "lane": (
                parts: {{
                    "in": Chest(),
                    "first": Hopper(above: "in", target: "row[0].in"),
                    "out": Container(slots: {slots}),
                }},
                uses: {{"row": Row(module: "cell", count: {}, chain: {{"out": "in"}}, then: {{"out": "out"}})}},
            ),
        }},
        uses: {{"lanes": Row(module: "lane", count: {LANES})}},
        arrivals: {{{arrivals}}},
        stores: {{"all": (parts: ["lanes[*].out"], takes: "flax")}})"#,
        HOPPERS_IN_A_LANE - 1
    )
}

#[test]
fn a_hall_of_100_000_hoppers_runs_in_bounded_memory() {
    let run_ticks = run_ticks();
    // The first come at once.
    let carts = 1 + (run_ticks - AFTER_THE_LAST_TICKS) / CART_TICKS;
    let began = Instant::now();
    let command = "run --output json";
    let (code, printed) = in_memory_of(MEMORY_KIB, command, &hall(run_ticks, carts));
    assert_eq!(code, Some(0), "{printed}");
    let findings: serde_json::Value = serde_json::from_str(&printed).expect("it prints JSON");
    let items = LANES * carts * CART_ITEMS;
    let whereabouts = &findings["sorting"]["whereabouts"];
    assert_eq!(whereabouts["delivered_items"], items);
    assert_eq!(whereabouts["sorted_items"], items);
    assert_eq!(findings["cost"]["hoppers"], LANES * HOPPERS_IN_A_LANE);
    let seconds = began.elapsed().as_secs();
    println!("{run_ticks} ticks: {items} items passed 250 hoppers each, in {seconds} s");
}
