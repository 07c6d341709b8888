//! Lamps: when they rise and fall, and what lies then in what they watch.

use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Lamp;
use serde::{Deserialize, Serialize};

use super::ledger::{Ledger, distinct};
use super::whereabouts::items_in;
use crate::findings::{LampChange, LampFinding};
use hallwright_analysis::groups::Groups;

/// Watches the declared lamps.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct LampMeasure {
    groups: Groups,
    watched: Vec<Vec<PartId>>,
    found: Vec<LampFinding>,
}

/// The boxes in some parts.
fn boxes_in(parts: &[PartId], view: &View<'_>) -> u64 {
    let parts = distinct(parts, view).into_iter();
    let stacks = parts.flat_map(|part| items_in(part, view));
    stacks
        .filter(|(item, _)| item.box_id.is_some())
        .map(|(_, count)| count)
        .sum()
}

impl LampMeasure {
    pub(crate) fn new(lamps: &[Lamp], view: &View<'_>) -> Self {
        let signals = lamps.iter().map(|lamp| std::slice::from_ref(&lamp.signal));
        let start = |lamp: &Lamp| LampFinding {
            name: lamp.name.clone(),
            first_rise: None,
            first_rise_boxes: 0,
            rises: 0,
            falls: 0,
            changes: Vec::new(),
            is_on: view.level(lamp.signal) > 0,
        };
        Self {
            groups: Groups::new(view.network().part_count(), signals),
            watched: lamps.iter().map(|lamp| lamp.watches.clone()).collect(),
            found: lamps.iter().map(start).collect(),
        }
    }

    /// The signals that it watches, by lamp.
    pub(crate) fn groups(&self) -> &Groups {
        &self.groups
    }

    pub(crate) fn event(&mut self, at: Tick, event: &Event, ledger: &Ledger, view: &View<'_>) {
        let Event::SignalChanged { signal, level } = *event else {
            return;
        };
        for index in self.groups.of(signal) {
            let lamp = &mut self.found[index];
            let rose = level > 0;
            // From one level to another of a lamp that is on is neither a rise nor a fall.
            if rose == lamp.is_on {
                continue;
            }
            lamp.is_on = rose;
            let change = LampChange {
                at,
                rose,
                watched_items: ledger.held_by(&self.watched[index], view),
            };
            if rose {
                lamp.rises += 1;
                if lamp.first_rise.is_none() {
                    lamp.first_rise = Some(change);
                    lamp.first_rise_boxes = boxes_in(&self.watched[index], view);
                }
            } else {
                lamp.falls += 1;
            }
            if lamp.changes.len() < LampFinding::CHANGES {
                lamp.changes.push(change);
            }
        }
    }

    pub(crate) fn finish(self) -> Vec<LampFinding> {
        self.found
    }
}
