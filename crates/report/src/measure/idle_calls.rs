//! Idle calls: how long a section's call stayed on though nothing was in its lines and queues.
//!
//! A tick counts by its end.

use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Section;
use serde::{Deserialize, Serialize};

use super::sections::Sections;
use hallwright_analysis::groups::Groups;

/// Watches the call of every section that has one.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct IdleCallMeasure {
    calls: Groups,
    /// `None` for sections without a call.
    sections: Vec<Option<Call>>,
    /// The sections whose call changed in this tick.
    turned: Vec<usize>,
}

#[derive(Clone, PartialEq, Serialize, Deserialize)]
struct Call {
    is_on: bool,
    idle_since: Option<Tick>,
    longest_ticks: u64,
}

impl Call {
    /// The tick is over; `is_empty`: nothing waits in the section.
    fn end_tick(&mut self, tick: Tick, is_empty: bool) {
        if self.is_on && is_empty {
            self.idle_since.get_or_insert(tick);
        } else {
            self.close(tick);
        }
    }

    /// From this tick on it is not idle.
    fn close(&mut self, tick: Tick) {
        if let Some(since) = self.idle_since.take() {
            self.longest_ticks = self.longest_ticks.max(tick - since);
        }
    }
}

impl IdleCallMeasure {
    pub(crate) fn new(declared: &[Section], sections: &Sections, view: &View<'_>) -> Self {
        let calls: Vec<Vec<PartId>> = declared
            .iter()
            .map(|section| section.call.into_iter().collect())
            .collect();
        let states = declared.iter().zip(sections.states());
        let start = states.map(|(section, state)| {
            let mut call = Call {
                is_on: view.level(section.call?) > 0,
                idle_since: None,
                longest_ticks: 0,
            };
            call.end_tick(Tick(0), state.backlog_items() == 0);
            Some(call)
        });
        Self {
            calls: Groups::new(view.network().part_count(), calls.iter().map(Vec::as_slice)),
            sections: start.collect(),
            turned: Vec::new(),
        }
    }

    /// The signals that it watches, by section.
    pub(crate) fn groups(&self) -> &Groups {
        &self.calls
    }

    pub(crate) fn event(&mut self, event: &Event) {
        let Event::SignalChanged { signal, level } = *event else {
            return;
        };
        for section in self.calls.of(signal) {
            if let Some(call) = &mut self.sections[section] {
                call.is_on = level > 0;
                self.turned.push(section);
            }
        }
    }

    /// The tick `from` is over, and nothing changes in those that follow until it is reported again.
    pub(crate) fn ticks_passed(&mut self, from: Tick, sections: &Sections) {
        let turned = self.turned.drain(..);
        for section in turned.chain(sections.changed().iter().copied()) {
            if let Some(call) = &mut self.sections[section] {
                call.end_tick(from, sections.states()[section].backlog_items() == 0);
            }
        }
    }

    /// For each section the most ticks in a row, up to the end of the run.
    pub(crate) fn finish(mut self, end: Tick) -> Vec<Option<u64>> {
        let sections = self.sections.iter_mut();
        let longest = sections.map(|call| {
            let call = call.as_mut()?;
            call.close(end);
            Some(call.longest_ticks)
        });
        longest.collect()
    }
}
