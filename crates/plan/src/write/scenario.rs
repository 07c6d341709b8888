//! The scenario of a planned hall, for people to go on with.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use super::quoted;
use crate::Plan;
use crate::hall::{Slice, Sort};
use crate::lay::{Block, Laid};
use crate::schedule::Schedule;

/// The text of the scenario.
#[must_use]
pub fn scenario(plan: &Plan, schedule: &Schedule) -> String {
    let mut text = String::new();
    let _ = writeln!(
        text,
        "// A hall planned by `hallwright plan` from {} kinds. It is yours to change: which goods lie\n\
         // in which slice stands in allocation.csv, what arrives in arrivals.csv, what slices are built\n\
         // of in modules.ron.\n\
         (\n    title: {},\n    about: \"One stack of every kind is sent through, with a stop half way.\",\n    \
         run_for: \"{}t\",\n    include: [\"modules.ron\"],\n    // The length of the hall; its rows lie beside one another.\n    \
         width_blocks: {},",
        plan.catalogue.goods.len(),
        quoted(&plan.title),
        schedule.run_ticks,
        plan.layout.length_blocks,
    );
    write_parameters(plan, &mut text);
    write_goods(plan, &mut text);
    text.push_str(
        "    signals: {\n        // The switch of the hall.\n        \"run\": Lever(starts_on: true),\n    },\n    \
         rooms: {\n        \"control\": (position: (-4, 4, -1), size: (2, 3, 2), parts: [\"run\"]),\n    },\n",
    );
    let (unsorted, along) = &plan.layout.unsorted;
    let _ = writeln!(
        text,
        "    parts: {{\n        // What no slice takes.\n        \"unsorted\": DoubleChest(position: {}, along: \"{}\"),\n    }},",
        position(*unsorted),
        along.name(),
    );
    write_uses(plan, &mut text);
    let _ = writeln!(
        text,
        "    arrivals: {{\n        \"one stack of every kind\": FromFile(path: \"arrivals.csv\"),\n    }},\n    \
         stops: [\n        (\n            at: \"{}t\",\n            actions: [Off(\"run\")],\n            \
         restart: (after: \"{}t\", actions: [On(\"run\")]),\n        ),\n    ],\n    \
         stores: {{\n        \"unsorted\": (parts: \"unsorted\", overflow: true),\n    }},",
        schedule.stop_ticks, schedule.pause_ticks
    );
    write_flows(plan, &mut text);
    write_sections(plan, &mut text);
    write_goals(plan, &mut text);
    text.push_str(")\n");
    text
}

/// What selectors are taken at their word for, so that it can be set.
fn write_parameters(plan: &Plan, text: &mut String) {
    if plan.sections().any(|(_, sort)| sort == Sort::Oddments) {
        text.push_str(
            "    parameters: {\n        \
             // How long an item is inside an eye, and how long after one it takes the next, in ticks.\n        \
             \"selector_latency\": 0,\n        \"selector_interval\": 8,\n    },\n",
        );
    }
}

fn write_goods(plan: &Plan, text: &mut String) {
    text.push_str("    goods: {\n");
    for good in &plan.catalogue.goods {
        let _ = writeln!(
            text,
            "        {}: {},",
            quoted(&good.name),
            good.stack_limit
        );
    }
    let filler = quoted(&plan.hall.filler);
    let _ = writeln!(
        text,
        "        // Fills up item filters, and never comes down the line.\n        {filler}: 64,\n    }},"
    );
}

/// A block, as scenarios write it.
fn position(block: Block) -> String {
    format!("({}, {}, {})", block.x, block.y, block.z)
}

