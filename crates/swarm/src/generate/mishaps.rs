//! What goes wrong: signals that are stuck, inventories filled by hand, boxes taken away.

use hallwright_core::id::PartId;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Action;

use super::{List, Sketch};

impl Sketch {
    /// At times something goes wrong. It is drawn after all that happens otherwise, so that this is as
    /// without it.
    pub(super) fn add_mishaps(&mut self, timeline: &mut Vec<(Tick, Action)>, length_ticks: u64) {
        if !self.draw.percent(45) {
            return;
        }
        let last_tick = u32::try_from(length_ticks - 1).unwrap_or(u32::MAX);
        let input_ticks: Vec<Tick> = timeline.iter().map(|(tick, _)| *tick).collect();
        let mut sticks = Vec::new();
        for _ in 0..self.draw.between(1, 5) {
            let with_input = self.draw.pick(&input_ticks);
            let at = match with_input {
                Some(tick) if self.draw.percent(30) => u32::try_from(tick.0).unwrap_or(0),
                _ => self.draw.between(0, last_tick),
            };
            match self.draw.between(0, 9) {
                0 | 1 => {
                    let action = self.filling_by_hand();
                    self.put_in(timeline, Tick(at.into()), action);
                }
                2..=4 => {
                    let place = self.box_place();
                    self.put_in(timeline, Tick(at.into()), Action::TakeBox { place });
                }
                _ => sticks.push(at),
            }
        }
        self.add_sticks(timeline, sticks, last_tick);
        timeline.sort_by_key(|(tick, _)| *tick);
    }

    /// Before or after what else is done in its tick.
    fn put_in(&mut self, timeline: &mut Vec<(Tick, Action)>, at: Tick, action: Action) {
        if self.draw.percent(50) {
            timeline.push((at, action));
        } else {
            timeline.insert(0, (at, action));
        }
    }

    /// Signals are stuck from these ticks on. None of them gets stuck while it is.
    fn add_sticks(
        &mut self,
        timeline: &mut Vec<(Tick, Action)>,
        mut ticks: Vec<u32>,
        last_tick: u32,
    ) {
        ticks.sort_unstable();
        let mut free_at = vec![0; self.parts.len()];
        for mut at in ticks {
            let again = free_at.iter().copied().filter(|free_at| *free_at > 0).max();
            if let Some(free_at) = again.filter(|free_at| at < *free_at && *free_at <= last_tick)
                && self.draw.percent(25)
            {
                at = free_at; // In the tick in which others come free.
            }
            let few = self.draw.between(1, 4);
            let more = self.draw.between(3, 15);
            let long = self.draw.between(10, 60);
            let stuck_ticks = self.draw.weighted(&[(35, few), (40, more), (25, long)]);
            let mut signals = self.cast.signals.clone();
            self.draw.shuffle(&mut signals);
            if self.draw.percent(70) {
                signals.truncate(self.draw.between(1, 3) as usize);
            }
            signals.retain(|signal| free_at[signal.index()] <= at);
            if signals.is_empty() {
                continue;
            }
            for signal in &signals {
                free_at[signal.index()] = at + stuck_ticks;
            }
            let action = Action::Stick {
                on: self.draw.percent(50),
                signals,
                stuck_ticks,
            };
            self.put_in(timeline, Tick(at.into()), action);
        }
    }

    fn filling_by_hand(&mut self) -> Action {
        let place = self.some_place(&OPEN);
        let kind = self.frequent_kind(30).unwrap_or(self.plain_kinds[0]);
        Action::Fill {
            place,
            kind,
            contents: self.contents_of(kind),
        }
    }

    /// A place where a box may be: a bench, if there is one, or anything else.
    fn box_place(&mut self) -> PartId {
        let bench = self.draw.pick(&self.cast.benches);
        let bench = bench.filter(|_| self.draw.percent(75));
        bench.unwrap_or_else(|| self.some_place(&OPEN))
    }
}

/// Places that the operator can put a hand into.
const OPEN: [(u32, List); 5] = [
    (40, List::Containers),
    (25, List::Hoppers),
    (15, List::Droppers),
    (15, List::Benches),
    (20, List::Places),
];
