//! What is taken at its word: parts of which only the behaviour is declared, and links that no block makes.

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_site::blocks::Settings;
use hallwright_site::network::{Ear, ears, links, sources};
use hallwright_site::place::Site;

use crate::{PlacedPiece, Sort};

/// Something taken at its word.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct AtItsWord {
    /// The part.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// What it is.
    pub sort: Sort,
    /// How it is set.
    pub settings: Settings,
    /// The number of its piece; `None` if it stands nowhere.
    pub piece: Option<usize>,
    /// How many links begin or end at it, each source that it hears and each listener that hears it counted
    /// one by one. Of a bench only what lifts its box.
    pub links: usize,
}

/// How many links a hall has.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Links {
    /// All of them: goods, readings, what is watched, and each source that is heard.
    pub all: usize,
    /// Those that blocks make as declared. The others are taken at their word.
    pub proven: usize,
}

/// Every link of a network: who has it, and with whom. Wires are seen through.
fn all_links(network: &Network) -> Vec<(PartId, PartId)> {
    let mut all = Vec::new();
    for part in network.part_ids() {
        all.extend(links(network, part).into_iter().map(|(_, to)| (part, to)));
        for (_, signal) in ears(network, part) {
            let heard = sources(network, signal);
            all.extend(heard.iter().map(|(source, _)| (part, source)));
        }
    }
    all
}

/// How many links there are, and how many of them blocks make.
pub(crate) fn links_of(network: &Network, site: &Site) -> Links {
    Links {
        all: all_links(network).len(),
        proven: site.counts.links_proven,
    }
}

/// Every part that is taken at its word, docks left out: they are where their shuttles stand. And every bench
/// whose box a signal lifts.
pub(crate) fn at_its_word(network: &Network, placed: &[PlacedPiece]) -> Vec<AtItsWord> {
    let all = all_links(network);
    let of = |part: PartId| {
        let settings = Settings::of(network.part(part))?;
        let lift = ears(network, part)
            .into_iter()
            .find(|(ear, _)| *ear == Ear::Lift)
            .map(|(_, signal)| sources(network, signal).iter().count());
        let is_word = settings.is_taken_at_its_word() && settings != Settings::Dock;
        let count = || {
            let own = all.iter().filter(|(a, b)| *a == part || *b == part);
            own.count()
        };
        Some(AtItsWord {
            part,
            name: network.name(part).to_owned(),
            sort: Sort::of_part(network.part(part), Default::default()),
            piece: placed.iter().position(|placed| placed.part == Some(part)),
            links: match lift {
                Some(links) => links,
                None if is_word => count(),
                None => return None,
            },
            settings,
        })
    };
    network.part_ids().filter_map(of).collect()
}
