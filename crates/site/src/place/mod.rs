//! Whether a network can stand where its layout says.

mod between;
mod compare;
mod far;
mod fills;
mod finding;
mod gates;
mod lay;
mod linked;
mod loose;
mod pieces;
mod reach;
mod streams;
mod words;

pub(crate) use lay::{Laid, lay};

use hallwright_core::id::PartId;
use hallwright_core::network::Network;

pub use compare::{Compared, compare};
pub use far::least_ticks;
pub use finding::{Detail, Finding, Rule};
pub use linked::DrawnLink;
pub use pieces::shape;

use crate::blocks::{Settings, Shape, World};
use crate::derive::{Made, made};
use hallwright_declared::placement::{Origin, Placement};

/// A network in blocks, and everything that is wrong with it.
#[derive(Clone, Debug)]
pub struct Site {
    /// The blocks.
    pub world: World,
    /// Of each piece of the world the part that it is; `None` of a block that is no part.
    pub parts: Vec<Option<PartId>>,
    /// What the blocks make.
    pub made: Made,
    /// What is wrong, in the order of the parts. If there is nothing, the network stands as far as it is
    /// said where its parts are.
    pub findings: Vec<Finding>,
    /// What the blocks of drawn parts make.
    pub drawn: Vec<DrawnLink>,
    /// What was looked at.
    pub counts: Counts,
}

/// How much of a network stands, and how much of that is proven.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Counts {
    /// The parts of the network.
    pub parts: usize,
    /// Those that stand somewhere.
    pub stand: usize,
    /// The links between parts that blocks make as declared, each listener's sources counted one by one.
    pub links_proven: usize,
    /// The parts of which only the behaviour is declared, wherever they stand: selectors, shuttles, the
    /// signal parts that are boxes, and all that is in a room.
    pub at_their_word: usize,
    /// What is wrong.
    pub problems: usize,
}

/// Puts a network where its layout says, and says what is wrong with that.
#[must_use]
pub fn place(network: &Network, placement: &Placement) -> Site {
    let laid = lay(network, placement);
    let made = made(&laid.world);
    let compared = compare(network, placement, &laid.world, &made);
    let drawn = linked::linked(network, placement, &laid);
    let between = between::modules(network, placement, &laid);
    let loose = loose::ends(network, placement, &laid);
    let mut findings = laid.findings;
    findings.extend(compared.findings);
    for stream in laid.world.of_shape(Shape::Stream) {
        let part = laid.parts[stream];
        let placed = part.and_then(|part| placement.of(part));
        let sources = placed.map_or(&[][..], |placed| &placed.sources);
        findings.extend(streams::check(&laid.world, stream, part, sources));
    }
    findings.extend(loose);
    findings.extend(between);
    findings.sort();
    findings.dedup();
    let placed = placement.parts.iter().flatten();
    // What the blocks need besides is no part that anybody named.
    let added = placed.filter(|placed| placed.origin == Origin::Added);
    let (added, standing) = added.fold((0, 0), |(all, stand), placed| {
        (all + 1, stand + usize::from(placed.position.is_some()))
    });
    let rooms = placement.room_of_each(network.part_count());
    let in_rooms = rooms.iter().flatten().count();
    let counts = Counts {
        parts: network.part_count() - added,
        stand: laid.parts.iter().flatten().count() - standing + in_rooms,
        links_proven: compared.proven,
        at_their_word: network
            .part_ids()
            .filter(|part| rooms[part.index()].is_some() || at_its_word(network, *part))
            .count(),
        problems: findings.len(),
    };
    Site {
        world: laid.world,
        parts: laid.parts,
        made,
        findings,
        drawn,
        counts,
    }
}

fn at_its_word(network: &Network, part: PartId) -> bool {
    let settings = Settings::of(network.part(part));
    let is_dock = settings == Some(Settings::Dock);
    !is_dock && settings.is_some_and(|settings| settings.is_taken_at_its_word())
}
