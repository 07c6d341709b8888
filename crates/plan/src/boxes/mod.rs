//! The box wing: columns for goods that come in full boxes of one kind.
//!
//! [`Wing::new`] says how many columns each kind gets, [`Wing::measures`] how large the wing is and how long
//! it takes to stop, and [`Wing::text`] writes it as a module, which the modules of [`MODULES`] are built
//! into. It stands block by block; the module file says how.

mod desks;
mod hearing;
mod lines;
mod measures;
mod rooms;
mod text;
mod trial;

use std::fmt;

pub use measures::Measures;
pub use text::WingText;
pub use trial::Haul;

/// The modules of every box wing.
pub const MODULES: &str = include_str!("../../../../scenarios/plan/modules/boxes.ron");

/// The file with [`MODULES`], beside the wing's own.
pub const MODULES_FILE: &str = "boxes.ron";

/// The file with the module of one wing.
pub const WING_FILE: &str = "box-wing.ron";

/// How many levels a column may have. The wire that locks its hoppers loses 2 a level, so that a sixth would
/// hear nothing any more.
pub const LEVELS: std::ops::RangeInclusive<u32> = 1..=5;

/// How many columns a wing may have.
pub const MOST_COLUMNS: u64 = 3_000;

/// How many columns stand behind one buffer.
const COLUMNS_A_HALF: usize = 3;

/// How many halves share a stream and an overflow: what is on the stream at a stop still comes, and at four
/// halves it is 20 blocks long.
const HALVES_A_STREAM: usize = 4;

/// Slots of a box.
pub const BOX_SLOTS: u64 = 27;
/// Slots of a double chest, of a barrel and of a hopper.
const CHEST_SLOTS: u64 = 54;
const RACK_SLOTS: u64 = 27;
const HOPPER_SLOTS: u64 = 5;

/// How many boxes have room in an overflow: in two double chests, and a hopper before each.
pub const OVERFLOW_BOXES: u64 = 2 * (CHEST_SLOTS + HOPPER_SLOTS);

/// How many boxes have room in a column with so many levels: in its gate, in the double chest of each level
/// and the hopper below it, and in the rack.
#[must_use]
pub fn boxes_a_column(levels: u32) -> u64 {
    HOPPER_SLOTS + u64::from(levels) * (CHEST_SLOTS + HOPPER_SLOTS) + RACK_SLOTS
}

/// How many items of a stack limit have room in a column with so many levels.
#[must_use]
pub fn items_a_column(levels: u32, stack_limit: u64) -> u64 {
    boxes_a_column(levels) * items_a_box(stack_limit)
}

/// How many items of a stack limit fill a box.
#[must_use]
pub fn items_a_box(stack_limit: u64) -> u64 {
    BOX_SLOTS * stack_limit
}

/// A kind that is kept in boxes.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct BoxedKind {
    /// Its name.
    pub name: String,
    /// How many of its items share a slot: 64, 16 or 1.
    pub stack_limit: u64,
    /// How many full boxes are to have room.
    pub boxes: u64,
}

/// What a wing is to be.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Wanted {
    /// The kinds, in the order in which boxes pass their columns.
    pub kinds: Vec<BoxedKind>,
    /// How many double chests a column has below one another; one of [`LEVELS`].
    pub levels: u32,
    /// What an empty box is called among the goods.
    pub box_name: String,
    /// What the tallies are called with which boxes are asked for; `None` if nothing is fetched by barge.
    pub tally_name: Option<String>,
    /// Whether the first kind is shown at a serving hatch below its first column, in place of a desk there.
    pub has_hatch: bool,
    /// The switch of the hall, as it is called where the wing is used.
    pub run: String,
    /// Where the switch stands, in the wing's own frame: of a room, its nearest block. It follows from it which
    /// rooms of the wing hear the switch itself, and how many relays there are on the way to the first, if none does.
    pub run_at: [i64; 3],
}

/// One column.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Column {
    /// The number of its kind.
    pub kind: usize,
    /// Whether what finds it full goes to the stream, and not to the next column of its kind.
    pub spills: bool,
}

/// A box wing.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Wing {
    wanted: Wanted,
    columns: Vec<Column>,
}

/// Why there can be no such wing.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum NoWing {
    /// No kind is kept in boxes.
    NoKinds,
    /// Not so many levels.
    Levels(u32),
    /// A kind is there twice.
    Twice(String),
    /// More than [`MOST_COLUMNS`] columns would be needed.
    TooLong(u64),
}

