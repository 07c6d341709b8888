//! Which ticks of a run the record keeps exactly, where it cannot keep them all.

use hallwright_core::engine::View;
use hallwright_core::event::{Event, Moment, Observer};

use hallwright_report::findings::{Findings, StopFinding};

/// Ticks kept before and after what must be seen.
const MARGIN_TICKS: u64 = 100;
/// The most coarse looks at the state in a run.
const MOST_LOOKS: u64 = 400;
/// What a kept event and its changes take in the page, in bytes: measured on the granary.
const BYTES_AN_EVENT: u64 = 6;
/// What a part that changed takes in a coarse look, in bytes.
const BYTES_A_PART: u64 = 8;
/// How many losses have their surroundings kept.
const LOSSES: usize = 3;

/// The ticks that are kept exactly, and how often the state is looked at in the others.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Spans {
    /// From the first tick up to, not including, the second; ascending, apart from each other.
    pub(super) exact: Vec<(u64, u64)>,
    /// Ticks between two looks outside of these.
    pub(super) step_ticks: u64,
    /// How long the run is.
    pub(super) run_ticks: u64,
}

impl Spans {
    /// Keeps everything.
    pub(super) fn all(run_ticks: u64) -> Self {
        Self {
            exact: vec![(0, run_ticks)],
            step_ticks: 1,
            run_ticks,
        }
    }

    /// Whether everything is kept.
    pub(super) fn is_whole(&self) -> bool {
        self.exact == [(0, self.run_ticks)]
    }

    /// Whether the state at the end of a tick is kept.
    pub(super) fn is_exact(&self, tick: u64) -> bool {
        let spans = self.exact.iter();
        spans.clone().any(|(from, to)| (*from..*to).contains(&tick))
    }

    /// Whether an event is reported. Losses always are.
    pub(super) fn keeps_event(&self, tick: u64, event: &Event) -> bool {
        matches!(event, Event::Lost { .. }) || self.is_exact(tick)
    }

    /// The tick in which to look at the state, of ticks in which nothing happened but in the first.
    pub(super) fn looks_in(&self, from: u64, until: u64) -> Option<u64> {
        let on_grid = until.div_ceil(self.step_ticks) > from.div_ceil(self.step_ticks);
        let begins = |(start, _): &(u64, u64)| (from..until).contains(start);
        (on_grid || self.is_exact(from) || self.exact.iter().any(begins)).then_some(from)
    }

    /// Ticks that are kept exactly.
    pub(super) fn exact_ticks(&self) -> u64 {
        self.exact.iter().map(|(from, to)| to - from).sum()
    }
}

/// Counts what a record of the run would have to hold.
pub(super) struct Survey {
    /// Events up to the end of each tick.
    sums: Vec<u64>,
    events: u64,
    is_active: Vec<bool>,
}

impl Survey {
    pub(super) fn new(part_count: usize, run_ticks: u64) -> Self {
        Self {
            sums: Vec::with_capacity(usize::try_from(run_ticks).unwrap_or(0)),
            events: 0,
            is_active: vec![false; part_count],
        }
    }

    /// Chooses what to keep in so many bytes.
    pub(super) fn plan(&self, found: &Findings, budget_bytes: u64) -> Spans {
        let run_ticks = found.run_ticks;
        if self.events * BYTES_AN_EVENT <= budget_bytes {
            return Spans::all(run_ticks);
        }
        let active = self.is_active.iter().filter(|active| **active).count() as u64;
        let looks = (budget_bytes / 4 / (active.max(1) * BYTES_A_PART)).clamp(4, MOST_LOOKS);
        let spans = |exact| Spans {
            exact,
            step_ticks: run_ticks.div_ceil(looks).max(1),
            run_ticks,
        };
        let wanted = wanted(found);
        let affordable = budget_bytes * 3 / 4 / BYTES_AN_EVENT;
        // Everything that should be seen and as much around it as can be paid for; if not even that
        // can be, the first part of each.
        let padded = |ticks: u64| {
            let grown = wanted.iter();
            let grown = grown.map(|(from, to)| (from.saturating_sub(ticks), to + ticks));
            apart(grown.collect(), run_ticks)
        };
        let cut = |ticks: u64| {
            let begun = wanted.iter();
            let begun = begun.map(|(from, to)| (*from, (*to).min(from + ticks)));
            apart(begun.collect(), run_ticks)
        };
        let fits = |exact: &[(u64, u64)]| self.events_in(exact) <= affordable;
        if fits(&padded(0)) {
            spans(padded(most(run_ticks, |ticks| fits(&padded(ticks)))))
        } else {
            spans(cut(most(run_ticks, |ticks| fits(&cut(ticks)))))
        }
    }

