//! Where everything stands: the sections of the lines, one behind the other, in rows that lie beside one another.
//!
//! The line begins at the origin and runs along x. Where its row ends it turns, crosses over to the next row, and comes
//! back, and so on from row to row. Each section stands one block lower than the one before it. With slices at
//! both sides of an aisle every two rows face each other; with slices at one side each row has an aisle of its own.

use std::collections::VecDeque;

use hallwright_declared::space::{Block, Side};

use crate::hall::Hall;
use crate::sections::{Section, way};

/// What a signal needs at most from the operator's stop until the last lock is on, without the time to run out: gates,
/// inverters and a pulse in the filters.
const SIGNAL_TICKS: u64 = 14;

/// Each room hears the switch by a repeater.
const TICKS_A_ROOM: u64 = 2;

/// So far two things may be apart that a wire joins without a repeater, in steps (site rules, section 3).
const MOST_STEPS: i32 = 18;

/// From a row to the next one across an aisle, back to back, and to the next one of a hall with one side.
const ACROSS_BLOCKS: i32 = 14;
const BACK_TO_BACK_BLOCKS: i32 = 8;
const ONE_SIDED_BLOCKS: i32 = 13;

/// From the first head of a line to that of the line in parallel.
pub const LINES_APART_BLOCKS: i32 = 8;

/// What a turn takes of the length, besides the line.
const TURN_BLOCKS: i32 = 3;

/// So many blocks further.
#[must_use]
pub fn ahead(block: Block, side: Side, blocks: i32) -> Block {
    let step = side.step();
    let step = Block::new(step.x * blocks, step.y * blocks, step.z * blocks);
    block + step
}

/// The steps that wire needs from one block to another.
fn steps_to(from: Block, to: Block) -> i32 {
    let apart = (to - from).widths();
    (apart.x + apart.z).max(apart.y)
}

/// A number of blocks as a coordinate.
fn whole(blocks: u64) -> i32 {
    i32::try_from(blocks).unwrap_or(i32::MAX)
}

/// A section where it stands.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Laid {
    /// The section.
    pub section: Section,
    /// In which row, from 0; a way is in the row that it comes from.
    pub row: u64,
    /// The first hopper of its line.
    pub at: Block,
    /// Where its line runs.
    pub forward: Side,
    /// Where its own z points.
    pub across: Side,
    /// To which side the other half of its buffer lies, in its own z.
    pub side: i32,
    /// At which side the wire begins that locks its line, in its own z.
    pub wire: i32,
    /// From whose room it hears the switch: a number of [`Layout::laid`], or from the control.
    pub hears: Option<usize>,
    /// How many rooms the switch comes through, this one counted.
    pub rooms: u64,
}

impl Layout {
    /// The first section of each parallel line.
    pub fn firsts(&self) -> impl Iterator<Item = &Laid> {
        let is_first = |at: usize| {
            let before = at
                .checked_sub(1)
                .map(|before| self.laid[before].section.line);
            before != Some(self.laid[at].section.line)
        };
        let all = 0..self.laid.len();
        all.filter(move |at| is_first(*at)).map(|at| &self.laid[at])
    }
}

impl Laid {
    /// The time from a stop until it is safe to close, at most.
    #[must_use]
    pub fn stop_ticks(&self) -> u64 {
        self.rooms * TICKS_A_ROOM + self.section.run_on_ticks + SIGNAL_TICKS
    }

    /// The side of its aisle that its row is on, from 1.
    #[must_use]
    pub fn side_of_aisle(&self, sides: u64) -> u64 {
        self.row % sides + 1
    }

    /// A block of its room.
    fn room(&self) -> Block {
        Block {
            y: self.at.y + 5,
            ..self.at
        }
    }
}

/// Where everything stands.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Layout {
    /// Sections and the ways between rows, in the order of the line.
    pub laid: Vec<Laid>,
    /// Where what no slice takes ends, and where its other half lies: at the end of each parallel line.
    pub unsorted: Vec<(Block, Side)>,
    /// How long the rows may be, in blocks.
    pub length_blocks: u64,
    /// How many rows there are.
    pub rows: u64,
    /// Lengths to choose from, this one among them.
    pub choices: Vec<LengthChoice>,
}

/// How long a hall would be in so many rows.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct LengthChoice {
    /// How many rows.
    pub rows: u64,
    /// How long, in blocks.
    pub length_blocks: u64,
}

