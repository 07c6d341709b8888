//! Who listens to what: section 3.

use std::collections::{BTreeMap, BTreeSet};

use super::field::{Act, Field};
use crate::blocks::{Piece, Settings, Shape, Use, World};
use crate::network::{Ear, Hearing, Role};
use hallwright_declared::space::{Block, Side};

/// A dropper or dispenser that fires when something next changes beside it, which is not modelled.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct Armed {
    /// The dropper or dispenser.
    pub dropper: usize,
    /// The source that arms it.
    pub source: usize,
}

/// Everything that a piece hears. `links` says whether a comparator reads.
pub(super) fn heard(
    world: &World,
    field: &Field,
    number: usize,
    links: &BTreeSet<(Role, usize)>,
) -> BTreeMap<Ear, Hearing<usize>> {
    let piece = world.piece(number);
    let listener = Listener { world, field };
    let mut hears = BTreeMap::new();
    let Some(&block) = piece.blocks.first() else {
        return hears;
    };
    match piece.shape {
        Shape::Hopper => {
            hears.insert(Ear::Lock, listener.whole(&piece.blocks));
        }
        Shape::Dropper | Shape::Dispenser => {
            let mut trigger = listener.whole(&piece.blocks);
            listener.over(block, &mut trigger);
            hears.insert(Ear::Trigger, trigger);
        }
        Shape::Inverter => {
            let mut input = Hearing::default();
            let fastened = piece.fastened_on().map(|side| block.beside(side));
            listener.full_block(fastened, &mut input);
            hears.insert(Ear::Input(0), input);
        }
        Shape::Repeater => {
            let back = piece.faces.map(Side::opposite);
            hears.insert(Ear::Input(0), listener.back(block, back));
            let locks = |act: &Act| !act.is_wire && listener.is_of_line(act.source);
            hears.insert(Ear::Lock, listener.sides(piece, block, locks));
        }
        Shape::Comparator => {
            let reads = links.iter().any(|(role, _)| *role == Role::Reads);
            if !reads {
                let back = piece.faces.map(Side::opposite);
                hears.insert(Ear::Rear, listener.back(block, back));
            }
            let counts = |act: &Act| act.is_wire || listener.is_of_line(act.source);
            hears.insert(Ear::Side, listener.sides(piece, block, counts));
        }
        Shape::Observer => {
            let seen = piece.faces.map(|eye| block.beside(eye));
            let wire = seen.map(|seen| field.in_wire(seen));
            hears.insert(Ear::Watch, wire.unwrap_or_default());
        }
        Shape::Word => listener.word(piece, &mut hears),
        Shape::Full | Shape::Cap | Shape::Wire | Shape::Lever | Shape::Button => {}
        Shape::Chest | Shape::ChestApart | Shape::DoubleChest | Shape::Barrel => {}
        Shape::Container | Shape::Bench | Shape::Stream | Shape::Mouth => {}
    }
    hears.retain(|_, hearing| !hearing.is_empty());
    hears
}

struct Listener<'a> {
    world: &'a World,
    field: &'a Field,
}

