//! When nothing moved any more, and whether that is certain (tick rules, section 7).

use std::rc::Rc;

use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::Timeline;
use hallwright_declared::declarations::Section;
use serde::{Deserialize, Serialize};

use super::Now;
use super::ledger::Move;
use super::sections::parts_of;
use crate::findings::QuietMark;
use hallwright_analysis::standstill::Standstill;

/// Remembers the last thing that moved.
pub(crate) struct QuietWatch {
    standstill: Rc<Standstill>,
    last: Last,
    /// The ticks of all inputs, and of the ends of all spells, ascending.
    inputs: Vec<Tick>,
    /// When spells begin, in which parts sleep or signals are stuck, and when they are over.
    spells: Vec<(Tick, Tick)>,
    /// Whether any part moves by itself: a clock, a shuttle, or a bench that counts ticks.
    has_own_motion: bool,
}

/// What happened last.
#[derive(Clone, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Last {
    item_event: Option<Tick>,
    /// Between which parts something moved.
    ends: [Option<PartId>; 2],
    delivery: Option<Delivery>,
}

/// The last tick in which something was delivered.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
struct Delivery {
    at: Tick,
    /// Ticks since the delivery before; 0 for the first.
    gap_ticks: u64,
}

impl QuietWatch {
    /// `timeline`: everything that the operator does.
    pub(crate) fn new(timeline: &Timeline, standstill: Rc<Standstill>, network: &Network) -> Self {
        let spells: Vec<(Tick, Tick)> = timeline.spells().collect();
        let inputs = timeline.entries().iter().map(|(tick, _)| *tick);
        let ends = spells.iter().map(|(_, over_at)| *over_at);
        let mut inputs: Vec<Tick> = inputs.chain(ends).collect();
        inputs.sort_unstable();
        Self {
            spells,
            standstill,
            last: Last::default(),
            inputs,
            has_own_motion: network.parts().any(|(_, part)| moves_by_itself(part)),
        }
    }

    pub(crate) fn kept(&self) -> Last {
        self.last.clone()
    }

    pub(crate) fn put_back(&mut self, last: Last) {
        self.last = last;
    }

    /// When the last item event was.
    pub(crate) fn last_item_event(&self) -> Option<Tick> {
        self.last.item_event
    }

    /// An item event.
    #[inline]
    pub(crate) fn item_event(&mut self, tick: Tick, moved: Option<&Move>) {
        self.last.item_event = Some(tick);
        if let Some(moved) = moved {
            self.last.ends = [moved.from, moved.to].map(|spot| Some(spot?.part));
            if moved.from.is_none() && moved.to.is_some() {
                self.delivered(tick);
            }
        }
    }

    /// One item moved between two parts.
    #[inline]
    pub(crate) fn moved_within(&mut self, tick: Tick, from: PartId, to: PartId) {
        self.last.item_event = Some(tick);
        self.last.ends = [Some(from), Some(to)];
    }

    fn delivered(&mut self, at: Tick) {
        let before = self.last.delivery.as_ref();
        if before.is_some_and(|before| before.at == at) {
            return;
        }
        let gap_ticks = before.map_or(0, |before| at - before.at);
        self.last.delivery = Some(Delivery { at, gap_ticks });
    }

    /// Whether deliveries went on after `start` and the next is still to be expected at tick `until`:
    /// no more time has passed since the last one than between it and the one before.
    pub(crate) fn is_arriving(&self, start: Tick, until: Tick) -> bool {
        let last = self.last.delivery.as_ref();
        last.is_some_and(|last| last.at >= start && until <= last.at + last.gap_ticks)
    }

    /// Whether what arrives makes something move, and the next of it is still to be expected: something
    /// moved since the last delivery (`last_move`: the last that was not the operator's own doing).
    pub(crate) fn expects_more(&self, start: Tick, until: Tick, last_move: Option<Tick>) -> bool {
        let last = self.last.delivery.as_ref();
        let moves = last.is_some_and(|last| last_move.is_some_and(|moved| moved >= last.at));
        moves && self.is_arriving(start, until)
    }

    /// Whether anything sleeps or is stuck at the end of the tick before `until`, or wakes or comes free at
    /// the start of that one. Nothing is certain then (tick rules, section 9).
    pub(crate) fn is_spellbound(&self, until: Tick) -> bool {
        let mut spells = self.spells.iter();
        spells.any(|(from, over_at)| *from < until && until <= *over_at)
    }

