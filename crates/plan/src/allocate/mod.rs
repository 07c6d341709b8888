//! Which goods go into which slice.

pub mod arrange;
pub mod blocks;
pub mod choose;
pub mod fresh;
pub mod keep;
pub mod line;
pub mod order;
pub mod packing;
pub mod places;
pub mod sides;

use std::collections::BTreeMap;

use hallwright_scenario::Diagnostic;

use crate::catalogue::Catalogue;
use crate::hall::{Hall, Sort};
use crate::ids;
use crate::kept::Kept;
use choose::{Why, sort_for};
use keep::Changes;
pub use line::Line;
use sides::Sides;

/// No slice beyond this one can be wished for.
const MOST_WISHED: u64 = 1000;

/// The slices in use, by the number of their sort.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Allocation {
    /// One line for each sort.
    pub lines: [Line; 3],
    /// Why each of the goods has its sort of slice, by its number in the catalogue.
    pub why: Vec<Why>,
    /// What changed, if the hall continues another.
    pub changes: Option<Changes>,
}

impl Allocation {
    /// The sort of slice that goods have.
    #[must_use]
    pub fn sort_of(&self, good: usize) -> Sort {
        let has = |sort: &Sort| {
            let mut goods = self.lines[sort.index()].slices.iter().flatten();
            goods.any(|number| *number == good)
        };
        Sort::ALL.into_iter().find(has).unwrap_or(Sort::Oddments)
    }

    /// The goods that have more than one slice, in the order of the lines.
    pub fn kinds_with_several_slices(&self) -> impl Iterator<Item = usize> {
        self.lines.iter().flat_map(|line| {
            let slices = line.slices.iter().enumerate();
            let firsts = slices.flat_map(move |(slice, goods)| {
                let first = goods
                    .iter()
                    .filter(move |good| line.is_first(slice, **good));
                first.copied()
            });
            firsts.filter(move |good| line.slices_of(*good).len() > 1)
        })
    }
}

/// Gives every sort of goods its one place; what lies in a hall that is kept stays there. `None` if some
/// fit nowhere, which is reported.
pub fn allocate(
    catalogue: &Catalogue,
    hall: &Hall,
    kept: Option<&Kept>,
    problems: &mut Vec<Diagnostic>,
) -> Option<Allocation> {
    let reported = problems.len();
    let sorts = sorts(catalogue, hall, problems);
    check_wishes(catalogue, hall, &sorts, problems);
    if problems.len() > reported {
        return None;
    }
    let sorts: Vec<(Sort, Why)> = sorts.into_iter().flatten().collect();
    let allocation = match kept {
        None => fresh::allocate(catalogue, hall, &sorts, problems),
        Some(kept) => keep::allocate(catalogue, hall, kept, &sorts, problems),
    };
    (problems.len() == reported).then_some(allocation)
}

/// The sort of slices of each of the goods. What fits into none is reported.
fn sorts(
    catalogue: &Catalogue,
    hall: &Hall,
    problems: &mut Vec<Diagnostic>,
) -> Vec<Option<(Sort, Why)>> {
    let each = catalogue.goods.iter().map(|good| {
        let chosen = sort_for(good, hall);
        chosen
            .map_err(|(message, help)| {
                let problem = Diagnostic::error(ids::FITS_NOWHERE, good.span, message);
                problems.push(problem.help(help));
            })
            .ok()
    });
    each.collect()
}

/// Reports wishes for sides that the hall has not, and for slices beyond its end.
fn check_wishes(
    catalogue: &Catalogue,
    hall: &Hall,
    sorts: &[Option<(Sort, Why)>],
    problems: &mut Vec<Diagnostic>,
) {
    for good in &catalogue.goods {
        if good.wish.side.is_some_and(|side| side > hall.sides) {
            let message = format!("`{}` wishes for side 2, and the hall has one", good.name);
            let problem = Diagnostic::error(ids::BAD_WISH, good.wish_span, message);
            problems
                .push(problem.help("leave out the side, or give the hall `sides: 2`".to_owned()));
        }
    }
    if catalogue.goods.iter().all(|good| good.wish.slice.is_none()) {
        return;
    }
    let Some(sorts) = sorts.iter().copied().collect::<Option<Vec<_>>>() else {
        return;
    };
    for (good, (sort, _)) in catalogue.goods.iter().zip(&sorts) {
        let Some(number) = good.wish.slice else {
            continue;
        };
        let mut counts = [1; 3];
        counts[sort.index()] = usize::try_from(number).unwrap_or(usize::MAX);
        if number > MOST_WISHED || Sides::of(hall, counts).is_none() {
            let message = format!(
                "`{}` wishes for slice {number} of `{}`, and the hall has no room for so many",
                good.name,
                sort.name()
            );
            let problem = Diagnostic::error(ids::BAD_WISH, good.wish_span, message);
            let help = "wish for a nearer one, or lay down a longer hall or more rows";
            problems.push(problem.help(help.to_owned()));
        }
    }
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
