//! What is said of a hall that continues another: what came, left and moved, and which parts to bring.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::Plan;
use crate::allocate::keep::Changes;
use crate::allocate::places::number_of;
use crate::hall::Sort;
use crate::parts::Parts;
use crate::why::moved_because;

/// What changed.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct ChangesReport {
    /// How many kinds lie just where they lay.
    pub stayed_kinds: usize,
    /// New kinds, and where they lie.
    pub came: Vec<PlacedReport>,
    /// Kinds that are gone, and where they lay.
    pub left: Vec<PlacedReport>,
    /// What lies elsewhere, or in more slices.
    pub moves: Vec<MoveReport>,
    /// How many stacks have to be carried for all moves, at most.
    pub carry_stacks: u64,
    /// How many item filters have to be filled for all moves.
    pub filters: u64,
    /// Lines that become longer, with how many slices: what stands behind them stands further on now.
    pub lengthened: Vec<(&'static str, usize)>,
    /// How many of each part the hall has more than the old one, or less; `None` if that is not known.
    pub parts_to_bring: Option<BTreeMap<String, i64>>,
}

/// A kind and its slices.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct PlacedReport {
    /// The kind.
    pub name: String,
    /// The sort of its slices.
    pub sort: &'static str,
    /// Their numbers along the line, from 1.
    pub slices: Vec<u64>,
}

/// A kind that moved.
#[derive(Clone, PartialEq, Eq, Debug, Serialize)]
pub struct MoveReport {
    /// The kind.
    pub name: String,
    /// Where it lay.
    pub from: PlacedReport,
    /// Where it lies.
    pub to: PlacedReport,
    /// How many stacks have to be carried, at most.
    pub carry_stacks: u64,
    /// How many item filters have to be filled.
    pub filters: u64,
    /// Why.
    pub why: &'static str,
}

impl ChangesReport {
    /// What changed in a plan.
    #[must_use]
    pub fn new(plan: &Plan, changes: &Changes) -> Self {
        let name = |good: usize| plan.catalogue.goods[good].name.clone();
        let placed = |name: String, sort: Sort, slices: Vec<u64>| PlacedReport {
            name,
            sort: sort.name(),
            slices,
        };
        let came = changes.came.iter().map(|good| {
            let sort = plan.allocation.sort_of(*good);
            let slices = plan.allocation.lines[sort.index()].slices_of(*good);
            let numbers = slices.map(|slice| number_of(&plan.hall, sort, slice));
            placed(name(*good), sort, numbers.collect())
        });
        let left = changes.left.iter();
        let left = left.map(|left| placed(left.name.clone(), left.sort, left.slices.clone()));
        let moves = changes.moves.iter().map(|moved| MoveReport {
            name: name(moved.good),
            from: placed(name(moved.good), moved.from.0, moved.from.1.clone()),
            to: placed(name(moved.good), moved.to.0, moved.to.1.clone()),
            carry_stacks: moved.carry_stacks,
            filters: moved.filters,
            why: moved_because(moved.why),
        });
        Self {
            stayed_kinds: changes.stayed,
            came: came.collect(),
            left: left.collect(),
            moves: moves.collect(),
            carry_stacks: changes.moves.iter().map(|moved| moved.carry_stacks).sum(),
            filters: changes.moves.iter().map(|moved| moved.filters).sum(),
            lengthened: changes
                .lengthened
                .iter()
                .map(|(sort, count)| (sort.name(), *count))
                .collect(),
            parts_to_bring: None,
        }
    }
}

/// How many of each part one hall has more than another, or less. Parts of which both have as many are left
/// out.
#[must_use]
pub fn parts_to_bring(new: &Parts, old: &Parts) -> BTreeMap<String, i64> {
    let mut difference: BTreeMap<String, i64> = BTreeMap::new();
    let signed = |count: u64| i64::try_from(count).unwrap_or(i64::MAX);
    for (name, count) in new.all() {
        *difference.entry(name.to_owned()).or_default() += signed(count);
    }
    for (name, count) in old.all() {
        *difference.entry(name.to_owned()).or_default() -= signed(count);
    }
    difference.insert(
        "items in filters".to_owned(),
        signed(new.goods) - signed(old.goods),
    );
    difference.retain(|_, count| *count != 0);
    difference
}
