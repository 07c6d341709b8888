//! What comes in, against what a line carries: whether it can all be sorted, what passes each section, and when what is
//! full.

use hallwright_scenario::Diagnostic;

use crate::Plan;
use crate::allocate::Allocation;
use crate::allocate::choose::sort_for;
use crate::boxes::{BOX_SLOTS, OVERFLOW_BOXES};
use crate::catalogue::{Catalogue, Good};
use crate::fit::{FittedLine, Place};
use crate::hall::{Hall, MOST_LINES, Sort};
use crate::ids;
use crate::lay::Layout;

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

/// How many parallel lines the loose goods of a catalogue need, at least 1.
#[must_use]
pub fn lines_needed(catalogue: &Catalogue, hall: &Hall) -> u64 {
    let loose = catalogue
        .goods
        .iter()
        .filter(|good| sort_for(good, hall).is_ok_and(|(sort, _)| !is_boxed(hall, sort)));
    let inflow: u64 = loose.map(|good| good.inflow_thousandths).sum();
    inflow.div_ceil(LINE_THOUSANDTHS_PER_HOUR).max(1)
}

/// Reports goods that come in faster than the lines carry them.
pub fn check(
    catalogue: &Catalogue,
    hall: &Hall,
    allocation: &Allocation,
    layout: &Layout,
    lines: &[FittedLine],
    problems: &mut Vec<Diagnostic>,
) {
    let busiest = catalogue
        .goods
        .iter()
        .max_by_key(|good| good.inflow_thousandths);
    let Some(busiest) = busiest else { return };
    let items = |thousandths: u64| thousandths.div_ceil(1000);
    let carried = items(LINE_THOUSANDTHS_PER_HOUR);
    let (inflow, _) = inflow(catalogue, hall, allocation);
    let needed = inflow.div_ceil(LINE_THOUSANDTHS_PER_HOUR);
    let boxed = if hall.slice(Sort::Bulk).is_some() && !is_boxed(hall, Sort::Bulk) {
        "keep what comes in masses in `boxes` in place of bulk slices, "
    } else {
        ""
    };
    if needed > hall.lines {
        let message = format!(
            "{} items come in an hour; a line carries {carried}, and there {} {}",
            items(inflow),
            if hall.lines == 1 { "is" } else { "are" },
            hall.lines,
        );
        let halls = needed.div_ceil(MOST_LINES);
        let more = if needed <= MOST_LINES {
            format!("plan `lines: {needed}` in the hall, ")
        } else {
            format!("divide the catalogue among {halls} halls, each with an inlet of its own, ")
        };
        let problem = Diagnostic::error(ids::TOO_MUCH, busiest.span, message);
        problems.push(problem.help(format!(
            "`{}` comes most, with {} an hour: {more}{boxed}or lower `inflow_per_hour`",
            busiest.name,
            items(busiest.inflow_thousandths),
        )));
        return;
    }
    for (line, inflow) in inflow_of_lines(catalogue, allocation, layout, lines)
        .into_iter()
        .enumerate()
    {
        if inflow > LINE_THOUSANDTHS_PER_HOUR {
            let message = format!(
                "{} items come in an hour for the slices of line {}, and it carries {carried}",
                items(inflow),
                line + 1,
            );
            let problem = Diagnostic::error(ids::TOO_MUCH, busiest.span, message);
            problems.push(problem.help(format!(
                "the sections take turns between the lines: wish for a later slice for some of the busiest goods, {boxed}or \
                 divide the catalogue among two halls"
            )));
        }
    }
}

/// What comes in for the slices of each parallel line, in thousandths of an item an hour.
fn inflow_of_lines(
    catalogue: &Catalogue,
    allocation: &Allocation,
    layout: &Layout,
    lines: &[FittedLine],
) -> Vec<u64> {
    let mut inflows = vec![0; layout.unsorted.len()];
    for (number, line) in lines_of(catalogue, allocation, layout, lines)
        .into_iter()
        .enumerate()
    {
        if let Some(line) = line {
            inflows[line] += catalogue.goods[number].inflow_thousandths;
        }
    }
    inflows
}

