//! How long the hall is, what lines up where, and what stays free.
//!
//! The lines of the three sorts run beside one another along the hall, each a pattern of slices of
//! one width. After the least common multiple of the widths all of them line up again: that is a
//! tile, and a hall is a whole number of tiles.

use hallwright_scenario::Diagnostic;

use crate::allocate::Allocation;
use crate::allocate::places::is_left_out;
use crate::hall::{Hall, Sort};
use crate::ids;
use crate::written::Growth;

/// The width after which patterns of these widths line up: their least common multiple.
#[must_use]
pub fn pattern_width(widths: impl IntoIterator<Item = u64>) -> u64 {
    widths.into_iter().fold(1, |multiple, width| {
        multiple / greatest_common_divisor(multiple, width) * width
    })
}

fn greatest_common_divisor(one: u64, other: u64) -> u64 {
    if other == 0 {
        one
    } else {
        greatest_common_divisor(other, one % other)
    }
}

/// How many slices of a width stand on a length, on all sides together.
#[must_use]
pub fn slices_on(length_blocks: u64, width_blocks: u64, sides: u64) -> u64 {
    length_blocks / width_blocks * sides
}

/// How long a hall of a laid down length is: whole tiles.
#[must_use]
pub fn laid_down_length(hall: &Hall) -> Option<u64> {
    let widths = Sort::ALL.into_iter().filter_map(|sort| hall.slice(sort));
    let tile = pattern_width(widths.map(|slice| slice.width_blocks));
    hall.length_blocks.map(|length| length.value / tile * tile)
}

/// How many places of a line are on side 1: it turns round half way.
#[must_use]
pub fn on_first_side(places: u64, sides: u64) -> u64 {
    places.div_ceil(sides)
}

/// How many slices of a sort are wished to be free.
#[must_use]
pub fn reserve(hall: &Hall, sort: Sort, used: u64, total_kinds: usize) -> u64 {
    match hall.growth {
        Growth::Share(share) => (used as f64 * share.value).ceil() as u64,
        Growth::Slices(slices) => slices[sort.index()],
        // New kinds divide among the sorts as those of today do, and fill slices alike.
        Growth::NewKinds(a_year, years) => {
            (a_year.value * years.value * used).div_ceil(total_kinds.max(1) as u64)
        }
    }
}

/// What one place along a line is for.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Place {
    /// The slice in use of this number, from 0.
    Used(usize),
    /// Kept free for goods to come: its line is built, its filters and chests are not.
    Free,
    /// Left out of the pattern; the line goes past.
    LeftOut,
}

/// The line of one sort.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct FittedLine {
    /// The sort.
    pub sort: Sort,
    /// How many slices are in use.
    pub used: u64,
    /// How many are wished to be free.
    pub reserve: u64,
    /// How many there is room for on the whole length, without those left out.
    pub room: u64,
    /// How many of the room are left out.
    pub left_out: u64,
    /// Every place that is built, from the input on: what is in use, then the reserve as far as
    /// there is room.
    pub places: Vec<Place>,
}

impl FittedLine {
    /// How many slices are free on the whole length.
    #[must_use]
    pub fn free(&self) -> u64 {
        self.room - self.used
    }
}

/// One line of the table of lengths.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct LengthChoice {
    /// How many tiles.
    pub tiles: u64,
    /// How long that is.
    pub length_blocks: u64,
    /// For each line: how many slices there is room for, and how many are free; `None` if not all
    /// that are in use fit.
    pub room: Vec<(u64, Option<u64>)>,
    /// Whether the reserve fits, too.
    pub has_reserve: bool,
}

/// How everything fits.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fit {
    /// The width of a tile, in blocks.
    pub pattern_blocks: u64,
    /// How many tiles the hall has.
    pub tiles: u64,
    /// The lines of those sorts that the hall has.
    pub lines: Vec<FittedLine>,
    /// Lengths to choose from.
    pub choices: Vec<LengthChoice>,
}

impl Fit {
    /// How long the hall is, in blocks.
    #[must_use]
    pub fn length_blocks(&self) -> u64 {
        self.tiles * self.pattern_blocks
    }
}

/// So many tiles are tried before a hall is called too long.
const MOST_TILES: u64 = 1_000_000;

