//! What the tests share: short ways to build and run.

use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::order::Orders;
use hallwright_core::part::{Hopper, Intake, Part};
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};
use hallwright_declared::declarations::{Declarations, Store, StorePurpose};
use hallwright_report::findings::{Findings, KindCount};
use hallwright_report::{RunInput, run};

pub(crate) use crate::parts::{capped, chest, deliver, lever};

/// A hopper below a mouth, with no target.
pub(crate) fn below_mouth(mouth: PartId, lock: Option<PartId>) -> Part {
    Part::Hopper(Hopper {
        target: None,
        intake: Intake::Mouth(mouth),
        lock,
    })
}

/// What a slot holds.
pub(crate) fn filling(slot: u16, kind: KindId, count: u8) -> Filling {
    Filling {
        slot,
        kind,
        count,
        contents: Vec::new(),
    }
}

/// A store.
pub(crate) fn store(name: &str, part: PartId, takes: &[KindId], purpose: StorePurpose) -> Store {
    Store {
        name: name.to_owned(),
        parts: vec![part],
        takes: takes.to_vec(),
        purpose,
    }
}

/// Runs a network from an empty timeline's start with these entries.
pub(crate) fn run_with(
    network: &Network,
    declarations: &Declarations,
    run_ticks: u64,
    entries: Vec<(u64, Action)>,
) -> Findings {
    let entries = entries
        .into_iter()
        .map(|(tick, action)| (Tick(tick), action));
    let timeline = Timeline::new(entries.collect());
    let input = RunInput {
        network,
        timeline: &timeline,
        seed: 1,
        orders: Orders::default(),
        run_ticks,
        declarations,
    };
    run(&input, &mut |_| {})
}

/// `3 barley` as found.
pub(crate) fn of_kind(items: u64, kind: &str) -> KindCount {
    KindCount {
        kind: kind.to_owned(),
        items,
    }
}
