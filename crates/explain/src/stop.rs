//! Why a stop took as long as it did.

use hallwright_analysis::ways::Ways;
use hallwright_core::engine::Engine;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Mark;

use super::explanation::{CauseSum, StopPath};
use super::fold::{self, Places};
use super::history::History;
use super::last::{last_before, last_of_section};
use super::shorten::{mark_ticks, shorter};
use super::stuck::{Stuck, stuck};
use super::walk::{Path, Step, walk};
use hallwright_report::findings::{Findings, Marks, StopFinding};
use hallwright_report::{RunInput, setup_for};
use hallwright_words::{moves_later, obstacles};

/// The tick before that in which the mark was reached: what was under way at its end was in the way.
pub(super) fn tick_before_mark(found: &StopFinding, mark: Mark) -> Option<Tick> {
    let ticks = mark_ticks(&found.all, mark)?;
    (ticks > 0).then(|| found.at + (ticks - 1))
}

/// Which mark of which stop is explained.
#[derive(Clone, Copy, Debug)]
pub(super) struct Asked {
    /// The stop's number.
    pub(super) stop: usize,
    /// The number of the section whose mark it is; `None` for the whole hall.
    pub(super) section: Option<usize>,
    /// The mark.
    pub(super) mark: Mark,
    /// How many times are tried shorter, at most.
    pub(super) most_tried: usize,
}

impl Asked {
    /// The marks that it is one of.
    pub(super) fn marks(self, found: &StopFinding) -> Option<&Marks> {
        match self.section {
            None => Some(&found.all),
            Some(section) => Some(&found.sections.get(section)?.marks),
        }
    }
}

/// Explains a mark of a stop from the history of the run, but for what is stuck.
///
/// # Panics
///
/// If the waits do not add up to the time from the stop to the mark: a bug.
pub(super) fn explain_stop(
    input: &RunInput<'_>,
    findings: &Findings,
    history: &History,
    asked: Asked,
) -> Option<StopPath> {
    let mark = asked.mark;
    let found = findings.stops.get(asked.stop)?;
    let ticks = mark_ticks(asked.marks(found)?, mark);
    let declared = input.declarations;
    let places = Places::new(input.network, &declared.sections);
    let start = ticks.filter(|ticks| *ticks > 0).and_then(|ticks| {
        let at = found.at + ticks;
        match asked.section {
            None => last_before(mark, at, history, declared),
            Some(section) => {
                let section = &declared.sections[section];
                last_of_section(mark, at, history, section, input.network)
            }
        }
    });
    let path = match start {
        Some(start) => walk(input.network, history, start, found.at),
        None => Path {
            steps: Vec::new(),
            from_the_stop: true,
        },
    };
    if let (Some(_), Some(ticks)) = (start, ticks) {
        check_sum(&path.steps, found.at, ticks);
    }
    let steps = &path.steps;
    let in_the_way = if ticks.is_none() && asked.section.is_none() {
        let mut left = obstacles(&found.left);
        left.extend(moves_later(found, findings.ticks_per_second));
        left
    } else {
        Vec::new()
    };
    Some(StopPath {
        at: found.at,
        mark,
        ticks,
        in_the_way,
        stuck: Vec::new(),
        from_the_stop: path.from_the_stop,
        rows: fold::rows(steps, found.at, input.network, &places),
        by_cause: fold::by_cause(steps, input.network),
        by_place: fold::by_place(steps, &places),
        shorter: ticks.map_or_else(Vec::new, |ticks| {
            // What comes after the stop's watch does not matter.
            let until = RunInput {
                run_ticks: input.run_ticks.min(found.watched_until.0 + 1),
                ..input.clone()
            };
            shorter(&until, steps, asked, ticks)
        }),
    })
}

/// What the time from a stop to a mark that it reached was spent on, the most first.
pub(super) fn spent_on(
    input: &RunInput<'_>,
    found: &StopFinding,
    history: &History,
    mark: Mark,
) -> Vec<CauseSum> {
    let ticks = mark_ticks(&found.all, mark).filter(|ticks| *ticks > 0);
    let start =
        ticks.and_then(|ticks| last_before(mark, found.at + ticks, history, input.declarations));
    let path = start.map(|start| walk(input.network, history, start, found.at));
    path.map_or_else(Vec::new, |path| fold::by_cause(&path.steps, input.network))
}

/// What still stands when the watch of the stop ends: the run is made again up to then.
pub(super) fn stuck_at(
    input: &RunInput<'_>,
    history: &History,
    ways: &Ways,
    found: &StopFinding,
) -> Vec<Stuck> {
    let setup = setup_for(input);
    let mut engine = Engine::new(input.network, &setup);
    engine.run_unwatched(found.watched_until);
    let view = engine.view();
    stuck(input.declarations, ways, history, &view, found.at)
}

/// The steps follow each other without a gap, from the stop to the mark.
fn check_sum(steps: &[Step], stop: Tick, ticks: u64) {
    let mut at = stop;
    for step in steps {
        assert!(
            step.from == at && step.until >= step.from,
            "the waits of a stop follow each other: {at} is followed by {step:?}"
        );
        at = step.until;
    }
    assert_eq!(at, stop + ticks, "the waits of a stop add up to its time");
}

/// Records a run for explaining it.
pub(super) fn record(input: &RunInput<'_>, pulses_at: Option<Tick>) -> History {
    let setup = setup_for(input);
    History::record(input.network, &setup, input.run_ticks, pulses_at)
}