/// Fits an allocation into a hall: as short as it can be, or as long as is laid down. `None` if it
/// does not fit, which is reported; a short reserve is warned of.
pub fn fit(allocation: &Allocation, hall: &Hall, problems: &mut Vec<Diagnostic>) -> Option<Fit> {
    let needs = needs(allocation, hall);
    let pattern_blocks = pattern_width(needs.iter().map(|need| need.width_blocks));
    let holds = |tiles: u64, with_reserve: bool| {
        needs.iter().all(|need| {
            let laid = need.is_used.len() as u64;
            let wished = if with_reserve { need.built } else { laid };
            need.room(hall, tiles * pattern_blocks) >= wished
        })
    };
    let least = |with_reserve: bool| (1..=MOST_TILES).find(|tiles| holds(*tiles, with_reserve));
    let Some(wished_tiles) = least(true) else {
        let message = "the hall would be longer than can be planned";
        problems.push(Diagnostic::general(ids::TOO_SHORT, message));
        return None;
    };
    let tiles = match hall.length_blocks {
        None => wished_tiles,
        Some(length) => {
            let tiles = length.value / pattern_blocks;
            let least_blocks = least(false).unwrap_or(wished_tiles) * pattern_blocks;
            let wished_blocks = wished_tiles * pattern_blocks;
            if length.value < least_blocks {
                let message = format!(
                    "the goods need a hall of {least_blocks} blocks, and it is to have {}",
                    length.value
                );
                let problem = Diagnostic::error(ids::TOO_SHORT, length.span, message);
                let help = format!("{wished_blocks} blocks have room for the reserve, too");
                problems.push(problem.help(help));
                return None;
            }
            if tiles < wished_tiles {
                let message = "the reserve is short";
                let problem = Diagnostic::warning(ids::SHORT_RESERVE, length.span, message);
                let help = format!("it would fit into {wished_blocks} blocks");
                problems.push(problem.help(help));
            }
            tiles
        }
    };
    let length_blocks = tiles * pattern_blocks;
    let lines = needs.iter().map(|need| need.fitted(hall, length_blocks));
    let first = tiles.min(wished_tiles).saturating_sub(2).max(1);
    let choices = (first..=tiles.max(wished_tiles) + 3).map(|tiles| {
        let length_blocks = tiles * pattern_blocks;
        let room = needs.iter().map(|need| {
            let room = need.room(hall, length_blocks);
            (room, room.checked_sub(need.used))
        });
        LengthChoice {
            tiles,
            length_blocks,
            room: room.collect(),
            has_reserve: tiles >= wished_tiles,
        }
    });
    Some(Fit {
        pattern_blocks,
        tiles,
        lines: lines.collect(),
        choices: choices.collect(),
    })
}

/// What one sort needs.
struct Need {
    sort: Sort,
    width_blocks: u64,
    used: u64,
    reserve: u64,
    /// How many slices are to be built.
    built: u64,
    /// Of each slice that goods were given a place among, whether it has any.
    is_used: Vec<bool>,
}

impl Need {
    /// How many places of a length are left out.
    fn left_out(&self, hall: &Hall, length_blocks: u64) -> u64 {
        let places = slices_on(length_blocks, self.width_blocks, hall.sides);
        let gaps = hall.gaps.iter().filter(|gap| gap.sort == self.sort);
        let last = gaps.map(|gap| gap.from + gap.count - 1).max().unwrap_or(0);
        (1..=places.min(last))
            .filter(|number| is_left_out(hall, self.sort, *number))
            .count() as u64
    }

    /// How many slices there is room for on a length.
    fn room(&self, hall: &Hall, length_blocks: u64) -> u64 {
        let places = slices_on(length_blocks, self.width_blocks, hall.sides);
        places - self.left_out(hall, length_blocks)
    }

    fn fitted(&self, hall: &Hall, length_blocks: u64) -> FittedLine {
        let room = self.room(hall, length_blocks);
        let built = usize::try_from(self.built.min(room)).unwrap_or(usize::MAX);
        let mut places = Vec::new();
        let mut slices = 0;
        let mut number = 1;
        while slices < built {
            if is_left_out(hall, self.sort, number) {
                places.push(Place::LeftOut);
            } else {
                let is_used = self.is_used.get(slices) == Some(&true);
                places.push(if is_used {
                    Place::Used(slices)
                } else {
                    Place::Free
                });
                slices += 1;
            }
            number += 1;
        }
        FittedLine {
            sort: self.sort,
            used: self.used,
            reserve: self.reserve,
            room,
            left_out: self.left_out(hall, length_blocks),
            places,
        }
    }
}

/// What each sort that the hall has needs.
fn needs(allocation: &Allocation, hall: &Hall) -> Vec<Need> {
    let total_kinds: usize = allocation.lines.iter().map(|line| line.kinds()).sum();
    let mut needs = Vec::new();
    for sort in Sort::ALL {
        let Some(slice) = hall.slice(sort) else {
            continue;
        };
        let line = &allocation.lines[sort.index()];
        let used = line.used() as u64;
        let reserve = reserve(hall, sort, used, total_kinds);
        needs.push(Need {
            sort,
            width_blocks: slice.width_blocks,
            used,
            reserve,
            built: line.built(reserve),
            is_used: line.slices.iter().map(|goods| !goods.is_empty()).collect(),
        });
    }
    needs
}