    fn events_in(&self, spans: &[(u64, u64)]) -> u64 {
        let before = |tick: u64| {
            let index = usize::try_from(tick).unwrap_or(usize::MAX);
            let index = index.min(self.sums.len());
            if index == 0 { 0 } else { self.sums[index - 1] }
        };
        let events = spans.iter().map(|(from, to)| before(*to) - before(*from));
        events.sum()
    }
}

impl Observer for Survey {
    fn event(&mut self, _moment: Moment, event: &Event, _view: &View<'_>) {
        self.events += 1;
        let part = match *event {
            Event::SignalChanged { signal: part, .. }
            | Event::ItemMoved { to: part, .. }
            | Event::Delivered { place: part, .. } => part,
            _ => return,
        };
        self.is_active[part.index()] = true;
    }

    fn ticks_passed(
        &mut self,
        _from: hallwright_core::tick::Tick,
        until: hallwright_core::tick::Tick,
        _work_per_tick: u64,
        _view: &View<'_>,
    ) {
        let until = usize::try_from(until.0).unwrap_or(usize::MAX);
        self.sums.resize(until, self.events);
    }
}

/// What should be seen: each stop up to its last mark, each restart until all is sorted, the first
/// losses; if there is none of it, the start.
fn wanted(found: &Findings) -> Vec<(u64, u64)> {
    let around = |from: u64, to: u64| (from.saturating_sub(MARGIN_TICKS), to + MARGIN_TICKS);
    let mut wanted: Vec<(u64, u64)> = found
        .stops
        .iter()
        .map(|stop| around(stop.at.0, stop.at.0 + last_mark_ticks(stop)))
        .collect();
    let resumes = found.stops.iter().filter_map(|stop| stop.resume.as_ref());
    wanted.extend(resumes.map(|resume| around(resume.at.0, resume.at.0)));
    let losses = found.loss.rows.iter().take(LOSSES);
    wanted.extend(losses.map(|loss| around(loss.at.0, loss.at.0)));
    if wanted.is_empty() {
        wanted.push((0, 1));
    }
    wanted
}

/// The latest of a stop's marks that came, in ticks after the stop.
fn last_mark_ticks(stop: &StopFinding) -> u64 {
    let marks = [
        stop.all.cleared_ticks,
        stop.all.safe_to_close_ticks,
        stop.all.quiet.ticks,
    ];
    marks.into_iter().flatten().max().unwrap_or(0)
}

/// The spans sorted, within the run, and those that touch made one.
fn apart(mut spans: Vec<(u64, u64)>, run_ticks: u64) -> Vec<(u64, u64)> {
    spans.sort_unstable();
    let mut apart: Vec<(u64, u64)> = Vec::new();
    for (from, to) in spans {
        let to = to.min(run_ticks);
        if from >= to {
            continue;
        }
        match apart.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(to),
            _ => apart.push((from, to)),
        }
    }
    apart
}

/// The greatest number up to a limit for which this holds, if it holds for all below it.
fn most(limit: u64, holds: impl Fn(u64) -> bool) -> u64 {
    let (mut least, mut most) = (0, limit);
    while least < most {
        let middle = least + (most - least).div_ceil(2);
        if holds(middle) {
            least = middle;
        } else {
            most = middle - 1;
        }
    }
    least
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_that_touch_become_one() {
        assert_eq!(
            apart(vec![(50, 80), (0, 20), (20, 30), (90, 200)], 100),
            [(0, 30), (50, 80), (90, 100)]
        );
    }

    #[test]
    fn the_state_is_looked_at_where_it_is_exact_and_now_and_then_elsewhere() {
        let spans = Spans {
            exact: vec![(50, 60)],
            step_ticks: 40,
            run_ticks: 100,
        };
        let looked: Vec<u64> = (0..100)
            .filter(|tick| spans.looks_in(*tick, tick + 1).is_some())
            .collect();
        let mut expected = vec![0, 40];
        expected.extend(50..60);
        expected.push(80);
        assert_eq!(looked, expected);
        // A leap over the begin of a span is looked at, for what was noted before it.
        assert_eq!(spans.looks_in(45, 52), Some(45));
    }

    #[test]
    fn the_greatest_that_holds_is_found() {
        assert_eq!(most(100, |number| number * number <= 50), 7);
        assert_eq!(most(100, |_| true), 100);
        assert_eq!(most(100, |number| number == 0), 0);
    }
}
