//! The tables that the scenario reads.

use std::fmt::Write as _;

use crate::Plan;
use crate::fit::Place;
use crate::schedule::Schedule;

/// The allocation: one line for each place, in the order of the line.
#[must_use]
pub fn allocation(plan: &Plan) -> String {
    let mut text = String::from(
        "# Which goods lie in which slice, in the order of the line: the busiest nearest the input.\n\
         # A slice without kinds is free, or left out. `stacks` are the stack limits of the kinds.\n\
         section, row, slice, kinds, stacks\n",
    );
    for (one, sort) in plan.sections() {
        let Some(line) = plan.line(sort) else {
            continue;
        };
        let section = &one.section;
        let slices = &plan.allocation.lines[sort.index()].slices;
        for at in section.first..section.first + section.places {
            let goods: &[usize] = match line.places.get(at) {
                Some(Place::Used(number)) => &slices[*number],
                _ => &[],
            };
            let goods = goods.iter().map(|number| &plan.catalogue.goods[*number]);
            let kinds: Vec<&str> = goods.clone().map(|good| good.name.as_str()).collect();
            let stacks: Vec<String> = goods.map(|good| good.stack_limit.to_string()).collect();
            let (kinds, stacks) = (kinds.join(";"), stacks.join(";"));
            let (name, row, slice) = (&section.name, one.row + 1, at + 1);
            let _ = writeln!(text, "{name}, {row}, {slice}, {kinds}, {stacks}");
        }
    }
    text
}

/// What arrives: one stack of every kind.
#[must_use]
pub fn arrivals(plan: &Plan, schedule: &Schedule) -> String {
    let mut text = String::from("# One stack of every kind, as fast as the line takes it.\n");
    text.push_str("tick, place, kind, count\n");
    for (tick, number) in &schedule.arrivals {
        let good = &plan.catalogue.goods[*number];
        let first = plan.layout.laid.first();
        let first = first.map_or("", |laid| laid.section.name.as_str());
        let (name, count) = (&good.name, good.stack_limit);
        let _ = writeln!(text, "{tick}, {first} head.inlet, {name}, {count}");
    }
    text
}
