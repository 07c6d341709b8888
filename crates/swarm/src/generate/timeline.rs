//! What the operator does, and what is delivered.

use hallwright_core::id::PartId;
use hallwright_core::part::{Part, Signal, Stream};
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Terms};

use super::{List, Sketch};

/// The sorts of action.
#[derive(Clone, Copy)]
enum ActionSort {
    MoveLever,
    Press,
    Deliver,
    Withdraw,
}

impl Sketch {
    /// Up to so many actions as the style allows, a few of them in one tick.
    pub(super) fn timeline(&mut self, length_ticks: u64) -> Vec<(Tick, Action)> {
        let last_tick = u32::try_from(length_ticks - 1).unwrap_or(u32::MAX);
        let levers = self.signals_where(|signal| matches!(signal, Signal::Lever { .. }));
        let buttons = self.signals_where(|signal| matches!(signal, Signal::Button { .. }));
        let mut tick = 0;
        let mut timeline = Vec::new();
        for _ in 0..self.draw.between(0, self.style.most_actions) {
            if self.draw.percent(75) {
                tick = self.draw.between(0, last_tick);
            }
            let action = self.action(&levers, &buttons);
            timeline.push((Tick(tick.into()), action));
        }
        timeline.sort_by_key(|(tick, _)| *tick);
        timeline
    }

    pub(super) fn signals_where(&self, wanted: impl Fn(&Signal) -> bool) -> Vec<PartId> {
        let is_wanted = |id: &&PartId| matches!(&self.parts[id.index()], Some(Part::Signal(signal)) if wanted(signal));
        self.cast
            .signals
            .iter()
            .filter(is_wanted)
            .copied()
            .collect()
    }

    fn action(&mut self, levers: &[PartId], buttons: &[PartId]) -> Action {
        let weight = |list: &[PartId], weight: u32| if list.is_empty() { 0 } else { weight };
        let sort = self.draw.weighted(&[
            (weight(levers, 30), ActionSort::MoveLever),
            (weight(buttons, 20), ActionSort::Press),
            (40, ActionSort::Deliver),
            (15, ActionSort::Withdraw),
        ]);
        match sort {
            ActionSort::MoveLever => self.draw.pick(levers).map(|lever| Action::MoveLever {
                lever,
                on: self.draw.percent(50),
            }),
            ActionSort::Press => self
                .draw
                .pick(buttons)
                .map(|button| Action::Press { button }),
            ActionSort::Deliver => Some(self.delivery()),
            ActionSort::Withdraw => None,
        }
        .unwrap_or_else(|| self.withdrawal())
    }

    fn delivery(&mut self) -> Action {
        let weights = [
            (20, List::Containers),
            (20, List::Hoppers),
            (8, List::Droppers),
            (8, List::Benches),
            (25, List::Selectors),
            (10, List::Places),
            (40, List::Loose),
        ];
        let mouth = self.cast.mouths.first().copied();
        // One mouth sees more than all others, so that stacks meet there.
        let place = match mouth {
            Some(mouth) if self.draw.percent(20) => mouth,
            _ => self.some_place(&weights),
        };
        let kind = self.frequent_kind(45).unwrap_or(self.plain_kinds[0]);
        let limit = u32::from(self.kinds[kind.index()].stack_limit.items());
        let any = self.draw.between(1, limit);
        let many = self.draw.between(1, 200);
        let count = if self.kinds[kind.index()].is_box {
            self.draw.between(1, 4)
        } else {
            self.draw.weighted(&[
                (25, 1),
                (15, 2),
                (30, any),
                (10, limit / 2),
                (15, many),
                (5, limit),
            ])
        };
        let contents = self.contents_of(kind);
        Action::Deliver {
            place,
            kind,
            count: count.max(1),
            contents,
            terms: Terms::default(),
        }
    }

