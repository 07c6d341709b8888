//! The build sheet of a hall: what stands where, height by height; what to bring; what is taken at its word;
//! and in which order to build it.
//!
//! [`sheet()`] makes the model from a compiled scenario, and [`csv()`], [`html()`] and [`text()`] write it. Whoever places
//! every block that the table has, and nothing else, has the hall that was tried.

mod at_its_word;
mod bring;
mod csv;
mod goods_graph;
mod heights;
mod html;
mod nowhere;
mod order;
mod sort;
mod standstill;
mod text;
mod unmade;
pub mod words;

use std::collections::BTreeSet;

use hallwright_core::goods::Kind;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_declared::placement::{Placed, Placement};
use hallwright_declared::space::Block;
use hallwright_report::build_time;
use hallwright_report::findings::BuildTime;
use hallwright_scenario::Scenario;
use hallwright_site::blocks::{Piece, Shape};
use hallwright_site::place::{Site, place};

pub use at_its_word::{AtItsWord, Links};
pub use bring::{Bring, GoodsToBring, HeldBy};
pub use csv::csv;
pub use heights::{Cell, Height};
pub use html::html;
pub use nowhere::Nowhere;
pub use order::{Doing, Entry, Step, order};
pub use sort::Sort;
pub use text::text;

/// The build sheet of a hall.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// What the scenario is called.
    pub title: String,
    /// The variant of it.
    pub variant: Option<String>,
    /// Where the layout's (0, 0, 0) is. All blocks below are counted from there: this is added already.
    pub from: Block,
    /// The goods, in the order of their ids.
    pub kinds: Vec<Kind>,
    /// What stands somewhere, each at its number. A dock at the gate of its shuttle has no block.
    pub placed: Vec<PlacedPiece>,
    /// The heights on which something is, from below.
    pub heights: Vec<Height>,
    /// The least corner of the hall, and how many blocks it is long, high and wide; `None` if nothing stands.
    pub extent: Option<(Block, Block)>,
    /// What to bring in all, parts that stand nowhere among it.
    pub bring: Bring,
    /// Parts that stand nowhere. Wires are left out: how many blocks they take is not said.
    pub nowhere: Vec<Nowhere>,
    /// What is taken at its word, in the order of the parts.
    pub at_its_word: Vec<AtItsWord>,
    /// How many links there are, and how many of them blocks make.
    pub links: Links,
    /// How many things are wrong with where the parts stand: 0, or what is built is not what was tried.
    pub problems: usize,
    /// How long it takes to build, at so many blocks an hour.
    pub build: BuildTime,
    /// In which order to build it.
    pub order: Vec<Step>,
}

/// A piece with what the blocks alone do not say.
#[derive(Clone, Debug)]
pub struct PlacedPiece {
    /// The piece, its blocks counted from [`Sheet::from`].
    pub piece: Piece,
    /// What it is.
    pub sort: Sort,
    /// The part that it is; `None` of full blocks, caps and wire that nobody named.
    pub part: Option<PartId>,
    /// The blocks of a stream in which water is poured: its first, and each further source.
    pub sources: Vec<Block>,
}

/// Makes the build sheet of a scenario, the layout's (0, 0, 0) being at `from`.
#[must_use]
pub fn sheet(scenario: &Scenario, from: Block) -> Sheet {
    let network = &scenario.network;
    let placement = &scenario.declarations.placement;
    let site = place(network, placement);
    let standing = standing(network, placement, &site);
    let placed = placed_pieces(scenario, &site, &standing, from);
    let nowhere = nowhere::nowhere(network, placement, &standing);
    let heights = heights::heights(network, &scenario.declarations, &placed);
    let mut bring = Bring::default();
    for height in &heights {
        bring.add(&height.bring);
    }
    for piece in placed
        .iter()
        .filter(|placed| placed.piece.blocks.is_empty())
    {
        bring.add(&Bring::of_piece(network, &scenario.declarations, piece));
    }
    for part in &nowhere {
        bring.add(&part.bring(network, &scenario.declarations));
    }
    Sheet {
        title: scenario.title.clone(),
        variant: scenario.variant.clone(),
        from,
        kinds: network.kinds().to_vec(),
        extent: extent(&placed),
        at_its_word: at_its_word::at_its_word(network, &placed),
        links: at_its_word::links_of(network, &site),
        problems: site.counts.problems,
        build: build_time(&scenario.declarations, network),
        order: order(scenario, &placed, &nowhere),
        heights,
        bring,
        nowhere,
        placed,
    }
}

/// The parts of which the blocks are known: pieces, and wires that nobody named, of which the blocks are drawn.
fn standing(network: &Network, placement: &Placement, site: &Site) -> BTreeSet<PartId> {
    let is_added = |part: &PartId| placement.of(*part).is_some_and(Placed::is_added_wire);
    let pieces = site.parts.iter().copied().flatten();
    pieces.chain(network.part_ids().filter(is_added)).collect()
}

/// What stands somewhere, shifted, with its links to what stands nowhere.
fn placed_pieces(
    scenario: &Scenario,
    site: &Site,
    standing: &BTreeSet<PartId>,
    from: Block,
) -> Vec<PlacedPiece> {
    let placement = &scenario.declarations.placement;
    let numbered = site.world.pieces().iter().zip(&site.parts);
    let each = numbered.map(|(piece, part)| {
        let mut piece = piece.clone();
        for block in &mut piece.blocks {
            *block = *block + from;
        }
        for opening in &mut piece.openings {
            opening.block = opening.block + from;
        }
        if let Some(part) = part {
            let unmade = unmade::unmade(&scenario.network, standing, *part);
            let own = piece.declared.clone();
            let others = unmade.into_iter().filter(|link| !own.contains(link));
            piece.declared.extend(others);
        }
        let placed = part.and_then(|part| placement.of(part));
        let mut sources: Vec<Block> = Vec::new();
        if piece.shape == Shape::Stream {
            sources.extend(piece.blocks.first());
            let further = placed.map_or(&[][..], |placed| &placed.sources).iter();
            sources.extend(further.map(|block| *block + from));
        }
        PlacedPiece {
            sort: Sort::of_piece(&piece),
            part: *part,
            sources,
            piece,
        }
    });
    each.collect()
}

/// The least corner and the size of what is filled, open blocks that belong to the hall among it.
fn extent(placed: &[PlacedPiece]) -> Option<(Block, Block)> {
    let blocks = || {
        placed
            .iter()
            .flat_map(|placed| &placed.piece.blocks)
            .copied()
    };
    let least = blocks().reduce(Block::least)?;
    let most = -(blocks().map(|block| -block).reduce(Block::least)?);
    Some((least, most - least + Block::new(1, 1, 1)))
}

impl Sheet {
    /// How many blocks are filled: open blocks that must stay open are left out, a block that is the end of a
    /// stream and a mouth counts once.
    #[must_use]
    pub fn filled_blocks(&self) -> usize {
        self.heights.iter().map(Height::filled_blocks).sum()
    }

    /// The name of a placed piece; of one without a name what it is.
    #[must_use]
    pub fn name(&self, piece: usize) -> &str {
        let placed = &self.placed[piece];
        match placed.piece.name.as_str() {
            "" => placed.sort.words(),
            name => name,
        }
    }
}

/// Whether a part is a wire, of which only the blocks count.
fn is_wire(network: &Network, part: PartId) -> bool {
    use hallwright_core::part::Signal;
    matches!(network.signal(part), Some(Signal::Wire { .. }))
}