/// What stands at the beginning of each section, and its slices. Where its last hopper leads follows from the blocks: into
/// the buffer of the next.
fn write_uses(plan: &Plan, text: &mut String) {
    text.push_str("    uses: {\n");
    let laid = &plan.layout.laid;
    for one in laid {
        let name = &one.section.name;
        let run = one.hears.map_or_else(
            || "run".to_owned(),
            |from| format!("{} head.heard", laid[from].section.name),
        );
        let place = stands(one, one.at);
        let _ = writeln!(
            text,
            "        \"{name} head\": One(\n            module: \"section head\",\n            {place}\n            \
             with: {{\"run\": \"{run}\", \"run_on\": {}, \"rows\": {}, \"side\": {}, \"wire\": {}}},\n            \
             then: {{\"outlet\": \"{name}[first].inlet\"}},\n        ),",
            one.section.run_on_ticks, one.section.wire_rows, one.side, one.wire,
        );
        let slice = one
            .section
            .sort
            .and_then(|sort| Some((sort, plan.hall.slice(sort)?)));
        match slice {
            Some((sort, slice)) => write_slices(plan, one, sort, slice, &place, text),
            None => {
                let _ = writeln!(
                    text,
                    "        \"{name}\": Row(\n            module: \"line hopper\",\n            {place}\n            \
                     step: {},\n            count: {},\n            chain: {{}},\n        ),",
                    step(one, 1),
                    one.section.line_hoppers,
                );
            }
        }
    }
    text.push_str("    },\n");
}

/// From one slice of a section to the next.
fn step(one: &Laid, blocks: u64) -> String {
    let blocks = i64::try_from(blocks).unwrap_or(i64::MAX);
    format!(
        "({}, 0, {})",
        one.forward.x * blocks,
        one.forward.z * blocks
    )
}

fn write_slices(
    plan: &Plan,
    one: &Laid,
    sort: Sort,
    slice: &Slice,
    place: &str,
    text: &mut String,
) {
    let name = &one.section.name;
    let (module, pace) = match sort {
        Sort::Bulk | Sort::Multi => ("slice", ""),
        Sort::Oddments => (
            "oddments slice",
            "                \"selector_latency\": \"$selector_latency\",\n                \
             \"selector_interval\": \"$selector_interval\",\n",
        ),
    };
    let filler = match sort {
        Sort::Bulk | Sort::Multi => format!(
            "                \"filler\": {},\n",
            quoted(&plan.hall.filler)
        ),
        Sort::Oddments => String::new(),
    };
    let _ = writeln!(
        text,
        "        \"{name}\": Row(\n            module: \"{module}\",\n            {place}\n            step: {},\n            \
         each: FromFile(path: \"allocation.csv\", only: {{\"section\": \"{name}\"}}),\n            \
         with: {{\n{filler}                \"width\": {},\n                \
         \"doubles\": {},\n                \"last\": {},\n                \"rows\": {},\n{pace}            }},\n            \
         chain: {{}},\n        ),",
        step(one, slice.width_blocks),
        slice.width_blocks,
        slice.doubles(),
        slice.has_last_barrel(),
        one.section.wire_rows,
    );
    if one.section.tail_hoppers > 0 {
        let hoppers = one.section.line_hoppers - one.section.tail_hoppers;
        let at = one
            .at
            .ahead(one.forward, i64::try_from(hoppers).unwrap_or(i64::MAX));
        let _ = writeln!(
            text,
            "        \"{name} tail\": Row(\n            module: \"line hopper\",\n            {}\n            \
             step: {},\n            count: {},\n            chain: {{}},\n        ),",
            stands(one, at),
            step(one, 1),
            one.section.tail_hoppers,
        );
    }
}

/// Where something of a section stands, and how it is turned.
fn stands(one: &Laid, at: Block) -> String {
    let (forward, across) = (one.forward.name(), one.across.name());
    let at = position(at);
    format!("position: {at}, axes: (x: \"{forward}\", z: \"{across}\"),")
}

fn write_flows(plan: &Plan, text: &mut String) {
    text.push_str("    flows: {\n");
    if let Some(first) = plan.layout.laid.first() {
        let _ = writeln!(
            text,
            "        \"into the hall\": (into: \"{} head.head\"),",
            first.section.name
        );
    }
    text.push_str("    },\n");
}

