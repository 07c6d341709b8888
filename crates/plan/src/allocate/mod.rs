//! Which goods go into which slice.

pub mod order;
pub mod packing;

use std::collections::BTreeMap;

use hallwright_scenario::Diagnostic;

use crate::catalogue::{Catalogue, Good, Wish};
use crate::hall::{Families, Hall, Slice, Sort};
use crate::ids;
use order::{Demand, by_cube_per_order, by_group_and_cube_per_order};
use packing::{Item, Limits, first_fit_decreasing, lower_bound};

/// The slices of one sort that are in use.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Line {
    /// The goods of each slice, as numbers in the catalogue; the slice nearest the input first.
    pub slices: Vec<Vec<usize>>,
    /// So many slices there must be at least.
    pub lower_bound: usize,
    /// So many there would be if families counted for nothing.
    pub without_families: usize,
}

impl Line {
    /// How many slices more than the lower bound.
    #[must_use]
    pub fn distance(&self) -> usize {
        self.slices.len() - self.lower_bound
    }

    /// How many kinds there are.
    #[must_use]
    pub fn kinds(&self) -> usize {
        self.slices.iter().map(Vec::len).sum()
    }
}

/// The slices in use, by the number of their sort.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Allocation {
    /// One line for each sort.
    pub lines: [Line; 3],
}

/// Gives every sort of goods its one place. `None` if some fit nowhere, which is reported.
pub fn allocate(
    catalogue: &Catalogue,
    hall: &Hall,
    problems: &mut Vec<Diagnostic>,
) -> Option<Allocation> {
    let reported = problems.len();
    let mut chosen: [Vec<usize>; 3] = [Vec::new(), Vec::new(), Vec::new()];
    for (number, good) in catalogue.goods.iter().enumerate() {
        match sort_for(good, hall) {
            Ok(sort) => chosen[sort.index()].push(number),
            Err((message, help)) => {
                let problem = Diagnostic::error(ids::FITS_NOWHERE, good.span, message);
                problems.push(problem.help(help));
            }
        }
    }
    if problems.len() > reported {
        return None;
    }
    let mut allocation = Allocation::default();
    for sort in Sort::ALL {
        if let Some(slice) = hall.slice(sort) {
            let goods = &chosen[sort.index()];
            allocation.lines[sort.index()] = line(catalogue, goods, slice, hall.families);
        }
    }
    Some(allocation)
}

/// What a builder does about goods that fit nowhere.
type Refusal = (String, String);

/// The sort of slice for goods: as wished, or else oddments for what does not stack, bulk for what
/// needs more than its share of a multi-item slice, and a multi-item slice for the rest.
fn sort_for(good: &Good, hall: &Hall) -> Result<Sort, Refusal> {
    let name = &good.name;
    if *name == hall.filler {
        let message = format!("`{name}` fills up item filters, and cannot be stored");
        return Err((message, "name another `filler` in the hall".to_owned()));
    }
    let wished = match good.wish {
        Wish::Automatic => None,
        Wish::Bulk => Some(Sort::Bulk),
        Wish::Multi => Some(Sort::Multi),
        Wish::Oddments => Some(Sort::Oddments),
    };
    if good.stack_limit == 1 && wished.is_some_and(|sort| sort != Sort::Oddments) {
        let message = format!("no item filter sorts out `{name}`, which does not stack");
        let help = "wish for `oddments` or `automatic`".to_owned();
        return Err((message, help));
    }
    let sort = wished.unwrap_or_else(|| choose(good, hall));
    let Some(slice) = hall.slice(sort) else {
        let message = format!(
            "`{name}` needs slices `{}`, which the hall does not have",
            sort.name()
        );
        let help = "describe them in the hall, or wish for others".to_owned();
        return Err((message, help));
    };
    if good.stacks() > slice.room_stacks {
        let message = format!(
            "`{name}` needs {} stacks, and a slice `{}` holds {}",
            good.stacks(),
            sort.name(),
            slice.room_stacks
        );
        let help =
            "expect fewer, split it into two kinds, or give the slices more slots".to_owned();
        return Err((message, help));
    }
    Ok(sort)
}

