//! Throughput: items counted as they come into some parts from outside them.
//!
//! What comes loose onto a stream counts as arriving at the mouth there as well.

use hallwright_core::declare::Flow;
use hallwright_core::engine::View;
use hallwright_core::tick::Tick;

use super::groups::Groups;
use super::ledger::Move;
use crate::findings::FlowFinding;
use crate::units::Rate;

/// The longest window over which a flow's steadiest throughput is taken, in seconds.
const WINDOW_SECONDS: u64 = 60;

/// Counts the items of every flow.
pub(crate) struct FlowMeasure {
    groups: Groups,
    counters: Vec<Counter>,
    longest_window_ticks: u64,
}

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

    pub(crate) fn finish(self, run_ticks: u64) -> Vec<FlowFinding> {
        let longest = self.longest_window_ticks;
        let finding = |counter: Counter| {
            let Counter {
                name, counts_boxes, ..
            } = counter;
            counter.pace.finish(name, counts_boxes, longest, run_ticks)
        };
        self.counters.into_iter().map(finding).collect()
    }
}

/// The pace of one flow: each tick of counting, with all that was counted up to its end.
#[derive(Default)]
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

    fn finish(
        self,
        name: String,
        counts_boxes: bool,
        longest_window_ticks: u64,
        run_ticks: u64,
    ) -> FlowFinding {
        let ticks_counted = self.counted.len();
        let counting = match ticks_counted {
            0 => Rate::default(),
            _ => self.rate(0, ticks_counted - 1),
        };
        let window_ticks = (counting.ticks / 4).clamp(1, longest_window_ticks);
        let items = self.counted.last().map_or(0, |(_, sum)| *sum);
        FlowFinding {
            name,
            counts_boxes,
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
            window_ticks,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(longest_window_ticks: u64, counts: &[(u64, u64)]) -> FlowFinding {
        let mut pace = Pace::default();
        for (tick, items) in counts {
            pace.count(Tick(*tick), *items);
        }
        pace.finish("flow".to_owned(), false, longest_window_ticks, 1000)
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
}
