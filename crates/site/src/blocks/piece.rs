//! One piece: a block, or several that are one thing.

use hallwright_core::slot::Filling;

use super::Settings;
use crate::network::{Ear, Role};
use hallwright_declared::space::{Block, Side};

/// What stands in a block, or in several as one thing.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Piece {
    /// Its name, unique in its world. Full blocks, caps and wires need none.
    pub name: String,
    /// As what it is built.
    pub shape: Shape,
    /// How it is set; `None` for full blocks, caps and wires.
    pub settings: Option<Settings>,
    /// The blocks that it fills: of a double chest first the one with slots 0 to 26, of a stream in the
    /// order of its flow. A dock that stands at a shuttle's gate fills none.
    pub blocks: Vec<Block>,
    /// Where its outlet, front or eye points; of inverters, levers and buttons the side on which the block
    /// is to which they are fastened. A hopper without it pushes into nothing.
    pub faces: Option<Side>,
    /// Of a box of something taken at its word: where things go in and out.
    pub openings: Vec<Opening>,
    /// What it holds at the start.
    pub contents: Vec<Filling>,
    /// Which mouth or stream it is meant to lead to, by name: blocks do not say it where two stand alike.
    pub meant: Vec<String>,
    /// What is taken at its word.
    pub declared: Vec<Declared>,
}

/// As what something is built.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Shape {
    /// A whole, closed block.
    Full,
    /// A block that closes a hopper, no inventory and not full.
    Cap,
    /// A block of wire.
    Wire,
    /// A hopper.
    Hopper,
    /// A dropper.
    Dropper,
    /// A dispenser.
    Dispenser,
    /// A single chest, which joins another beside it.
    Chest,
    /// A single chest that joins none.
    ChestApart,
    /// Two halves of a double chest.
    DoubleChest,
    /// A barrel.
    Barrel,
    /// Any other inventory.
    Container,
    /// An observer.
    Observer,
    /// A comparator.
    Comparator,
    /// A repeater.
    Repeater,
    /// An inverter.
    Inverter,
    /// A lever.
    Lever,
    /// A button.
    Button,
    /// A bench.
    Bench,
    /// Blocks of flowing water.
    Stream,
    /// Open blocks in which loose items rest.
    Mouth,
    /// A box of something taken at its word.
    Word,
}

/// A side of a block of a box, through which something goes in or out.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Opening {
    /// The block of the box.
    pub block: Block,
    /// The side of that block.
    pub side: Side,
    /// What goes through it.
    pub usage: Use,
}

/// What goes through an opening.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Use {
    /// A signal comes in.
    Hears(Ear),
    /// Its own signal goes out.
    Gives,
    /// Items come in.
    Takes,
    /// Items go out, in this role.
    HandsOn(Role),
    /// A shuttle stands there at the dock of this name, for items to go in and out.
    Docks(String),
    /// An observer sees a selector's matches.
    ShowsMatches,
}

/// A link that blocks do not make: it is taken at its word.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub enum Declared {
    /// A link in this role to the piece of this name.
    Link(Role, String),
    /// A signal from the piece of this name, less so much.
    Signal(Ear, String, u8),
}

impl Shape {
    /// Whether it fills a whole, closed block: it carries wires, and signals go through it.
    #[must_use]
    pub fn is_full(self) -> bool {
        match self {
            Self::Full | Self::Dropper | Self::Dispenser | Self::Barrel => true,
            Self::Cap | Self::Wire | Self::Hopper | Self::Chest | Self::ChestApart => false,
            Self::DoubleChest | Self::Container | Self::Observer | Self::Comparator => false,
            Self::Repeater | Self::Inverter | Self::Lever | Self::Button | Self::Bench => false,
            Self::Stream | Self::Mouth | Self::Word => false,
        }
    }

    /// Whether items can be pushed into it and drawn from it. A box taken at its word has openings for that.
    #[must_use]
    pub fn is_inventory(self) -> bool {
        match self {
            Self::Hopper | Self::Dropper | Self::Dispenser | Self::Chest | Self::ChestApart => true,
            Self::DoubleChest | Self::Barrel | Self::Container | Self::Bench => true,
            Self::Full | Self::Cap | Self::Wire | Self::Observer | Self::Comparator => false,
            Self::Repeater | Self::Inverter | Self::Lever | Self::Button => false,
            Self::Stream | Self::Mouth | Self::Word => false,
        }
    }

    /// Whether nothing stands in its block that water would stop at: a mouth, or a bench without its box.
    #[must_use]
    pub fn is_open(self) -> bool {
        matches!(self, Self::Mouth | Self::Bench)
    }
}

impl Piece {
    /// A piece of this shape in this block, with nothing set.
    #[must_use]
    pub fn new(name: &str, shape: Shape, blocks: impl IntoIterator<Item = Block>) -> Self {
        Self {
            name: name.to_owned(),
            shape,
            settings: None,
            blocks: blocks.into_iter().collect(),
            faces: None,
            openings: Vec::new(),
            contents: Vec::new(),
            meant: Vec::new(),
            declared: Vec::new(),
        }
    }

    /// The first of its blocks in the order of blocks.
    #[must_use]
    pub fn first_block(&self) -> Option<Block> {
        self.blocks.iter().copied().min_by_key(|block| block.rank())
    }

    /// The full block that carries it or to which it is fastened; `None` for what stands by itself. A wire
    /// is asked block for block: [`Shape::Wire`].
    #[must_use]
    pub fn fastened_on(&self) -> Option<Side> {
        match self.shape {
            Shape::Comparator | Shape::Repeater | Shape::Wire => Some(Side::MinusY),
            Shape::Inverter | Shape::Lever | Shape::Button => {
                Some(self.faces.unwrap_or(Side::MinusY))
            }
            Shape::Full | Shape::Cap | Shape::Hopper | Shape::Dropper | Shape::Dispenser => None,
            Shape::Chest | Shape::ChestApart | Shape::DoubleChest | Shape::Barrel => None,
            Shape::Container | Shape::Observer | Shape::Bench | Shape::Stream => None,
            Shape::Mouth | Shape::Word => None,
        }
    }

    /// Whether it is a room: what is in it, is said elsewhere.
    #[must_use]
    pub fn is_room(&self) -> bool {
        self.shape == Shape::Word && self.settings.is_none()
    }

    /// Whether it is an inverter that hangs from above, which no inverter does.
    pub(crate) fn hangs(&self) -> bool {
        self.shape == Shape::Inverter && self.fastened_on() == Some(Side::PlusY)
    }

    /// Whether there is such an opening at this block.
    pub(crate) fn opens(&self, block: Block, side: Side, is_it: impl Fn(&Use) -> bool) -> bool {
        let here = |opening: &&Opening| opening.block == block && opening.side == side;
        self.openings
            .iter()
            .filter(here)
            .any(|opening| is_it(&opening.usage))
    }
}
