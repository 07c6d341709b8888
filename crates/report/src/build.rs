//! How long a hall takes to build.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_declared::declarations::Declarations;

use crate::findings::BuildTime;
use crate::units::mean;

/// How many blocks a builder sets in an hour unless the scenario says otherwise: one every six seconds,
/// carrying and looking up included. A figure of our own; time your own builds.
pub const USUAL_BLOCKS_PER_HOUR: u32 = 600;

/// The slots of a single chest: what has more is two blocks.
const SLOTS_OF_ONE_BLOCK: u16 = 27;

/// How many hours so many blocks take, at so many an hour; 0 at none an hour.
#[must_use]
pub fn build_hours(blocks: u64, blocks_per_hour: u32) -> f64 {
    mean(blocks, blocks_per_hour.into())
}

/// How many blocks somebody has to set for a part of which nothing says where it stands: two for a double
/// chest, none for a mouth, which is open, and one for any other.
#[must_use]
pub fn blocks_of(part: &Part) -> u64 {
    match part {
        Part::Container(container) if container.slots > SLOTS_OF_ONE_BLOCK => 2,
        Part::Mouth => 0,
        Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Stream(_) => 1,
        Part::Bench(_) | Part::Dock | Part::Selector(_) | Part::Shuttle(_) | Part::Signal(_) => 1,
    }
}

/// What there is to build: the blocks that stand, supports and wire among them, and for each part of which
/// nothing says where it stands, its own blocks alone.
#[must_use]
pub fn build_time(declared: &Declarations, network: &Network) -> BuildTime {
    let size = |part: PartId| blocks_of(network.part(part));
    let (placed_blocks, assumed_blocks) = match &declared.site {
        Some(site) => (site.blocks, site.nowhere.iter().copied().map(size).sum()),
        None => (0, network.part_ids().map(size).sum()),
    };
    BuildTime {
        placed_blocks,
        assumed_blocks,
        blocks_per_hour: declared.blocks_per_hour.unwrap_or(USUAL_BLOCKS_PER_HOUR),
        is_declared: declared.blocks_per_hour.is_some(),
    }
}
