//! Midway returns: how many items went round, and how many rounds that was.
//!
//! Items have no names, so a round is reported by number: it begins with an item that passes a return,
//! and is over when as many have passed as the section's line held then.

use hallwright_core::event::Event;
use hallwright_declared::declarations::Section;
use serde::{Deserialize, Serialize};

use super::sections::Sections;
use crate::findings::Returned;
use hallwright_analysis::groups::Groups;

/// Counts what passes the returns of every section.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct ReturnMeasure {
    groups: Groups,
    sections: Vec<Rounds>,
}

#[derive(Clone, Copy, PartialEq, Serialize, Deserialize)]
struct Rounds {
    has_returns: bool,
    found: Returned,
    left_in_round: u64,
}

impl ReturnMeasure {
    pub(crate) fn new(declared: &[Section], part_count: usize) -> Self {
        let returns = declared.iter().map(|section| section.returns.as_slice());
        Self {
            groups: Groups::new(part_count, returns),
            sections: declared
                .iter()
                .map(|section| Rounds {
                    has_returns: !section.returns.is_empty(),
                    found: Returned::default(),
                    left_in_round: 0,
                })
                .collect(),
        }
    }

    /// The parts that it watches, by section.
    pub(crate) fn groups(&self) -> &Groups {
        &self.groups
    }

    /// Begins to count anew.
    pub(crate) fn reset(&mut self) {
        for rounds in &mut self.sections {
            rounds.found = Returned::default();
            rounds.left_in_round = 0;
        }
    }

    #[inline]
    pub(crate) fn event(&mut self, event: &Event, sections: &Sections) {
        let (Event::ItemMoved { from: part, .. } | Event::Thrown { dropper: part, .. }) = *event
        else {
            return;
        };
        for section in self.groups.of(part) {
            let rounds = &mut self.sections[section];
            if rounds.left_in_round == 0 {
                rounds.found.rounds += 1;
                rounds.left_in_round = sections.states()[section].line_items.max(1);
            }
            rounds.left_in_round -= 1;
            rounds.found.items += 1;
        }
    }

    /// What passed since the last reset; `None` for a section without returns.
    pub(crate) fn found(&self) -> Vec<Option<Returned>> {
        let sections = self.sections.iter();
        sections
            .map(|rounds| rounds.has_returns.then_some(rounds.found))
            .collect()
    }
}