/// In which parallel line the first slice of each of the goods is; `None` of those in no line.
#[must_use]
pub fn lines_of(
    catalogue: &Catalogue,
    allocation: &Allocation,
    layout: &Layout,
    lines: &[FittedLine],
) -> Vec<Option<usize>> {
    let mut found = vec![None; catalogue.goods.len()];
    for laid in &layout.laid {
        let Some(sort) = laid.section.sort else {
            continue;
        };
        let Some(line) = lines.iter().find(|line| line.sort == sort) else {
            continue;
        };
        let own = line
            .places
            .iter()
            .skip(laid.section.first)
            .take(laid.section.places);
        for place in own {
            let Place::Used(slice) = place else { continue };
            for good in &allocation.lines[sort.index()].slices[*slice] {
                found[*good].get_or_insert(usize::try_from(laid.section.line).unwrap_or(0));
            }
        }
    }
    found
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
    let mut left = inflow_of_lines(&plan.catalogue, &plan.allocation, &plan.layout, &plan.lines);
    let mut taken = vec![false; plan.catalogue.goods.len()];
    let laid = plan.layout.laid.iter();
    laid.map(|laid| {
        let left = &mut left[usize::try_from(laid.section.line).unwrap_or(0)];
        let passing = Passing {
            thousandths_per_hour: *left,
            share_permille: (*left * 1000).div_ceil(LINE_THOUSANDTHS_PER_HOUR),
        };
        let slices = laid.section.sort.map(|sort| plan.used(laid, sort));
        for number in slices.into_iter().flatten().flat_map(|(_, goods)| goods) {
            // Of goods with several slices the first takes all until it is full.
            if !std::mem::replace(&mut taken[*number], true) {
                *left -= plan.catalogue.goods[*number].inflow_thousandths;
            }
        }
        passing
    })
    .collect()
}

/// After how many hours each slice of a sort is full, rounded down, if all were empty and nothing was taken out. `None` for
/// those that nothing fills. The slices of one kind are filled one after the other.
#[must_use]
pub fn full_after_hours(plan: &Plan, sort: Sort) -> Vec<Option<u64>> {
    let line = &plan.allocation.lines[sort.index()];
    let Some(slice) = plan.hall.slice(sort) else {
        return Vec::new();
    };
    let mut full: Vec<Option<u128>> = Vec::new();
    for (number, goods) in line.slices.iter().enumerate() {
        // When each kind begins to come, and how much of it.
        let coming = goods.iter().filter_map(|good| {
            let begins = if line.is_first(number, *good) {
                0
            } else {
                full[number - 1]?
            };
            Some((begins, filled_an_hour(&plan.catalogue.goods[*good])))
        });
        full.push(full_at(coming.collect(), slice.room_stacks));
    }
    let hours = |at: u128| u64::try_from(at / PARTS_OF_AN_HOUR).unwrap_or(u64::MAX);
    full.into_iter().map(|at| at.map(hours)).collect()
}

/// Times are counted in millionths of an hour, room in thousandths of a 64th of a stack, which leaves no rest for any limit.
const PARTS_OF_AN_HOUR: u128 = 1_000_000;
const PARTS_OF_A_STACK: u128 = 64_000;

/// How much room what comes of a good within an hour takes.
fn filled_an_hour(good: &Good) -> u128 {
    u128::from(good.inflow_thousandths) * 64 / u128::from(good.stack_limit)
}

/// When so many stacks of room are full, if each kind comes from a time on, and so much of it an hour. `None` for never.
fn full_at(mut coming: Vec<(u128, u128)>, stacks: u64) -> Option<u128> {
    coming.sort_unstable();
    let mut left = u128::from(stacks) * PARTS_OF_A_STACK * PARTS_OF_AN_HOUR;
    let mut an_hour = 0;
    for (at, (begins, more)) in coming.iter().enumerate() {
        an_hour += more;
        let next = coming.get(at + 1).map(|(next, _)| next - begins);
        match left.checked_div(an_hour) {
            Some(needed) if next.is_none_or(|next| needed <= next) => return Some(begins + needed),
            _ => left -= an_hour * next.unwrap_or(0),
        }
    }
    None
}

/// After how many hours of what comes for a slice the overflow behind it is full, rounded down: the chest for what no slice
/// takes, or that of the box wing. `None` if nothing comes, or it goes on to the next slice of its kind.
#[must_use]
pub fn overflow_hours(plan: &Plan, sort: Sort, number: usize) -> Option<u64> {
    let line = &plan.allocation.lines[sort.index()];
    if line.goes_on(number) {
        return None;
    }
    let stacks = if is_boxed(&plan.hall, sort) {
        OVERFLOW_BOXES * BOX_SLOTS
    } else {
        UNSORTED_STACKS
    };
    let goods = &line.slices[number];
    let coming = goods
        .iter()
        .map(|good| (0, filled_an_hour(&plan.catalogue.goods[*good])));
    let full = full_at(coming.collect(), stacks)?;
    u64::try_from(full / PARTS_OF_AN_HOUR).ok()
}

/// When an empty slice would be full.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Filling {
    /// The sort of the slice.
    pub sort: Sort,
    /// Its number along the line of its sort, from 0.
    pub number: usize,
    /// After so many hours, rounded down.
    pub hours: u64,
}

/// The slices that would be full first; at most `count` of them.
#[must_use]
pub fn filling(plan: &Plan, count: usize) -> Vec<Filling> {
    let of_sort = |sort| {
        let hours = full_after_hours(plan, sort).into_iter().enumerate();
        hours.filter_map(move |(number, hours)| {
            Some(Filling {
                sort,
                number,
                hours: hours?,
            })
        })
    };
    let mut all: Vec<Filling> = Sort::ALL.into_iter().flat_map(of_sort).collect();
    all.sort_by_key(|filling| filling.hours);
    all.truncate(count);
    all
}
