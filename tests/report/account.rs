//! The account adds up in random networks, in every tick.

use hallwright_core::engine::Engine;
use hallwright_core::id::KindId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_declared::declarations::{Declarations, Section, Store, StorePurpose};
use hallwright_report::findings::{Account, Standing};
use hallwright_report::measure::AccountWatch;
use hallwright_swarm::generate::generate;
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

/// Every part that holds items is in one of four stores, in a section's queue, a sieve or in nothing.
fn declare(network: &Network, seed: u64) -> Declarations {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let purposes = [
        StorePurpose::Slice,
        StorePurpose::Slice,
        StorePurpose::Overflow,
        StorePurpose::Serving,
    ];
    let kinds = network.kinds().len();
    let stores = purposes.iter().enumerate().map(|(place, purpose)| Store {
        name: format!("store {place}"),
        parts: Vec::new(),
        takes: (0..kinds)
            .map(KindId::from_index)
            .filter(|_| random.random_bool(0.5))
            .collect(),
        purpose: *purpose,
    });
    let mut declared = Declarations {
        stores: stores.collect(),
        ..Declarations::default()
    };
    let mut queue = Vec::new();
    for (id, part) in network.parts() {
        match part {
            Part::Signal(_) | Part::Mouth | Part::Stream(_) | Part::Selector(_) => {}
            _ => match random.random_range(0..8) {
                store @ 0..4 => declared.stores[store].parts.push(id),
                4 | 5 => queue.push(id),
                _ => {}
            },
        }
        if part.hopper().is_some() && random.random_bool(0.3) {
            declared.sieves.push(id);
        }
    }
    declared.sections.push(Section {
        name: "queue".to_owned(),
        line: Vec::new(),
        queue,
        locked: Vec::new(),
        call: None,
        returns: Vec::new(),
        width_blocks: None,
    });
    declared
}

/// Whether it adds up: by kind, and what was refused also by place.
fn check(account: &Account, when: &str) {
    assert_eq!(account.broken(), None, "{when}");
    let refused: u64 = account.refusals.iter().map(|row| row.items).sum();
    assert_eq!(account.refused.goods_and_boxes(), refused, "{when}");
    let boxes = |amount: fn(&hallwright_report::findings::KindAccount) -> u64| -> u64 {
        let kinds = account.kinds.iter().filter(|kind| kind.is_box);
        kinds.map(amount).sum()
    };
    let due = boxes(|kind| kind.at_start + kind.sent - kind.refused);
    assert_eq!(account.sum().boxes, due, "{when}");
}

#[test]
fn the_account_adds_up_in_every_tick_of_random_networks() {
    let mut seen = [0_u64; Standing::ALL.len()];
    let mut refusals = 0;
    for seed in 0..400 {
        let blueprint = generate(seed);
        let Ok((network, setup)) = blueprint.build() else {
            continue;
        };
        let declared = declare(&network, seed);
        let mut engine = Engine::new(&network, &setup);
        let mut watch = AccountWatch::new(&declared, &engine.view());
        check(&watch.account(&engine.view()), "at the start");
        for tick in 0..blueprint.length_ticks {
            engine.step(&mut watch);
            let account = watch.account(&engine.view());
            check(&account, &format!("seed {seed}, tick {tick}"));
        }
        let account = watch.account(&engine.view());
        refusals += account.refusals.len();
        for (standing, _) in &account.rows {
            let place = Standing::ALL.iter().position(|one| one == standing);
            seen[place.expect("all are listed")] += 1;
        }
    }
    // Every line of the account is met, or the check says little.
    for (standing, count) in Standing::ALL.iter().zip(seen) {
        assert!(count > 0, "{standing:?} never came up");
    }
    assert!(refusals > 0, "nothing was ever refused");
}
