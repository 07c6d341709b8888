//! The box wing of a planned hall: the goods that it keeps, and where it stands.

use crate::Plan;
use crate::allocate::Allocation;
use crate::boxes::{BoxedKind, Haul, NoWing, Wanted, Wing, WingText, boxes_a_column, items_a_box};
use crate::catalogue::{Catalogue, Good};
use crate::hall::{Hall, Sort};
use crate::lay::Layout;

/// Where its first column stands: behind all rows, with room to walk between them.
fn at(layout: &Layout) -> [i64; 3] {
    let rows = layout.laid.iter().map(|laid| laid.at.z);
    let behind = i64::from(rows.min().unwrap_or(0).min(0));
    // What stands behind the line of a row, and of the wing before its columns.
    let depth = if behind < 0 { 26 } else { 19 };
    [2, 0, behind - depth]
}

/// The block of the control room that is nearest to the wing.
const CONTROL: [i64; 3] = [-3, 6, -1];

/// The wing, and the goods in it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct PlannedWing {
    /// The wing.
    pub wing: Wing,
    /// Its goods, as numbers in the catalogue, in the order of its columns.
    pub goods: Vec<usize>,
    /// Where its first column stands.
    pub at: [i64; 3],
}

/// The wing of a hall that keeps bulk goods in boxes; `None` if it keeps none.
///
/// # Errors
///
/// If there can be no such wing.
pub fn wing(
    catalogue: &Catalogue,
    hall: &Hall,
    allocation: &Allocation,
    layout: &Layout,
) -> Result<Option<PlannedWing>, NoWing> {
    let at = at(layout);
    let levels = hall.slice(Sort::Bulk).and_then(|slice| slice.box_levels);
    let Some(levels) = levels else {
        return Ok(None);
    };
    let slices = &allocation.lines[Sort::Bulk.index()].slices;
    let mut goods: Vec<usize> = slices.iter().flatten().copied().collect();
    goods.dedup();
    if goods.is_empty() {
        return Ok(None);
    }
    let kinds = goods.iter().map(|number| {
        let good = &catalogue.goods[*number];
        let columns = slices.iter().filter(|slice| slice.contains(number)).count() as u64;
        // A kind that has more columns than it needs keeps them.
        let least = columns.saturating_sub(1) * boxes_a_column(levels) + 1;
        BoxedKind {
            name: good.name.clone(),
            stack_limit: u64::from(good.stack_limit),
            boxes: boxes(good).max(least),
        }
    });
    let wanted = Wanted {
        kinds: kinds.collect(),
        levels,
        box_name: unused("box", catalogue, hall),
        tally_name: Some(unused("tally", catalogue, hall)),
        has_hatch: hall.has_hatch,
        run: "run".to_owned(),
        run_at: [0, 1, 2].map(|axis: usize| CONTROL[axis] - at[axis]),
    };
    let wing = Wing::new(wanted)?;
    Ok(Some(PlannedWing { wing, goods, at }))
}

/// The wing as text; `None` if there is none.
#[must_use]
pub fn text(plan: &Plan) -> Option<WingText> {
    // What comes, and when, the scenario says itself.
    let haul = Haul {
        boxes_a_kind: 1,
        at_ticks: 0,
        asked_at_ticks: 0,
    };
    let wing = plan.wing.as_ref()?;
    Some(wing.wing.text(wing.at, haul))
}

/// How many full boxes the expected amount of goods is, rounded up.
#[must_use]
pub fn boxes(good: &Good) -> u64 {
    let a_box = items_a_box(u64::from(good.stack_limit));
    good.amount.div_ceil(a_box).max(1)
}

/// A name that no goods have yet.
fn unused(name: &str, catalogue: &Catalogue, hall: &Hall) -> String {
    let is_taken =
        |name: &str| name == hall.filler || catalogue.goods.iter().any(|good| good.name == name);
    let mut unused = name.to_owned();
    while is_taken(&unused) {
        unused.insert_str(0, "plain ");
    }
    unused
}
