//! How long each part waited for what: every tick of the run counts for what the part waits for at
//! the tick's end, so that the ticks of a part add up to the run's.
//!
//! A part is looked at again when something happened to it or to a neighbour, and when its wait ends
//! by itself. The figures are exact however much of the record is left out of the page.

use std::collections::BTreeMap;

use hallwright_core::engine::View;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::tick::Tick;
use serde_json::{Value, json};

use super::cells::number;
use super::pack::{Packer, Shelf};
use hallwright_explain::{Around, Cause, Lasts, Situation, Wait, Why, actor, concerned};
use hallwright_report::measure::slot_items;

/// A part waits for something else from the end of a tick on.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) struct Turned {
    /// The tick.
    pub(super) tick: u64,
    /// The part.
    pub(super) part: PartId,
    /// The wait's place among those of the part.
    pub(super) wait: u32,
}

/// What a part waited for, and for how many ticks altogether.
type Waited = (Wait, u64);

/// Watches what every part waits for.
pub(super) struct Waits {
    around: Around,
    /// Of each hopper, the first tick in which it can act, as far as anything is known of it.
    free_at: Vec<u64>,
    /// Of each hopper whose last cooldown began with an arrival: from where, if from a part.
    arrived: Vec<Option<Option<PartId>>>,
    /// The waits of each part, in the order in which they came up first.
    of_part: Vec<Vec<Waited>>,
    /// Where the wait stands in which it is now, and since when.
    now: Vec<(usize, u64)>,
    touched: Vec<PartId>,
    is_touched: Vec<bool>,
    /// The parts to look at after a tick, and for each part the tick that holds.
    agenda: BTreeMap<u64, Vec<PartId>>,
    next_look: Vec<u64>,
    /// The parts that slept (`true`) or were stuck when this was last looked at, each with the tick in which
    /// that is over. One may do both, and fall asleep again in the tick in which it wakes.
    spellbound: Vec<(PartId, bool, Tick)>,
}

/// There is no tick after which to look.
const NEVER: u64 = u64::MAX;

impl Waits {
    /// Begins before tick 0.
    pub(super) fn new(network: &Network) -> Self {
        let count = network.part_count();
        Self {
            around: Around::new(network),
            free_at: vec![0; count],
            arrived: vec![None; count],
            of_part: vec![Vec::new(); count],
            now: vec![(0, 0); count],
            touched: network.part_ids().collect(),
            is_touched: vec![true; count],
            agenda: BTreeMap::new(),
            next_look: vec![NEVER; count],
            spellbound: Vec::new(),
        }
    }

    /// Something happened to a part: it and its neighbours may wait for something else.
    fn touch(&mut self, part: PartId) {
        let neighbours = &self.around.neighbours[part.index()];
        for part in neighbours.iter().chain([&part]) {
            if !std::mem::replace(&mut self.is_touched[part.index()], true) {
                self.touched.push(*part);
            }
        }
    }

    /// Notes what it is about, and whose doing a cooldown is.
    pub(super) fn event(&mut self, event: &Event, view: &View<'_>) {
        let parts = concerned(event, view).into_iter().flatten();
        parts.for_each(|part| self.touch(part));
        // What lies at a mouth, or comes there, concerns the hoppers below it too.
        match *event {
            Event::Collected { hopper: part, .. } | Event::CameLoose { place: part, .. } => {
                self.touch_mouth_of(part, view.network());
            }
            _ => {}
        }
        self.note_cooldown(event, view);
    }

    fn touch_mouth_of(&mut self, part: PartId, network: &Network) {
        if let Some(mouth) = network.part(part).mouth() {
            self.touch(mouth);
        }
    }

    fn note_cooldown(&mut self, event: &Event, view: &View<'_>) {
        let is_hopper = |part: PartId| view.network().part(part).hopper().is_some();
        let actor = actor(event, view);
        if let Some(actor) = actor.filter(|actor| is_hopper(*actor)) {
            self.arrived[actor.index()] = None;
        }
        let (to, count, from) = match *event {
            Event::ItemMoved { from, to, .. } => (to, 1, Some(from)),
            Event::Delivered { place, count, .. } => (place, u64::from(count), None),
            _ => return,
        };
        // An arrival is one in a hopper that was wholly empty.
        if is_hopper(to) && actor != Some(to) && slot_items(view, to) == count {
            self.arrived[to.index()] = Some(from);
        }
    }

