//! The hall to plan: its slices, its sides, and what is kept free.

use std::path::Path;

use hallwright_scenario::Diagnostic;
use hallwright_scenario::source::{Sources, Span};

use crate::boxes::{LEVELS, boxes_a_column};
use crate::ids;
use crate::sections::MOST_SECTION_BLOCKS;
use crate::sight::Sight;
pub use crate::written::Families;
use crate::written::{
    Growth, Written, WrittenBoxes, WrittenHall, WrittenSight, WrittenSlice, read_hall,
    read_hall_text,
};

/// The hall that is planned unless another is described.
pub const DEFAULT_HALL: &str = include_str!("../../../scenarios/plan/hall.ron");

/// The sorts of slices.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Sort {
    /// One kind, a great deal of it.
    Bulk,
    /// Several kinds in one slice.
    Multi,
    /// Goods that do not stack, and others that are hardly worth a filter.
    Oddments,
}

impl Sort {
    /// All sorts, in the order in which goods pass them.
    pub const ALL: [Self; 3] = [Self::Bulk, Self::Multi, Self::Oddments];

    /// Its name in halls and scenarios.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Bulk => "bulk",
            Self::Multi => "multi",
            Self::Oddments => "oddments",
        }
    }

    /// Its number, from 0.
    #[must_use]
    pub fn index(self) -> usize {
        self as usize
    }
}

/// What a slice of one sort is like.
#[derive(Clone, Copy, PartialEq, Debug)]
pub struct Slice {
    /// Its width in blocks, at least 1.
    pub width_blocks: u64,
    /// Its slots, a multiple of 27.
    pub slots: u64,
    /// How many stacks it holds: as many as its slots; of a column of boxes those in all its boxes.
    pub room_stacks: u64,
    /// How many kinds it may take.
    pub kinds: usize,
    /// Into how many sections its line is divided, if that is laid down.
    pub sections: Option<u64>,
    /// If it is a column of the box wing: how many double chests it has.
    pub box_levels: Option<u32>,
    /// Where it is described.
    pub span: Span,
}

impl Slice {
    /// How many hoppers of the line belong to it: one a block.
    #[must_use]
    pub fn line_hoppers(&self) -> u64 {
        self.width_blocks
    }

    /// How many double chests stand below the barrel at the top.
    #[must_use]
    pub fn doubles(&self) -> u64 {
        (self.slots - BARREL_SLOTS) / DOUBLE_CHEST_SLOTS
    }

    /// Whether one more barrel stands at the bottom.
    #[must_use]
    pub fn has_last_barrel(&self) -> bool {
        self.slots > BARREL_SLOTS + DOUBLE_CHEST_SLOTS * self.doubles()
    }

    /// How many barrels and double chests stand below one another in it.
    #[must_use]
    pub fn levels(&self) -> u64 {
        1 + self.doubles() + u64::from(self.has_last_barrel())
    }
}

/// How many stacks a box holds.
pub const STACKS_A_BOX: u64 = 27;

/// A barrel.
const BARREL_SLOTS: u64 = 27;

/// A double chest.
const DOUBLE_CHEST_SLOTS: u64 = 54;

/// So many slots a slice may have: a barrel and six double chests. What lies deeper is further from the room of its
/// section than a signal comes without repeaters (site rules, section 3).
const MOST_SLOTS: u64 = BARREL_SLOTS + 6 * DOUBLE_CHEST_SLOTS;

/// Slices left out of the pattern to make room for other stores.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Gap {
    /// Of which sort.
    pub sort: Sort,
    /// The number of the first, from 1 along its line.
    pub from: u64,
    /// How many, at least 1.
    pub count: u64,
}

/// The hall to plan.
#[derive(Clone, PartialEq, Debug)]
pub struct Hall {
    /// How many sides have slices: 1 or 2.
    pub sides: u64,
    /// How long it is to be, in blocks, if that is laid down.
    pub length_blocks: Option<Written<u64>>,
    /// In how many rows its lines stand at most, if that is laid down.
    pub rows: Option<Written<u64>>,
    /// How many lines there are in parallel, 1 or 2: as is laid down, or 0 until it is known how many are needed.
    pub lines: u64,
    /// The wished time from a stop until it is safe to close.
    pub stop_within_ticks: u64,
    /// The goods that fill up item filters.
    pub filler: String,
    /// How families are kept.
    pub families: Families,
    /// The share of a multi-item slice's room above which goods are bulk, from 0 to 1.
    pub bulk_share: f64,
    /// What is kept free.
    pub growth: Growth,
    /// What is left out of the pattern.
    pub gaps: Vec<Gap>,
    /// Whether the first of the goods that are kept in boxes is shown at a serving hatch.
    pub has_hatch: bool,
    /// The sight line to be looked at.
    pub sight: Option<Sight>,
    /// What the slices of each sort are like, by its number; `None` if there are none.
    pub slices: [Option<Slice>; 3],
}

