//! What a wing is tried with: boxes that come, requests, and the goals about both.

use std::fmt::Write as _;

use super::text::quoted;
use super::{COLUMNS_A_HALF, Wing, boxes_a_column, items_a_box};

/// The boxes with which a wing is tried: so many of each kind, one kind after another.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Haul {
    /// Full boxes of each kind; no more than have room in its columns come.
    pub boxes_a_kind: u64,
    /// When they come, in ticks.
    pub at_ticks: u64,
    /// When a box of each kind is asked for, in ticks: once they are there, and not while the hall is
    /// stopped.
    pub asked_at_ticks: u64,
}

impl Wing {
    /// The entries of `arrivals`.
    pub(super) fn arrivals(&self, haul: Haul) -> String {
        let mut text = String::new();
        for (number, kind) in self.wanted.kinds.iter().enumerate() {
            let _ = writeln!(
                text,
                "        {}: AllAtOnce(\n            place: \"boxes.inlet\",\n            kind: Full({}),\n            \
                 count: {},\n            at: \"{}t\",\n            when_full: Wait,\n        ),",
                quoted(&format!("boxes of {}", kind.name)),
                quoted(&kind.name),
                self.boxes_of(number, haul),
                haul.at_ticks
            );
        }
        text
    }

    /// The entry of `operator`: a box of each kind that comes.
    pub(super) fn requests(&self, haul: Haul) -> String {
        if self.wanted.tally_name.is_none() {
            return String::new();
        }
        let mut text = format!("        (at: \"{}t\", actions: [\n", haul.asked_at_ticks);
        for kind in &self.wanted.kinds {
            let _ = writeln!(
                text,
                "            Request(kind: {}, boxes: 1),",
                quoted(&kind.name)
            );
        }
        text.push_str("        ]),\n");
        text
    }

    /// How many boxes of a kind come with a haul.
    fn boxes_of(&self, kind: usize, haul: Haul) -> u64 {
        let columns = self.columns.iter().filter(|column| column.kind == kind);
        let room = columns.count() as u64 * boxes_a_column(self.wanted.levels);
        haul.boxes_a_kind.min(room)
    }

    /// The entries of `goals`.
    pub(super) fn goals(&self, haul: Haul) -> String {
        let mut text = String::new();
        for (number, kind) in self.wanted.kinds.iter().enumerate() {
            let box_items = items_a_box(kind.stack_limit);
            let items = self.boxes_of(number, haul) * box_items;
            let mut parts = self.column_parts(number);
            for (stream, of) in self.streams().into_iter().enumerate() {
                let desks = self.desks(of).into_iter();
                for desk in desks.filter(|desk| desk.kind == number) {
                    let name = format!("boxes.{}", desk.name());
                    parts.extend(["fetch", "loader", "stage"].map(|part| format!("{name}.{part}")));
                    let counter = format!("boxes.counter {stream}.counter");
                    let asked = box_items.min(items);
                    write_contents(&[counter.clone()], &kind.name, asked, asked, &mut text);
                    parts.push(counter);
                }
            }
            write_contents(&parts, &kind.name, items, items, &mut text);
        }
        for section in self.sections() {
            let _ = writeln!(
                text,
                "        LockCoverAtLeast(section: {}, share: 1.0),",
                quoted(&section)
            );
        }
        text
    }

    /// The inventories of a kind's columns.
    fn column_parts(&self, kind: usize) -> Vec<String> {
        let columns = self.columns.iter().enumerate();
        let own = columns.filter(|(_, column)| column.kind == kind);
        own.flat_map(|(at, _)| {
            let (half, column) = (at / COLUMNS_A_HALF, at % COLUMNS_A_HALF);
            ["gate", "level[*].chest", "level[*].under", "rack"]
                .map(|part| format!("boxes.half {half}.column[{column}].{part}"))
        })
        .collect()
    }

    /// The names of its sections, as the scenario that uses it has them.
    #[must_use]
    pub fn sections(&self) -> Vec<String> {
        let mut sections = vec!["boxes.quay.quay".to_owned()];
        let halves = 0..self.halves().len();
        sections.extend(halves.map(|half| format!("boxes.half {half}.columns")));
        for (number, stream) in self.streams().into_iter().enumerate() {
            sections.push(format!("boxes.overflow {number}.overflow"));
            if !self.desks(stream).is_empty() {
                sections.push(format!("boxes.counter {number}.retrieval"));
            }
        }
        sections
    }
}

/// A goal about what some parts hold of a kind.
fn write_contents(parts: &[String], kind: &str, least: u64, most: u64, text: &mut String) {
    let parts: Vec<String> = parts.iter().map(|part| quoted(part)).collect();
    let _ = writeln!(
        text,
        "        Contents(\n            parts: [\n                {},\n            ],\n            \
         kinds: {},\n            at_least: {least},\n            at_most: {most},\n        ),",
        parts.join(",\n                "),
        quoted(kind)
    );
}
