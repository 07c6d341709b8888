//! The scenario of a planned hall, for people to go on with.

use std::fmt::Write as _;

use hallwright_declared::space::Block;

use super::{goals, hauls, quoted};
use crate::Plan;
use crate::boxes::WING_FILE;
use crate::flow;
use crate::hall::{Slice, Sort};
use crate::lay::{Laid, ahead};
use crate::schedule::Schedule;
use crate::wing;

/// The text of the scenario.
#[must_use]
pub fn scenario(plan: &Plan, schedule: &Schedule) -> String {
    let mut text = String::new();
    let _ = writeln!(
        text,
        "// A hall planned by `hallwright plan` from {} kinds. It is yours to change: which goods lie\n\
         // in which slice stands in allocation.csv, what arrives in arrivals.csv, what slices are built\n\
         // of in modules.ron.\n\
         (\n    title: {},\n    about: \"{}\",\n    \
         run_for: \"${{run_ticks}}t\",\n    include: [\"modules.ron\"{}],\n    // The length of the hall; its rows lie beside one another.\n    \
         width_blocks: {},",
        plan.catalogue.goods.len(),
        quoted(&plan.title),
        hauls::ABOUT,
        if plan.wing.is_some() {
            format!(", {}", quoted(WING_FILE))
        } else {
            String::new()
        },
        plan.layout.length_blocks.max(1),
    );
    write_parameters(plan, schedule, &mut text);
    hauls::write_variants(schedule, &mut text);
    write_goods(plan, &mut text);
    text.push_str(
        "    signals: {\n        // The switch of the hall.\n        \"run\": Lever(starts_on: true),\n    },\n    \
         rooms: {\n        \"control\": (position: (-4, 4, -1), size: (2, 3, 2), parts: [\"run\"]),\n    },\n",
    );
    text.push_str("    parts: {\n        // What no slice takes.\n");
    for (name, (at, along)) in plan.unsorted().iter().zip(&plan.layout.unsorted) {
        let (name, at, along) = (quoted(name), at, along.name());
        let _ = writeln!(
            text,
            "        {name}: DoubleChest(position: {at}, along: \"{along}\"),"
        );
    }
    text.push_str("    },\n");
    write_uses(plan, &mut text);
    hauls::write_arrivals(plan, schedule, &mut text);
    hauls::write_requests(plan, &mut text);
    hauls::write_stops(schedule, &mut text);
    text.push_str("    stores: {\n");
    for name in plan.unsorted() {
        let name = quoted(&name);
        let _ = writeln!(text, "        {name}: (parts: {name}, overflow: true),");
    }
    text.push_str("    },\n");
    write_flows(plan, &mut text);
    write_sections(plan, &mut text);
    goals::write_goals(plan, schedule, &mut text);
    text.push_str(")\n");
    text
}

/// What can be set: what is sent, and what selectors are taken at their word for.
fn write_parameters(plan: &Plan, schedule: &Schedule, text: &mut String) {
    text.push_str("    parameters: {\n");
    hauls::write_parameters(schedule, text);
    if plan.sections().any(|(_, sort)| sort == Sort::Oddments) {
        text.push_str(
            "        // How long an item is inside an eye, and how long after one it takes the next, in ticks.\n        \
             \"selector_latency\": 0,\n        \"selector_interval\": 8,\n",
        );
    }
    text.push_str("    },\n");
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

/// What stands at the beginning of each section, and its slices. Where its last hopper leads follows from the blocks: into
/// the buffer of the next.
fn write_uses(plan: &Plan, text: &mut String) {
    text.push_str("    uses: {\n");
    write_fork(plan, text);
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
    if let Some(wing) = wing::text(plan) {
        text.push_str(&wing.uses);
    }
    text.push_str("    },\n");
}

/// Before two lines stands a fork, which takes out the goods of the first.
fn write_fork(plan: &Plan, text: &mut String) {
    let heads: Vec<&Laid> = plan.layout.firsts().collect();
    let [first, second] = &heads[..] else { return };
    let lines = flow::lines_of(&plan.catalogue, &plan.allocation, &plan.layout, &plan.lines);
    let goods = plan.catalogue.goods.iter().zip(lines);
    let own = goods.filter(|(_, line)| *line == Some(0));
    let own: Vec<String> = own.map(|(good, _)| quoted(&good.name)).collect();
    // There are none if all slices of the first line are free.
    let own = match &own[..] {
        [] => String::new(),
        own => format!("                    {},\n", own.join(", ")),
    };
    let _ = writeln!(
        text,
        "        \"fork\": One(\n            module: \"fork\",\n            with: {{\n                \"run\": \"run\",\n                \
         \"left\": \"{} head.inlet\",\n                \"right\": \"{} head.inlet\",\n                \
         // What goes to the first line; all else goes to the second.\n                \
         \"kinds\": [\n{own}                ],\n            }},\n        ),",
        first.section.name, second.section.name
    );
}

/// From one slice of a section to the next.
fn step(one: &Laid, blocks: u64) -> String {
    let blocks = i32::try_from(blocks).unwrap_or(i32::MAX);
    ahead(Block::default(), one.forward, blocks).to_string()
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
        let hoppers = i32::try_from(hoppers).unwrap_or(i32::MAX);
        let at = ahead(one.at, one.forward, hoppers);
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
    format!("position: {at}, axes: (x: \"{forward}\", z: \"{across}\"),")
}

fn write_flows(plan: &Plan, text: &mut String) {
    text.push_str("    flows: {\n");
    let heads = plan.layout.firsts();
    let heads = heads.map(|first| quoted(&format!("{} head.head", first.section.name)));
    let heads: Vec<String> = heads.collect();
    if !heads.is_empty() {
        let heads = heads.join(", ");
        let _ = writeln!(text, "        \"into the hall\": (into: [{heads}]),");
    }
    text.push_str("    },\n");
}

fn write_sections(plan: &Plan, text: &mut String) {
    text.push_str("    sections: {\n");
    if plan.layout.firsts().count() > 1 {
        text.push_str(
            "        \"fork\": (\n            line: [\"fork.eye_1\", \"fork.eye_2\"],\n            \
             queue: [\"fork.inlet\", \"fork.head_1\", \"fork.head_2\"],\n            \
             locked: [\"fork.head_1\", \"fork.head_2\"],\n            call: \"fork.busy\",\n            width_blocks: 2,\n        ),\n",
        );
    }
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
