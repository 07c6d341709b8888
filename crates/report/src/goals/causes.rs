//! Why what is judged of every run came off as it did: where goods are stuck, what was refused, which
//! kinds have no home.

use std::collections::BTreeSet;

use hallwright_core::id::KindId;
use hallwright_declared::declarations::{Declarations, Goal};

use super::{Bound, Check, Verdict};
use crate::figures::{Amount, Quantity, Unit};
use crate::findings::{Fate, Measured, SiteProblemFinding};
use crate::units::time;
use crate::verdicts::Ruling;
use crate::words::{homes_words, refusal_words, stay_words, why_never};
use hallwright_analysis::homes::KindHomes;

/// Allows as many kinds, places or problems as there are of those that the goal names, and says which of its
/// allowances were not used. Comes before the ruling.
pub(super) fn allow_named(
    verdict: &mut Verdict,
    goal: &Goal,
    kind_names: &[String],
    found: &Measured,
) {
    let (all, allowed, unit, not_used) = match (goal, named(goal), &found.site) {
        (_, Some((named, is_so)), _) => {
            let all = found.homes.iter().filter(|kind| is_so(kind));
            let all: BTreeSet<&str> = all.map(|kind| kind.kind.as_str()).collect();
            let names = named.iter().map(|kind| kind_names[kind.index()].as_str());
            let (used, not_used): (Vec<&str>, Vec<&str>) =
                names.partition(|name| all.contains(name));
            let not_used = (!not_used.is_empty()).then(|| not_used.join(", "));
            (all.len(), used.len(), Unit::Kinds, not_used)
        }
        (Goal::Crowded(named), ..) => {
            let places = found.crowded.iter();
            let used = places.filter(|place| place.is_allowed).count();
            let not_used = named.len().saturating_sub(used);
            let not_used = (not_used > 0).then(|| format!("{not_used} of {}", named.len()));
            let (all, used) = beyond(found.crowded.len(), used);
            (all, used, Unit::Places, not_used)
        }
        (Goal::Buildable(named), _, Some(site)) => {
            let used = site.problems.len() - site.not_allowed().count();
            let not_used = (used == 0 && !named.is_empty()).then(|| "all".to_owned());
            let (all, used) = beyond(site.problems.len(), used);
            (all, used, Unit::Problems, not_used)
        }
        _ => return,
    };
    let measured = Quantity {
        amount: Amount::Count(all as u64),
        unit,
    };
    verdict.checks = vec![Check {
        measured,
        bound: Bound::AtMost(allowed as f64),
        stop: None,
    }];
    if let Some(not_used) = not_used {
        let remarks = verdict.remark.take().into_iter();
        let remarks = remarks.chain([format!("allowances not used: {not_used}")]);
        verdict.remark = Some(remarks.collect::<Vec<String>>().join("; "));
    }
}

/// How many there are and how many of them are allowed; once some are not, only these.
fn beyond(all: usize, allowed: usize) -> (usize, usize) {
    match all - allowed {
        0 => (all, allowed),
        others => (others, 0),
    }
}

/// Leaves a goal about all stops unjudged if the run did not come to all of them.
pub(super) fn count_stops(
    verdict: &mut Verdict,
    goal: &Goal,
    declared: &Declarations,
    found: &Measured,
) {
    let (all, reached) = (declared.stops.len(), found.stops.len());
    if matches!(goal, Goal::StopsNotSafeAtMost(_)) && reached < all {
        verdict.checks.clear();
        verdict.remark = Some(format!(
            "the run ends before {} of {all} stops",
            all - reached
        ));
    }
}

/// The kinds that a goal about homes names, and what it allows them.
type Named<'g> = (&'g [KindId], fn(&KindHomes) -> bool);

fn named(goal: &Goal) -> Option<Named<'_>> {
    match goal {
        Goal::WithoutHome(named) => Some((named, KindHomes::is_homeless)),
        Goal::SharedHome(named) => Some((named, KindHomes::is_shared)),
        _ => None,
    }
}

/// Adds why it came off so. Comes after the ruling.
pub(super) fn add(verdict: &mut Verdict, goal: &Goal, declared: &Declarations, found: &Measured) {
    if let Some((named, is_so)) = named(goal) {
        let rows = found.homes.iter().filter(|kind| is_so(kind));
        // What is allowed is no cause of a miss.
        let is_allowed = |kind: &KindHomes| {
            let mut named = named.iter();
            named.any(|named| found.kind_names[named.index()] == kind.kind)
        };
        let is_missed = verdict.ruling == Ruling::Missed;
        let rows = rows.filter(|kind| !(is_missed && is_allowed(kind)));
        verdict.why = rows.map(|kind| homes_words(kind, declared)).collect();
        return;
    }
    if let Goal::Crowded(_) = goal {
        let rows = found.crowded.iter();
        verdict.why = rows.map(|place| place.words.clone()).collect();
        return;
    }
    if let (Goal::Buildable(_), Some(site)) = (goal, &found.site) {
        // Once something is not allowed, what is would only hide it.
        let is_missed = verdict.ruling == Ruling::Missed;
        let rows = site.problems.iter();
        let rows = rows.filter(|problem| !(is_missed && problem.is_allowed));
        verdict.why = rows.map(SiteProblemFinding::in_a_line).collect();
        return;
    }
    let stays = |fate: Fate| {
        let rows = found
            .going_on
            .rows
            .iter()
            .filter(move |row| row.fate == fate);
        rows.map(stay_words).collect()
    };
    verdict.why = match goal {
        Goal::RefusedAtMost(_) => {
            let rows = found.account.refusals.iter();
            rows.map(|row| refusal_words(row, found.ticks_per_second))
                .collect()
        }
        Goal::StuckAtMost(_) => stays(Fate::Stuck),
        Goal::BackedUpAtMost(_) => stays(Fate::BackedUp),
        Goal::StopsNotSafeAtMost(_) => {
            let stops = found.stops.iter();
            let never = stops.filter(|stop| stop.all.safe_to_close_ticks.is_none());
            let rows = never.map(|stop| {
                let at = time(stop.at.0, found.ticks_per_second);
                match why_never(stop, found.ticks_per_second) {
                    Some(why) => format!("stopped at {at}: {why}"),
                    None => format!("stopped at {at}"),
                }
            });
            rows.collect()
        }
        _ => Vec::new(),
    };
}