    /// A spell begins and ends without an event: touches every part for which one did.
    fn touch_spellbound(&mut self, view: &View<'_>) {
        let woken: Vec<PartId> = view.woken().collect();
        if view.no_spell_since().is_some() && self.spellbound.is_empty() && woken.is_empty() {
            return;
        }
        let sleepers = view.sleepers().map(|(part, over_at)| (part, true, over_at));
        let stuck = view.stuck().map(|(part, over_at)| (part, false, over_at));
        let now: Vec<(PartId, bool, Tick)> = sleepers.chain(stuck).collect();
        let before = std::mem::replace(&mut self.spellbound, now.clone());
        let turned = before.iter().filter(|part| !now.contains(part));
        let turned: Vec<PartId> = turned
            .chain(now.iter().filter(|part| !before.contains(part)))
            .map(|(part, ..)| *part)
            .chain(woken)
            .collect();
        for part in turned {
            self.touch(part);
            if let Some(shuttle) = view.network().part(part).shuttle() {
                // What is docked concerns who stands around its dock.
                for stop in &shuttle.stops {
                    self.touch(stop.dock);
                }
            }
        }
    }

    /// The ticks up to, not including, `until` are over; says what changed, in the order of time.
    pub(super) fn pass(&mut self, from: u64, until: u64, view: &View<'_>) -> Vec<Turned> {
        self.touch_spellbound(view);
        let mut turned = Vec::new();
        let touched = std::mem::take(&mut self.touched);
        for part in &touched {
            self.is_touched[part.index()] = false;
            if view.network().part(*part).hopper().is_some() {
                // The view is that before tick `until`.
                let cooldown_ticks = u64::from(view.cooldown_ticks(*part));
                self.free_at[part.index()] = (until + cooldown_ticks).saturating_sub(1);
            }
        }
        for part in touched {
            self.look(from, until, part, view, &mut turned);
        }
        while let Some(entry) = self.agenda.first_entry()
            && *entry.key() < until
        {
            let (tick, parts) = entry.remove_entry();
            for part in parts {
                // Another look may have come in between.
                if self.next_look[part.index()] == tick {
                    self.look(tick.max(from), until, part, view, &mut turned);
                }
            }
        }
        turned
    }

    fn look(
        &mut self,
        at: u64,
        until: u64,
        part: PartId,
        view: &View<'_>,
        turned: &mut Vec<Turned>,
    ) {
        let free_at = &self.free_at;
        let moment = Situation {
            view,
            around: &self.around,
            at,
            cooldown_ticks: &|hopper| free_at[hopper.index()].saturating_sub(at),
        };
        let (mut wait, lasts) = moment.waits(part);
        if wait.why == Why::Because(Cause::Cooldown)
            && wait.by.is_none()
            && let Some(by) = self.arrived[part.index()]
        {
            wait = Wait {
                why: Why::Arrival,
                by,
            };
        }
        let next = match lasts {
            Lasts::Unchanged => NEVER,
            Lasts::Until(tick) => tick.max(at + 1),
            Lasts::Briefly => until,
        };
        if std::mem::replace(&mut self.next_look[part.index()], next) != next && next != NEVER {
            self.agenda.entry(next).or_default().push(part);
        }
        self.turn(at, part, wait, turned);
    }

    fn turn(&mut self, at: u64, part: PartId, wait: Wait, turned: &mut Vec<Turned>) {
        let known = &mut self.of_part[part.index()];
        let (now, since) = &mut self.now[part.index()];
        if known.get(*now).is_some_and(|(known, _)| *known == wait) {
            return;
        }
        if let Some((_, ticks)) = known.get_mut(*now) {
            *ticks += at - *since;
        }
        let place = known.iter().position(|(known, _)| *known == wait);
        *now = place.unwrap_or_else(|| {
            known.push((wait, 0));
            known.len() - 1
        });
        *since = at;
        turned.push(Turned {
            tick: at,
            part,
            wait: u32::try_from(*now).unwrap_or(u32::MAX),
        });
    }

    /// The waits of each part with their ticks in a run of so many; they add up to these.
    pub(super) fn totals(&self, run_ticks: u64) -> Vec<Vec<Waited>> {
        let mut totals = self.of_part.clone();
        for (list, (now, since)) in totals.iter_mut().zip(&self.now) {
            if let Some((_, ticks)) = list.get_mut(*now) {
                *ticks += run_ticks.saturating_sub(*since);
            }
        }
        totals
    }

