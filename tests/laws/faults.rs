//! The comparison must notice a rule that is broken: every one that the reference engine can break.

use hallwright_reference::Fault;
use hallwright_swarm::hunt::networks_until_noticed;
use rayon::prelude::*;

/// A fault that so many networks do not show counts as unnoticed.
const MOST_NETWORKS: u64 = 4000;

#[test]
fn every_broken_rule_is_noticed() {
    let noticed: Vec<(Fault, Option<u64>)> = Fault::ALL
        .par_iter()
        .map(|fault| (*fault, networks_until_noticed(*fault, MOST_NETWORKS)))
        .collect();
    let mut unnoticed = Vec::new();
    for (fault, networks) in noticed {
        match networks {
            Some(networks) => println!("{networks:5} networks: {fault:?}"),
            None => unnoticed.push(fault),
        }
    }
    assert!(
        unnoticed.is_empty(),
        "not noticed within {MOST_NETWORKS} networks: {unnoticed:?}"
    );
}