/// Lays sections out. `None` if they do not fit, with what would.
pub fn lay(sections: &[Section], hall: &Hall) -> Result<Layout, Option<LengthChoice>> {
    let rows = hall.rows.map(|rows| rows.value);
    let length = match hall.length_blocks {
        Some(length) => length.value,
        None => {
            least_length(sections, hall, rows.unwrap_or(rows_wished(sections, hall))).ok_or(None)?
        }
    };
    let layout = laid_out(sections, hall, length);
    match layout {
        Some(mut layout) if rows.is_none_or(|rows| layout.rows <= rows) => {
            hear(&mut layout.laid);
            layout.choices = choices(sections, hall, &layout);
            Ok(layout)
        }
        _ => {
            let rows = rows.unwrap_or(rows_wished(sections, hall));
            let length = least_length(sections, hall, rows);
            Err(length.map(|length_blocks| LengthChoice {
                rows,
                length_blocks,
            }))
        }
    }
}

/// Two rows for each sort of a hall with two sides, or one: so long is it unless something else is laid down.
fn rows_wished(sections: &[Section], hall: &Hall) -> u64 {
    let mut sorts: Vec<_> = sections.iter().map(|section| section.sort).collect();
    sorts.dedup();
    hall.sides * (sorts.len().max(1) as u64).max(hall.lines)
}

/// The least length with which sections stand in so many rows. `None` if there is none.
fn least_length(sections: &[Section], hall: &Hall, rows: u64) -> Option<u64> {
    let blocks: u64 = sections
        .iter()
        .map(|section| section.line_hoppers + 1)
        .sum();
    let stands =
        |length: u64| laid_out(sections, hall, length).is_some_and(|layout| layout.rows <= rows);
    let most = blocks + 2 * u64::from(TURN_BLOCKS.unsigned_abs());
    let least = blocks / rows.max(1);
    (least..=most).find(|length| stands(*length))
}

/// Lengths to choose from: the planned one, and the least for some other numbers of rows.
fn choices(sections: &[Section], hall: &Hall, planned: &Layout) -> Vec<LengthChoice> {
    if sections.is_empty() {
        return Vec::new();
    }
    let step = hall.sides;
    let first = planned.rows.saturating_sub(2 * step);
    let mut choices: Vec<LengthChoice> = (first..=planned.rows + 2 * step)
        .filter(|rows| *rows > 0 && (rows + planned.rows).is_multiple_of(step))
        .filter_map(|rows| {
            let length_blocks = if rows == planned.rows {
                planned.length_blocks
            } else {
                least_length(sections, hall, rows)?
            };
            Some(LengthChoice {
                rows,
                length_blocks,
            })
        })
        .collect();
    choices.dedup_by_key(|choice| choice.length_blocks);
    choices
}

/// Lays sections out in rows of a length, each of the parallel lines by itself: the second is the mirror image of one that
/// begins beside the first. `None` if a section is longer than a row.
fn laid_out(sections: &[Section], hall: &Hall, length_blocks: u64) -> Option<Layout> {
    let mut layout = Layout {
        laid: Vec::new(),
        unsorted: Vec::new(),
        length_blocks,
        rows: 0,
        choices: Vec::new(),
    };
    for line in 0..hall.lines.max(1) {
        let own = sections.iter().filter(|section| section.line == line);
        // Where all goods come in boxes there is no line, nor anything behind it.
        if own.clone().next().is_none() {
            continue;
        }
        let ground = Ground {
            sides: hall.sides,
            length: whole(length_blocks),
            // Rows of both lines lie alike at the sides of their aisles.
            first_row: layout.rows.next_multiple_of(hall.sides),
            is_mirrored: line > 0,
        };
        let head = Block {
            x: 0,
            y: 0,
            z: if line > 0 { -LINES_APART_BLOCKS } else { 0 },
        };
        let (path, rows) = ground.lay(own, head)?;
        let came = path.came.unwrap_or(ground.direction(0));
        let end = Block {
            y: path.head.y + 1,
            ..path.head
        };
        layout.unsorted.push((end, came));
        layout.laid.extend(path.laid);
        layout.rows = ground.first_row + rows;
    }
    Some(layout)
}

/// Where the rows of one line lie.
struct Ground {
    sides: u64,
    length: i32,
    /// The number of its first row.
    first_row: u64,
    /// Whether rows follow each other towards smaller z.
    is_mirrored: bool,
}

