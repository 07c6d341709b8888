//! What falls asleep, and when the world is opened again.

use hallwright_core::id::PartId;
use hallwright_core::part::{Part, Signal};
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms};

use super::Sketch;

/// Parts that are put to sleep together.
struct Sleep {
    at: u32,
    ticks: u32,
    parts: Vec<PartId>,
}

impl Sketch {
    /// At times parts sleep, and the world is opened again. It is drawn last, so that all else is as
    /// without it.
    pub(super) fn add_sleep(&mut self, timeline: &mut Vec<(Tick, Action)>, length_ticks: u64) {
        let last_tick = u32::try_from(length_ticks - 1).unwrap_or(u32::MAX);
        let mut inputs = Vec::new();
        let mut sleeps = Vec::new();
        if self.draw.percent(55) {
            sleeps = self.sleeps(timeline, last_tick);
        }
        if self.draw.percent(25) {
            sleeps.extend(self.push_at_waking(&mut inputs, last_tick));
        }
        let sleeps = self.without_sleepers(sleeps);
        for sleep in &sleeps {
            inputs.extend(self.inputs_of_sleepers(sleep, last_tick));
        }
        if self.draw.percent(30) {
            inputs.extend(self.reopenings(&sleeps, last_tick));
        }
        for sleep in sleeps {
            let action = Action::Sleep {
                parts: sleep.parts,
                sleep_ticks: sleep.ticks,
            };
            inputs.push((Tick(sleep.at.into()), action));
        }
        for input in inputs {
            // Before or after what else is done in its tick.
            if self.draw.percent(50) {
                timeline.push(input);
            } else {
                timeline.insert(0, input);
            }
        }
        timeline.sort_by_key(|(tick, _)| *tick);
    }

    /// Some sleeps.
    fn sleeps(&mut self, timeline: &[(Tick, Action)], last_tick: u32) -> Vec<Sleep> {
        let input_ticks: Vec<Tick> = timeline.iter().map(|(tick, _)| *tick).collect();
        let mut sleeps: Vec<Sleep> = Vec::new();
        for _ in 0..self.draw.between(1, 6) {
            let with_input = self.draw.pick(&input_ticks);
            let at = match with_input {
                Some(tick) if self.draw.percent(30) => u32::try_from(tick.0).unwrap_or(0),
                _ => self.draw.between(0, last_tick),
            };
            let few = self.draw.between(1, 4);
            let more = self.draw.between(3, 15);
            let long = self.draw.between(10, 60);
            let ticks = self.draw.weighted(&[(35, few), (40, more), (25, long)]);
            let parts = self.sleepers();
            sleeps.push(Sleep { at, ticks, parts });
        }
        sleeps
    }

    /// The sleeps in the order of their ticks. None of them puts a sleeper to sleep.
    fn without_sleepers(&self, mut sleeps: Vec<Sleep>) -> Vec<Sleep> {
        sleeps.sort_by_key(|sleep| sleep.at);
        let mut awake_at = vec![0; self.parts.len()];
        for sleep in &mut sleeps {
            sleep.parts.retain(|part| {
                let awake_at = &mut awake_at[part.index()];
                let is_awake = *awake_at <= sleep.at;
                if is_awake {
                    *awake_at = sleep.at + sleep.ticks;
                }
                is_awake
            });
        }
        sleeps.retain(|sleep| !sleep.parts.is_empty());
        sleeps
    }

    /// A hopper pushes in phase 3 of the tick in which it or its target wakes, shortly after a reopening:
    /// there the tick of their last turns matters.
    fn push_at_waking(&mut self, inputs: &mut Vec<(Tick, Action)>, last_tick: u32) -> Vec<Sleep> {
        let Some((hopper, target, mouth)) = self.draw.pick(&self.hoppers_from_mouth_to_hopper())
        else {
            return Vec::new();
        };
        if last_tick < 50 {
            return Vec::new();
        }
        let wakes = self.draw.between(30, last_tick);
        let sleep = |part: PartId, ticks: u32| Sleep {
            at: wakes - ticks,
            ticks,
            parts: vec![part],
        };
        let (long, short) = (self.draw.between(12, 30), self.draw.between(1, 11));
        let sleeps = vec![sleep(target, long), sleep(hopper, short)];
        let kind = self.plain_kinds[0];
        for (place, at) in [(hopper, wakes - long), (mouth, wakes)] {
            let action = Action::Deliver {
                place,
                kind,
                count: 1,
                contents: Vec::new(),
                terms: Terms::default(),
            };
            inputs.push((Tick(at.into()), action));
        }
        let at = self
            .draw
            .weighted(&[(30, wakes), (50, wakes - 1), (20, wakes - short)]);
        let orders = self.orders();
        inputs.push((Tick(at.into()), Action::Reopen { orders }));
        sleeps
    }

