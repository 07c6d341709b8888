//! What comes in, against what a line carries: whether it can all be sorted, what passes each section, and when what is
//! full.

use hallwright_scenario::Diagnostic;

use crate::Plan;
use crate::allocate::Allocation;
use crate::catalogue::{Catalogue, Good};
use crate::hall::{Hall, Sort};
use crate::ids;

/// What a line of hoppers carries: an item every 8 ticks, 2.5 a second (tick rules, section 4), in thousandths of an item
/// an hour.
pub const LINE_THOUSANDTHS_PER_HOUR: u64 = 9_000_000;

/// What a double chest has room for.
const UNSORTED_STACKS: u64 = 54;

/// Whether goods come in full boxes, and not down the line.
#[must_use]
pub fn is_boxed(hall: &Hall, sort: Sort) -> bool {
    hall.slice(sort)
        .is_some_and(|slice| slice.box_levels.is_some())
}

/// What comes in loose, and what in boxes, in thousandths of an item an hour.
#[must_use]
pub fn inflow(catalogue: &Catalogue, hall: &Hall, allocation: &Allocation) -> (u64, u64) {
    let goods = catalogue.goods.iter().enumerate();
    let (boxed, loose): (Vec<_>, Vec<_>) =
        goods.partition(|(number, _)| is_boxed(hall, allocation.sort_of(*number)));
    let sum = |goods: Vec<(usize, &Good)>| -> u64 {
        let each = goods.into_iter().map(|(_, good)| good.inflow_thousandths);
        each.sum()
    };
    (sum(loose), sum(boxed))
}

/// Reports goods that come in faster than the line carries them.
pub fn check(
    catalogue: &Catalogue,
    hall: &Hall,
    allocation: &Allocation,
    problems: &mut Vec<Diagnostic>,
) {
    let (inflow, _) = inflow(catalogue, hall, allocation);
    if inflow <= LINE_THOUSANDTHS_PER_HOUR {
        return;
    }
    let lines = inflow.div_ceil(LINE_THOUSANDTHS_PER_HOUR);
    let items = |thousandths: u64| thousandths.div_ceil(1000);
    let message = format!(
        "{} items come in an hour, and a line carries {}",
        items(inflow),
        items(LINE_THOUSANDTHS_PER_HOUR)
    );
    let busiest = catalogue
        .goods
        .iter()
        .max_by_key(|good| good.inflow_thousandths);
    let Some(busiest) = busiest else { return };
    let problem = Diagnostic::error(ids::TOO_MUCH, busiest.span, message);
    let boxed = if hall.slice(Sort::Bulk).is_some() && !is_boxed(hall, Sort::Bulk) {
        " or keep what comes in masses in boxes (`boxes` in place of bulk slices),"
    } else {
        ""
    };
    problems.push(problem.help(format!(
        "`{}` comes most, with {} an hour. Divide the catalogue among {lines} halls, each with an inlet of its own,{boxed} or \
         lower `inflow_per_hour`",
        busiest.name,
        items(busiest.inflow_thousandths),
    )));
}

/// What passes the head of a section.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Passing {
    /// What comes in, in thousandths of an item an hour.
    pub thousandths_per_hour: u64,
    /// The share of what a line carries, in tenths of a percent, rounded up.
    pub share_permille: u64,
}

/// What passes each section or way, in the order of the line: all that comes in, less what slices before it take.
#[must_use]
pub fn passing(plan: &Plan) -> Vec<Passing> {
    let (mut left, _) = inflow(&plan.catalogue, &plan.hall, &plan.allocation);
    let mut taken = vec![false; plan.catalogue.goods.len()];
    let laid = plan.layout.laid.iter();
    laid.map(|laid| {
        let passing = Passing {
            thousandths_per_hour: left,
            share_permille: (left * 1000).div_ceil(LINE_THOUSANDTHS_PER_HOUR),
        };
        let slices = laid.section.sort.map(|sort| plan.used(laid, sort));
        for number in slices.into_iter().flatten().flat_map(|(_, goods)| goods) {
            // Of goods with several slices the first takes all until it is full.
            if !std::mem::replace(&mut taken[*number], true) {
                left -= plan.catalogue.goods[*number].inflow_thousandths;
            }
        }
        passing
    })
    .collect()
}

/// When an empty slice would be full.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Filling {
    /// Which slice: its section and its number along the line of its sort.
    pub slice: String,
    /// Its goods.
    pub kinds: Vec<String>,
    /// After so many hours, rounded down.
    pub hours: u64,
    /// So many hours later the chest for what no slice takes is full, too.
    pub unsorted_hours: u64,
}

/// The slices that would be full first, if they were empty and nothing was taken out; those to which nothing comes are
/// left out. At most `count` of them.
#[must_use]
pub fn filling(plan: &Plan, count: usize) -> Vec<Filling> {
    let mut all: Vec<Filling> = Vec::new();
    for (laid, sort) in plan.sections() {
        let Some(slice) = plan.hall.slice(sort) else {
            continue;
        };
        for (at, goods) in plan.used(laid, sort) {
            // Stacks an hour, in thousandths: one of 64 that comes 64 times an hour is one.
            let stacks: u64 = goods
                .iter()
                .map(|number| &plan.catalogue.goods[*number])
                .map(|good| good.inflow_thousandths / u64::from(good.stack_limit))
                .sum();
            if stacks == 0 {
                continue;
            }
            let kinds = goods.iter().map(|number| &plan.catalogue.goods[*number]);
            all.push(Filling {
                slice: format!("{}, {}", laid.section.name, laid.section.first + at + 1),
                kinds: kinds.map(|good| good.name.clone()).collect(),
                hours: slice.room_stacks * 1000 / stacks,
                unsorted_hours: UNSORTED_STACKS * 1000 / stacks,
            });
        }
    }
    all.sort_by_key(|filling| filling.hours);
    all.truncate(count);
    all
}
