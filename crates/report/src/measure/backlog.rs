//! Backlog over time: what waits in each section's lines and queues.

use hallwright_core::tick::Tick;
use serde::{Deserialize, Serialize};

use super::sections::Sections;
use crate::findings::Backlog;

/// The most points that a curve has.
const POINTS: u64 = 200;

/// Ticks between two points of the curves of a run of this length.
pub(crate) fn sample_ticks(run_ticks: u64) -> u64 {
    run_ticks.div_ceil(POINTS).max(1)
}

/// Samples the backlog of every section.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct BacklogMeasure {
    step_ticks: u64,
    next_sample: Tick,
    sections: Vec<Backlog>,
}

impl BacklogMeasure {
    pub(crate) fn new(sections: &Sections, run_ticks: u64) -> Self {
        let step_ticks = sample_ticks(run_ticks);
        let start = |items, boxes| Backlog {
            peak_items: items,
            peak_boxes: boxes,
            step_ticks,
            ..Backlog::default()
        };
        let states = sections.states().iter();
        Self {
            step_ticks,
            next_sample: Tick(0),
            sections: states
                .map(|state| start(state.backlog_items(), state.boxes))
                .collect(),
        }
    }

    /// The ticks from `from` to before `until` are over, and nothing changed in them but, perhaps,
    /// in the first.
    pub(crate) fn ticks_passed(&mut self, from: Tick, until: Tick, sections: &Sections) {
        for section in sections.changed() {
            let items = sections.states()[*section].backlog_items();
            let backlog = &mut self.sections[*section];
            if items > backlog.peak_items {
                backlog.peak_items = items;
                backlog.peak_boxes = sections.states()[*section].boxes;
                backlog.peak_at = from;
            }
        }
        while self.next_sample < until {
            for (backlog, state) in self.sections.iter_mut().zip(sections.states()) {
                backlog.curve_items.push(state.backlog_items());
            }
            self.next_sample = self.next_sample + self.step_ticks;
        }
    }

    pub(crate) fn finish(self, sections: &Sections) -> Vec<Backlog> {
        let mut found = self.sections;
        for (backlog, state) in found.iter_mut().zip(sections.states()) {
            backlog.final_items = state.backlog_items();
            backlog.final_boxes = state.boxes;
        }
        found
    }
}
