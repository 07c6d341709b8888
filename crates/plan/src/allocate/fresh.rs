//! A new hall: goods are packed into slices, and the busiest slices stand nearest the input.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_scenario::Diagnostic;

use super::arrange::arrange;
use super::blocks::{Block, Packer};
use super::choose::Why;
use super::order::{Demand, by_cube_per_order, by_group_and_cube_per_order};
use super::sides::{Counts, Sides};
use super::{Allocation, Line, main_family};
use crate::catalogue::Catalogue;
use crate::fit;
use crate::flow::is_boxed;
use crate::hall::{Families, Hall, Slice, Sort};
use crate::ids;

/// Gives every sort of goods its place. Wishes that contradict one another are reported.
#[must_use]
pub fn allocate(
    catalogue: &Catalogue,
    hall: &Hall,
    sorts: &[(Sort, Why)],
    problems: &mut Vec<Diagnostic>,
) -> Allocation {
    let mut allocation = Allocation {
        why: sorts.iter().map(|(_, why)| *why).collect(),
        ..Allocation::default()
    };
    let mut blocks: [Vec<Block>; 3] = Default::default();
    for sort in Sort::ALL {
        let Some(slice) = hall.slice(sort) else {
            continue;
        };
        let goods = goods_of(sorts, sort);
        let packer = Packer::new(catalogue, hall, sort, slice);
        let packed = packer.pack(&goods, problems);
        blocks[sort.index()] = in_order(catalogue, packed, slice, hall.families);
    }
    let lines = match on_sides(&blocks, hall, sorts.len()) {
        Ok(lines) => lines,
        Err(sort) => {
            problems.push(no_room_on_side(
                catalogue,
                hall,
                &goods_of(sorts, sort),
                sort,
            ));
            return allocation;
        }
    };
    for (sort, slices) in Sort::ALL.into_iter().zip(lines) {
        if let Some(slice) = hall.slice(sort) {
            let packer = Packer::new(catalogue, hall, sort, slice);
            let mut line = Line::new(catalogue, slices, slice.room_stacks);
            (line.lower_bound, line.without_families) = packer.bounds(&goods_of(sorts, sort));
            allocation.lines[sort.index()] = line;
        }
    }
    allocation
}

/// The goods of a sort of slices.
fn goods_of(sorts: &[(Sort, Why)], sort: Sort) -> Vec<usize> {
    let all = 0..sorts.len();
    all.filter(|good| sorts[*good].0 == sort).collect()
}

/// By so many slices lines are made longer to meet wishes for sides, one by one where the hall is small.
const MOST_LONGER: usize = 200;

/// Each try lays out the whole hall. So many slices are laid out in all: a large hall is tried less often, in larger steps.
const MOST_LAID_OUT: usize = 40_000;

/// How often the lines of a hall of so many slices are made longer, and by how many slices each time.
fn tries_and_step(slices: usize) -> (usize, usize) {
    let tries = (MOST_LAID_OUT / slices.max(1)).clamp(1, MOST_LONGER);
    (tries, MOST_LONGER / tries)
}

