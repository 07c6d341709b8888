//! Resuming: how long after a restart all that was held back is sorted.

use hallwright_core::engine::View;
use hallwright_core::id::KindId;
use hallwright_core::tick::Tick;
use serde::{Deserialize, Serialize};

use super::Now;
use super::ledger::{Ledger, Move};
use super::sections::{SectionState, Sections};
use crate::findings::ResumeFinding;

/// Watches what happens after one restart.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct ResumeWatch {
    at: Tick,
    held_back: u64,
    stored_before: u64,
    misplaced_before: u64,
    lost_before: u64,
    resumed: Option<Tick>,
    sections: Vec<SectionResume>,
}

#[derive(Clone, PartialEq, Serialize, Deserialize)]
struct SectionResume {
    held_back: u64,
    left: u64,
    resumed: Option<Tick>,
}

impl ResumeWatch {
    /// Begins when everything before tick `at` is over.
    pub(crate) fn new(at: Tick, now: &Now<'_, '_>) -> Self {
        let resumed = |held_back: u64| (held_back == 0).then_some(at);
        let section = |held_back| SectionResume {
            held_back,
            left: 0,
            resumed: resumed(held_back),
        };
        let held_back = backlog_items(now.sections) + loose_outside_lines(now.sections, now.ledger);
        let states = now.sections.states().iter();
        Self {
            at,
            held_back,
            stored_before: now.stores.stored_items(),
            misplaced_before: now.stores.misplaced_arrivals(),
            lost_before: lost_items(now.view),
            resumed: resumed(held_back),
            sections: states.map(|state| section(state.backlog_items())).collect(),
        }
    }

    pub(crate) fn moved(&mut self, tick: Tick, moved: &Move, now: &Now<'_, '_>) {
        if now.stores.stored_items() - self.stored_before >= self.held_back {
            self.resumed.get_or_insert(tick);
        }
        if now.sections.has_stayed() {
            return;
        }
        for index in now.sections.left_by(moved) {
            let section = &mut self.sections[index];
            section.left += moved.leaves;
            if section.left >= section.held_back {
                section.resumed.get_or_insert(tick);
            }
        }
    }

    /// A tick is over: with no backlog left, nothing is held back any more.
    pub(crate) fn end_tick(&mut self, tick: Tick, now: &Now<'_, '_>) {
        for index in now.sections.changed() {
            if now.sections.states()[*index].backlog_items() == 0 {
                self.sections[*index].resumed.get_or_insert(tick);
            }
        }
        // With no section there is no backlog to speak of.
        let has_sections = !now.sections.states().is_empty();
        let has_backlog = || backlog_items(now.sections) > 0 || now.ledger.loose_items() > 0;
        // What was lost is not sorted, though nothing is left to sort.
        let is_whole = || lost_items(now.view) == self.lost_before;
        if self.resumed.is_none() && has_sections && !has_backlog() && is_whole() {
            self.resumed = Some(tick);
        }
    }

    pub(crate) fn finish(&self, now: &Now<'_, '_>) -> ResumeFinding {
        let ticks = |resumed: Option<Tick>| resumed.map(|tick| tick - self.at);
        let sections = self.sections.iter();
        ResumeFinding {
            at: self.at,
            held_back_items: self.held_back,
            resumed_ticks: ticks(self.resumed),
            sections: sections.map(|section| ticks(section.resumed)).collect(),
            misplaced_items: now.stores.misplaced_arrivals() - self.misplaced_before,
        }
    }
}

/// Everything lost so far, what boxes held included.
fn lost_items(view: &View<'_>) -> u64 {
    let kinds = (0..view.network().kinds().len()).map(KindId::from_index);
    kinds.map(|kind| view.lost(kind)).sum()
}

fn backlog_items(sections: &Sections) -> u64 {
    sections
        .states()
        .iter()
        .map(SectionState::backlog_items)
        .sum()
}

/// Loose items that no section's backlog counts.
fn loose_outside_lines(sections: &Sections, ledger: &Ledger) -> u64 {
    let outside = ledger
        .loose()
        .filter(|record| !sections.any_holds(record.spot));
    outside.map(|record| record.count).sum()
}
