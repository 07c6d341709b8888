//! The tables that the scenario reads.

use std::fmt::Write as _;

use crate::Plan;
use crate::fit::Place;
use crate::hall::Sort;

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
    // The columns of the box wing are no row of a line, but lie where they lie like all others.
    if plan.wing.is_some() {
        let slices = &plan.allocation.lines[Sort::Bulk.index()].slices;
        for (number, goods) in slices.iter().enumerate() {
            for good in goods.iter().map(|good| &plan.catalogue.goods[*good]) {
                let (name, limit) = (&good.name, good.stack_limit);
                let _ = writeln!(text, "bulk boxes, 0, {}, {name}, {limit}", number + 1);
            }
        }
    }
    text
}
