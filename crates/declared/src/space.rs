//! Blocks, directions, and the eight ways in which a module can be set down.

use std::fmt;
use std::ops::{Add, Neg, Sub};

/// A block by where it is, or the way from one block to another, in whole blocks.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub struct Block {
    /// Along the line.
    pub x: i32,
    /// Up.
    pub y: i32,
    /// Across.
    pub z: i32,
}

impl Block {
    /// The block at these coordinates.
    #[must_use]
    pub const fn new(x: i32, y: i32, z: i32) -> Self {
        Self { x, y, z }
    }

    /// The neighbour on this side.
    #[must_use]
    pub fn beside(self, side: Side) -> Self {
        self + side.step()
    }

    /// Of both the smaller coordinate along each axis.
    #[must_use]
    pub fn least(self, other: Self) -> Self {
        Self {
            x: self.x.min(other.x),
            y: self.y.min(other.y),
            z: self.z.min(other.z),
        }
    }

    /// The same way with no coordinate below 0.
    #[must_use]
    pub fn widths(self) -> Self {
        Self {
            x: self.x.saturating_abs(),
            y: self.y.saturating_abs(),
            z: self.z.saturating_abs(),
        }
    }

    /// How many steps a signal needs from here to there: along x and z one after the other, up and down
    /// on the way.
    #[must_use]
    pub fn steps_to(self, other: Self) -> u32 {
        let far = |a: i32, b: i32| a.abs_diff(b);
        let across = far(self.x, other.x).saturating_add(far(self.z, other.z));
        across.max(far(self.y, other.y))
    }

    /// Where it comes in the order of blocks: from the top, then by x, then by z.
    #[must_use]
    pub fn rank(self) -> (std::cmp::Reverse<i32>, i32, i32) {
        (std::cmp::Reverse(self.y), self.x, self.z)
    }

    /// The side on which the other block is a neighbour; `None` if it is none.
    #[must_use]
    pub fn side_of(self, other: Self) -> Option<Side> {
        Side::ALL
            .into_iter()
            .find(|side| self.beside(*side) == other)
    }
}

impl Add for Block {
    type Output = Self;

    /// Saturates at the ends of the numbers: no hall is that large.
    fn add(self, way: Self) -> Self {
        Self {
            x: self.x.saturating_add(way.x),
            y: self.y.saturating_add(way.y),
            z: self.z.saturating_add(way.z),
        }
    }
}

impl Sub for Block {
    type Output = Self;

    /// Saturates at the ends of the numbers.
    fn sub(self, other: Self) -> Self {
        Self {
            x: self.x.saturating_sub(other.x),
            y: self.y.saturating_sub(other.y),
            z: self.z.saturating_sub(other.z),
        }
    }
}

impl Neg for Block {
    type Output = Self;

    fn neg(self) -> Self {
        Self::default() - self
    }
}

impl fmt::Display for Block {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "({}, {}, {})", self.x, self.y, self.z)
    }
}

/// One of the six sides of a block, and the direction in which something faces.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Side {
    /// Along the line, towards larger `x`.
    PlusX,
    /// Towards smaller `x`.
    MinusX,
    /// Up.
    PlusY,
    /// Down.
    MinusY,
    /// Across, towards larger `z`.
    PlusZ,
    /// Towards smaller `z`.
    MinusZ,
}

impl Side {
    /// All six.
    pub const ALL: [Self; 6] = [
        Self::PlusX,
        Self::MinusX,
        Self::PlusY,
        Self::MinusY,
        Self::PlusZ,
        Self::MinusZ,
    ];

    /// The four beside a block, at its own height.
    pub const LEVEL: [Self; 4] = [Self::PlusX, Self::MinusX, Self::PlusZ, Self::MinusZ];

