//! How many hoppers, droppers, dispensers and comparators there are around one block, and how many
//! fit there. Positions are not needed for that: a block has six sides, whatever stands where.
//!
//! Selectors, shuttles and their docks are taken at their word: nobody knows how many blocks they
//! fill. They are no place to be crowded, and they crowd no place.

use std::collections::BTreeSet;

use petgraph::Direction;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;

use hallwright_core::id::PartId;
use hallwright_core::network::{Link, Network, SignalRole};
use hallwright_core::part::{ComparatorMode, Part, Signal};

/// A chest with so many slots stands on two blocks.
const DOUBLE_CHEST_SLOTS: u16 = 54;

/// A place with more around it than fits.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Crowded {
    /// What is crowded: an inventory, a bench or a mouth.
    pub part: PartId,
    /// By which parts.
    pub around: Around,
    /// How many of them there are.
    pub there: usize,
    /// How many fit.
    pub fits: usize,
    /// Which they are, in the order of declaration. Of comparators that read the same and give the
    /// same it is the first.
    pub parts: Vec<PartId>,
}

/// What stands around a block.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Around {
    /// Hoppers below it, which draw from it.
    Drawing,
    /// Hoppers beside and above it, which push into it.
    Pushing,
    /// Comparators that read it.
    Reading,
    /// Everything that has to touch it: the above, droppers, dispensers, and if it is a hopper or
    /// dropper what it draws from and where its items go.
    Touching,
    /// Hoppers below a mouth.
    BelowMouth,
}

/// How much fits around a place.
#[derive(Clone, Copy)]
struct Room {
    drawing: usize,
    pushing: usize,
    reading: usize,
    touching: usize,
}

/// One block: one side below, four beside, one above.
const ONE_BLOCK: Room = Room {
    drawing: 1,
    pushing: 5,
    reading: 4,
    touching: 6,
};

/// Two blocks beside each other: two sides below, six beside, two above.
const TWO_BLOCKS: Room = Room {
    drawing: 2,
    pushing: 8,
    reading: 6,
    touching: 10,
};

/// Every place with more around it than fits, in the order of declaration.
#[must_use]
pub fn crowded(network: &Network) -> Vec<Crowded> {
    let mut all = Vec::new();
    for (id, part) in network.parts() {
        match part {
            Part::Container(container) if container.slots == DOUBLE_CHEST_SLOTS => {
                check(network, id, TWO_BLOCKS, &mut all);
            }
            Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Bench(_) => {
                check(network, id, ONE_BLOCK, &mut all);
            }
            Part::Mouth => check_mouth(network, id, &mut all),
            Part::Stream(_) | Part::Selector(_) | Part::Dock | Part::Shuttle(_) => {}
            Part::Signal(_) => {}
        }
    }
    all
}

/// What stands around one place.
#[derive(Default)]
struct Neighbours {
    drawing: BTreeSet<PartId>,
    pushing: BTreeSet<PartId>,
    reading: BTreeSet<PartId>,
    /// Those of the above, and everything else that touches it.
    touching: BTreeSet<PartId>,
}

fn check(network: &Network, place: PartId, room: Room, all: &mut Vec<Crowded>) {
    let found = neighbours(network, place);
    let rows = [
        (Around::Drawing, found.drawing, room.drawing),
        (Around::Pushing, found.pushing, room.pushing),
        (Around::Reading, found.reading, room.reading),
        (Around::Touching, found.touching, room.touching),
    ];
    for (around, parts, fits) in rows {
        report(place, around, parts, fits, all);
    }
}

fn report(
    part: PartId,
    around: Around,
    parts: BTreeSet<PartId>,
    fits: usize,
    all: &mut Vec<Crowded>,
) {
    if parts.len() > fits {
        all.push(Crowded {
            part,
            around,
            there: parts.len(),
            fits,
            parts: parts.into_iter().collect(),
        });
    }
}

fn neighbours(network: &Network, place: PartId) -> Neighbours {
    let mut found = Neighbours::default();
    let graph = network.graph();
    let node = NodeIndex::new(place.index());
    for edge in graph.edges_directed(node, Direction::Incoming) {
        let from = part_of(edge.source());
        match (edge.weight(), network.part(from)) {
            (Link::Push, Part::Hopper(_)) => {
                found.pushing.insert(from);
            }
            (Link::Push, Part::Dropper(_)) => {
                found.touching.insert(from);
            }
            // It is a hopper, and this is what it draws from: an inventory or mouth above it.
            (Link::Pull, above) if has_one_block(above) => {
                found.touching.insert(from);
            }
            (Link::Loose, Part::Mouth) => {
                found.touching.insert(from);
            }
            _ => {}
        }
    }
    let is_pusher = matches!(network.part(place), Part::Hopper(_) | Part::Dropper(_));
    for edge in graph.edges_directed(node, Direction::Outgoing) {
        let to = part_of(edge.target());
        match edge.weight() {
            Link::Pull => {
                found.drawing.insert(to);
            }
            Link::Signal(SignalRole::Reading) => {
                found.reading.insert(to);
            }
            Link::Push | Link::Loose if is_pusher && has_one_block(network.part(to)) => {
                found.touching.insert(to);
            }
            Link::Push | Link::Loose | Link::Round | Link::Signal(_) => {}
        }
    }
    found.reading = different(network, &found.reading);
    found.touching.extend(&found.drawing);
    found.touching.extend(&found.pushing);
    found.touching.extend(&found.reading);
    found
}

fn part_of(node: NodeIndex) -> PartId {
    PartId::from_index(node.index())
}

/// Whether a part fills a block, as far as is known.
fn has_one_block(part: &Part) -> bool {
    !matches!(part, Part::Selector(_) | Part::Dock | Part::Shuttle(_))
}

/// Of comparators that read one place those that differ: two that give the same are one that is
/// declared twice.
fn different(network: &Network, readers: &BTreeSet<PartId>) -> BTreeSet<PartId> {
    let mut seen: BTreeSet<(bool, Option<PartId>)> = BTreeSet::new();
    let is_new = |reader: &PartId| match network.signal(*reader) {
        Some(Signal::Comparator { side, mode, .. }) => {
            seen.insert((*mode == ComparatorMode::Subtract, *side))
        }
        _ => false,
    };
    readers.iter().copied().filter(is_new).collect()
}

fn check_mouth(network: &Network, mouth: PartId, all: &mut Vec<Crowded>) {
    let node = NodeIndex::new(mouth.index());
    let below = network
        .graph()
        .neighbors_directed(node, Direction::Outgoing);
    let fits = network.mouth_blocks(mouth) as usize;
    report(
        mouth,
        Around::BelowMouth,
        below.map(part_of).collect(),
        fits,
        all,
    );
}