fn write_sections(plan: &Plan, text: &mut String) {
    text.push_str("    sections: {\n");
    for one in &plan.layout.laid {
        let name = &one.section.name;
        let hopper = match one.section.sort {
            Some(_) => format!("\"{name}[*].line[*].hopper\""),
            None => format!("\"{name}[*].hopper\""),
        };
        let mut line = vec![hopper];
        if one.section.tail_hoppers > 0 {
            line.push(format!("\"{name} tail[*].hopper\""));
        }
        let mut locked = vec![format!("\"{name} head.head\"")];
        locked.extend(line.iter().cloned());
        if let Some(sort) = one.section.sort {
            let goods = plan.used(one, sort);
            // A free slice has no filters and no chests.
            if goods.clone().next().is_some() {
                locked.push(format!("\"{name}[*].down.hopper\""));
                if plan
                    .hall
                    .slice(sort)
                    .is_some_and(|slice| slice.levels() > 1)
                {
                    locked.push(format!("\"{name}[*].column.under[*].hopper\""));
                }
                if sort == Sort::Oddments {
                    line.push(format!("\"{name}[*].eye.eye\""));
                } else {
                    locked.push(format!("\"{name}[*].filter[*].sieve\""));
                    locked.push(format!("\"{name}[*].filter[*].out\""));
                }
                if sort != Sort::Oddments && goods.clone().any(|(_, goods)| goods.len() > 1) {
                    locked.push(format!("\"{name}[*].gather[*].hopper\""));
                }
            }
        }
        let _ = writeln!(
            text,
            "        \"{name}\": (\n            line: [{}],\n            \
             queue: [\"{name} head.buffer\", \"{name} head.head\"],\n            locked: [\n                {},\n            ],\n            \
             call: \"{name} head.busy\",\n            width_blocks: {},\n        ),",
            line.join(", "),
            locked.join(",\n                "),
            one.section.line_hoppers + 1,
        );
    }
    text.push_str("    },\n");
}

/// Kinds that fill several slices have several homes, and are meant to.
fn write_shared_homes(plan: &Plan, text: &mut String) {
    let large = plan.allocation.kinds_with_several_slices();
    let large = large.map(|good| quoted(&plan.catalogue.goods[good].name));
    let large: Vec<String> = large.collect();
    if !large.is_empty() {
        let _ = writeln!(
            text,
            "        // These fill several slices, one after the other.\n        SharedHome([{}]),",
            large.join(", ")
        );
    }
}

fn write_goals(plan: &Plan, text: &mut String) {
    text.push_str("    goals: [\n");
    write_shared_homes(plan, text);
    let _ = writeln!(
        text,
        "        MisplacedAtMost(0),\n        PassedByAtMost(0),\n        LostAtMost(0),\n        \
         SievesIntact,\n        LockCoverAtLeast(share: 1.0),\n        \
         MarkWithin(mark: SafeToClose, within: \"{}t\"),\n        \
         // One stack of every kind ends in its own slice.",
        plan.hall.stop_within_ticks
    );
    // Goods with several slices come to the first of them.
    let mut known = BTreeSet::new();
    for (one, sort) in plan.sections() {
        for (at, goods) in plan.used(one, sort) {
            let column = format!("{}[{at}].column", one.section.name);
            let parts = stores(&column, plan.hall.slice(sort));
            for good in goods.iter().filter(|good| known.insert(**good)) {
                let good = &plan.catalogue.goods[*good];
                let (kind, count) = (quoted(&good.name), good.stack_limit);
                let _ = writeln!(
                    text,
                    "        Contents(parts: {parts}, kinds: {kind}, at_least: {count}),"
                );
            }
        }
    }
    text.push_str("    ],\n");
}

/// What goods stay in, of a slice.
fn stores(column: &str, slice: Option<&Slice>) -> String {
    let mut parts = vec![format!("\"{column}.top.store\"")];
    if slice.is_some_and(|slice| slice.doubles() > 0) {
        parts.push(format!("\"{column}.chest[*].store\""));
    }
    if slice.is_some_and(Slice::has_last_barrel) {
        parts.push(format!("\"{column}.bottom.store\""));
    }
    format!("[{}]", parts.join(", "))
}
