//! Lock cover: of the hopper-ticks in which a section's call is off, the share spent locked.
//!
//! A tick counts by its end. A section without a call counts all ticks.

use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Section;
use serde::{Deserialize, Serialize};

use super::sections::Sections;
use crate::units::Share;
use hallwright_analysis::groups::Groups;

/// Adds up the hopper-ticks of every section.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct LockCoverMeasure {
    calls: Groups,
    sections: Vec<Cover>,
}

/// One section, added up to `counted_until`; what holds since then is added when it changes.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
struct Cover {
    hoppers: u64,
    locked: u64,
    call_is_off: bool,
    counted_until: Tick,
    share: Share,
}

impl Cover {
    fn count_until(&mut self, tick: Tick) {
        let ticks = tick - self.counted_until;
        if self.call_is_off {
            self.share.whole += self.hoppers * ticks;
            self.share.part += self.locked * ticks;
        }
        self.counted_until = tick;
    }
}

impl LockCoverMeasure {
    pub(crate) fn new(declared: &[Section], sections: &Sections, view: &View<'_>) -> Self {
        let calls: Vec<Vec<PartId>> = declared
            .iter()
            .map(|section| section.call.into_iter().collect())
            .collect();
        let covers = declared.iter().zip(sections.states());
        Self {
            calls: Groups::new(view.network().part_count(), calls.iter().map(Vec::as_slice)),
            sections: covers
                .map(|(section, state)| Cover {
                    hoppers: state.lockable,
                    locked: state.lockable - state.unlocked,
                    call_is_off: section.call.is_none_or(|call| view.level(call) == 0),
                    counted_until: Tick(0),
                    share: Share::default(),
                })
                .collect(),
        }
    }

    /// The signals that it watches, by section.
    pub(crate) fn groups(&self) -> &Groups {
        &self.calls
    }

    pub(crate) fn event(&mut self, tick: Tick, event: &Event, sections: &Sections) {
        match *event {
            Event::SignalChanged { signal, level } => {
                for section in self.calls.of(signal) {
                    let cover = &mut self.sections[section];
                    cover.count_until(tick);
                    cover.call_is_off = level == 0;
                }
            }
            Event::Locked { part } | Event::Unlocked { part } => {
                for section in sections.locked_by(part) {
                    let cover = &mut self.sections[section];
                    cover.count_until(tick);
                    cover.locked = cover.hoppers - sections.states()[section].unlocked;
                }
            }
            _ => {}
        }
    }

    /// The cover of each section up to the end of the run.
    pub(crate) fn finish(mut self, end: Tick) -> Vec<Share> {
        let covers = self.sections.iter_mut();
        covers
            .map(|cover| {
                cover.count_until(end);
                cover.share
            })
            .collect()
    }
}
