//! What went wrong in a run that is there already, with where and when each of it shows.

use hallwright_analysis::ways::Ways;
use hallwright_core::engine::Engine;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Goal, Mark};
use hallwright_report::findings::{Findings, StopFinding};
use hallwright_report::goals::{Verdict, mark_words};
use hallwright_report::units::time;
use hallwright_report::{RunInput, setup_for};

use crate::by_order::InOtherOrders;
use crate::history::History;
use crate::shorten::mark_ticks;
use crate::stop;
use crate::troubles::{Scene, Trouble, TroubleCause, is_reported, troubles};
use crate::way_words::where_most;
use crate::words::cause_words;

/// Of what a slow stop was spent on, so many causes are named.
const SPENT: usize = 2;

/// What came off badly in a run with these findings. No other orders are tried, so that `by_order` is `None`.
///
/// # Panics
///
/// If an invariant broke: a bug.
#[must_use]
pub fn shown(input: &RunInput<'_>, findings: &Findings) -> Vec<Trouble> {
    if findings.verdicts.iter().all(Verdict::is_met) {
        return Vec::new();
    }
    let first = findings.stops.first();
    let pulses_at = first.and_then(|found| stop::tick_before_mark(found, Mark::SafeToClose));
    let history = stop::record(input, pulses_at);
    let setup = setup_for(input);
    let mut engine = Engine::new(input.network, &setup);
    engine.run_unwatched(Tick(input.run_ticks));
    let ways = Ways::new(input.network);
    let hall = (input.network, input.declarations);
    let scene = Scene::new(hall, &setup, findings, &history, &ways, &engine.view());
    let mut found = troubles(&scene, &InOtherOrders::default());
    let marks = [Mark::Cleared, Mark::SafeToClose, Mark::Quiet];
    add_late(&mut found, &marks, (input, findings), &history);
    found
}

/// Says first of each goal about one of these marks of the whole hall what the time of the stops that missed it was
/// spent on.
pub(crate) fn add_late(
    found: &mut [Trouble],
    marks: &[Mark],
    (input, findings): (&RunInput<'_>, &Findings),
    history: &History,
) {
    let verdicts = findings.verdicts.iter();
    let asked = verdicts.filter(|verdict| is_reported(verdict));
    for (trouble, verdict) in found.iter_mut().zip(asked) {
        let goal = verdict
            .goal
            .and_then(|goal| input.declarations.goals.get(goal));
        if let Some(Goal::MarkWithin {
            mark,
            ticks,
            section: None,
        }) = goal
            && marks.contains(mark)
        {
            // Of other stops than the first, it is not known what was under way before they were safe.
            let most = match mark {
                Mark::SafeToClose => 1,
                _ => findings.stops.len(),
            };
            let stops = findings.stops.iter().take(most);
            let late = stops.filter_map(|found| late(input, found, history, (*mark, *ticks)));
            trouble.causes.splice(0..0, late);
        }
    }
}

/// Why a stop reached a mark later than so many ticks after it; `None` if it did not.
fn late(
    input: &RunInput<'_>,
    found: &StopFinding,
    history: &History,
    (mark, most_ticks): (Mark, u64),
) -> Option<TroubleCause> {
    let tps = input.network.rules().ticks_per_second;
    let ticks = mark_ticks(&found.all, mark);
    if ticks.is_some_and(|ticks| ticks <= most_ticks) {
        return None;
    }
    let at = time(found.at.0, tps);
    let what = match ticks {
        Some(ticks) => format!(
            "stopped at {at}: {} only {} later, not within {}",
            mark_words(mark),
            time(ticks, tps),
            time(most_ticks, tps)
        ),
        None => format!("stopped at {at}: never {}", mark_words(mark)),
    };
    let spent = stop::spent_on(input, found, history, mark);
    let why = spent.iter().take(SPENT).map(|sum| {
        let (ticks, cause) = (time(sum.ticks, tps), cause_words(sum.cause));
        format!("{ticks} of it are {cause}, {}", where_most(sum))
    });
    Some(TroubleCause {
        what: vec![what],
        why: why.collect(),
        could: Vec::new(),
        part: spent.first().map(|sum| sum.most_at.clone()),
        at: Some(found.at + most_ticks),
    })
}