    /// The way to the neighbour on this side.
    #[must_use]
    pub const fn step(self) -> Block {
        match self {
            Self::PlusX => Block::new(1, 0, 0),
            Self::MinusX => Block::new(-1, 0, 0),
            Self::PlusY => Block::new(0, 1, 0),
            Self::MinusY => Block::new(0, -1, 0),
            Self::PlusZ => Block::new(0, 0, 1),
            Self::MinusZ => Block::new(0, 0, -1),
        }
    }

    /// The side across.
    #[must_use]
    pub const fn opposite(self) -> Self {
        match self {
            Self::PlusX => Self::MinusX,
            Self::MinusX => Self::PlusX,
            Self::PlusY => Self::MinusY,
            Self::MinusY => Self::PlusY,
            Self::PlusZ => Self::MinusZ,
            Self::MinusZ => Self::PlusZ,
        }
    }

    /// Whether it is one of the four beside a block.
    #[must_use]
    pub const fn is_level(self) -> bool {
        !matches!(self, Self::PlusY | Self::MinusY)
    }

    /// As layouts write it: `+x`, `-y` and so on.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::PlusX => "+x",
            Self::MinusX => "-x",
            Self::PlusY => "+y",
            Self::MinusY => "-y",
            Self::PlusZ => "+z",
            Self::MinusZ => "-z",
        }
    }

    /// Its sign on drawings, which are seen from above with rows towards larger `z` below each other.
    #[must_use]
    pub const fn sign(self) -> char {
        match self {
            Self::PlusX => '>',
            Self::MinusX => '<',
            Self::PlusZ => '!',
            Self::MinusZ => '^',
            Self::PlusY => '+',
            Self::MinusY => '-',
        }
    }

    /// The side of this sign.
    #[must_use]
    pub fn of_sign(sign: char) -> Option<Self> {
        Self::ALL.into_iter().find(|side| side.sign() == sign)
    }

    /// The side of this name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|side| side.name() == name)
    }
}

impl fmt::Display for Side {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.name())
    }
}

/// How a module is turned when it is set down: where its own `x` and `z` point. `y` stays up. There are
/// eight: four turns, and their mirror images.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub struct Axes {
    x: Side,
    z: Side,
}

impl Default for Axes {
    fn default() -> Self {
        Self {
            x: Side::PlusX,
            z: Side::PlusZ,
        }
    }
}

impl Axes {
    /// Its own `x` points here, and its own `z` there. `None` unless both are level and one is along `x`,
    /// the other along `z`.
    #[must_use]
    pub fn new(x: Side, z: Side) -> Option<Self> {
        let is_along_x = |side: Side| matches!(side, Side::PlusX | Side::MinusX);
        let fits = x.is_level() && z.is_level() && is_along_x(x) != is_along_x(z);
        fits.then_some(Self { x, z })
    }

    /// All eight, the untouched one first.
    pub fn all() -> impl Iterator<Item = Self> {
        Side::LEVEL
            .into_iter()
            .flat_map(|x| Side::LEVEL.into_iter().filter_map(move |z| Self::new(x, z)))
    }

    /// A way in the module, as it is outside.
    #[must_use]
    pub fn way(self, own: Block) -> Block {
        let along = |side: Side, count: i32| {
            let step = side.step();
            Block::new(
                step.x.saturating_mul(count),
                0,
                step.z.saturating_mul(count),
            )
        };
        along(self.x, own.x) + along(self.z, own.z) + Block::new(0, own.y, 0)
    }

    /// A side in the module, as it is outside.
    #[must_use]
    pub fn side(self, own: Side) -> Side {
        match own {
            Side::PlusX => self.x,
            Side::MinusX => self.x.opposite(),
            Side::PlusZ => self.z,
            Side::MinusZ => self.z.opposite(),
            Side::PlusY | Side::MinusY => own,
        }
    }

    /// How something is turned outside that is turned so in a module which is turned like this.
    #[must_use]
    pub fn then(self, inner: Self) -> Self {
        Self {
            x: self.side(inner.x),
            z: self.side(inner.z),
        }
    }
}