    /// At times, goods on a stream come upon the same that came loose at its mouth after them. It is
    /// drawn last, and in networks with streams only.
    pub(super) fn add_meeting(&mut self, timeline: &mut Vec<(Tick, Action)>) {
        let (Some(stream), Some(kind)) = (
            self.draw.pick(&self.cast.streams),
            self.draw.pick(&self.plain_kinds),
        ) else {
            return;
        };
        let Some(Part::Stream(Stream { mouth, .. })) = self.parts[stream.index()] else {
            return;
        };
        if !self.draw.percent(35) {
            return;
        }
        let first = u64::from(self.draw.between(0, 20));
        for (place, later) in [(stream, 0), (mouth, 1)] {
            let action = Action::Deliver {
                place,
                kind,
                count: self.draw.between(1, 8),
                contents: Vec::new(),
                terms: Terms::default(),
            };
            timeline.push((Tick(first + later), action));
        }
        timeline.sort_by_key(|(tick, _)| *tick);
    }

    /// At times, deliveries wait at a landing or two: for room, for a signal, for both. It is drawn last,
    /// so that all else is as without it.
    pub(super) fn add_landings(&mut self, timeline: &mut Vec<(Tick, Action)>, length_ticks: u64) {
        if !self.draw.percent(40) {
            return;
        }
        let last_tick = u32::try_from(length_ticks - 1).unwrap_or(u32::MAX);
        for (_, action) in timeline.iter_mut() {
            if let Action::Deliver { terms, .. } = action {
                *terms = self.terms(25, 15);
            }
        }
        let weights = [
            (20, List::Containers),
            (45, List::Hoppers),
            (10, List::Droppers),
            (30, List::Benches),
            (25, List::Selectors),
            (15, List::Places),
            (8, List::Loose),
        ];
        for _ in 0..self.draw.between(1, 2) {
            let place = self.some_place(&weights);
            // Most come early, when there is time left to wait.
            let mut tick = self.draw.between(0, last_tick / 2);
            for _ in 0..self.draw.between(2, 9) {
                let kind = self.frequent_kind(25).unwrap_or(self.plain_kinds[0]);
                let few = self.draw.between(1, 5);
                let many = self.draw.between(60, 400);
                let action = Action::Deliver {
                    place,
                    kind,
                    count: if self.kinds[kind.index()].is_box {
                        few
                    } else {
                        self.draw.weighted(&[(60, many), (40, few)])
                    },
                    contents: self.contents_of(kind),
                    terms: self.terms(65, 45),
                };
                timeline.push((Tick(tick.into()), action));
                if self.draw.percent(50) {
                    tick = last_tick.min(tick + self.draw.between(1, 16));
                }
            }
            // What makes room for them.
            if self.draw.percent(50) {
                let count = self.draw.between(1, 100);
                let action = self.withdrawal();
                let is_withdrawal = matches!(action, Action::Withdraw { .. });
                let from_place =
                    match is_withdrawal && self.draw.percent(80) && self.can_withdraw(place) {
                        true => Action::Withdraw { place, count },
                        false => action,
                    };
                let at = self.draw.between(tick, last_tick);
                timeline.push((Tick(at.into()), from_place));
            }
        }
        timeline.sort_by_key(|(tick, _)| *tick);
    }

    fn terms(&mut self, waits_percent: u32, held_percent: u32) -> Terms {
        Terms {
            waits: self.draw.percent(waits_percent),
            while_on: self.maybe_signal(held_percent),
            arrival: None,
        }
    }

    fn can_withdraw(&self, place: PartId) -> bool {
        matches!(
            self.parts[place.index()],
            Some(
                Part::Container(_)
                    | Part::Hopper(_)
                    | Part::Dropper(_)
                    | Part::Bench(_)
                    | Part::Dock
            )
        )
    }

    fn withdrawal(&mut self) -> Action {
        let weights = [
            (40, List::Containers),
            (30, List::Hoppers),
            (15, List::Droppers),
            (20, List::Benches),
            (20, List::Places),
        ];
        let place = self.some_place(&weights);
        let many = self.draw.between(1, 200);
        let count = self.draw.weighted(&[(40, 1), (30, 5), (30, many)]);
        Action::Withdraw { place, count }
    }

    pub(super) fn some_place(&mut self, weights: &[(u32, List)]) -> PartId {
        // No part has the number of this one, so that none is left out.
        let nobody = PartId::from_index(self.parts.len());
        self.pick_other(nobody, weights)
            .unwrap_or(self.cast.containers[0])
    }
}