impl fmt::Display for NoWing {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoKinds => formatter.write_str("a box wing needs a kind that is kept in boxes"),
            Self::Levels(levels) => write!(
                formatter,
                "a column of boxes has {} to {} double chests below one another, and not {levels}",
                LEVELS.start(),
                LEVELS.end()
            ),
            Self::Twice(kind) => {
                write!(
                    formatter,
                    "`{kind}` is listed twice among the kinds in boxes"
                )
            }
            Self::TooLong(columns) => write!(
                formatter,
                "the boxes need {columns} columns, and a wing has {MOST_COLUMNS} at most: fewer boxes, \
                 or more levels, need fewer"
            ),
        }
    }
}

impl std::error::Error for NoWing {}

impl Wing {
    /// The wing with as many columns as its kinds need, those of a kind beside each other. A kind without
    /// boxes has one too.
    ///
    /// # Errors
    ///
    /// If there is no kind, a kind is there twice, the levels are none of [`LEVELS`], or it would be too long.
    pub fn new(wanted: Wanted) -> Result<Self, NoWing> {
        if wanted.kinds.is_empty() {
            return Err(NoWing::NoKinds);
        }
        if !LEVELS.contains(&wanted.levels) {
            return Err(NoWing::Levels(wanted.levels));
        }
        let mut names: Vec<&str> = wanted.kinds.iter().map(|kind| kind.name.as_str()).collect();
        names.sort_unstable();
        if let Some(twice) = names.windows(2).find(|pair| pair[0] == pair[1]) {
            return Err(NoWing::Twice(twice[0].to_owned()));
        }
        let room = boxes_a_column(wanted.levels);
        let columns_of = |kind: &BoxedKind| kind.boxes.div_ceil(room).max(1);
        let count = wanted
            .kinds
            .iter()
            .map(columns_of)
            .fold(0, u64::saturating_add);
        if count > MOST_COLUMNS {
            return Err(NoWing::TooLong(count));
        }
        let mut columns = Vec::new();
        for (number, kind) in wanted.kinds.iter().enumerate() {
            let count = columns_of(kind);
            columns.extend((1..=count).map(|column| Column {
                kind: number,
                spills: column == count,
            }));
        }
        Ok(Self { wanted, columns })
    }

    /// Its columns, in the order in which boxes pass them.
    #[must_use]
    pub fn columns(&self) -> &[Column] {
        &self.columns
    }

    /// Where its columns stand along x, in its own frame.
    pub fn columns_at(&self) -> impl Iterator<Item = i64> {
        let columns = 0..self.columns.len();
        columns.map(|at| x_of_half(at / COLUMNS_A_HALF) + (at % COLUMNS_A_HALF) as i64)
    }

    /// Its halves: one to three neighbouring columns each.
    fn halves(&self) -> Vec<&[Column]> {
        self.columns.chunks(COLUMNS_A_HALF).collect()
    }

    /// The height of the lower block of its eyes, and of the topmost row of wire that locks its hoppers.
    fn top(&self) -> i64 {
        2 * i64::from(self.wanted.levels) + 2
    }

    /// The streams to the overflows, in order.
    fn streams(&self) -> Vec<Stream> {
        let halves = self.halves();
        let groups = halves.chunks(HALVES_A_STREAM).enumerate();
        let stream = |(group, halves): (usize, &[&[Column]])| Stream {
            is_built: halves
                .iter()
                .any(|half| half.iter().any(|column| column.spills)),
            first_half: group * HALVES_A_STREAM,
            halves: halves.len(),
            blocks_over_eyes: x_of_half(halves.len() - 1)
                + halves.last().map_or(0, |half| half.len() as i64),
        };
        groups.map(stream).collect()
    }
}

/// A stream with its overflow.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct Stream {
    /// Whether anything can come onto it. Else, where all columns are of one kind that goes on, there is neither
    /// stream nor overflow.
    is_built: bool,
    /// The first half of which it takes what finds its column full, and how many halves there are.
    first_half: usize,
    halves: usize,
    /// How many blocks of it stand over the eyes.
    blocks_over_eyes: i64,
}

impl Stream {
    /// Its blocks, from its beginning on, in a wing whose eyes are so high.
    fn path(self, top: i64) -> Vec<[i64; 3]> {
        let (x, y) = (x_of_half(self.first_half), top + 2);
        let over_eyes = (0..self.blocks_over_eyes).rev();
        let mut path: Vec<[i64; 3]> = over_eyes.map(|from| [x + from, y, 0]).collect();
        path.extend([[x, y, -1], [x, y, -2], [x - 1, y, -2], [x - 1, y, -3]]);
        path
    }

    /// How long a box is on it at most, in ticks, at the ordinary speed of a stream: 14.4 ticks a block.
    fn transit_ticks(self) -> u64 {
        self.path(0).len() as u64 * 144 / 10 + 1
    }
}

/// Where the first column of a half stands along x.
fn x_of_half(half: usize) -> i64 {
    4 * half as i64
}