impl Hall {
    /// What the slices of a sort are like.
    #[must_use]
    pub fn slice(&self, sort: Sort) -> Option<&Slice> {
        self.slices[sort.index()].as_ref()
    }
}

/// Reads the description of a hall, or takes the default. `None` if anything is wrong with it; all
/// mistakes are reported.
pub fn hall(
    path: Option<&Path>,
    sources: &mut Sources,
    problems: &mut Vec<Diagnostic>,
) -> Option<Hall> {
    let written = match path {
        Some(path) => read_hall(path, sources, problems),
        None => {
            let path = Path::new("(the default hall)");
            read_hall_text(path, DEFAULT_HALL.to_owned(), sources, problems)
        }
    }?;
    settle(&written, problems)
}

/// Fills in what is left out, and checks what is there.
fn settle(written: &WrittenHall, problems: &mut Vec<Diagnostic>) -> Option<Hall> {
    let reported = problems.len();
    let mut check = Checks { problems };
    let sides = written
        .sides
        .map_or(1, |sides| check.whole("sides", sides, 1, 2));
    if let Some(length) = written.length_blocks {
        check.whole("length_blocks", length, 1, MOST_BLOCKS);
    }
    if let Some(rows) = written.rows {
        check.whole("rows", rows, 1, MOST_BLOCKS);
    }
    let lines = written
        .lines
        .map_or(0, |lines| check.whole("lines", lines, 1, MOST_LINES));
    let slices = Sort::ALL.map(|sort| {
        let slice = written.slices[sort.index()].as_ref();
        match (sort, written.boxes) {
            (Sort::Bulk, Some(boxes)) => Some(check.boxes(&boxes, slice)),
            _ => slice.map(|slice| check.slice(sort, slice)),
        }
    });
    if slices.iter().all(Option::is_none) {
        let message = "the hall has no slices";
        let help = "describe `bulk`, `multi` or `oddments`".to_owned();
        check.report(written.span, message, Some(help));
    }
    if let Growth::Share(share) = written.growth.unwrap_or(NO_GROWTH) {
        check.number("Share", share, 0.0, 10.0);
    }
    if let Growth::NewKinds(a_year, years) = written.growth.unwrap_or(NO_GROWTH) {
        check.whole("a_year", a_year, 0, 100_000);
        check.whole("years", years, 0, 1000);
    }
    let kinds = slices[Sort::Multi.index()].map_or(1, |slice| slice.kinds);
    // A share of a multi-item slice: what is left to each kind if it is full of them.
    // What is kept in boxes should fill some: then it is a whole slice.
    let share = if written.boxes.is_some() {
        1.0
    } else {
        1.0 / kinds as f64
    };
    let share = written
        .bulk_share
        .map_or(share, |share| check.number("bulk_share", share, 0.0, 1.0));
    let gaps = check.gaps(written);
    let sight = written.sight.and_then(|sight| check.sight(&sight));
    let hall = Hall {
        sides,
        length_blocks: written.length_blocks,
        rows: written.rows,
        lines,
        stop_within_ticks: written.stop_within_ticks.map_or(600, |time| time.value),
        filler: check.filler(written.filler.as_ref()),
        families: written.families.unwrap_or(Families::Together),
        bulk_share: share,
        growth: written.growth.unwrap_or(NO_GROWTH),
        gaps,
        has_hatch: written
            .boxes
            .is_some_and(|boxes| boxes.has_hatch != Some(false)),
        sight,
        slices,
    };
    (problems.len() == reported).then_some(hall)
}

/// Nothing is kept free.
const NO_GROWTH: Growth = Growth::Slices([0; 3]);

/// So many lines there may be in parallel: a fork leads to two.
pub const MOST_LINES: u64 = 2;

/// So long a hall may be, and so many slices may be left out.
const MOST_BLOCKS: u64 = 100_000;

/// Reports what is out of range.
struct Checks<'p> {
    problems: &'p mut Vec<Diagnostic>,
}

