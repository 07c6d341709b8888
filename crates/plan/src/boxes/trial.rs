//! What a wing is tried with: boxes that come, requests, and the goals about both.

use super::lines::{Lines, quoted};
use super::{COLUMNS_A_HALF, Wing, boxes_a_column, items_a_box};

/// The boxes with which a wing is tried: so many of each kind, one kind after another.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Haul {
    /// Full boxes of each kind, at least 1; no more than have room in its columns come.
    pub boxes_a_kind: u64,
    /// When they come, in ticks.
    pub at_ticks: u64,
    /// When a box of each kind is asked for, in ticks: once they are there, and not while the hall is
    /// stopped, for what is asked for meanwhile is new work.
    pub asked_at_ticks: u64,
}

/// What holds boxes in a hatch.
const HATCH_PARTS: [&str; 7] = [
    "draw",
    "on",
    "further",
    "shelf",
    "display[*].feed",
    "display[*].setter",
    "display[*].bench",
];

impl Wing {
    /// The entries of `arrivals`.
    pub(super) fn arrivals(&self, haul: Haul) -> String {
        let mut lines = Lines::at(2);
        for (number, kind) in self.wanted.kinds.iter().enumerate() {
            let name = quoted(&format!("boxes of {}", kind.name));
            lines.within(format!("{name}: AllAtOnce("), "),", |lines| {
                lines.line("place: \"boxes.inlet\",");
                lines.line(format!("kind: Full({}),", quoted(&kind.name)));
                lines.line(format!("count: {},", self.boxes_of(number, haul)));
                lines.line(format!("at: \"{}t\",", haul.at_ticks));
                lines.line("when_full: Wait,");
            });
        }
        lines.into_text()
    }

    /// The entry of `operator`: a box of each kind.
    pub(super) fn requests(&self, haul: Haul) -> String {
        self.requests_at(&format!("{}t", haul.asked_at_ticks))
    }

    /// The entry of `operator`: a box of each kind that has a desk is asked for, at a time as scenarios write it. It
    /// should not be while the hall is stopped, for what is asked for meanwhile is new work.
    #[must_use]
    pub fn requests_at(&self, time: &str) -> String {
        let mut lines = Lines::at(2);
        let shown = usize::from(self.wanted.has_hatch);
        if self.wanted.tally_name.is_some() && self.wanted.kinds.len() > shown {
            let open = format!("(at: \"{time}\", actions: [");
            lines.within(open, "]),", |lines| {
                for kind in self.wanted.kinds.iter().skip(shown) {
                    let kind = quoted(&kind.name);
                    lines.line(format!("Request(kind: {kind}, boxes: 1),"));
                }
            });
        }
        lines.into_text()
    }

    /// How many boxes of a kind come with a haul.
    fn boxes_of(&self, kind: usize, haul: Haul) -> u64 {
        let columns = self.columns.iter().filter(|column| column.kind == kind);
        let room = columns.count() as u64 * boxes_a_column(self.wanted.levels);
        haul.boxes_a_kind.clamp(1, room)
    }

    /// The entries of `goals`.
    pub(super) fn goals(&self, haul: Haul) -> String {
        let mut lines = Lines::at(2);
        for (number, kind) in self.wanted.kinds.iter().enumerate() {
            let a_box = items_a_box(kind.stack_limit);
            let mut parts = self.column_parts(number);
            if let Some((loader, counter)) = self.fetched_to(number) {
                write_contents(&mut lines, vec![counter.clone()], &kind.name, a_box);
                parts.extend(loader);
                parts.push(counter);
            }
            if number == 0 && self.wanted.has_hatch {
                let hatch = HATCH_PARTS.map(|part| format!("boxes.hatch.{part}"));
                parts.extend(hatch);
            }
            let items = self.boxes_of(number, haul) * a_box;
            write_contents(&mut lines, parts, &kind.name, items);
        }
        for section in self.sections() {
            let section = quoted(&section);
            lines.line(format!("LockCoverAtLeast(section: {section}, share: 1.0),"));
        }
        lines.into_text()
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

    /// The inventories of a kind's loader, and the counter to which its boxes are brought.
    fn fetched_to(&self, kind: usize) -> Option<([String; 3], String)> {
        let streams = self.streams().into_iter().enumerate();
        let desks = streams.flat_map(|(number, stream)| {
            let desks = self.desks(stream).into_iter();
            desks.map(move |desk| (number, desk))
        });
        let (number, desk) = desks.into_iter().find(|(_, desk)| desk.kind == kind)?;
        let parts = ["fetch", "loader", "stage"];
        let loader = parts.map(|part| format!("boxes.{}.{part}", desk.name()));
        Some((loader, format!("boxes.counter {number}.counter")))
    }

    /// The names of its sections, as the scenario that uses it has them.
    #[must_use]
    pub fn sections(&self) -> Vec<String> {
        let mut sections = vec!["boxes.quay.quay".to_owned()];
        let halves = 0..self.halves().len();
        sections.extend(halves.map(|half| format!("boxes.half {half}.columns")));
        for (number, stream) in self.streams().into_iter().enumerate() {
            if stream.is_built {
                sections.push(format!("boxes.overflow {number}.overflow"));
            }
            if !self.desks(stream).is_empty() {
                sections.push(format!("boxes.counter {number}.retrieval"));
            }
        }
        if self.wanted.has_hatch {
            sections.push("boxes.hatch.displays".to_owned());
        }
        sections
    }
}

/// A goal: exactly so many items of a kind are in these parts.
fn write_contents(lines: &mut Lines, parts: Vec<String>, kind: &str, items: u64) {
    lines.within("Contents(", "),", |lines| {
        lines.list("parts", parts.iter().map(|part| quoted(part)));
        lines.line(format!("kinds: {},", quoted(kind)));
        lines.line(format!("at_least: {items},"));
        lines.line(format!("at_most: {items},"));
    });
}
