//! Where the parts of a network stand and how they are turned, as a layout says it.

use crate::space::{Axes, Block, Side};
use hallwright_core::id::PartId;

/// Where one part stands. What a sort of part has no use for is left empty.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Placed {
    /// As what it is built, where its part can be built as different things.
    pub built: Built,
    /// Its block; of a double chest that of slots 0 to 26; of a box the corner with the smallest
    /// coordinates. `None` for a wire or stream, which has a path, or if it is not said.
    pub position: Option<Block>,
    /// Where its front, eye, outlet or output points. A hopper, dropper or dispenser without it points to
    /// what it pushes into, a hopper that pushes into nothing down; of anything else with a front it must be
    /// said.
    pub faces: Option<Side>,
    /// Where the other half of a double chest is; `+x` if it is not said.
    pub along: Option<Side>,
    /// The side on which the full block is to which it is fastened; below it if it is not said.
    pub on: Option<Side>,
    /// The blocks of a stream in the order of its flow, or of a wire, or of a mouth of several hoppers.
    pub path: Vec<Block>,
    /// The blocks of a stream's path, besides the first, in which it has a source of its own.
    pub sources: Vec<Block>,
    /// How many blocks a box fills, along x, y and z, each 1 or more; (1, 1, 1) if `None`.
    pub size: Option<Block>,
    /// The sides of a box through which something goes in or out.
    pub sides: Vec<Gate>,
    /// Who says what it is linked to.
    pub origin: Origin,
    /// Of a drawn part the modules in use around it, by number, from the outermost; empty in the layout itself.
    pub modules: Vec<u32>,
    /// Whether a drawn part is a port of its module, through which others are meant to reach it.
    pub is_port: bool,
}

/// As what a part is built, if the part does not say it already.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub enum Built {
    /// As what goes without saying: a container of 54 slots is a double chest, any other a block that is
    /// neither full nor joins; what has a bench is a dispenser, and what has none a dropper.
    #[default]
    Usual,
    /// A single chest, which joins another beside it.
    Chest,
    /// A single chest that is turned so that it joins none.
    ChestApart,
    /// A barrel, which is full.
    Barrel,
    /// A dispenser, which throws what it cannot set down.
    Dispenser,
}

/// Who says what a part is linked to.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub enum Origin {
    /// The layout does.
    #[default]
    Declared,
    /// Its blocks do: it is drawn.
    Drawn,
    /// Nobody named it, and the blocks of others need it: a wire, whose blocks are among
    /// [`Placement::wires`] or that leads through a full block; or an open block where things come to lie.
    Added,
}

/// A side of a box of something taken at its word, and what goes through it.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Gate {
    /// Its name in the layout. Of a signal part: `in`, `out`, a latch's `set` and `reset`, and `in 1`, `in 2`
    /// and so on where there are several. Of a selector: `in`, `match`, `rest`, `when_full`, and `matches`
    /// where an observer sees them. Of a shuttle the name of a dock, or `release 1`, `release 2` and so on, by
    /// stop. Of a dock any.
    pub name: String,
    /// The block of the box, counted from its corner.
    pub at: Block,
    /// The side of that block.
    pub side: Side,
}

/// Whether the full blocks that carry others are all listed.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, Default)]
pub enum Supports {
    /// They are: where none is listed, nothing stands.
    #[default]
    Listed,
    /// Wherever one is needed and the block is open, there is one.
    Added,
}

/// Where the parts of a network stand, each at its number, and the blocks that are no parts.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Placement {
    /// Of each part, in the order of declaration; `None` if nothing is said, as in a large layout that is not built.
    pub parts: Vec<Option<Box<Placed>>>,
    /// Full blocks: supports, fastenings, walls.
    pub full: Vec<Block>,
    /// Where the supports and fastenings are that are not among these.
    pub supports: Supports,
    /// Blocks above hoppers that close them.
    pub caps: Vec<Block>,
    /// Blocks of wire that are drawn, not declared as parts.
    pub wires: Vec<Block>,
    /// Rooms in which signal parts stand somewhere.
    pub rooms: Vec<Room>,
}

/// A box of blocks in which signal parts stand somewhere: where, and how they are joined, is taken at its word.
#[derive(Clone, PartialEq, Eq, Hash, Debug)]
pub struct Room {
    /// Its name, with those of the modules around it before it.
    pub name: String,
    /// The block with the smallest coordinates.
    pub corner: Block,
    /// How many blocks it fills along x, y and z, each 1 or more.
    pub size: Block,
    /// Its parts, in the order of declaration. No part is in two rooms, and none has a position of its own.
    pub parts: Vec<PartId>,
}

impl Room {
    /// The block with the largest coordinates.
    #[must_use]
    pub fn last_block(&self) -> Block {
        self.corner + self.size - Block::new(1, 1, 1)
    }

    /// The same in a module that is set down like this, its own (0, 0, 0) at `origin`.
    #[must_use]
    pub fn set_down(&self, axes: Axes, origin: Block) -> Self {
        let ends = [self.corner, self.last_block()].map(|own| origin + axes.way(own));
        Self {
            name: self.name.clone(),
            corner: ends[0].least(ends[1]),
            size: axes.way(self.size).widths(),
            parts: self.parts.clone(),
        }
    }
}

