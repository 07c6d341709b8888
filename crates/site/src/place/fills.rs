//! Which blocks each part fills: section 1.

use hallwright_core::network::Network;
use hallwright_core::part::{Intake, Part, Signal};

use crate::blocks::Settings;
use hallwright_declared::placement::{Placed, Placement};
use hallwright_declared::space::{Block, Side};

/// Slots of a double chest.
pub(super) const DOUBLE_CHEST_SLOTS: u16 = 54;

/// The blocks that each part fills; none of one that is not said to stand anywhere.
pub(super) fn all_blocks(network: &Network, placement: &Placement) -> Vec<Vec<Block>> {
    let mut all: Vec<Vec<Block>> = network
        .parts()
        .map(|(part, what)| {
            placement
                .of(part)
                .map_or_else(Vec::new, |placed| own_blocks(what, placed))
        })
        .collect();
    // A mouth is directly above its hoppers, so it need not be said.
    for (hopper, part) in network.parts() {
        let Some(hopper_part) = part.hopper() else {
            continue;
        };
        let Intake::Mouth(mouth) = hopper_part.intake else {
            continue;
        };
        let said = placement.of(mouth);
        let is_said =
            said.is_some_and(|placed| placed.position.is_some() || !placed.path.is_empty());
        if let (false, Some(&below)) = (is_said, all[hopper.index()].first()) {
            let block = below.beside(Side::PlusY);
            if !all[mouth.index()].contains(&block) {
                all[mouth.index()].push(block);
            }
        }
    }
    all
}

/// The blocks that a part fills by what is said of it alone.
fn own_blocks(part: &Part, placed: &Placed) -> Vec<Block> {
    let one = || placed.position.into_iter();
    match part {
        Part::Stream(_) | Part::Mouth | Part::Signal(Signal::Wire { .. }) => {
            match placed.path.is_empty() {
                true => one().collect(),
                false => placed.path.clone(),
            }
        }
        Part::Container(container) if container.slots == DOUBLE_CHEST_SLOTS => {
            let along = placed.along.unwrap_or(Side::PlusX);
            one()
                .flat_map(|first| [first, first.beside(along)])
                .collect()
        }
        Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Bench(_) => one().collect(),
        Part::Selector(_) | Part::Dock | Part::Shuttle(_) | Part::Signal(_) => {
            let is_box = Settings::of(part).is_some_and(|own| own.is_taken_at_its_word());
            let size = placed.size.filter(|_| is_box);
            let size = size.unwrap_or(Block::new(1, 1, 1));
            one().flat_map(|corner| box_of(corner, size)).collect()
        }
    }
}

/// The blocks of a box with this corner of the smallest coordinates.
pub(super) fn box_of(corner: Block, size: Block) -> Vec<Block> {
    let mut blocks = Vec::new();
    for y in 0..size.y {
        for x in 0..size.x {
            for z in 0..size.z {
                blocks.push(corner + Block::new(x, y, z));
            }
        }
    }
    blocks
}
