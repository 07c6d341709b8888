//! What there is to move: what lies there at the start and what is delivered.

use std::collections::BTreeMap;

use crate::incoming::most_to_fill;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::slot::Filling;
use hallwright_core::timeline::{Action, Timeline};

/// Items by node and kind; what lies in boxes is at the node of boxes.
type Counts = BTreeMap<(usize, KindId), u64>;

/// All that there is to move in a run.
pub(crate) struct Supply {
    /// What lies there at the start.
    pub(crate) at_start: Counts,
    /// Of that, what sieves hold for themselves.
    pub(crate) own_filling: Counts,
    /// Each delivery before the end of the run, in the order of their ticks.
    pub(crate) delivered: Vec<Delivered>,
    /// The parts from which the operator takes something out.
    pub(crate) withdrawn_from: Vec<PartId>,
}

/// So many items of one kind that are delivered.
pub(crate) struct Delivered {
    /// The tick in which they are due; `None` if they may wait, and come in at any later one.
    pub(crate) tick: Option<u64>,
    /// Where they come to be.
    pub(crate) node: usize,
    /// What.
    pub(crate) kind: KindId,
    /// How many.
    pub(crate) items: u64,
}

impl Supply {
    /// The supply of a run of so many ticks. `sieves`: the declared ones; `boxes`: the node of what lies in boxes.
    pub(crate) fn new(
        network: &Network,
        timeline: &Timeline,
        sieves: &[PartId],
        run_ticks: u64,
        boxes: usize,
    ) -> Self {
        let mut at_start = Counts::new();
        let mut own_filling = Counts::new();
        for (part, filling) in network.fillings() {
            let (place, count) = ((part.index(), filling.kind), u64::from(filling.count));
            *at_start.entry(place).or_default() += count;
            if sieves.contains(part) {
                *own_filling.entry(place).or_default() += count;
            }
            for (kind, items) in contents(&filling.contents) {
                *at_start.entry((boxes, kind)).or_default() += items;
            }
        }
        let mut delivered = Vec::new();
        let mut withdrawn_from = Vec::new();
        for (tick, action) in timeline.entries() {
            match action {
                Action::Deliver {
                    place,
                    kind,
                    count,
                    contents: inside,
                    terms,
                } if tick.0 < run_ticks => {
                    let count = u64::from(*count);
                    let may_wait = terms.waits || terms.while_on.is_some();
                    let tick = (!may_wait).then_some(tick.0);
                    let goods = (place.index(), *kind, count);
                    let inside = contents(inside).into_iter();
                    let inside = inside.map(|(kind, items)| (boxes, kind, items * count));
                    let all = std::iter::once(goods).chain(inside);
                    delivered.extend(all.map(|(node, kind, items)| Delivered {
                        tick,
                        node,
                        kind,
                        items,
                    }));
                }
                Action::Fill {
                    place,
                    kind,
                    contents: inside,
                } if tick.0 < run_ticks => {
                    let count = most_to_fill(network, *place, *kind);
                    let goods = (place.index(), *kind, count);
                    let inside = contents(inside).into_iter();
                    let inside = inside.map(|(kind, items)| (boxes, kind, items * count));
                    let all = std::iter::once(goods).chain(inside);
                    delivered.extend(all.map(|(node, kind, items)| Delivered {
                        tick: Some(tick.0),
                        node,
                        kind,
                        items,
                    }));
                }
                Action::Withdraw { place, .. } | Action::TakeBox { place } => {
                    withdrawn_from.push(*place);
                }
                Action::Deliver { .. } | Action::Fill { .. } => {}
                Action::MoveLever { .. } | Action::Press { .. } | Action::Stick { .. } => {}
                Action::Sleep { .. } | Action::Reopen { .. } => {}
            }
        }
        Self {
            at_start,
            own_filling,
            delivered,
            withdrawn_from,
        }
    }

    /// What lies there at the start and is there to be moved. `sieves_kept`: whether every sieve kept what
    /// it held, so that none of that is.
    pub(crate) fn to_move(&self, sieves_kept: bool) -> impl Iterator<Item = (usize, KindId, u64)> {
        self.at_start.iter().filter_map(move |(place, items)| {
            let kept = self.own_filling.get(place).filter(|_| sieves_kept);
            let items = items - kept.copied().unwrap_or(0);
            (items > 0).then_some((place.0, place.1, items))
        })
    }

    /// For each kind, all items of it that there ever are.
    pub(crate) fn of_each_kind(&self, kinds: usize) -> Vec<u64> {
        let mut sums = vec![0; kinds];
        for ((_, kind), items) in &self.at_start {
            sums[kind.index()] += items;
        }
        for delivered in &self.delivered {
            sums[delivered.kind.index()] += delivered.items;
        }
        sums
    }
}

fn contents(fillings: &[Filling]) -> BTreeMap<KindId, u64> {
    let mut counts = BTreeMap::new();
    for filling in fillings {
        *counts.entry(filling.kind).or_default() += u64::from(filling.count);
    }
    counts
}

/// What is delivered to one node.
#[derive(Default)]
pub(crate) struct Deliveries {
    /// The items that come in when they are due, by tick.
    at: Vec<(u64, u64)>,
    /// The items that may come in at any tick.
    at_any: u64,
}

impl Deliveries {
    /// Adds items, those with a tick in the order of their ticks.
    pub(crate) fn add(&mut self, tick: Option<u64>, items: u64) {
        let Some(tick) = tick else {
            self.at_any += items;
            return;
        };
        match self.at.last_mut() {
            Some((last, sum)) if *last == tick => *sum += items,
            _ => self.at.push((tick, items)),
        }
    }

    /// All items.
    pub(crate) fn all(&self) -> u64 {
        let at: u64 = self.at.iter().map(|(_, items)| items).sum();
        at + self.at_any
    }

    /// The most items that can come in any so many ticks in a row.
    pub(crate) fn most_within(&self, ticks: u64) -> u64 {
        let mut most = 0;
        let mut sum = 0;
        let mut first = 0;
        for (tick, items) in &self.at {
            sum += items;
            while self.at[first].0 + ticks <= *tick {
                sum -= self.at[first].1;
                first += 1;
            }
            most = most.max(sum);
        }
        most + self.at_any
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_most_within_a_span_is_found() {
        let mut deliveries = Deliveries::default();
        assert_eq!(deliveries.most_within(100), 0);
        for (tick, items) in [(0, 5), (10, 1), (19, 1), (20, 4), (20, 5)] {
            deliveries.add(Some(tick), items);
        }
        assert_eq!(deliveries.most_within(1), 9);
        assert_eq!(deliveries.most_within(10), 10);
        assert_eq!(deliveries.most_within(11), 11);
        assert_eq!(deliveries.most_within(100), 16);
    }

    #[test]
    fn what_may_wait_can_come_at_any_time() {
        let mut deliveries = Deliveries::default();
        deliveries.add(Some(3), 2);
        deliveries.add(None, 7);
        assert_eq!(deliveries.most_within(1), 9);
        assert_eq!(deliveries.all(), 9);
    }
}