impl Placed {
    /// One that stands in this block, with nothing else said.
    #[must_use]
    pub fn at(block: Block) -> Self {
        Self {
            position: Some(block),
            ..Self::default()
        }
    }

    /// One that fills these blocks.
    #[must_use]
    pub fn along_path(path: impl IntoIterator<Item = Block>) -> Self {
        Self {
            path: path.into_iter().collect(),
            ..Self::default()
        }
    }

    /// The same, pointing this way.
    #[must_use]
    pub fn facing(mut self, side: Side) -> Self {
        self.faces = Some(side);
        self
    }

    /// The same, fastened to the block on this side.
    #[must_use]
    pub fn fastened(mut self, side: Side) -> Self {
        self.on = Some(side);
        self
    }

    /// The same, built as this.
    #[must_use]
    pub fn built(mut self, built: Built) -> Self {
        self.built = built;
        self
    }

    /// The same, with one more gate, in the corner of its box.
    #[must_use]
    pub fn gate(mut self, name: &str, side: Side) -> Self {
        self.sides.push(Gate {
            name: name.to_owned(),
            at: Block::default(),
            side,
        });
        self
    }

    /// Whether it is a wire that its blocks need: which of those that are drawn it fills is not said.
    #[must_use]
    pub fn is_added_wire(&self) -> bool {
        self.origin == Origin::Added && self.position.is_none()
    }

    /// The same, with this origin.
    #[must_use]
    pub fn of_origin(mut self, origin: Origin) -> Self {
        self.origin = origin;
        self
    }

    /// Where its other half is outside, if that is not what goes without saying.
    fn along_in(&self, axes: Axes) -> Option<Side> {
        let usual = axes.side(Side::PlusX);
        match self.along {
            Some(along) => Some(axes.side(along)),
            None => (usual != Side::PlusX).then_some(usual),
        }
    }

    /// The same in a module that is set down like this, its own (0, 0, 0) at `origin`.
    #[must_use]
    pub fn set_down(&self, axes: Axes, origin: Block) -> Self {
        let block = |own: Block| origin + axes.way(own);
        let size = self.size.unwrap_or(Block::new(1, 1, 1));
        let (first, last) = (Block::default(), size - Block::new(1, 1, 1));
        // A box may come to lie on the other side of its corner.
        let corner = axes.way(first).least(axes.way(last));
        let turned = axes.way(size);
        let gate = |gate: &Gate| Gate {
            name: gate.name.clone(),
            at: axes.way(gate.at) - corner,
            side: axes.side(gate.side),
        };
        Self {
            built: self.built,
            position: self.position.map(|own| block(own) + corner),
            faces: self.faces.map(|side| axes.side(side)),
            along: self.along_in(axes),
            on: self.on.map(|side| axes.side(side)),
            path: self.path.iter().copied().map(block).collect(),
            sources: self.sources.iter().copied().map(block).collect(),
            size: self.size.map(|_| turned.widths()),
            sides: self.sides.iter().map(gate).collect(),
            origin: self.origin,
            modules: self.modules.clone(),
            is_port: self.is_port,
        }
    }
}

impl Placement {
    /// Nothing said yet of so many parts.
    #[must_use]
    pub fn of_parts(count: usize) -> Self {
        Self {
            parts: vec![None; count],
            ..Self::default()
        }
    }

    /// What is said of a part; `None` if nothing is.
    #[must_use]
    pub fn of(&self, part: PartId) -> Option<&Placed> {
        self.parts.get(part.index())?.as_deref()
    }

    /// All of it in a module that is set down like this, its own (0, 0, 0) at `origin`.
    #[must_use]
    pub fn set_down(&self, axes: Axes, origin: Block) -> Self {
        let block = |own: &Block| origin + axes.way(*own);
        let part = |placed: &Option<Box<Placed>>| {
            let placed = placed.as_ref();
            placed.map(|placed| Box::new(placed.set_down(axes, origin)))
        };
        Self {
            parts: self.parts.iter().map(part).collect(),
            full: self.full.iter().map(block).collect(),
            supports: self.supports,
            caps: self.caps.iter().map(block).collect(),
            wires: self.wires.iter().map(block).collect(),
            rooms: self
                .rooms
                .iter()
                .map(|room| room.set_down(axes, origin))
                .collect(),
        }
    }

    /// Of each of so many parts the room in which it is, by number.
    #[must_use]
    pub fn room_of_each(&self, part_count: usize) -> Vec<Option<usize>> {
        let mut rooms = vec![None; part_count];
        for (number, room) in self.rooms.iter().enumerate() {
            for part in &room.parts {
                if let Some(own) = rooms.get_mut(part.index()) {
                    *own = Some(number);
                }
            }
        }
        rooms
    }

    /// A block of each part, as x, y and z: the first of those that have several. `None` where nothing is
    /// said.
    #[must_use]
    pub fn positions(&self) -> Vec<Option<(i32, i32, i32)>> {
        let first = |placed: &Placed| placed.position.or_else(|| placed.path.first().copied());
        let each = self.parts.iter();
        each.map(|placed| {
            let block = placed.as_deref().and_then(first)?;
            Some((block.x, block.y, block.z))
        })
        .collect()
    }
}
