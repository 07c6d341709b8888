//! What compiles, but looks mistaken.
//!
//! [`find`] looks at a network with what is declared about it and what happens to it, and gives plain
//! [findings](Finding). Nothing here knows texts: where a finding is reported is asked of whoever read the network.

#![deny(clippy::wildcard_enum_match_arm)]

mod comes;
mod finding;
mod goals;
mod hand_overs;
mod parts;
mod possible;
mod reach;
mod rings;
mod sections;
mod sieves;
mod stores;

use hallwright_analysis::sieves::Sieve;
use hallwright_analysis::ways::KindWays;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::Declarations;

use comes::Comes;
pub use finding::{About, Finding, Rule};
use possible::Possible;
use reach::Reach;

/// What is looked at.
pub struct Design<'n> {
    network: &'n Network,
    declarations: &'n Declarations,
    /// Everything that comes from outside, the stops' actions too.
    actions: Vec<&'n Action>,
    /// For each part, whether it is declared as a sieve.
    sieves: Vec<bool>,
    /// How long a run takes, in ticks.
    run_ticks: u64,
}

impl<'n> Design<'n> {
    /// A network with what is declared about it, what happens to it (in any order, the actions of the declared stops
    /// left aside), and how long a run takes, in ticks.
    ///
    /// # Panics
    ///
    /// If a part that is named is not of this network.
    #[must_use]
    pub fn new(
        network: &'n Network,
        declarations: &'n Declarations,
        entries: &'n [(Tick, Action)],
        run_ticks: u64,
    ) -> Self {
        let stops = declarations.stops.iter();
        let in_stops = stops.flat_map(|stop| {
            let restart = stop.restart.iter().flat_map(|restart| &restart.actions);
            stop.actions.iter().chain(restart)
        });
        let mut sieves = vec![false; network.part_count()];
        for sieve in &declarations.sieves {
            sieves[sieve.index()] = true;
        }
        Self {
            network,
            declarations,
            actions: entries
                .iter()
                .map(|(_, action)| action)
                .chain(in_stops)
                .collect(),
            sieves,
            run_ticks,
        }
    }

    /// Whether a part is declared as a sieve.
    fn is_sieve(&self, part: PartId) -> bool {
        self.sieves[part.index()]
    }
}

/// Everything that looks mistaken, one sort after the other.
#[must_use]
pub fn find(design: &Design<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    let network = design.network;
    let ways = KindWays::new(network);
    let reach = Reach::new(design, ways.ways());
    parts::find_out_of_use(design, &reach, &mut found);
    let possible = Possible::new(design, &reach);
    parts::find_stuck_locks(design, &possible, &mut found);
    hand_overs::find(design, &reach, &possible, &mut found);
    stores::find_goods_without_one(design, &mut found);
    let sieves = Sieve::all(network, &design.declarations.sieves);
    sieves::find_wrong(design, &sieves, &possible, &mut found);
    sieves::find_not_named(design, &mut found);
    goals::find_idle_bounds(design, &mut found);
    found.extend(sections::parts_in_none(design, &reach, ways.ways()));
    let rings = rings::free_rings(network, ways.ways());
    if sieves.is_empty() && rings.is_empty() {
        return found;
    }
    if let Some(comes) = Comes::new(design, ways) {
        sieves::find_blocked(design, &sieves, &comes, &mut found);
        sieves::find_two_of_a_kind(design, &sieves, &comes, &mut found);
        rings::find_endless(design, &rings, &comes, &mut found);
    }
    found
}
