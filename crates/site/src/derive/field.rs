//! Which signals are in which blocks: section 3.

use std::collections::VecDeque;

use super::sources::deed;
use super::wires::Wires;
use crate::blocks::{ByBlock, World};
use crate::network::{Hearing, UNHEARD_LOSS};
use hallwright_declared::space::{Block, Side};

/// Every signal of a world, in every block that it reaches.
#[derive(Clone, Debug, Default)]
pub struct Field {
    wires: Wires,
    /// What each block of wire carries.
    carried: ByBlock<Hearing<usize>>,
    /// What makes each full block strong or weak.
    in_full: ByBlock<Hearing<usize>>,
    /// Everything that acts on each block.
    acts: ByBlock<Vec<Act>>,
}

/// One thing that acts on a block.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Act {
    /// The neighbour from which it acts.
    pub from: Block,
    /// Whose signal it is.
    pub source: usize,
    /// How much of its level is lost.
    pub loss: u8,
    /// Whether it is wire that acts, and not the source itself.
    pub is_wire: bool,
}

impl Field {
    /// That of a world.
    #[must_use]
    pub fn of(world: &World) -> Self {
        let mut field = Self {
            wires: Wires::of(world),
            ..Self::default()
        };
        for (source, piece) in world.pieces().iter().enumerate() {
            let deed = deed(world, piece);
            for (from, to) in &deed.acts {
                let act = Act {
                    from: *from,
                    source,
                    loss: 0,
                    is_wire: false,
                };
                field.acts.entry(*to).or_default().push(act);
            }
            let mut starts: Vec<Block> = deed.acts.iter().map(|(_, to)| *to).collect();
            for strong in &deed.strong {
                field
                    .in_full
                    .entry(*strong)
                    .or_default()
                    .add(source, 0, false);
                starts.extend(Side::ALL.map(|side| strong.beside(side)));
            }
            starts.retain(|block| world.is_wire(*block));
            field.run_along(source, starts);
        }
        field.let_wires_act(world);
        field
    }

    /// A signal runs along the wire from these blocks, and loses 1 at each joint.
    fn run_along(&mut self, source: usize, starts: Vec<Block>) {
        let mut open: VecDeque<(Block, u8)> = starts.into_iter().map(|start| (start, 0)).collect();
        while let Some((wire, loss)) = open.pop_front() {
            let carried = self.carried.entry(wire).or_default();
            if carried.get(source).is_some() {
                continue; // Breadth first: it came here before with less loss, or as little.
            }
            carried.add(source, loss, false);
            if loss + 1 < UNHEARD_LOSS {
                let joined = self.wires.joined(wire).iter();
                open.extend(joined.map(|next| (*next, loss + 1)));
            }
        }
    }

    fn let_wires_act(&mut self, world: &World) {
        // In the order of blocks, for what acts on a block is listed in this order.
        let mut carried: Vec<_> = self.carried.iter().collect();
        carried.sort_unstable_by_key(|(wire, _)| **wire);
        for (wire, carried) in carried {
            for to in self.wires.acts_on(*wire) {
                let acts = self.acts.entry(to).or_default();
                acts.extend(carried.iter().map(|(source, heard)| Act {
                    from: *wire,
                    source,
                    loss: heard.loss,
                    is_wire: true,
                }));
                if world.is_full(to) {
                    let weak = self.in_full.entry(to).or_default();
                    for (source, heard) in carried.iter() {
                        weak.add(source, heard.loss, false);
                    }
                }
            }
        }
    }

    /// How its wires join.
    #[must_use]
    pub fn wires(&self) -> &Wires {
        &self.wires
    }

    /// Every source that a block of wire carries, and how much of it is lost there.
    #[must_use]
    pub fn in_wire(&self, wire: Block) -> Hearing<usize> {
        self.carried.get(&wire).cloned().unwrap_or_default()
    }

    /// Every source that makes a full block strong or weak, with its loss there.
    pub fn in_full_block(&self, block: Block) -> impl Iterator<Item = (usize, u8)> {
        let found = self.in_full.get(&block).into_iter();
        found.flat_map(|hearing| hearing.iter().map(|(source, heard)| (source, heard.loss)))
    }

    /// Everything that acts on a block.
    #[must_use]
    pub fn acts_on(&self, block: Block) -> &[Act] {
        self.acts.get(&block).map_or(&[], Vec::as_slice)
    }
}
