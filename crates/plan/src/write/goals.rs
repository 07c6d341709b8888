//! The goals of a planned hall: what is true of the whole hall in every variant.

use std::fmt::Write as _;

use super::quoted;
use crate::Plan;
use crate::hall::Sort;
use crate::schedule::{Schedule, Sent, is_boxed};
use crate::wing;

/// The goals of all variants. Nothing is misplaced, in no store or among the unsorted: so all that was sent is in its
/// own slice, whichever that is.
pub(super) fn write_goals(plan: &Plan, schedule: &Schedule, text: &mut String) {
    text.push_str(
        "    goals: [\n        // What is sent ends in its own slice, all of it.\n        MisplacedAtMost(0),\n        \
         InNoStoreAtMost(0),\n        PassedByAtMost(0),\n        LostAtMost(0),\n        SievesIntact,\n",
    );
    write_locks_and_large_kinds(plan, schedule, text);
    for name in plan.unsorted() {
        let _ = writeln!(
            text,
            "        Contents(parts: {}, at_most: 0),",
            quoted(&name)
        );
    }
    if let Some(wing) = wing::text(plan) {
        let names = |names: &[String]| names.iter().map(|name| quoted(name)).collect::<Vec<_>>();
        let without = names(&wing.without_home);
        text.push_str(
            "        Contents(parts: [\"boxes.unsorted\", \"boxes.quay.others\", \"boxes.quay.strays\"], at_most: 0),\n",
        );
        if !without.is_empty() {
            let _ = writeln!(
                text,
                "        // Tallies are laid on desks, and are no goods.\n        WithoutHome([{}]),",
                without.join(", ")
            );
        }
    }
    for haul in &schedule.hauls {
        if haul.stop_ticks.is_some() {
            let _ = writeln!(
                text,
                "        OnlyFor(variant: {}, goals: [MarkWithin(mark: SafeToClose, within: \"{}t\")]),",
                quoted(haul.sent.variant()),
                plan.hall.stop_within_ticks
            );
        }
    }
    text.push_str("    ],\n");
}

/// How much is locked, and what is otherwise with kinds that fill several slices. When one of these is full, its
/// sieve fills up as well before the next slice gets anything, and the hopper below the sieve stays unlocked: so in
/// the whole stock.
fn write_locks_and_large_kinds(plan: &Plan, schedule: &Schedule, text: &mut String) {
    let large: Vec<usize> = plan.allocation.kinds_with_several_slices().collect();
    let kept_items: u64 = large.iter().map(|good| kept_by_sieves(plan, *good)).sum();
    if kept_items == 0 {
        text.push_str("        LockCoverAtLeast(share: 1.0),\n");
    }
    if large.is_empty() {
        return;
    }
    let names: Vec<String> = large
        .iter()
        .map(|good| quoted(&plan.catalogue.goods[*good].name))
        .collect();
    let _ = writeln!(
        text,
        "        // These fill several slices, one after the other.\n        SharedHome([{}]),",
        names.join(", ")
    );
    if kept_items == 0 {
        return;
    }
    let _ = writeln!(
        text,
        "        // The sieve of a full slice fills up before the next slice gets anything, and the hopper below it stays\n        \
         // unlocked.\n        BackedUpAtMost({kept_items}),"
    );
    let others = schedule
        .hauls
        .iter()
        .filter(|haul| haul.sent != Sent::Stock);
    for haul in others {
        let _ = writeln!(
            text,
            "        OnlyFor(variant: {}, goals: [LockCoverAtLeast(share: 1.0)]),",
            quoted(haul.sent.variant())
        );
    }
}

/// How many items the sieves of all slices but the last of a kind keep when these are full: a stack, less what fills
/// them from the start (`modules.ron`).
fn kept_by_sieves(plan: &Plan, good: usize) -> u64 {
    let sort = plan.allocation.sort_of(good);
    // Eyes keep nothing, be they of oddments or of columns of boxes.
    if sort == Sort::Oddments || is_boxed(plan, good) {
        return 0;
    }
    let each = match plan.catalogue.goods[good].stack_limit {
        16 => 16 - 10,
        _ => 64 - 41,
    };
    let slices = plan.allocation.lines[sort.index()].slices_of(good).len();
    (slices as u64 - 1) * each
}
