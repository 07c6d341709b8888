//! Throughput: items counted as they come into some parts from outside them.
//!
//! What comes loose onto a stream counts as arriving at the mouth there as well.

use std::collections::VecDeque;

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
}

struct Counter {
    name: String,
    /// Whether each kind is counted; empty for all.
    kinds: Vec<bool>,
    counts_boxes: bool,
    pace: Pace,
}

impl FlowMeasure {
    pub(crate) fn new(flows: &[Flow], run_ticks: u64, view: &View<'_>) -> Self {
        let network = view.network();
        let minute = WINDOW_SECONDS * u64::from(network.rules().ticks_per_second);
        let window_ticks = minute.min(run_ticks / 4).max(1);
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
                pace: Pace::new(window_ticks),
            }
        };
        Self {
            groups: Groups::new(
                network.part_count(),
                flows.iter().map(|flow| flow.into.as_slice()),
            ),
            counters: flows.iter().map(counter).collect(),
        }
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
        let finding = |counter: Counter| {
            counter
                .pace
                .finish(counter.name, counter.counts_boxes, run_ticks)
        };
        self.counters.into_iter().map(finding).collect()
    }
}

/// The pace of one flow.
struct Pace {
    window_ticks: u64,
    items: u64,
    first: Option<(Tick, u64)>,
    /// Ticks of counting whose windows are still open, with all that was counted up to their ends.
    open: VecDeque<(Tick, u64)>,
    last: Option<(Tick, u64)>,
    best: Option<Rate>,
}

impl Pace {
    fn new(window_ticks: u64) -> Self {
        Self {
            window_ticks,
            items: 0,
            first: None,
            open: VecDeque::new(),
            last: None,
            best: None,
        }
    }

    fn count(&mut self, tick: Tick, items: u64) {
        if self.last.is_some_and(|(last, _)| last < tick) {
            self.close_tick();
        }
        self.items += items;
        self.last = Some((tick, self.items));
        if self.first.is_none_or(|(first, _)| first == tick) {
            self.first = Some((tick, self.items));
        }
    }

    /// Everything of the last tick of counting is in: closes the windows that it ends.
    fn close_tick(&mut self) {
        let Some((tick, items)) = self.last else {
            return;
        };
        while let Some((begun, before)) = self.open.front().copied() {
            if tick - begun < self.window_ticks {
                break;
            }
            self.open.pop_front();
            let rate = Rate {
                items: items - before,
                ticks: tick - begun,
            };
            if self.best.is_none_or(|best| rate.exceeds(best)) {
                self.best = Some(rate);
            }
        }
        self.open.push_back((tick, items));
    }

    fn finish(mut self, name: String, counts_boxes: bool, run_ticks: u64) -> FlowFinding {
        self.close_tick();
        let counting = match (self.first, self.last) {
            (Some((first, begun)), Some((last, ended))) => Rate {
                items: ended - begun,
                ticks: last - first,
            },
            _ => Rate::default(),
        };
        FlowFinding {
            name,
            counts_boxes,
            items: self.items,
            first_at: self.first.map(|(tick, _)| tick),
            last_at: self.last.map(|(tick, _)| tick),
            whole: Rate {
                items: self.items,
                ticks: run_ticks,
            },
            counting,
            steadiest: self.best.unwrap_or(counting),
            window_ticks: self.window_ticks,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(window_ticks: u64, counts: &[(u64, u64)]) -> FlowFinding {
        let mut pace = Pace::new(window_ticks);
        for (tick, items) in counts {
            pace.count(Tick(*tick), *items);
        }
        pace.finish("flow".to_owned(), false, 1000)
    }

    #[test]
    fn an_even_flow_is_neither_over_nor_understated() {
        // One item every 8 ticks, 51 of them: ticks 10, 18, ... 410.
        let counts: Vec<(u64, u64)> = (0..51).map(|item| (10 + 8 * item, 1)).collect();
        let finding = found(250, &counts);
        assert_eq!(finding.items, 51);
        assert_eq!(
            finding.counting,
            Rate {
                items: 50,
                ticks: 400
            }
        );
        // The first count at least 250 ticks later is 256 ticks later: 32 items, 2.5 items/s.
        assert_eq!(
            finding.steadiest,
            Rate {
                items: 32,
                ticks: 256
            }
        );
        assert_eq!(
            finding.whole,
            Rate {
                items: 51,
                ticks: 1000
            }
        );
    }

    #[test]
    fn the_steadiest_window_is_the_best_one() {
        // 4 items in 40 ticks, then 2 items in 40 ticks: 4/40 is the better window of 40.
        let counts = [(0, 1), (10, 1), (20, 1), (30, 1), (40, 1), (60, 1), (80, 1)];
        assert_eq!(
            found(40, &counts).steadiest,
            Rate {
                items: 4,
                ticks: 40
            }
        );
    }

    #[test]
    fn items_of_one_tick_are_counted_together() {
        // The window from tick 0 to tick 10 ends with all three items of tick 10.
        let counts = [(0, 1), (10, 1), (10, 2)];
        assert_eq!(
            found(10, &counts).steadiest,
            Rate {
                items: 3,
                ticks: 10
            }
        );
    }

    #[test]
    fn a_flow_shorter_than_the_window_has_its_own_rate() {
        assert_eq!(
            found(100, &[(0, 1), (8, 1)]).steadiest,
            Rate { items: 1, ticks: 8 }
        );
        assert_eq!(found(100, &[]).steadiest, Rate::default());
    }
}
