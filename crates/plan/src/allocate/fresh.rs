//! A new hall: goods are packed into slices, and the busiest slices stand nearest the input.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_scenario::Diagnostic;

use super::arrange::arrange;
use super::blocks::{Block, Packer};
use super::choose::Why;
use super::order::{Demand, by_cube_per_order, by_group_and_cube_per_order};
use super::places::{number_of, side_of, slice_of};
use super::{Allocation, Line, main_family};
use crate::catalogue::Catalogue;
use crate::fit;
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
    for sort in Sort::ALL {
        let Some(slice) = hall.slice(sort) else {
            continue;
        };
        let own = (0..sorts.len()).filter(|good| sorts[*good].0 == sort);
        let goods: Vec<usize> = own.collect();
        let packer = Packer::new(catalogue, hall, sort, slice);
        let packed = packer.pack(&goods, problems);
        let blocks = in_order(catalogue, packed, slice, hall.families);
        let reserve = fit::reserve(hall, sort, blocks_slices(&blocks), sorts.len());
        let Some(slices) = on_sides(&blocks, hall, sort, reserve) else {
            problems.push(no_room_on_side(catalogue, &goods, hall, sort));
            continue;
        };
        let mut line = Line::new(catalogue, slices, slice.room_stacks);
        (line.lower_bound, line.without_families) = packer.bounds(&goods);
        allocation.lines[sort.index()] = line;
    }
    allocation
}

/// How many slices some blocks have.
fn blocks_slices(blocks: &[Block]) -> u64 {
    blocks.iter().map(|block| block.slices.len() as u64).sum()
}

/// Puts blocks onto a line. Where a side begins depends on how long the line is: it is made longer until
/// everything stands on its side. `None` if no length will do.
fn on_sides(blocks: &[Block], hall: &Hall, sort: Sort, reserve: u64) -> Option<Vec<Vec<usize>>> {
    if blocks.iter().all(|block| block.side.is_none()) {
        return arrange(blocks, &|_| 1, usize::MAX);
    }
    let pinned = blocks
        .iter()
        .filter_map(|block| Some(block.first? + block.slices.len()));
    let least = blocks_slices(blocks) + reserve;
    let least = usize::try_from(least).ok()?.max(pinned.max().unwrap_or(0));
    let width = hall.slice(sort).map_or(1, |slice| slice.width_blocks);
    let most = match fit::laid_down_length(hall) {
        None => 2 * least,
        Some(length) => {
            let places = fit::slices_on(length, width, hall.sides);
            let left_out = (1..=places).filter(|number| slice_of(hall, sort, *number).is_none());
            usize::try_from(places)
                .ok()?
                .saturating_sub(left_out.count())
        }
    };
    let least = least
        .min(most)
        .max(usize::try_from(blocks_slices(blocks)).ok()?);
    (least..=most).find_map(|count| {
        let places = number_of(hall, sort, count - 1);
        let on_first_side = fit::on_first_side(places, hall.sides);
        let side = |slice: usize| side_of(number_of(hall, sort, slice), on_first_side);
        let mut slices = arrange(blocks, &side, count)?;
        // With the free ones behind it the line is just so long.
        slices.resize(count, Vec::new());
        Some(slices)
    })
}

/// What is said where goods cannot stand on the sides that are wished.
fn no_room_on_side(catalogue: &Catalogue, goods: &[usize], hall: &Hall, sort: Sort) -> Diagnostic {
    let sided = goods.iter().map(|good| &catalogue.goods[*good]);
    let sided = sided.filter(|good| good.wish.side.is_some());
    // A slice and a side that do not go together are the likeliest reason.
    let first = sided.min_by_key(|good| good.wish.slice.is_none());
    let name = sort.name();
    let message = match first.and_then(|good| Some((good.wish.slice?, good.wish.side?))) {
        Some((slice, side)) => format!("slice {slice} of `{name}` cannot stand on side {side}"),
        None => format!("a side has no room for all slices `{name}` that are wished there"),
    };
    let problem = match first {
        Some(good) => Diagnostic::error(ids::BAD_WISH, good.wish_span, message),
        None => Diagnostic::general(ids::BAD_WISH, message),
    };
    let help = match hall.length_blocks {
        Some(_) => "wish for the other side, leave it out, or lay down a longer hall",
        None => "wish for the other side, or leave it out",
    };
    problem.help(help.to_owned())
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