/// The sort of slice for goods without a wish.
fn choose(good: &Good, hall: &Hall) -> Sort {
    if good.stack_limit == 1 {
        return Sort::Oddments;
    }
    match (hall.slice(Sort::Bulk), hall.slice(Sort::Multi)) {
        (Some(_), Some(multi)) => {
            let share = hall.bulk_share * multi.room_stacks as f64;
            if good.stacks() as f64 > share {
                Sort::Bulk
            } else {
                Sort::Multi
            }
        }
        (Some(_), None) => Sort::Bulk,
        (None, Some(_)) => Sort::Multi,
        (None, None) => Sort::Oddments,
    }
}

/// Packs goods into slices and puts the slices in order.
fn line(catalogue: &Catalogue, goods: &[usize], slice: &Slice, families: Families) -> Line {
    let limits = Limits {
        room: slice.room_stacks,
        count: slice.kinds,
    };
    let items: Vec<Item> = goods
        .iter()
        .map(|number| Item::single(catalogue.goods[*number].stacks()))
        .collect();
    let mixed = first_fit_decreasing(&items, limits);
    let without_families = mixed.len();
    let bins = if families == Families::Mixed {
        mixed
    } else {
        pack_families(catalogue, goods, &items, limits)
    };
    let of_catalogue = |bin: Vec<usize>| {
        let mut numbers: Vec<usize> = bin.into_iter().map(|at| goods[at]).collect();
        // Within a slice, goods stand in the order of the catalogue.
        numbers.sort_unstable();
        numbers
    };
    let packed = bins.into_iter().map(of_catalogue).collect();
    Line {
        slices: in_order(catalogue, packed, slice, families),
        lower_bound: lower_bound(&items, limits),
        without_families,
    }
}

/// Packs each family by itself, and then what is left of the slices: no family takes more slices
/// than it needs alone, and goods without a family fill up.
fn pack_families(
    catalogue: &Catalogue,
    goods: &[usize],
    items: &[Item],
    limits: Limits,
) -> Vec<Vec<usize>> {
    let mut families: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    let mut pieces: Vec<Vec<usize>> = Vec::new();
    for (at, number) in goods.iter().enumerate() {
        match catalogue.goods[*number].family.as_str() {
            "" => pieces.push(vec![at]),
            family => families.entry(family).or_default().push(at),
        }
    }
    for members in families.values() {
        let own: Vec<Item> = members.iter().map(|at| items[*at]).collect();
        for bin in first_fit_decreasing(&own, limits) {
            pieces.push(bin.into_iter().map(|at| members[at]).collect());
        }
    }
    let sums: Vec<Item> = pieces
        .iter()
        .map(|piece| Item {
            size: piece.iter().map(|at| items[*at].size).sum(),
            count: piece.len(),
        })
        .collect();
    let merged = first_fit_decreasing(&sums, limits);
    let bins = merged
        .into_iter()
        .map(|bin| bin.into_iter().flat_map(|at| pieces[at].clone()).collect());
    bins.collect()
}

/// Puts slices in order along the line: the busiest nearest the input.
fn in_order(
    catalogue: &Catalogue,
    packed: Vec<Vec<usize>>,
    slice: &Slice,
    families: Families,
) -> Vec<Vec<usize>> {
    let demand = |goods: &Vec<usize>| Demand {
        space: slice.width_blocks,
        orders: goods
            .iter()
            .map(|number| catalogue.goods[*number].inflow_thousandths)
            .sum(),
    };
    let demands: Vec<Demand> = packed.iter().map(demand).collect();
    let order = if families == Families::Neighbours {
        let mut known: BTreeMap<&str, usize> = BTreeMap::new();
        let groups: Vec<Option<usize>> = packed
            .iter()
            .map(|goods| {
                let family = main_family(catalogue, goods)?;
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

/// The family with the greatest inflow in a slice; of equal ones the first by name.
#[must_use]
pub fn main_family<'c>(catalogue: &'c Catalogue, goods: &[usize]) -> Option<&'c str> {
    let mut inflows: BTreeMap<&str, u64> = BTreeMap::new();
    for number in goods {
        let good = &catalogue.goods[*number];
        if !good.family.is_empty() {
            *inflows.entry(&good.family).or_default() += good.inflow_thousandths;
        }
    }
    let most = inflows.values().max().copied()?;
    let mut found = inflows.into_iter().filter(|(_, inflow)| *inflow == most);
    found.next().map(|(family, _)| family)
}
