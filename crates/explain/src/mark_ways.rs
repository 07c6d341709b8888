//! The ways to all marks of a stop: of the whole hall, and of each section.

use hallwright_declared::declarations::Mark;

use super::explanation::StopPath;
use super::shorten::mark_ticks;
use super::stop::{Asked, explain_stop, record, tick_before_mark};
use hallwright_report::RunInput;
use hallwright_report::findings::{Findings, Marks, StopFinding};

/// How many times are tried shorter for the hall's being safe to close, and for any other mark.
const TRIED: [usize; 2] = [3, 1];
/// Each time that is tried shorter takes about so many runs.
const RUNS_A_TRIAL: u64 = 10;

/// The way to one mark.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct MarkWay {
    /// The section's number, in the order of declaration; `None` for the whole hall.
    pub section: Option<usize>,
    /// The way. What is stuck is not looked for.
    pub path: StopPath,
    /// Whether shorter times were tried for it.
    pub is_tried: bool,
}

/// The ways to the marks of one stop, `stop` being its number: first those of the whole hall, then those of the
/// sections, the slowest first. None where there is no such stop. Shorter times are tried as long as that takes no more than
/// `most_work` of ticks times parts; of a section, for its last mark alone.
///
/// # Panics
///
/// If an invariant broke: a bug.
#[must_use]
pub fn mark_ways(
    input: &RunInput<'_>,
    findings: &Findings,
    stop: usize,
    most_work: u64,
) -> Vec<MarkWay> {
    let Some(found) = findings.stops.get(stop) else {
        return Vec::new();
    };
    // Nothing after the last mark is on the way to it.
    let sections = found.sections.iter().map(|section| &section.marks);
    let last = sections
        .chain([&found.all])
        .flat_map(ticks_of)
        .flatten()
        .max();
    let recorded = RunInput {
        run_ticks: input.run_ticks.min(found.at.0 + last.unwrap_or(0) + 1),
        ..input.clone()
    };
    let pulses_at = tick_before_mark(found, Mark::SafeToClose);
    let history = record(&recorded, pulses_at);
    let run_work = input.network.part_count() as u64 * found.watched_until.0;
    let mut work_left = most_work;
    let mut tried = |most: usize| -> usize {
        let each = run_work.max(1) * RUNS_A_TRIAL;
        let affordable = usize::try_from(work_left / each).unwrap_or(usize::MAX);
        let tried = most.min(affordable);
        work_left -= each * tried as u64;
        tried
    };
    let hall = [Mark::SafeToClose, Mark::Cleared, Mark::Quiet];
    let hall = hall.map(|mark| (None, mark, TRIED[usize::from(mark != Mark::SafeToClose)]));
    let sections = slowest_first(found).into_iter().flat_map(|number| {
        let marks = [Mark::Cleared, Mark::SafeToClose, Mark::Quiet];
        // Which comes last is what there is to win.
        let ticks = |mark: &Mark| mark_ticks(&found.sections[number].marks, *mark);
        let last = marks.into_iter().max_by_key(ticks);
        marks.map(|mark| {
            let most = if Some(mark) == last { TRIED[1] } else { 0 };
            (Some(number), mark, most)
        })
    });
    let asked = hall.into_iter().chain(sections);
    asked
        .filter_map(|(section, mark, most)| {
            let asked = Asked {
                stop,
                section,
                mark,
                most_tried: tried(most),
            };
            let path = explain_stop(input, findings, &history, asked)?;
            let is_tried = asked.most_tried > 0;
            Some(MarkWay {
                section,
                path,
                is_tried,
            })
        })
        .collect()
}

/// The numbers of the sections of a stop: those that never reach a mark first, then those that take longest.
#[must_use]
pub fn slowest_first(found: &StopFinding) -> Vec<usize> {
    let mut numbers: Vec<usize> = (0..found.sections.len()).collect();
    numbers.sort_by_key(|number| {
        let marks = ticks_of(&found.sections[*number].marks);
        let last = marks.map(|ticks| ticks.unwrap_or(u64::MAX)).into_iter();
        std::cmp::Reverse(last.max())
    });
    numbers
}

/// Ticks from a stop to its three marks.
fn ticks_of(marks: &Marks) -> [Option<u64>; 3] {
    [Mark::Cleared, Mark::SafeToClose, Mark::Quiet].map(|mark| mark_ticks(marks, mark))
}