    /// All waits as the page reads them: for each part how many, and of each the number of its words,
    /// the part that causes it and 1 more (0 for none), and its ticks; and which words say that a part
    /// has no room.
    pub(super) fn data(&self, shelf: &mut Shelf, run_ticks: u64) -> Value {
        let mut whys: Vec<Why> = Vec::new();
        let mut packer = Packer::default();
        for list in self.totals(run_ticks) {
            packer.add(list.len() as u64);
            for (wait, ticks) in list {
                let known = whys.iter().position(|why| *why == wait.why);
                let place = known.unwrap_or_else(|| {
                    whys.push(wait.why);
                    whys.len() - 1
                });
                packer.add(place as u64);
                packer.add(wait.by.map_or(0, |by| u64::from(number(by)) + 1));
                packer.add(ticks);
            }
        }
        let full = Why::Because(Cause::FullTarget);
        json!({
            "words": whys.iter().map(|why| words(*why)).collect::<Vec<_>>(),
            "classes": whys.iter().map(|why| class(*why)).collect::<Vec<_>>(),
            "full": whys.iter().position(|why| *why == full),
            "ofParts": shelf.put(packer),
        })
    }
}

/// A wait in words: with the part that causes it in place of `{}`, and without one.
fn words(why: Why) -> [&'static str; 2] {
    match why {
        Why::Because(cause) => cause_words(cause),
        Why::Arrival => [
            "arrival cooldown, item from {}",
            "arrival cooldown after a delivery",
        ],
        Why::IdleLock => [
            "locked by {}, with nothing to move",
            "locked, with nothing to move",
        ],
        Why::Nothing => ["nothing comes from {}", "nothing to move"],
        Why::Unoccupied => ["nothing stands at {}", "nothing stands here"],
        Why::NotTriggered => ["until {} comes on and triggers it", "nothing triggers it"],
        Why::NotReleased => ["until {} is on", "until it is released"],
        Why::NotFull => ["the box is not full yet", "the box is not full yet"],
        Why::NoWayOn => [
            "holds what it has: nothing leads on",
            "holds what it has: nothing leads on",
        ],
        Why::On => ["on", "on"],
        Why::Off => ["off", "off"],
        Why::Asleep => ["{} is asleep", "asleep"],
        Why::Stuck => ["stuck", "stuck"],
    }
}

/// The class of a wait: 0 full, 1 held by a signal, 2 for goods, 3 at work, 4 none of them.
fn class(why: Why) -> u8 {
    match why {
        Why::Because(Cause::FullTarget) => 0,
        Why::Because(Cause::Lock) | Why::IdleLock | Why::NotTriggered | Why::NotReleased => 1,
        Why::Nothing | Why::Unoccupied | Why::NotFull => 2,
        Why::Because(_) | Why::Arrival => 3,
        Why::NoWayOn | Why::On | Why::Off | Why::Asleep | Why::Stuck => 4,
    }
}

/// What the page calls a cause of an explanation: with a place for the part that causes it, and
/// without.
fn cause_words(cause: Cause) -> [&'static str; 2] {
    match cause {
        Cause::Cooldown => ["cooldown of {}", "cooldown"],
        Cause::Turn => ["the next turn of {}", "its next turn"],
        Cause::Lock => ["locked by {}", "locked"],
        Cause::FullTarget => ["full target: {}", "full target"],
        Cause::Firing => ["its firing, triggered by {}", "its firing"],
        Cause::SignalDelay => ["delay of {}", "its delay"],
        Cause::Hold => ["kept on by {}", "kept on for its time"],
        Cause::Stream => ["the way on the stream {}", "the stream's way"],
        Cause::Collection => ["collected by {}", "coming to rest"],
        Cause::Selector => ["the selector's time", "the selector's time"],
        Cause::Bench => [
            "the bench's time before it lifts",
            "the bench's time before it lifts",
        ],
        Cause::Dwell => ["the shuttle's dwell", "the shuttle's dwell"],
        Cause::ShuttleWay => ["the shuttle's way to {}", "the shuttle's way"],
        Cause::Despawn => ["nobody takes it up", "nobody takes it up"],
        other => {
            let words = hallwright_explain::cause_words(other);
            [words, words]
        }
    }
}

#[cfg(test)]
mod tests;
