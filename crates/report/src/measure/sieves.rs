//! Sieves: whether item filters keep the very items they started with.

use std::collections::BTreeMap;

use hallwright_core::engine::View;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::tick::Tick;
use serde::{Deserialize, Serialize};

use super::ledger::Move;
use crate::findings::{KindCount, SieveFinding};
use hallwright_analysis::groups::Groups;

/// What a slot holds: kind and count.
type Content = Option<(KindId, u8)>;

/// Watches the declared sieves.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct SieveMeasure {
    groups: Groups,
    sieves: Vec<Sieve>,
}

#[derive(Clone, PartialEq, Serialize, Deserialize)]
struct Sieve {
    part: PartId,
    at_start: Vec<Content>,
    broken_since: Option<Tick>,
    was_broken: bool,
}

impl Sieve {
    /// Whether anything is missing or foreign, slot for slot. Looked at after every event there.
    fn is_broken(&self, view: &View<'_>) -> bool {
        let now = view.slots(self.part).into_iter().flatten();
        let mut slots = self.at_start.iter().zip(now);
        slots.any(|(before, now)| match (before, now) {
            (None, None) => false,
            (Some((kind, had)), Some(stack)) => stack.item.kind != *kind || stack.count < *had,
            _ => true,
        })
    }
}

impl SieveMeasure {
    pub(crate) fn new(declared: &[PartId], view: &View<'_>) -> Self {
        let groups = declared.iter().map(std::slice::from_ref);
        Self {
            groups: Groups::new(view.network().part_count(), groups),
            sieves: declared
                .iter()
                .map(|part| Sieve {
                    part: *part,
                    at_start: contents(*part, view),
                    broken_since: None,
                    was_broken: false,
                })
                .collect(),
        }
    }

    /// The parts that it watches, by sieve.
    pub(crate) fn groups(&self) -> &Groups {
        &self.groups
    }

    pub(crate) fn moved(&mut self, tick: Tick, moved: &Move, view: &View<'_>) {
        for spot in [moved.from, moved.to].into_iter().flatten() {
            for index in self.groups.of_spot(spot) {
                let sieve = &mut self.sieves[index];
                if sieve.is_broken(view) {
                    sieve.broken_since.get_or_insert(tick);
                    sieve.was_broken = true;
                } else {
                    sieve.broken_since = None;
                }
            }
        }
    }

    pub(crate) fn finish(self, view: &View<'_>) -> Vec<SieveFinding> {
        let network = view.network();
        let rows = |counts: BTreeMap<KindId, u64>| -> Vec<KindCount> {
            let counts = counts.into_iter();
            counts
                .map(|(kind, items)| KindCount {
                    kind: network.kind(kind).name.clone(),
                    items,
                })
                .collect()
        };
        let sieves = self.sieves.into_iter();
        sieves
            .map(|sieve| {
                let difference = SlotChange::of(&sieve.at_start, &contents(sieve.part, view));
                SieveFinding {
                    part: network.name(sieve.part).to_owned(),
                    missing: rows(difference.missing),
                    foreign: rows(difference.foreign),
                    surplus: rows(difference.surplus),
                    broken_since: sieve.broken_since,
                    was_broken: sieve.was_broken,
                }
            })
            .collect()
    }
}

/// How a sieve differs from its start.
#[derive(Default, PartialEq, Eq, Debug)]
struct SlotChange {
    missing: BTreeMap<KindId, u64>,
    foreign: BTreeMap<KindId, u64>,
    surplus: BTreeMap<KindId, u64>,
}

impl SlotChange {
    /// Compares slot for slot.
    fn of(start: &[Content], now: &[Content]) -> Self {
        let mut difference = Self::default();
        let mut add = |which: fn(&mut Self) -> &mut BTreeMap<KindId, u64>, kind, count: u8| {
            if count > 0 {
                *which(&mut difference).entry(kind).or_insert(0) += u64::from(count);
            }
        };
        for (before, after) in start.iter().zip(now) {
            match (*before, *after) {
                (Some((kind, had)), Some((same, has))) if kind == same => {
                    add(|found| &mut found.missing, kind, had.saturating_sub(has));
                    add(|found| &mut found.surplus, kind, has.saturating_sub(had));
                }
                (before, after) => {
                    if let Some((kind, had)) = before {
                        add(|found| &mut found.missing, kind, had);
                    }
                    if let Some((kind, has)) = after {
                        add(|found| &mut found.foreign, kind, has);
                    }
                }
            }
        }
        difference
    }
}

fn contents(part: PartId, view: &View<'_>) -> Vec<Content> {
    let slots = view.slots(part).into_iter().flatten();
    slots
        .map(|slot| slot.map(|stack| (stack.item.kind, stack.count)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kind(index: usize) -> KindId {
        KindId::from_index(index)
    }

    #[test]
    fn surplus_of_a_slots_own_kind_breaks_nothing() {
        let start = [Some((kind(0), 41)), Some((kind(1), 1)), None];
        let now = [Some((kind(0), 44)), Some((kind(1), 1)), None];
        let difference = SlotChange::of(&start, &now);
        assert_eq!((difference.missing, difference.foreign), Default::default());
        assert_eq!(difference.surplus, BTreeMap::from([(kind(0), 3)]));
    }

    #[test]
    fn missing_and_foreign_items_are_kept_apart() {
        let start = [Some((kind(0), 41)), Some((kind(1), 1)), None];
        let now = [Some((kind(0), 40)), Some((kind(2), 1)), Some((kind(0), 2))];
        let difference = SlotChange::of(&start, &now);
        assert_eq!(
            difference.missing,
            BTreeMap::from([(kind(0), 1), (kind(1), 1)])
        );
        assert_eq!(
            difference.foreign,
            BTreeMap::from([(kind(0), 2), (kind(2), 1)])
        );
    }
}
