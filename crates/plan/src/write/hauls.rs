//! What is sent through a planned hall: the variants of its scenario, and the tables that they read.

use std::fmt::Write as _;

use super::quoted;
use crate::Plan;
use crate::schedule::{HOUR_TICKS, Schedule, Sent, Shares, is_boxed};
use crate::{ARRIVALS_FILE, STOCK_FILE};

/// What the scenario is about.
pub(super) const ABOUT: &str =
    "What is sent through, and whether there is a stop, depends on the variant.";

/// On what terms all goods come: what finds no room waits, and nothing comes while the hall is off.
const TERMS: &str = "when_full: Wait, while_on: \"run\"";

/// What differs between the variants.
pub(super) fn write_parameters(schedule: &Schedule, text: &mut String) {
    let Some(first) = schedule.hauls.first() else {
        return;
    };
    let _ = writeln!(
        text,
        "        // What is sent, until when it runs, and when it is stopped.\n        \
         \"sent\": \"{}\",\n        \"run_ticks\": {},\n        \"stop_ticks\": {},",
        first.sent.word(),
        first.run_ticks,
        first.stop_ticks.unwrap_or(0),
    );
    if !schedule.boxes.is_empty() {
        let load = schedule.haul(Sent::Load);
        let load_stop = load.and_then(|haul| haul.stop_ticks).unwrap_or(0);
        let _ = writeln!(
            text,
            "        // When somebody asks for a box of each kind.\n        \"asked_ticks\": Minus(\"$run_ticks\", {}),\n        \
             // When boxes come to the box wing.\n        \"boxes_ticks\": If(Is(\"$sent\", \"load\"), Minus(\"$stop_ticks\", {}), 0),",
            schedule.fetch_ticks,
            schedule.box_lead_ticks.min(load_stop),
        );
    }
}

/// A variant for each haul. The first takes the parameters as they are.
pub(super) fn write_variants(schedule: &Schedule, text: &mut String) {
    text.push_str("    variants: {\n");
    for (number, haul) in schedule.hauls.iter().enumerate() {
        let name = quoted(haul.sent.variant());
        if number == 0 {
            let _ = writeln!(text, "        {name}: {{}},");
            continue;
        }
        let stop = haul
            .stop_ticks
            .map_or_else(String::new, |at| format!(", \"stop_ticks\": {at}"));
        let _ = writeln!(
            text,
            "        {name}: {{\"sent\": \"{}\", \"run_ticks\": {}{stop}}},",
            haul.sent.word(),
            haul.run_ticks,
        );
    }
    text.push_str("    },\n");
}

/// The arrivals of all hauls. Each waits for room at the inlet, and stays away while the hall is off.
pub(super) fn write_arrivals(plan: &Plan, schedule: &Schedule, text: &mut String) {
    text.push_str(
        "    // What finds no room waits, and nothing comes while the hall is off.\n    arrivals: {\n",
    );
    for haul in &schedule.hauls {
        let when = format!("when: Is(\"$sent\", \"{}\"), {TERMS}", haul.sent.word());
        let name = quoted(haul.sent.variant());
        if plan.layout.laid.is_empty() {
            continue;
        }
        let _ = match haul.sent {
            Sent::Stack => writeln!(
                text,
                "        {name}: FromFile(path: \"{ARRIVALS_FILE}\", {when}),"
            ),
            Sent::Stock => writeln!(
                text,
                "        {name}: FromFile(path: \"{STOCK_FILE}\", {when}),"
            ),
            Sent::Hour => {
                let a_second = schedule.hour_items as f64 * 20.0 / HOUR_TICKS as f64;
                let pace = format!("per_second: {a_second:.6}, until: \"{HOUR_TICKS}t\"");
                write_mixed(plan, &name, &schedule.hour, &pace, &when, text);
                Ok(())
            }
            Sent::Load => {
                let (every, until) = (schedule.load_every_ticks, schedule.load_until_ticks);
                let pace = format!("every: \"{every}t\", until: \"{until}t\"");
                write_mixed(plan, &name, &schedule.load, &pace, &when, text);
                Ok(())
            }
        };
    }
    write_boxes(plan, schedule, text);
    text.push_str("    },\n");
}