    /// The last input, or end of a spell, before tick `until`.
    pub(crate) fn last_input(&self, until: Tick) -> Option<Tick> {
        let before = self.inputs.partition_point(|input| *input < until);
        self.inputs[..before].last().copied()
    }

    /// When the whole network became quiet after `start`, as far as can be said at the end of the
    /// tick before `until`. `is_over` says that nothing is due any more.
    pub(crate) fn mark(
        &self,
        start: Tick,
        until: Tick,
        is_over: bool,
        now: &Now<'_, '_>,
    ) -> QuietMark {
        let under_way = now.ledger.loose_items() > 0
            || self.standstill.in_selectors(now.view).next().is_some()
            || self.standstill.aboard(now.view).next().is_some();
        let is_known = !under_way && self.is_certain(start, until, is_over, now);
        let is_arriving = self.is_arriving(start, until);
        let is_moving = !is_known && (is_arriving || self.is_moving(self.last.item_event, until));
        QuietMark {
            ticks: (!under_way && !is_moving).then(|| ticks_after(self.last.item_event, start)),
            is_known,
            goods_arrive: !is_known && is_arriving,
        }
    }

    /// When one section became quiet after `start`: nothing more happens at its own parts.
    pub(crate) fn section_mark(
        &self,
        index: usize,
        section: &Section,
        (start, until): (Tick, Tick),
        is_over: bool,
        now: &Now<'_, '_>,
    ) -> QuietMark {
        let loose = now
            .ledger
            .loose()
            .any(|record| now.sections.holds(record.spot, index));
        let parts = parts_of(section);
        let inside = self
            .standstill
            .in_selectors(now.view)
            .any(|part| parts.contains(&part));
        let is_known = !loose && !inside && self.is_certain(start, until, is_over, now);
        let last = now.sections.states()[index].last_item_event;
        let is_moving = !is_known && self.is_moving(last, until);
        QuietMark {
            ticks: (!loose && !inside && !is_moving).then(|| ticks_after(last, start)),
            is_known,
            goods_arrive: !is_known && self.is_arriving(start, until),
        }
    }

    /// The parts that the last item event went from and to, if it was so late that more must have
    /// been to come.
    pub(crate) fn still_moving(&self, until: Tick) -> Vec<PartId> {
        if !self.is_moving(self.last.item_event, until) {
            return Vec::new();
        }
        self.last.ends.into_iter().flatten().collect()
    }

    fn is_moving(&self, last: Option<Tick>, until: Tick) -> bool {
        last.is_some_and(|last| until.0 <= last.0 + self.standstill.settling_ticks())
    }

    /// Whether nothing more can come, given that nothing is loose, inside a selector or aboard:
    /// nothing is due, or there was nothing for long enough, or no part moves by itself, no event is
    /// pending and every cooldown is over.
    fn is_certain(&self, start: Tick, until: Tick, is_over: bool, now: &Now<'_, '_>) -> bool {
        let last_input = self.last_input(until);
        let last = [Some(start), self.last.item_event, last_input]
            .into_iter()
            .flatten()
            .max();
        let passed = |ticks: u64| last.is_some_and(|last| until.0 > last.0 + 1 + ticks);
        let is_pending = |part: PartId| now.view.is_pending(part);
        if self.is_spellbound(until) || (!is_over && self.is_arriving(start, until)) {
            return false;
        }
        is_over
            || passed(self.standstill.certainty_ticks())
            || (!self.has_own_motion
                && !self.is_moving(last, until)
                && !now.view.network().part_ids().any(is_pending))
    }
}

fn moves_by_itself(part: &Part) -> bool {
    match part {
        Part::Shuttle(_) | Part::Bench(_) => true,
        Part::Signal(signal) => signal.beat().is_some(),
        Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) | Part::Mouth => false,
        Part::Stream(_) | Part::Selector(_) | Part::Dock => false,
    }
}

/// Ticks from `start` to the last item event; 0 if it came before.
fn ticks_after(last: Option<Tick>, start: Tick) -> u64 {
    last.map_or(0, |last| last.0.saturating_sub(start.0))
}
