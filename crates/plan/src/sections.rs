//! How the lines are divided, so that the hall stops in time and can be built.

use crate::fit::{FittedLine, Place};
use crate::hall::{Hall, Slice, Sort};

/// An item needs at most so long for one hopper of a line (tick rules, section 4).
const TICKS_A_HOPPER: u64 = 8;

/// So long the slices of a section can be together. The wire that locks its hoppers loses 1 with each block and is not
/// heard after 15 (site rules, section 3); the last of a row may have a hopper more.
pub const MOST_SECTION_BLOCKS: u64 = 14;

/// A stretch of a line with a buffer, a head and locks of its own.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Section {
    /// Its name, such as `multi 2`.
    pub name: String,
    /// The sort of its slices; `None` for a way from row to row, which has none.
    pub sort: Option<Sort>,
    /// In which of the parallel lines it is, from 0.
    pub line: u64,
    /// The number of its first place, from 0 along the line of its sort.
    pub first: usize,
    /// How many places it has.
    pub places: usize,
    /// How long its hoppers stay unlocked after its permit is off.
    pub run_on_ticks: u64,
    /// How many hoppers its line has, one a block.
    pub line_hoppers: u64,
    /// How many of them come after its last slice.
    pub tail_hoppers: u64,
    /// How many rows of wire lock what is below its line.
    pub wire_rows: u64,
}

impl Section {
    /// Makes its line a hopper longer.
    pub fn lengthen(&mut self) {
        self.tail_hoppers += 1;
        self.line_hoppers += 1;
        self.run_on_ticks += TICKS_A_HOPPER;
    }
}

/// A way from row to row: a line without slices.
#[must_use]
pub fn way(number: usize, line_hoppers: u64) -> Section {
    Section {
        name: format!("way {number}"),
        sort: None,
        line: 0,
        first: 0,
        places: 0,
        run_on_ticks: (line_hoppers + 1) * TICKS_A_HOPPER,
        line_hoppers,
        tail_hoppers: 0,
        wire_rows: 0,
    }
}

/// Divides the lines into sections: as few as can be built, and stop in time.
#[must_use]
pub fn sections(lines: &[FittedLine], hall: &Hall) -> Vec<Section> {
    let mut sections: Vec<Section> = Vec::new();
    for line in lines {
        // Boxes have a wing of their own.
        let slice = hall
            .slice(line.sort)
            .filter(|slice| slice.box_levels.is_none());
        let Some(slice) = slice else { continue };
        let at_once = places_a_section(line, slice, hall);
        let mut first = 0;
        while first < line.places.len() {
            let places = at_once.min(line.places.len() - first);
            let number = first / at_once + 1;
            let mut section = section(line.sort, slice, number, first, places);
            // Kinds that go on from the section before stay in its line.
            section.line = match sections.last() {
                Some(before) if goes_on(line, first) => before.line,
                _ => line_of(number, hall.lines),
            };
            sections.push(section);
            first += places;
        }
    }
    sections
}

/// The parallel line of a section by its number. The busiest stand first: so of each four the outer ones go to the first
/// line and the inner ones to the second.
fn line_of(number: usize, lines: u64) -> u64 {
    u64::from(lines > 1 && matches!(number % 4, 2 | 3))
}

/// Whether the slice at a place goes on with a kind of the slice before.
fn goes_on(line: &FittedLine, place: usize) -> bool {
    matches!(line.places.get(place), Some(Place::Used(slice)) if line.linked.contains(slice))
}

/// How many places a section of a line has: as many as can be built, unless that stops too late or more sections
/// are laid down; at least one.
fn places_a_section(line: &FittedLine, slice: &Slice, hall: &Hall) -> usize {
    let mut most = MOST_SECTION_BLOCKS / slice.width_blocks;
    if let Some(sections) = slice.sections {
        most = most.min((line.places.len() as u64).div_ceil(sections));
    }
    let stop = |places| run_on_ticks(line.sort, slice, places * slice.width_blocks);
    while most > 1 && stop(most) > hall.stop_within_ticks {
        most -= 1;
    }
    usize::try_from(most.max(1)).unwrap_or(1)
}

fn section(sort: Sort, slice: &Slice, number: usize, first: usize, places: usize) -> Section {
    let line_hoppers = places as u64 * slice.width_blocks;
    // One row locks sieves, or the hopper below an eye; one the hoppers that draw from filters; and one each the
    // hopper below each barrel or double chest but the last.
    let filters = if sort == Sort::Oddments { 0 } else { 1 };
    Section {
        name: format!("{} {number}", sort.name()),
        sort: Some(sort),
        line: 0,
        first,
        places,
        run_on_ticks: run_on_ticks(sort, slice, line_hoppers),
        line_hoppers,
        tail_hoppers: 0,
        wire_rows: 1 + filters + slice.levels() - 1,
    }
}

/// How long goods need from the head of a section to where they stay: the line, the filter and what gathers below it, and
/// down to the last chest. A hopper takes 7 ticks and may be up to 8 ticks late.
fn run_on_ticks(sort: Sort, slice: &Slice, line_hoppers: u64) -> u64 {
    let below = match sort {
        Sort::Oddments => 1,
        // The sieve, the hopper that it opens, and one that gathers for each kind.
        Sort::Bulk | Sort::Multi => 2 + slice.kinds as u64,
    };
    line_hoppers * TICKS_A_HOPPER + (below + slice.levels()) * 15 + 15
}
