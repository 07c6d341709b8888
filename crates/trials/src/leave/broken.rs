//! What broke in a hall because it was left.

use std::collections::BTreeMap;

use hallwright_core::id::KindId;
use hallwright_core::network::Network;
use hallwright_report::findings::{Fate, Findings};

use super::snapshot::Snapshot;

/// One thing that broke.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Breakage {
    /// So many items more are lost, of a kind, at a mouth.
    Lost {
        /// What.
        kind: String,
        /// Where.
        at: String,
        /// How many more than in the twin.
        items: u64,
    },
    /// So many items more are misplaced.
    Misplaced {
        /// How many more.
        items: u64,
    },
    /// So many items more are stuck or backed up, of a kind, in a part.
    Stuck {
        /// What.
        kind: String,
        /// Where.
        at: String,
        /// How many more.
        items: u64,
    },
    /// So many items more were refused, of a kind, at a part.
    Refused {
        /// What.
        kind: String,
        /// Where.
        at: String,
        /// How many more.
        items: u64,
    },
    /// A signal has another level once all is quiet.
    Signal {
        /// Which.
        name: String,
        /// Its level after the leave.
        level: u8,
        /// Its level without.
        undisturbed: u8,
    },
    /// An inventory contains something else once all is quiet.
    Inventory {
        /// Which.
        name: String,
        /// What there is more of, by kind.
        more: Vec<(String, u64)>,
        /// What there is fewer of, by kind.
        fewer: Vec<(String, u64)>,
    },
}

/// When something was found broken.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum When {
    /// Before the hall was switched on again: it was opened, all of it was there, and it had come to rest.
    AtRest,
    /// After it had been switched on again and had come to its end.
    SwitchedOn,
}

/// What one run came to.
pub struct Ended {
    /// What it found.
    pub findings: Findings,
    /// How it stood once it was quiet.
    pub quiet: Snapshot,
}

/// By kind and part.
type Rows = BTreeMap<(String, String), u64>;

/// What broke in a run that was left, beside its twin. Empty if nothing did.
#[must_use]
pub fn broken(network: &Network, left: &Ended, twin: &Ended) -> Vec<Breakage> {
    let mut broken = Vec::new();
    let more =
        |rows: fn(&Findings) -> Rows| more_than(&rows(&left.findings), &rows(&twin.findings));
    for ((kind, at), items) in more(lost) {
        broken.push(Breakage::Lost { kind, at, items });
    }
    let misplaced = |ended: &Ended| ended.findings.whereabouts.misplaced_items;
    let items = misplaced(left).saturating_sub(misplaced(twin));
    if items > 0 {
        broken.push(Breakage::Misplaced { items });
    }
    for ((kind, at), items) in more(stuck) {
        broken.push(Breakage::Stuck { kind, at, items });
    }
    for ((kind, at), items) in more(refused) {
        broken.push(Breakage::Refused { kind, at, items });
    }
    broken.extend(unlike(network, &left.quiet, &twin.quiet));
    broken
}

/// Every signal and every inventory that differs.
#[must_use]
pub fn unlike(network: &Network, left: &Snapshot, twin: &Snapshot) -> Vec<Breakage> {
    let mut broken = Vec::new();
    let signals = left.signals_unlike(twin).into_iter();
    broken.extend(
        signals.map(|(signal, level, undisturbed)| Breakage::Signal {
            name: network.name(signal).to_owned(),
            level,
            undisturbed,
        }),
    );
    let inventories = left.inventories_unlike(twin).into_iter();
    broken.extend(inventories.map(|(part, difference)| Breakage::Inventory {
        name: network.name(part).to_owned(),
        more: named(network, &difference.more),
        fewer: named(network, &difference.fewer),
    }));
    broken
}

fn named(network: &Network, kinds: &[(KindId, u64)]) -> Vec<(String, u64)> {
    let each = kinds.iter();
    each.map(|(kind, items)| (network.kind(*kind).name.clone(), *items))
        .collect()
}

fn lost(found: &Findings) -> Rows {
    let rows = found.loss.rows.iter();
    added_up(rows.map(|row| (row.kind.clone(), row.mouth.clone(), row.items)))
}

fn stuck(found: &Findings) -> Rows {
    let rows = found.going_on.rows.iter();
    let stays = rows.filter(|row| matches!(row.fate, Fate::Stuck | Fate::BackedUp));
    added_up(stays.map(|row| {
        (
            row.kind.clone(),
            row.part.clone(),
            row.amount.goods + row.amount.boxes,
        )
    }))
}

fn refused(found: &Findings) -> Rows {
    let rows = found.account.refusals.iter();
    added_up(rows.map(|row| (row.kind.clone(), row.place.clone(), row.items)))
}

fn added_up(rows: impl Iterator<Item = (String, String, u64)>) -> Rows {
    let mut all = Rows::new();
    for (kind, at, items) in rows {
        *all.entry((kind, at)).or_default() += items;
    }
    all
}

/// What is more here than there.
fn more_than(here: &Rows, there: &Rows) -> Rows {
    let rows = here.iter().map(|(key, items)| {
        let others = there.get(key).copied().unwrap_or(0);
        (key.clone(), items.saturating_sub(others))
    });
    rows.filter(|(_, items)| *items > 0).collect()
}
