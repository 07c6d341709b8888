//! Throughput: items counted as they come into some parts from outside them.
//!
//! The best window of a run says what a flow can do, the worst one in which goods waited what it
//! holds: a flow that jams keeps its best window for ever.
//!
//! What comes loose onto a stream counts as arriving at the mouth there as well.

use std::ops::Range;

use hallwright_core::engine::View;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::Flow;
use serde::{Deserialize, Serialize};

use super::feeds::Stretch;
use super::ledger::Move;
use crate::findings::{FlowFinding, WorstWindow};
use crate::units::Rate;
use hallwright_analysis::groups::Groups;

/// The longest window over which a flow's best and worst throughput are taken, in seconds.
const WINDOW_SECONDS: u64 = 60;

/// Counts the items of every flow.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct FlowMeasure {
    groups: Groups,
    counters: Vec<Counter>,
    longest_window_ticks: u64,
}

#[derive(Clone, PartialEq, Serialize, Deserialize)]
struct Counter {
    name: String,
    /// Whether each kind is counted; empty for all.
    kinds: Vec<bool>,
    counts_boxes: bool,
    pace: Pace,
}

impl FlowMeasure {
    pub(crate) fn new(flows: &[Flow], view: &View<'_>) -> Self {
        let network = view.network();
        let counter = |flow: &Flow| {
            let mut kinds = Vec::new();
            if !flow.kinds.is_empty() {
                kinds = vec![false; network.kinds().len()];
                for kind in &flow.kinds {
                    kinds[kind.index()] = true;
                }
            }
            let boxes = |kind: &_| network.kind(*kind).is_box;
            Counter {
                name: flow.name.clone(),
                kinds,
                counts_boxes: !flow.kinds.is_empty() && flow.kinds.iter().all(boxes),
                pace: Pace::default(),
            }
        };
        Self {
            groups: Groups::new(
                network.part_count(),
                flows.iter().map(|flow| flow.into.as_slice()),
            ),
            counters: flows.iter().map(counter).collect(),
            longest_window_ticks: WINDOW_SECONDS * u64::from(network.rules().ticks_per_second),
        }
    }

    /// The parts that it watches, by flow.
    pub(crate) fn groups(&self) -> &Groups {
        &self.groups
    }

    pub(crate) fn moved(&mut self, tick: Tick, moved: &Move) {
        let (Some(to), Some(item)) = (moved.to, moved.item) else {
            return;
        };
        for flow in self.groups.of_spot(to) {
            let counter = &mut self.counters[flow];
            let counted = counter.kinds.is_empty() || counter.kinds[item.kind.index()];
            let inside = moved
                .from
                .is_some_and(|from| self.groups.contains(from, flow));
            if counted && !inside {
                // A box that is set down comes with its contents, yet it is one box.
                let items = if item.box_id.is_some() {
                    1
                } else {
                    moved.arrives
                };
                counter.pace.count(tick, items);
            }
        }
    }

    /// What was counted. `waited`: for each flow, the stretches in which goods waited for it.
    pub(crate) fn finish(self, run_ticks: u64, waited: &[Vec<Stretch>]) -> Vec<FlowFinding> {
        let longest = self.longest_window_ticks;
        let finding = |(counter, waited): (Counter, &Vec<Stretch>)| {
            let Counter {
                name, counts_boxes, ..
            } = counter;
            let mut found = counter.pace.finish(longest, run_ticks, waited);
            found.name = name;
            found.counts_boxes = counts_boxes;
            found
        };
        self.counters.into_iter().zip(waited).map(finding).collect()
    }
}

/// The pace of one flow: each tick of counting, with all that was counted up to its end.
#[derive(Default, Clone, PartialEq, Serialize, Deserialize)]
struct Pace {
    counted: Vec<(Tick, u64)>,
}

