//! The goals of a planned hall: what is true of the whole hall in every variant, and where everything ends.

use std::fmt::Write as _;

use super::quoted;
use crate::Plan;
use crate::schedule::{Schedule, Sent};

/// The goals of all variants.
pub(super) fn write_goals(plan: &Plan, schedule: &Schedule, text: &mut String) {
    text.push_str(
        "    goals: [\n        MisplacedAtMost(0),\n        PassedByAtMost(0),\n        LostAtMost(0),\n        \
         // What is sent ends in its own slice, all of it.\n        InNoStoreAtMost(0),\n        \
         SievesIntact,\n        LockCoverAtLeast(share: 1.0),\n",
    );
    let homes = homes(plan);
    for haul in &schedule.hauls {
        let mut own = String::new();
        if haul.stop_ticks.is_some() {
            let _ = writeln!(
                own,
                "            MarkWithin(mark: SafeToClose, within: \"{}t\"),",
                plan.hall.stop_within_ticks
            );
        }
        for (good, parts) in plan.catalogue.goods.iter().zip(&homes) {
            let count = match haul.sent {
                Sent::Stack => u64::from(good.stack_limit),
                Sent::Stock => good.amount,
                // How many come of a kind follows from its share.
                Sent::Hour | Sent::Load => continue,
            };
            let kind = quoted(&good.name);
            let _ = writeln!(
                own,
                "            Contents(parts: [{parts}], kinds: {kind}, at_least: {count}, at_most: {count}),"
            );
        }
        if !own.is_empty() {
            let variant = quoted(haul.sent.variant());
            let _ = writeln!(
                text,
                "        OnlyFor(variant: {variant}, goals: [\n{own}        ]),"
            );
        }
    }
    text.push_str("    ],\n");
}

/// The parts in which each good rests, as a scenario lists them. Goods with several slices rest in all of
/// them.
fn homes(plan: &Plan) -> Vec<String> {
    let mut homes = vec![Vec::new(); plan.catalogue.goods.len()];
    for section in &plan.sections {
        let levels = plan
            .hall
            .slice(section.sort)
            .map(crate::hall::Slice::levels);
        let slices = &plan.allocation.lines[section.sort.index()].slices;
        for (at, number) in plan.used_slices(section) {
            let slice = format!("{}[{at}].level[*]", section.name);
            for good in &slices[number] {
                homes[*good].push(quoted(&format!("{slice}.chest")));
                if levels.is_some_and(|levels| levels > 1) {
                    homes[*good].push(quoted(&format!("{slice}.under")));
                }
            }
        }
    }
    homes.into_iter().map(|parts| parts.join(", ")).collect()
}
