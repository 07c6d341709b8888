//! Where there is more around a part than fits. It is known before a run, and reported of each.

use hallwright_analysis::crowding::crowded;
use hallwright_core::network::Network;
use hallwright_declared::declarations::Goal;

use crate::findings::CrowdedFinding;
use crate::words::crowded_words;

/// Every crowded place, with whether one of the goals allows it.
pub(super) fn crowded_places(goals: &[Goal], network: &Network) -> Vec<CrowdedFinding> {
    let places = crowded(network).into_iter();
    let found = places.map(|place| CrowdedFinding {
        part: network.name(place.part).to_owned(),
        words: crowded_words(network, &place),
        parts: place
            .parts
            .iter()
            .map(|part| network.name(*part).to_owned())
            .collect(),
        is_allowed: goals
            .iter()
            .any(|goal| matches!(goal, Goal::Crowded(named) if named.contains(&place.part))),
    });
    found.collect()
}