impl Pace {
    fn count(&mut self, tick: Tick, items: u64) {
        match self.counted.last_mut() {
            Some((last, sum)) if *last == tick => *sum += items,
            Some((_, sum)) => {
                let sum = *sum + items;
                self.counted.push((tick, sum));
            }
            None => self.counted.push((tick, items)),
        }
    }

    /// From one tick of counting to another.
    fn rate(&self, begun: usize, ended: usize) -> Rate {
        let (begun, ended) = (self.counted[begun], self.counted[ended]);
        Rate {
            items: ended.1 - begun.1,
            ticks: ended.0 - begun.0,
        }
    }

    /// The best rate from one count to the first that comes at least so many ticks later.
    fn steadiest(&self, window_ticks: u64) -> Option<Rate> {
        let mut best: Option<Rate> = None;
        let mut begun = 0;
        for ended in 0..self.counted.len() {
            while self.counted[ended].0 - self.counted[begun].0 >= window_ticks {
                let rate = self.rate(begun, ended);
                if best.is_none_or(|best| rate.exceeds(best)) {
                    best = Some(rate);
                }
                begun += 1;
            }
        }
        best
    }

    /// What is counted before a tick.
    fn before(&self, tick: Tick) -> u64 {
        let counts = self.counted.partition_point(|(at, _)| *at < tick);
        counts.checked_sub(1).map_or(0, |last| self.counted[last].1)
    }

    /// The counts in a stretch, by their places.
    fn places_in(&self, stretch: &Stretch) -> Range<usize> {
        let begins = self.counted.partition_point(|(at, _)| *at < stretch.start);
        let ends = self.counted.partition_point(|(at, _)| *at < stretch.end);
        begins..ends
    }

    /// The fewest items in any so many ticks in a row of these stretches. A window that has the fewest
    /// begins with its stretch or right after a count.
    fn fewest(&self, window_ticks: u64, waited: &[Stretch]) -> Option<WorstWindow> {
        let mut worst: Option<WorstWindow> = None;
        for stretch in waited {
            let counts = self.counted[self.places_in(stretch)].iter();
            let begins = std::iter::once(stretch.start).chain(counts.map(|(at, _)| *at + 1));
            for from in begins.take_while(|from| *from + window_ticks <= stretch.end) {
                let items = self.before(from + window_ticks) - self.before(from);
                if worst.is_none_or(|worst| items < worst.rate.items) {
                    let ticks = window_ticks;
                    worst = Some(WorstWindow {
                        rate: Rate { items, ticks },
                        from,
                        is_full: true,
                    });
                }
            }
        }
        worst
    }

    /// The lowest rate in these stretches from one count to the first that comes at least so many
    /// ticks later. It is none where a stretch begins or ends with so many ticks without a count, and
    /// twice as many as ever lay between two counts.
    fn slowest(&self, window_ticks: u64, waited: &[Stretch]) -> Option<WorstWindow> {
        let mut worst: Option<WorstWindow> = None;
        let mut take = |rate: Rate, from: Tick| {
            if worst.is_none_or(|worst| worst.rate.exceeds(rate)) {
                worst = Some(WorstWindow {
                    rate,
                    from,
                    is_full: false,
                });
            }
        };
        let gaps = self.counted.windows(2).map(|pair| pair[1].0 - pair[0].0);
        let standstill_ticks = window_ticks.max(2 * gaps.max().unwrap_or(0));
        for stretch in waited {
            let places = self.places_in(stretch);
            let counts = &self.counted[places.clone()];
            let first = counts.first().map_or(stretch.end, |(at, _)| *at);
            let last = counts.last().map_or(stretch.start, |(at, _)| *at + 1);
            for (from, until) in [(stretch.start, first), (last, stretch.end)] {
                let ticks = until - from;
                if ticks >= standstill_ticks {
                    take(Rate { items: 0, ticks }, from);
                }
            }
            let mut ended = places.start;
            for begun in places.clone() {
                let at = self.counted[begun].0;
                while ended < places.end && self.counted[ended].0 - at < window_ticks {
                    ended += 1;
                }
                if ended < places.end {
                    take(self.rate(begun, ended), at + 1);
                }
            }
        }
        worst
    }

