//! The goals of a planned hall: what is true of the whole hall in every variant.

use std::fmt::Write as _;

use super::quoted;
use crate::Plan;
use crate::schedule::Schedule;
use crate::wing;

/// The goals of all variants. Nothing is misplaced, in no store or among the unsorted: so all that was sent is in its
/// own slice, whichever that is.
pub(super) fn write_goals(plan: &Plan, schedule: &Schedule, text: &mut String) {
    text.push_str(
        "    goals: [\n        // What is sent ends in its own slice, all of it.\n        MisplacedAtMost(0),\n        \
         InNoStoreAtMost(0),\n        PassedByAtMost(0),\n        LostAtMost(0),\n        SievesIntact,\n        \
         LockCoverAtLeast(share: 1.0),\n",
    );
    for name in plan.unsorted() {
        let _ = writeln!(
            text,
            "        Contents(parts: {}, at_most: 0),",
            quoted(&name)
        );
    }
    let large = plan.allocation.kinds_with_several_slices();
    let large = large.map(|good| quoted(&plan.catalogue.goods[good].name));
    let large: Vec<String> = large.collect();
    if !large.is_empty() {
        let _ = writeln!(
            text,
            "        // These fill several slices, one after the other.\n        SharedHome([{}]),",
            large.join(", ")
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