impl Checks<'_> {
    fn report(&mut self, span: Span, message: impl Into<String>, help: Option<String>) {
        let problem = Diagnostic::error(ids::OUT_OF_RANGE, span, message);
        self.problems.push(problem.help(help));
    }

    fn whole(&mut self, name: &str, written: Written<u64>, least: u64, most: u64) -> u64 {
        if !(least..=most).contains(&written.value) {
            let message = format!("`{name}` is from {least} to {most}, not {}", written.value);
            self.report(written.span, message, None);
        }
        written.value
    }

    fn number(&mut self, name: &str, written: Written<f64>, least: f64, most: f64) -> f64 {
        if !(least..=most).contains(&written.value) {
            let message = format!("`{name}` is from {least} to {most}, not {}", written.value);
            self.report(written.span, message, None);
        }
        written.value
    }

    /// A column of the box wing, as a slice of bulk.
    fn boxes(&mut self, written: &WrittenBoxes, bulk: Option<&WrittenSlice>) -> Slice {
        if let Some(bulk) = bulk {
            let message = "bulk goods are kept in `boxes` or in `bulk` slices, not in both";
            let help = "leave out one of them".to_owned();
            self.report(bulk.span, message, Some(help));
        }
        let (least, most) = (u64::from(*LEVELS.start()), u64::from(*LEVELS.end()));
        let levels = self.whole("levels", written.levels, least, most);
        let levels = u32::try_from(levels.min(most)).unwrap_or(*LEVELS.end());
        Slice {
            width_blocks: 1,
            slots: boxes_a_column(levels),
            room_stacks: boxes_a_column(levels) * STACKS_A_BOX,
            kinds: 1,
            sections: None,
            box_levels: Some(levels),
            span: written.span,
        }
    }

    fn slice(&mut self, sort: Sort, written: &WrittenSlice) -> Slice {
        let least = if sort == Sort::Oddments { 2 } else { 1 };
        let width_blocks = self.whole(
            "width_blocks",
            written.width_blocks,
            least,
            MOST_SECTION_BLOCKS,
        );
        let slots = self.whole("slots", written.slots, BARREL_SLOTS, MOST_SLOTS);
        if !slots.is_multiple_of(BARREL_SLOTS) {
            let help = "27 for each barrel, 54 for each double chest".to_owned();
            let message = "slots come in barrels of 27";
            self.report(written.slots.span, message, Some(help));
        }
        let kinds = self.whole("kinds", written.kinds, 1, 1000);
        if sort != Sort::Oddments && kinds > width_blocks {
            let message = format!(
                "a slice has a filter of one block for each kind: {kinds} kinds need as many blocks, and \
                 it is {width_blocks} wide"
            );
            let help = "allow fewer kinds, or make it wider".to_owned();
            self.report(written.kinds.span, message, Some(help));
        }
        let sections = written
            .sections
            .map(|sections| self.whole("sections", sections, 1, 1000));
        Slice {
            width_blocks,
            slots,
            room_stacks: slots,
            box_levels: None,
            kinds: usize::try_from(kinds).unwrap_or(usize::MAX),
            sections,
            span: written.span,
        }
    }

    fn gaps(&mut self, written: &WrittenHall) -> Vec<Gap> {
        let mut gaps = Vec::new();
        for gap in &written.left_out {
            let from = self.whole("from", gap.from, 1, MOST_BLOCKS);
            let count = self.whole("count", gap.count, 1, MOST_BLOCKS);
            let sort = Sort::ALL
                .iter()
                .find(|sort| sort.name() == gap.slices.value);
            let Some(sort) = sort.filter(|sort| written.slices[sort.index()].is_some()) else {
                let message = format!("the hall has no slices `{}`", gap.slices.value);
                let problem = Diagnostic::error(ids::NO_SUCH_SLICES, gap.slices.span, message);
                let help = "slices are `bulk`, `multi` or `oddments`, and must be described";
                self.problems.push(problem.help(help.to_owned()));
                continue;
            };
            gaps.push(Gap {
                sort: *sort,
                from,
                count,
            });
        }
        gaps
    }

    fn sight(&mut self, written: &WrittenSight) -> Option<Sight> {
        let before = self.problems.len();
        let far = 100_000.0;
        let sight = Sight {
            eye_blocks: self.number("eye_blocks", written.eye_blocks, -far, far),
            distance_blocks: self.number("distance_blocks", written.distance_blocks, 0.0, far),
            lower_blocks: self.number("lower_blocks", written.lower_blocks, -far, far),
            upper_blocks: self.number("upper_blocks", written.upper_blocks, -far, far),
            view_degrees: self.view(written.view_degrees),
        };
        if sight.upper_blocks <= sight.lower_blocks {
            let message = "the upper row must be above the lower one";
            self.report(written.upper_blocks.span, message, None);
        }
        (self.problems.len() == before).then_some(sight)
    }

    fn view(&mut self, written: Written<f64>) -> f64 {
        if !(written.value > 0.0 && written.value < 180.0) {
            let message = format!(
                "`view_degrees` is above 0 and below 180, not {}",
                written.value
            );
            let help =
                "a view of 180 degrees would be everything before the eye: give less, such as 60";
            self.report(written.span, message, Some(help.to_owned()));
        }
        written.value
    }

    fn filler(&mut self, written: Option<&Written<String>>) -> String {
        let Some(written) = written else {
            return "peg".to_owned();
        };
        let is_plain = |letter: char| letter.is_alphanumeric() || letter == ' ' || letter == '-';
        if written.value.is_empty() || !written.value.chars().all(is_plain) {
            let message = "the filler needs a plain name, such as `peg`";
            self.report(written.span, message, None);
        }
        written.value.clone()
    }
}