/// Puts blocks onto their lines. Which slice stands on which side depends on how long all lines are: those
/// that cannot meet the wishes are made longer, with free slices, until they do. If that does not help,
/// returns the sort whose wishes cannot be met.
fn on_sides(
    blocks: &[Vec<Block>; 3],
    hall: &Hall,
    total_kinds: usize,
) -> Result<[Vec<Vec<usize>>; 3], Sort> {
    let anywhere = |_: usize| 1;
    let lines = blocks.each_ref().map(|blocks| {
        let unsided: Vec<Block> = blocks.iter().map(Block::without_side).collect();
        arrange(&unsided, &anywhere, usize::MAX).unwrap_or_default()
    });
    let wishes = |sort: &Sort| {
        blocks[sort.index()]
            .iter()
            .any(|block| block.side.is_some())
    };
    let Some(first) = Sort::ALL.into_iter().find(wishes) else {
        return Ok(lines);
    };
    let mut counts: Counts = Sort::ALL.map(|sort| {
        let line = &lines[sort.index()];
        let used = line.iter().filter(|goods| !goods.is_empty()).count();
        let reserve = fit::reserve(hall, sort, used as u64, total_kinds);
        line.len().max(used + usize::try_from(reserve).unwrap_or(0))
    });
    let (tries, step) = tries_and_step(counts.iter().sum());
    let mut failed = first;
    for _ in 0..tries {
        let Some(sides) = Sides::of(hall, counts) else {
            break;
        };
        let arranged = Sort::ALL.map(|sort| {
            let side = |slice: usize| sides.of_slice(hall, sort, slice);
            arrange(&blocks[sort.index()], &side, counts[sort.index()])
        });
        let short = Sort::ALL
            .into_iter()
            .filter(|sort| arranged[sort.index()].is_none());
        let short: Vec<Sort> = short.collect();
        if short.is_empty() {
            let mut lines = arranged.map(Option::unwrap_or_default);
            // With the free ones behind them the lines are just so long.
            for (line, count) in lines.iter_mut().zip(counts) {
                line.resize(count, Vec::new());
            }
            return Ok(lines);
        }
        for sort in short {
            counts[sort.index()] += step;
            failed = sort;
        }
    }
    Err(failed)
}

/// What is said where goods cannot stand on the sides that are wished.
fn no_room_on_side(catalogue: &Catalogue, hall: &Hall, goods: &[usize], sort: Sort) -> Diagnostic {
    let sided = goods.iter().map(|good| &catalogue.goods[*good]);
    let sided = sided.filter(|good| good.wish.side.is_some());
    // A slice and a side that do not go together are the likeliest reason.
    let first = sided.min_by_key(|good| good.wish.slice.is_none());
    let name = sort.name();
    let message = match first.and_then(|good| Some((good.wish.slice?, good.wish.side?))) {
        _ if is_boxed(hall, sort) => "goods in boxes stand in a wing, at no side".to_owned(),
        Some((slice, side)) => format!("slice {slice} of `{name}` cannot stand on side {side}"),
        None => format!("a side has no room for all slices `{name}` that are wished there"),
    };
    let problem = match first {
        Some(good) => Diagnostic::error(ids::BAD_WISH, good.wish_span, message),
        None => Diagnostic::general(ids::BAD_WISH, message),
    };
    problem.help("wish for the other side, leave it out, or give the hall other rows".to_owned())
}

/// Puts blocks in order along the line: the busiest nearest the input.
fn in_order(
    catalogue: &Catalogue,
    packed: Vec<Block>,
    slice: &Slice,
    families: Families,
) -> Vec<Block> {
    let goods = |block: &Block| -> Vec<usize> {
        let each: BTreeSet<usize> = block.slices.iter().flatten().copied().collect();
        each.into_iter().collect()
    };
    let demand = |block: &Block| Demand {
        space: slice.width_blocks * block.slices.len() as u64,
        orders: goods(block)
            .into_iter()
            .map(|number| catalogue.goods[number].inflow_thousandths)
            .sum(),
    };
    let demands: Vec<Demand> = packed.iter().map(demand).collect();
    let order = if families == Families::Neighbours {
        let mut known: BTreeMap<&str, usize> = BTreeMap::new();
        let groups: Vec<Option<usize>> = packed
            .iter()
            .map(|block| {
                let family = main_family(catalogue, &goods(block))?;
                let next = known.len();
                Some(*known.entry(family).or_insert(next))
            })
            .collect();
        by_group_and_cube_per_order(&demands, &groups)
    } else {
        by_cube_per_order(&demands)
    };
    order.into_iter().map(|at| packed[at].clone()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn large_halls_are_laid_out_less_often() {
        // 1,850 slices are not laid out 200 times.
        assert_eq!(tries_and_step(1_850), (21, 9));
        assert_eq!(tries_and_step(1_000_000), (1, 200));
        // Whoever has a hall of the usual size gets no more free slices than are needed.
        assert_eq!(tries_and_step(200), (200, 1));
        assert_eq!(tries_and_step(0), (200, 1));
    }
}