/// The full boxes that come to the box wing.
fn write_boxes(plan: &Plan, schedule: &Schedule, text: &mut String) {
    for boxes in &schedule.boxes {
        let name = &plan.catalogue.goods[boxes.good].name;
        let (few, load, hour, stock) = (boxes.few, boxes.load, boxes.hour, boxes.stock);
        let _ = writeln!(
            text,
            "        {}: AllAtOnce(\n            place: \"boxes.inlet\", kind: Full({}), when_full: Wait, while_on: \"run\",\n            \
             count: If(Is(\"$sent\", \"stock\"), {stock}, If(Is(\"$sent\", \"hour\"), {hour}, If(Is(\"$sent\", \"load\"), {load}, {few}))),\n            \
             at: \"${{boxes_ticks}}t\",\n        ),",
            quoted(&format!("boxes of {name}")),
            quoted(name),
        );
    }
}

/// In the end of each run somebody asks for a box of each kind.
pub(super) fn write_requests(plan: &Plan, text: &mut String) {
    let Some(planned) = &plan.wing else { return };
    let requests = planned.wing.requests_at("${asked_ticks}t");
    if !requests.is_empty() {
        let _ = writeln!(text, "    operator: [\n{requests}    ],");
    }
}

fn write_mixed(
    plan: &Plan,
    name: &str,
    shares: &Shares,
    pace: &str,
    when: &str,
    text: &mut String,
) {
    let inlet = quoted(&inlet(plan));
    let _ = writeln!(
        text,
        "        {name}: Mixed(\n            place: {inlet}, {pace},\n            {when},\n            kinds: {{"
    );
    for (number, share) in in_small_numbers(shares) {
        let kind = quoted(&plan.catalogue.goods[number].name);
        let _ = writeln!(text, "                {kind}: {share},");
    }
    text.push_str("            },\n        ),\n");
}

/// The shares in proportion, as small as they can be and below what a scenario may say.
fn in_small_numbers(shares: &Shares) -> Shares {
    let divisor = shares
        .iter()
        .fold(0, |divisor, (_, share)| gcd(divisor, *share));
    let divisor = divisor.max(1);
    let most = shares.iter().map(|(_, share)| share / divisor).max();
    let beyond = most.unwrap_or(0) / 1_000_000 + 1;
    let shares = shares.iter();
    shares
        .map(|(number, share)| (*number, (share / divisor / beyond).max(1)))
        .collect()
}

fn gcd(one: u64, other: u64) -> u64 {
    if other == 0 {
        one
    } else {
        gcd(other, one % other)
    }
}

/// The stops of those hauls that have one.
pub(super) fn write_stops(schedule: &Schedule, text: &mut String) {
    let without = schedule
        .hauls
        .iter()
        .filter(|haul| haul.stop_ticks.is_none());
    let without = without.map(|haul| format!("Is(\"$sent\", \"{}\")", haul.sent.word()));
    let when = without.reduce(|one, other| format!("Either({one}, {other})"));
    let when = when.map_or_else(String::new, |any| {
        format!("\n            when: Not({any}),")
    });
    let _ = writeln!(
        text,
        "    stops: [\n        ({when}\n            at: \"${{stop_ticks}}t\",\n            actions: [Off(\"run\")],\n            \
         restart: (after: \"{}t\", actions: [On(\"run\")]),\n        ),\n    ],",
        schedule.pause_ticks
    );
}

/// Where loose goods come in.
fn inlet(plan: &Plan) -> String {
    plan.inlet().unwrap_or_default()
}

/// The table of one stack of every kind.
#[must_use]
pub fn stacks(plan: &Plan, schedule: &Schedule) -> String {
    let mut text = String::from("# One stack of every kind, as fast as the line takes it.\n");
    text.push_str("tick, place, kind, count\n");
    let inlet = inlet(plan);
    for (tick, number) in &schedule.stacks {
        let good = &plan.catalogue.goods[*number];
        let (name, count) = (&good.name, good.stack_limit);
        let _ = writeln!(text, "{tick}, {inlet}, {name}, {count}");
    }
    text
}

/// The table of the whole stock: all of it waits from the start.
#[must_use]
pub fn stock(plan: &Plan) -> String {
    let mut text = String::from(
        "# All that the hall is planned for. It waits at the inlet, and comes as fast as the line takes it.\n\
         tick, place, kind, count\n",
    );
    let inlet = inlet(plan);
    for (number, good) in plan.catalogue.goods.iter().enumerate() {
        if good.amount > 0 && !is_boxed(plan, number) {
            let _ = writeln!(text, "0, {inlet}, {}, {}", good.name, good.amount);
        }
    }
    text
}
