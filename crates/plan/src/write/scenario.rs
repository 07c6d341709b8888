//! The scenario of a planned hall, for people to go on with.

use std::fmt::Write as _;

use super::{goals, hauls, quoted};
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
         (\n    title: {},\n    about: \"{}\",\n    \
         run_for: \"${{run_ticks}}t\",\n    include: [\"modules.ron\"],\n    // The length of the hall; its lines run beside one another.\n    \
         width_blocks: {},",
        plan.catalogue.goods.len(),
        quoted(&plan.title),
        hauls::ABOUT,
        plan.fit.length_blocks(),
    );
    write_parameters(plan, schedule, &mut text);
    hauls::write_variants(schedule, &mut text);
    write_goods(plan, &mut text);
    text.push_str(
        "    parts: {\n        // What no slice takes.\n        \"unsorted\": DoubleChest(),\n    },\n    \
         signals: {\n        // The switch of the hall.\n        \"run\": Lever(starts_on: true),\n    },\n",
    );
    write_uses(plan, &mut text);
    hauls::write_arrivals(plan, schedule, &mut text);
    hauls::write_stops(schedule, &mut text);
    text.push_str(
        "    stores: {\n        \"unsorted\": (parts: \"unsorted\", overflow: true),\n    },\n",
    );
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
    if plan
        .sections
        .iter()
        .any(|section| section.sort == Sort::Oddments)
    {
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
