//! The scenario of a planned hall, for people to go on with.

use std::fmt::Write as _;

use super::quoted;
use crate::Plan;
use crate::fit::Place;
use crate::hall::Sort;
use crate::schedule::Schedule;
use crate::sections::Section;

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
         run_for: \"{}t\",\n    include: [\"modules.ron\"],\n    // The length of the hall; its lines run beside one another.\n    \
         width_blocks: {},",
        plan.catalogue.goods.len(),
        quoted(&plan.title),
        schedule.run_ticks,
        plan.fit.length_blocks(),
    );
    write_parameters(plan, &mut text);
    write_goods(plan, &mut text);
    text.push_str(
        "    parts: {\n        // What no slice takes.\n        \"unsorted\": DoubleChest(),\n    },\n    \
         signals: {\n        // The switch of the hall.\n        \"run\": Lever(starts_on: true),\n    },\n",
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
    if plan
        .sections
        .iter()
        .any(|section| section.sort == Sort::Oddments)
    {
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

/// The module of the slices of a sort.
fn module(sort: Sort) -> &'static str {
    match sort {
        Sort::Bulk | Sort::Multi => "slice",
        Sort::Oddments => "oddments slice",
    }
}

fn write_uses(plan: &Plan, text: &mut String) {
    text.push_str("    uses: {\n");
    for (number, section) in plan.sections.iter().enumerate() {
        let Some(slice) = plan.hall.slice(section.sort) else {
            continue;
        };
        let name = &section.name;
        let next = plan.sections.get(number + 1);
        let next = next.map_or_else(
            || "unsorted".to_owned(),
            |next| format!("{} head.inlet", next.name),
        );
        let pace = match section.sort {
            Sort::Bulk | Sort::Multi => "",
            Sort::Oddments => {
                "                \"selector_latency\": \"$selector_latency\",\n                \
                 \"selector_interval\": \"$selector_interval\",\n"
            }
        };
        let last_slots = slice.slots - 54 * (slice.levels() - 1);
        let _ = writeln!(
            text,
            "        \"{name} head\": One(\n            module: \"section head\",\n            \
             with: {{\"run\": \"run\", \"run_on\": {}}},\n            \
             then: {{\"outlet\": \"{name}.inlet\"}},\n        ),\n        \
             \"{name}\": Row(\n            module: \"{}\",\n            \
             each: FromFile(path: \"allocation.csv\", only: {{\"section\": \"{name}\"}}),\n            \
             with: {{\n                \"idle\": \"{name} head.idle\",\n                \
             \"filler\": {},\n                \"line_hoppers\": {},\n                \
             \"levels\": {},\n                \"last_slots\": {last_slots},\n{pace}            }},\n            \
             then: {{\"outlet\": \"{next}\"}},\n        ),",
            section.run_on_ticks,
            module(section.sort),
            quoted(&plan.hall.filler),
            slice.line_hoppers(),
            slice.levels(),
        );
    }
    text.push_str("    },\n");
}

fn write_flows(plan: &Plan, text: &mut String) {
    text.push_str("    flows: {\n");
    if let Some(section) = plan.sections.first() {
        let _ = writeln!(
            text,
            "        \"into the hall\": (into: \"{}.inlet\"),",
            section.name
        );
    }
    text.push_str("    },\n");
}

fn write_sections(plan: &Plan, text: &mut String) {
    text.push_str("    sections: {\n");
    for section in &plan.sections {
        let name = &section.name;
        let mut line = vec![format!("\"{name}[*].line[*].hopper\"")];
        let mut locked = vec![format!("\"{name} head.head\""), line[0].clone()];
        let slices = places(plan, section);
        match section.sort {
            Sort::Oddments => {
                line.push(format!("\"{name}[*].eye\""));
                locked.push(format!("\"{name}[*].gather\""));
                locked.push(format!("\"{name}[*].level[*].under\""));
            }
            // A free slice has no filters and no chests.
            _ if slices.iter().any(|place| matches!(place, Place::Used(_))) => {
                for part in [
                    "filter[*].sieve",
                    "filter[*].out",
                    "filter[*].drop",
                    "level[*].under",
                ] {
                    locked.push(format!("\"{name}[*].{part}\""));
                }
            }
            _ => {}
        }
        let slice = plan.hall.slice(section.sort);
        let width = slice.map_or(0, |slice| slice.width_blocks) * section.places as u64;
        let _ = writeln!(
            text,
            "        \"{name}\": (\n            line: [{}],\n            \
             queue: [\"{name} head.buffer\", \"{name} head.head\"],\n            locked: [\n                {},\n            ],\n            \
             call: \"{name} head.busy\",\n            width_blocks: {width},\n        ),",
            line.join(", "),
            locked.join(",\n                "),
        );
    }
    text.push_str("    },\n");
}

/// The places of a section.
fn places<'p>(plan: &'p Plan, section: &Section) -> &'p [Place] {
    let places = plan
        .line(section.sort)
        .map_or(&[][..], |line| &line.places[..]);
    &places[section.first..section.first + section.places]
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
    for section in &plan.sections {
        let has_under = plan
            .hall
            .slice(section.sort)
            .is_some_and(|slice| slice.levels() > 1);
        let line = &plan.allocation.lines[section.sort.index()];
        for (at, place) in places(plan, section).iter().enumerate() {
            let Place::Used(number) = place else { continue };
            let slice = format!("{}[{at}]", section.name);
            let parts = if has_under {
                format!("[\"{slice}.level[*].chest\", \"{slice}.level[*].under\"]")
            } else {
                format!("\"{slice}.level[*].chest\"")
            };
            // Goods with several slices come to the first of them.
            let goods = line.slices[*number].iter();
            for good in goods.filter(|good| line.is_first(*number, **good)) {
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