    /// The hoppers below a mouth that push into a hopper, each with that and with the mouth.
    fn hoppers_from_mouth_to_hopper(&self) -> Vec<(PartId, PartId, PartId)> {
        let hoppers = self.cast.hoppers.iter();
        let from_mouth = hoppers.filter_map(|id| {
            let part = self.parts[id.index()].as_ref()?;
            Some((*id, part.hopper()?.target?, part.mouth()?))
        });
        from_mouth
            .filter(|(_, target, _)| self.cast.hoppers.contains(target))
            .collect()
    }

    /// A part or two, a half of all, or everything of one sort, in any order.
    fn sleepers(&mut self) -> Vec<PartId> {
        let mut all: Vec<PartId> = (0..self.parts.len()).map(PartId::from_index).collect();
        self.draw.shuffle(&mut all);
        match self.draw.between(0, 3) {
            0 => all.truncate(self.draw.between(1, 3) as usize),
            1 => {
                let share = self.draw.between(15, 85);
                all.retain(|_| self.draw.percent(share));
            }
            2 => {
                let like = all
                    .last()
                    .and_then(|last| self.parts[last.index()].as_ref());
                let sort = like.map(std::mem::discriminant);
                let is_like = |part: &PartId| {
                    self.parts[part.index()]
                        .as_ref()
                        .map(std::mem::discriminant)
                        == sort
                };
                all.retain(is_like);
            }
            _ => {
                let share = self.draw.between(15, 85);
                let signals = &self.cast.signals;
                all.retain(|part| signals.contains(part) || self.draw.percent(share));
            }
        }
        all
    }

    /// At times the operator does something with what sleeps, or in the tick in which it wakes.
    fn inputs_of_sleepers(&mut self, sleep: &Sleep, last_tick: u32) -> Vec<(Tick, Action)> {
        let mut inputs = Vec::new();
        for part in &sleep.parts {
            if !self.draw.percent(15) {
                continue;
            }
            let at = sleep.at + self.draw.between(0, sleep.ticks);
            if let Some(action) = self.input_of(*part) {
                inputs.push((Tick(at.min(last_tick).into()), action));
            }
        }
        inputs
    }

    /// Something that can be done with a part, if anything can.
    fn input_of(&mut self, part: PartId) -> Option<Action> {
        match self.parts[part.index()].as_ref()? {
            Part::Signal(Signal::Lever { .. }) => Some(Action::MoveLever {
                lever: part,
                on: self.draw.percent(50),
            }),
            Part::Signal(Signal::Button { .. }) => Some(Action::Press { button: part }),
            Part::Signal(_) | Part::Shuttle(_) => None,
            Part::Container(_)
            | Part::Hopper(_)
            | Part::Dropper(_)
            | Part::Bench(_)
            | Part::Dock
                if self.draw.percent(40) =>
            {
                Some(Action::Withdraw {
                    place: part,
                    count: self.draw.between(1, 40),
                })
            }
            Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Bench(_) => {
                Some(self.delivery_to(part))
            }
            Part::Dock | Part::Selector(_) | Part::Mouth | Part::Stream(_) => {
                Some(self.delivery_to(part))
            }
        }
    }

    fn delivery_to(&mut self, place: PartId) -> Action {
        let kind = self.frequent_kind(35).unwrap_or(self.plain_kinds[0]);
        let contents = self.contents_of(kind);
        Action::Deliver {
            place,
            kind,
            count: self.draw.between(1, 5),
            contents,
            terms: Terms {
                waits: self.draw.percent(30),
                ..Terms::default()
            },
        }
    }

    /// One reopening or two. Modules that load late sleep from its tick on.
    fn reopenings(&mut self, sleeps: &[Sleep], last_tick: u32) -> Vec<(Tick, Action)> {
        let mut reopenings = Vec::new();
        for _ in 0..self.draw.between(1, 2) {
            let sleeping: Vec<(u32, u32)> = sleeps.iter().map(|one| (one.at, one.ticks)).collect();
            let at = match self.draw.pick(&sleeping) {
                Some((at, _)) if self.draw.percent(40) => at,
                Some((at, ticks)) if self.draw.percent(60) => at + self.draw.between(0, ticks),
                _ => self.draw.between(0, last_tick),
            };
            let orders = self.orders();
            reopenings.push((Tick(at.min(last_tick).into()), Action::Reopen { orders }));
        }
        reopenings
    }
}