impl Listener<'_> {
    /// Whether a source is one that others notice at their sides: a repeater or comparator.
    fn is_of_line(&self, source: usize) -> bool {
        let shape = self.world.piece(source).shape;
        matches!(shape, Shape::Repeater | Shape::Comparator)
    }

    /// Whatever acts on one of these blocks, and every full neighbour that is strong or weak.
    fn whole(&self, blocks: &[Block]) -> Hearing<usize> {
        let mut hearing = Hearing::default();
        for block in blocks {
            for act in self.field.acts_on(*block) {
                hearing.add(act.source, act.loss, !act.is_wire);
            }
            for side in Side::ALL {
                self.full_block(Some(block.beside(side)), &mut hearing);
            }
        }
        hearing
    }

    /// What acts on the block above a dropper and fires it: everything but levers and buttons.
    fn over(&self, dropper: Block, hearing: &mut Hearing<usize>) {
        for act in self.field.acts_on(dropper.beside(Side::PlusY)) {
            if act.is_wire || !self.is_switch(act.source) {
                hearing.add(act.source, act.loss, !act.is_wire);
            }
        }
    }

    fn is_switch(&self, source: usize) -> bool {
        let shape = self.world.piece(source).shape;
        matches!(shape, Shape::Lever | Shape::Button)
    }

    /// What makes this block strong or weak, if it is full.
    fn full_block(&self, block: Option<Block>, hearing: &mut Hearing<usize>) {
        let inside = block.into_iter().flat_map(|b| self.field.in_full_block(b));
        for (source, loss) in inside {
            hearing.add(source, loss, false);
        }
    }

    /// What acts on a block from a neighbour of it on this side.
    fn from(&self, block: Block, side: Side) -> impl Iterator<Item = &Act> {
        let neighbour = block.beside(side);
        let acts = self.field.acts_on(block).iter();
        acts.filter(move |act| act.from == neighbour)
    }

    /// What a repeater or comparator hears at its back, or a box at an opening: wires that point at it,
    /// sources that act on it from there, and a strong or weak full block there.
    fn back(&self, block: Block, back: Option<Side>) -> Hearing<usize> {
        let mut hearing = Hearing::default();
        let Some(back) = back else {
            return hearing;
        };
        for act in self.from(block, back) {
            hearing.add(act.source, act.loss, !act.is_wire);
        }
        self.full_block(Some(block.beside(back)), &mut hearing);
        hearing
    }

    /// What a repeater or comparator hears at its two sides of all that counts there.
    fn sides(&self, piece: &Piece, block: Block, counts: impl Fn(&Act) -> bool) -> Hearing<usize> {
        let mut hearing = Hearing::default();
        let Some(front) = piece.faces else {
            return hearing;
        };
        let is_side = |side: &Side| *side != front && *side != front.opposite();
        for side in Side::LEVEL.into_iter().filter(is_side) {
            for act in self.from(block, side).filter(|act| counts(act)) {
                hearing.add(act.source, act.loss, !act.is_wire);
            }
        }
        hearing
    }

    fn word(&self, piece: &Piece, hears: &mut BTreeMap<Ear, Hearing<usize>>) {
        if let Some(Settings::Selector { .. }) = piece.settings {
            hears.insert(Ear::Lock, self.whole(&piece.blocks));
        }
        for opening in &piece.openings {
            let Use::Hears(ear) = opening.usage else {
                continue;
            };
            let heard = self.back(opening.block, Some(opening.side));
            let hearing = hears.entry(ear).or_default();
            for (source, heard) in heard.iter() {
                hearing.add(source, heard.loss, heard.is_direct);
            }
        }
    }
}

/// Every source that only arms a piece: a lever, a button, or a strong or weak full block beside the block
/// above a dropper. One that fires it anyway arms nothing.
pub(super) fn armed(
    world: &World,
    field: &Field,
    number: usize,
    hears: &BTreeMap<Ear, Hearing<usize>>,
) -> Vec<Armed> {
    let piece = world.piece(number);
    let (Shape::Dropper | Shape::Dispenser, Some(&block)) = (piece.shape, piece.blocks.first())
    else {
        return Vec::new();
    };
    let above = block.beside(Side::PlusY);
    let switches = field.acts_on(above).iter().filter(|act| !act.is_wire);
    let mut arming: BTreeSet<(usize, u8)> = switches.map(|act| (act.source, act.loss)).collect();
    for side in Side::ALL.into_iter().filter(|side| *side != Side::MinusY) {
        arming.extend(field.in_full_block(above.beside(side)));
    }
    let fires = |(source, loss): &(usize, u8)| {
        let heard = hears.get(&Ear::Trigger)?.get(*source)?;
        let settings = world.piece(*source).settings.as_ref();
        let is_on_alike = !settings.is_some_and(Settings::has_levels) || heard.loss <= *loss;
        is_on_alike.then_some(())
    };
    let only_armed = arming.into_iter().filter(|one| fires(one).is_none());
    let mut sources: Vec<usize> = only_armed.map(|(source, _)| source).collect();
    sources.dedup();
    let armed = |source| Armed {
        dropper: number,
        source,
    };
    sources.into_iter().map(armed).collect()
}

/// The blocks from which something reaches an ear of a piece: for whoever asks where a source would
/// have to stand.
#[must_use]
pub fn ear_blocks(piece: &Piece, ear: Ear) -> Vec<Block> {
    let Some(&block) = piece.blocks.first() else {
        return Vec::new();
    };
    let around = |sides: &[Side]| sides.iter().map(|side| block.beside(*side)).collect();
    let back = piece.faces.map(Side::opposite);
    let is_across = |side: &Side| piece.faces != Some(*side) && back != Some(*side);
    match (ear, piece.shape) {
        (Ear::Lock, Shape::Repeater) | (Ear::Side, _) => {
            let sides = Side::LEVEL.into_iter().filter(is_across);
            sides.map(|side| block.beside(side)).collect()
        }
        (Ear::Lock | Ear::Trigger, _) => around(&Side::ALL),
        (_, Shape::Inverter) => around(piece.fastened_on().as_slice()),
        (_, Shape::Word) => {
            let here = piece.openings.iter();
            let here = here.filter(|opening| opening.usage == Use::Hears(ear));
            here.map(|opening| opening.block.beside(opening.side))
                .collect()
        }
        (Ear::Watch, _) => around(piece.faces.as_slice()),
        (Ear::Input(_) | Ear::Rear | Ear::Release(_) | Ear::Lift, _) => around(back.as_slice()),
    }
}
