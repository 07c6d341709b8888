//! Goals whose bound nothing can break.

use hallwright_core::id::KindId;
use hallwright_declared::declarations::Goal;

use super::comes::items_of_each_kind;
use super::{About, Design, Finding, Rule};

/// Finds goals that every run meets, or that ask no more than that something happens at all.
pub(super) fn find_idle_bounds(design: &Design<'_>, found: &mut Vec<Finding>) {
    let items = items_of_each_kind(design);
    let goals = design.declarations.goals.iter().enumerate();
    found.extend(goals.filter_map(|(index, goal)| {
        let why = why_idle(goal, &items, design.run_ticks)?;
        let words = format!("the bound of this goal cannot be broken: {why}");
        let help = "bound what must not be, as closely as it is meant";
        let about = About::Goal(index);
        Some(Finding::new(Rule::GoalAlwaysMet, about, words, help))
    }));
}

/// Why nothing can break the bound of a goal; `None` if something can, or if it cannot be said.
fn why_idle(goal: &Goal, items: &[u64], run_ticks: u64) -> Option<String> {
    let sum = |items: &mut dyn Iterator<Item = &u64>| {
        items.fold(0, |sum: u64, one| sum.saturating_add(*one))
    };
    let all = sum(&mut items.iter());
    let beyond = |most: &u64, all: u64| {
        let is_idle = *most > 0 && *most >= all;
        is_idle.then(|| format!("there are no more than {all} items in all"))
    };
    let longer = |ticks: &u64| {
        let is_idle = *ticks >= run_ticks;
        is_idle.then(|| "no run takes longer".to_owned())
    };
    match goal {
        Goal::MisplacedAtMost(most)
        | Goal::PassedByAtMost(most)
        | Goal::LostAtMost(most)
        | Goal::RefusedAtMost(most)
        | Goal::StuckAtMost(most)
        | Goal::BackedUpAtMost(most)
        | Goal::InNoStoreAtMost(most)
        | Goal::GoingRoundAtMost(most)
        | Goal::LeftBehindAtMost(most) => beyond(most, all),
        Goal::ThroughputAtLeast {
            items_per_second, ..
        } => (*items_per_second <= 0.0).then(|| "no throughput is below 0".to_owned()),
        Goal::LockCoverAtLeast { share, .. } => {
            (*share <= 0.0).then(|| "no share is below 0".to_owned())
        }
        Goal::RequestWithin { ticks, .. }
        | Goal::MarkWithin { ticks, .. }
        | Goal::CallIdleAtMost { ticks, .. } => longer(ticks),
        Goal::Contents {
            kinds,
            at_least,
            at_most,
            ..
        } => {
            let counted = |kind: &KindId| items.get(kind.index());
            let there = match kinds.is_empty() {
                true => all,
                false => sum(&mut kinds.iter().filter_map(counted)),
            };
            let least_is_idle = at_least.is_none_or(|least| least == 0);
            match (least_is_idle, at_most) {
                (true, None) => Some("nothing holds less than 0 items".to_owned()),
                (true, Some(most)) => beyond(most, there),
                (false, _) => None,
            }
        }
        // What a lamp is asked for is that it rises; work and hoppers have no highest value.
        Goal::SievesBrokenAtMost(_)
        | Goal::PartStacksOutAtMost { .. }
        | Goal::WorkPerTickAtMost(_)
        | Goal::HoppersPerBlockAtMost(_)
        | Goal::StopsNotSafeAtMost(_)
        | Goal::WithoutHome(_)
        | Goal::SharedHome(_)
        | Goal::Crowded(_)
        | Goal::Buildable(_)
        | Goal::LampRise { .. } => None,
    }
}
