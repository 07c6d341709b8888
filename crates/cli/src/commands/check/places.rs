//! Where the part stands in the files at which a goal was missed: its worst run is made again and explained.

use std::cmp::Ordering;

use hallwright_core::id::PartId;
use hallwright_declared::declarations::Goal;
use hallwright_explain::shown;
use hallwright_scenario::load;
use hallwright_trials::check::{CheckReport, GoalChecked, PartPlace};

use crate::runs::LoadedScenario;

/// So many misses are looked at, the worst first: no more are shown one by one.
const MOST: usize = 9;

/// Finds the parts of the worst misses. The scenarios are those of the report, in its order.
pub(super) fn find(report: &mut CheckReport, subjects: &[LoadedScenario]) {
    let each = report.checked.iter_mut().zip(subjects);
    let missed = each.flat_map(|(checked, subject)| {
        let goals = checked.fold.goals.iter_mut();
        goals
            .filter(|goal| !goal.is_ok())
            .map(move |goal| (goal, subject))
    });
    let mut missed: Vec<(&mut GoalChecked, &LoadedScenario)> = missed.collect();
    missed.sort_by(|(one, _), (other, _)| severest_first(one, other));
    for (goal, subject) in missed.into_iter().take(MOST) {
        goal.worst.part = place_of(goal, subject);
    }
}

fn severest_first(one: &GoalChecked, other: &GoalChecked) -> Ordering {
    other.worst.severity.total_cmp(&one.worst.severity)
}

fn place_of(goal: &GoalChecked, subject: &LoadedScenario) -> Option<PartPlace> {
    let run = subject.run(&goal.worst.case);
    let troubles = shown(&run.input(), &run.findings());
    let trouble = troubles
        .into_iter()
        .find(|trouble| trouble.verdict == goal.worst.words)?;
    let part = trouble.causes.into_iter().find_map(|cause| cause.part);
    let network = &subject.scenario().network;
    let id = match part {
        Some(part) => network.find(&part)?,
        None => asked_of(goal, subject)?,
    };
    let part = network.name(id).to_owned();
    let loaded = load(&subject.path, &subject.options());
    let (file, line) = loaded.place_of(id)?;
    let file = file.to_owned();
    Some(PartPlace { part, file, line })
}

/// The part that the goal itself names, the first of several.
fn asked_of(goal: &GoalChecked, subject: &LoadedScenario) -> Option<PartId> {
    let declared = &subject.scenario().declarations;
    match declared.goals.get(goal.worst.verdict.goal?)? {
        Goal::Contents { parts, .. } => parts.first().copied(),
        Goal::LampRise { lamp, .. } => Some(declared.lamps.get(*lamp)?.signal),
        _ => None,
    }
}
