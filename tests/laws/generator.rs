//! The generator of random networks: sound, repeatable, and with every part there is.

use std::collections::BTreeSet;

use hallwright_core::part::Part;
use hallwright_swarm::generate::generate;

#[test]
fn every_drawn_network_builds_and_fits_its_timeline() {
    for seed in 0..2000 {
        let built = generate(seed).build();
        let (network, setup) = built.unwrap_or_else(|errors| panic!("seed {seed}: {errors:?}"));
        assert_eq!(setup.problems(&network), Vec::new(), "seed {seed}");
        assert_eq!(setup.orders.problem(&network), None, "seed {seed}");
    }
}

#[test]
fn a_seed_gives_the_same_network_every_time() {
    for seed in 0..50 {
        assert_eq!(generate(seed), generate(seed));
    }
    assert_ne!(generate(0), generate(1));
}

#[test]
fn every_part_and_signal_is_drawn() {
    let mut parts = BTreeSet::new();
    let mut signals = BTreeSet::new();
    // The debug text begins with the name of the variant.
    let variant = |text: String| text.split([' ', '(']).next().map(str::to_owned);
    for seed in 0..200 {
        for named in generate(seed).parts {
            parts.extend(variant(format!("{:?}", named.part)));
            if let Part::Signal(signal) = &named.part {
                signals.extend(variant(format!("{signal:?}")));
            }
        }
    }
    // Ten variants of `Part`, fourteen of `Signal`.
    assert_eq!(parts.len(), 10, "{parts:?}");
    assert_eq!(signals.len(), 14, "{signals:?}");
}