    /// The worst window in which goods waited: of the longest length if they ever waited for so long.
    fn worst(
        &self,
        longest_window_ticks: u64,
        counting_ticks: u64,
        waited: &[Stretch],
    ) -> Option<WorstWindow> {
        let full = self.fewest(longest_window_ticks, waited);
        full.or_else(|| {
            // Where hardly anything was counted, a quarter of the longest is the least to go by.
            let all = if self.counted.len() < 2 {
                longest_window_ticks
            } else {
                counting_ticks
            };
            let window_ticks = (all / 4).clamp(1, longest_window_ticks);
            self.slowest(window_ticks, waited)
        })
    }

    /// What was counted; its name is left open.
    fn finish(self, longest_window_ticks: u64, run_ticks: u64, waited: &[Stretch]) -> FlowFinding {
        let ticks_counted = self.counted.len();
        let counting = match ticks_counted {
            0 => Rate::default(),
            _ => self.rate(0, ticks_counted - 1),
        };
        let window_ticks = (counting.ticks / 4).clamp(1, longest_window_ticks);
        let items = self.counted.last().map_or(0, |(_, sum)| *sum);
        FlowFinding {
            name: String::new(),
            counts_boxes: false,
            items,
            first_at: self.counted.first().map(|(tick, _)| *tick),
            last_at: self.counted.last().map(|(tick, _)| *tick),
            whole: Rate {
                items,
                ticks: run_ticks,
            },
            counting,
            // The whole time of counting is a window too.
            steadiest: match self.steadiest(window_ticks) {
                Some(best) if !counting.exceeds(best) => best,
                _ => counting,
            },
            worst: self.worst(longest_window_ticks, counting.ticks, waited),
            window_ticks,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(longest_window_ticks: u64, counts: &[(u64, u64)]) -> FlowFinding {
        found_while(longest_window_ticks, counts, &[])
    }

    fn found_while(
        longest_window_ticks: u64,
        counts: &[(u64, u64)],
        waited: &[Stretch],
    ) -> FlowFinding {
        let mut pace = Pace::default();
        for (tick, items) in counts {
            pace.count(Tick(*tick), *items);
        }
        pace.finish(longest_window_ticks, 1000, waited)
    }

    #[test]
    fn an_even_flow_is_neither_over_nor_understated() {
        // One item every 8 ticks, 51 of them: ticks 10, 18, ... 410.
        let counts: Vec<(u64, u64)> = (0..51).map(|item| (10 + 8 * item, 1)).collect();
        let finding = found(1200, &counts);
        assert_eq!(finding.items, 51);
        let rate = |items, ticks| Rate { items, ticks };
        assert_eq!(finding.counting, rate(50, 400));
        // A quarter of 400 ticks is 100; the first count at least so much later comes 104 ticks
        // later: 13 items, 2.5 items/s.
        assert_eq!(finding.window_ticks, 100);
        assert_eq!(finding.steadiest, rate(13, 104));
        assert_eq!(finding.whole, rate(51, 1000));
    }

    #[test]
    fn the_steadiest_window_is_the_best_one() {
        // A quarter of 160 ticks is 40. Four items in 40 ticks, then two in 40, then one in 80.
        let ticks = [0, 10, 20, 30, 40, 60, 80, 160];
        let counts = ticks.map(|tick| (tick, 1));
        let finding = found(1200, &counts);
        assert_eq!(finding.window_ticks, 40);
        let best = Rate {
            items: 4,
            ticks: 40,
        };
        assert_eq!(finding.steadiest, best);
    }

    #[test]
    fn a_window_is_never_longer_than_a_minute() {
        // One item a tick for 100 ticks, then one every second tick for 9,900.
        let fast = (0..100).map(|tick| (tick, 1));
        let slow = (0..4_951).map(|item| (100 + 2 * item, 1));
        let counts: Vec<(u64, u64)> = fast.chain(slow).collect();
        let finding = found(1200, &counts);
        assert_eq!(finding.window_ticks, 1200);
        // From tick 0 to tick 1,200: 99 items up to tick 99 and 551 from tick 100 to tick 1,200.
        let best = Rate {
            items: 650,
            ticks: 1200,
        };
        assert_eq!(finding.steadiest, best);
    }

    #[test]
    fn items_of_one_tick_are_counted_together() {
        // The window from tick 0 to tick 10 ends with all three items of tick 10.
        let counts = [(0, 1), (10, 1), (10, 2)];
        let best = Rate {
            items: 3,
            ticks: 10,
        };
        assert_eq!(found(10, &counts).steadiest, best);
    }

    #[test]
    fn a_flow_without_two_counts_has_no_throughput() {
        assert_eq!(found(100, &[]).steadiest, Rate::default());
        assert_eq!(found(100, &[(5, 1)]).steadiest, Rate::default());
        assert_eq!(found(100, &[(5, 1)]).items, 1);
    }

    fn worst(longest: u64, counts: &[(u64, u64)], waited: Range<u64>) -> Option<WorstWindow> {
        let waited = Tick(waited.start)..Tick(waited.end);
        found_while(longest, counts, &[waited]).worst
    }

    #[test]
    fn the_worst_window_is_the_one_with_the_fewest_items() {
        // One item every 10 ticks from 0 to 490, then one every 50 from 540 to 990.
        let fast = (0..50).map(|item| (10 * item, 1));
        let slow = (0..10).map(|item| (540 + 50 * item, 1));
        let counts: Vec<(u64, u64)> = fast.chain(slow).collect();
        // 100 ticks from tick 481 on hold the items of 490 and 540, and no window before holds so few.
        let window = worst(100, &counts, 0..1000).expect("goods waited");
        let two = Rate {
            items: 2,
            ticks: 100,
        };
        assert_eq!(
            (window.rate, window.from, window.is_full),
            (two, Tick(481), true)
        );
        // As long as only the fast ones wait, each window has its ten.
        let window = worst(100, &counts, 0..490).expect("goods waited");
        assert_eq!(window.rate.items, 10);
    }

    #[test]
    fn a_jam_is_the_worst_window_of_all() {
        // 20 items in 200 ticks, then goods wait for 800 ticks more.
        let counts: Vec<(u64, u64)> = (0..20).map(|item| (10 * item, 1)).collect();
        let window = worst(100, &counts, 0..1000).expect("goods waited");
        assert_eq!((window.rate.items, window.from), (0, Tick(191)));
    }

    #[test]
    fn shorter_windows_do_where_goods_never_waited_for_long() {
        // One item every 8 ticks, 51 of them: a quarter of 400 ticks is 100. The first count at least
        // 100 ticks later is the 13th, 104 ticks later.
        let counts: Vec<(u64, u64)> = (0..51).map(|item| (8 * item, 1)).collect();
        let window = worst(1200, &counts, 0..400).expect("goods waited");
        let even = Rate {
            items: 13,
            ticks: 104,
        };
        assert_eq!((window.rate, window.is_full), (even, false));
        // Goods that wait for 99 ticks at a time report nothing.
        assert_eq!(worst(1200, &counts, 0..99), None);
        // At the end nothing comes for 100 ticks though goods wait.
        let window = worst(1200, &counts, 0..501).expect("goods waited");
        assert_eq!((window.rate.items, window.from), (0, Tick(401)));
    }

    #[test]
    fn a_flow_that_never_counts_while_goods_wait_stands_still() {
        let window = worst(1200, &[], 0..300).expect("goods waited");
        assert_eq!((window.rate.items, window.rate.ticks), (0, 300));
        assert_eq!(worst(1200, &[], 0..299), None);
    }
}