impl Ground {
    /// Lays sections out from a head on: the way they take, and how many rows it has.
    fn lay<'s>(
        &self,
        sections: impl Iterator<Item = &'s Section>,
        head: Block,
    ) -> Option<(Path, u64)> {
        let mut path = Path {
            laid: Vec::new(),
            head,
            came: None,
        };
        let mut row: u64 = 0;
        let mut is_begun = false;
        for section in sections {
            let blocks = whole(section.line_hoppers) + 1;
            loop {
                let forward = self.direction(row);
                let end = path.head.x
                    + forward.step().x * (blocks + self.tail(row, section.line_hoppers));
                if (0..self.length - TURN_BLOCKS).contains(&end) {
                    let number = self.first_row + row;
                    path.lay(section.clone(), number, forward, self.across(row));
                    is_begun = true;
                    break;
                }
                if !is_begun {
                    return None;
                }
                let last = path.laid.last().map(|last| last.section.line_hoppers);
                for _ in 0..last.map_or(0, |hoppers| self.tail(row, hoppers)) {
                    path.lengthen();
                }
                // The way's own z points on, so that nothing of it stands in what it comes from.
                let number = usize::try_from(self.first_row + row).unwrap_or(usize::MAX);
                let hoppers = self.apart(row).unsigned_abs() - 1;
                let mut way = way(number + 1, u64::from(hoppers));
                way.line = section.line;
                path.lay(way, self.first_row + row, self.on(), forward);
                row += 1;
                is_begun = false;
            }
        }
        Some((path, row + 1))
    }

    /// From row to row.
    fn on(&self) -> Side {
        if self.is_mirrored {
            Side::MinusZ
        } else {
            Side::PlusZ
        }
    }

    /// Where the line runs in a row.
    fn direction(&self, row: u64) -> Side {
        if row.is_multiple_of(2) {
            Side::PlusX
        } else {
            Side::MinusX
        }
    }

    /// Where the aisle of a row is.
    fn across(&self, row: u64) -> Side {
        if self.sides == 1 || row.is_multiple_of(2) {
            self.on()
        } else {
            self.on().opposite()
        }
    }

    /// How far the row behind a row is.
    fn apart(&self, row: u64) -> i32 {
        if self.sides == 1 {
            ONE_SIDED_BLOCKS
        } else if row.is_multiple_of(2) {
            ACROSS_BLOCKS
        } else {
            BACK_TO_BACK_BLOCKS
        }
    }

    /// How many hoppers more the line of a row has at its end, where its last section has so many: one if the way to the
    /// next row begins at the back of its slices, or what locks these would lock it too; more after a very short section,
    /// or the rooms over both heads would be one.
    fn tail(&self, row: u64, line_hoppers: u64) -> i32 {
        const LEAST_HOPPERS: i32 = 3;
        if self.sides == 2 && !row.is_multiple_of(2) {
            (LEAST_HOPPERS - whole(line_hoppers)).max(1)
        } else {
            0
        }
    }
}

/// Where the line has come to.
struct Path {
    laid: Vec<Laid>,
    /// Where the next head stands.
    head: Block,
    /// From where the line came to it.
    came: Option<Side>,
}

impl Path {
    fn lay(&mut self, section: Section, row: u64, forward: Side, across: Side) {
        // On which side the last hopper of the section before is, in its own z.
        let before = match self.came {
            Some(came) if came == across.opposite() => 1,
            Some(came) if came == across => -1,
            _ => 0,
        };
        let at = ahead(self.head, forward, 1);
        let end = ahead(at, forward, whole(section.line_hoppers));
        self.laid.push(Laid {
            section,
            row,
            at,
            forward,
            across,
            side: if before == 1 { -1 } else { 1 },
            wire: if before == -1 { 1 } else { -1 },
            hears: None,
            rooms: 0,
        });
        self.head = Block {
            y: end.y - 1,
            ..end
        };
        self.came = Some(forward);
    }

    /// Makes the last section a hopper longer.
    fn lengthen(&mut self) {
        if let Some(last) = self.laid.last_mut() {
            last.section.lengthen();
            self.head = ahead(self.head, last.forward, 1);
        }
    }
}

/// From which room each room hears the switch: from the control on with as few rooms in between as can be.
fn hear(laid: &mut [Laid]) {
    let rooms: Vec<Block> = laid.iter().map(Laid::room).collect();
    let mut found = VecDeque::new();
    if let Some(first) = laid.first_mut() {
        first.rooms = 1;
        found.push_back(0);
    }
    while let Some(from) = found.pop_front() {
        for to in 0..laid.len() {
            if laid[to].rooms == 0 && steps_to(rooms[from], rooms[to]) <= MOST_STEPS {
                laid[to].rooms = laid[from].rooms + 1;
                laid[to].hears = Some(from);
                found.push_back(to);
            }
        }
    }
}
