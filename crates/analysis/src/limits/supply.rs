//! What there is to move: what lies there at the start and what is delivered.

use std::collections::BTreeMap;

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
    /// Each delivery before the end of the run: its tick, node, kind and items.
    pub(crate) delivered: Vec<(u64, usize, KindId, u64)>,
    /// The parts from which the operator takes something out.
    pub(crate) withdrawn_from: Vec<PartId>,
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
            if sieves.contains(&part) {
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
                } if tick.0 < run_ticks => {
                    let count = u64::from(*count);
                    delivered.push((tick.0, place.index(), *kind, count));
                    let inside = contents(inside).into_iter();
                    delivered
                        .extend(inside.map(|(kind, items)| (tick.0, boxes, kind, items * count)));
                }
                Action::Withdraw { place, .. } => withdrawn_from.push(*place),
                Action::Deliver { .. } | Action::MoveLever { .. } | Action::Press { .. } => {}
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
        for (_, _, kind, items) in &self.delivered {
            sums[kind.index()] += items;
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

/// The most items of some deliveries, given by tick, in any so many ticks in a row.
pub(crate) fn most_within(deliveries: &[(u64, u64)], ticks: u64) -> u64 {
    let mut most = 0;
    let mut sum = 0;
    let mut first = 0;
    for (tick, items) in deliveries {
        sum += items;
        while deliveries[first].0 + ticks <= *tick {
            sum -= deliveries[first].1;
            first += 1;
        }
        most = most.max(sum);
    }
    most
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_most_within_a_span_is_found() {
        let deliveries = [(0, 5), (10, 1), (19, 1), (20, 9)];
        assert_eq!(most_within(&deliveries, 1), 9);
        assert_eq!(most_within(&deliveries, 10), 10);
        assert_eq!(most_within(&deliveries, 11), 11);
        assert_eq!(most_within(&deliveries, 100), 16);
        assert_eq!(most_within(&[], 100), 0);
    }
}
