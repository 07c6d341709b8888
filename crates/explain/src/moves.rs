//! What moves of items had to wait for (tick rules, sections 4 to 6).

use hallwright_core::event::{Event, StackId};
use hallwright_core::id::PartId;
use hallwright_core::network::Network;
use hallwright_core::part::{Bench, Hopper, Intake, Lift, Outlet, Part, Selector, Shuttle};
use hallwright_core::tick::{Phase, Tick};

use super::condition::{Cause, Condition, Reason};
use super::history::{Entry, EntryId, History, leaves, ready_after};
use super::signals::Signals;

/// Looks for the conditions of moves.
pub(super) struct Moves<'a> {
    pub(super) network: &'a Network,
    pub(super) history: &'a History,
    pub(super) signals: Signals<'a>,
}

impl Moves<'_> {
    /// Why an entry happened when it did.
    pub(super) fn reason(&self, id: EntryId) -> Reason {
        let entry = self.history.entry(id);
        let now = entry.tick();
        let conditions = match entry.event {
            Event::SignalChanged { signal, level } => {
                return self.signals.reason(signal, now, id, level > 0);
            }
            Event::Locked { part } | Event::Unlocked { part } => self.lock_changed(part, id),
            Event::Delivered { place, .. } => return Reason::Outside(Cause::Delivery, place),
            Event::Withdrawn { place, .. } => return Reason::Outside(Cause::Operator, place),
            Event::CameLoose { place, .. } => {
                let before = id.checked_sub(1).map(|before| self.history.entry(before));
                let thrown =
                    before.is_some_and(|before| leads_loose(&before, &entry, self.network));
                if !thrown {
                    return Reason::Outside(Cause::Delivery, place);
                }
                vec![self.since(id.checked_sub(1), (Cause::Turn, place))]
            }
            Event::Merged { stack, mouth, .. } => vec![self.at_rest(stack, id, mouth)],
            Event::Lost { stack, mouth, .. } => {
                let loose = self.history.of_stack(stack).first().copied();
                vec![self.since(loose, (Cause::Despawn, mouth)).up_to(now)]
            }
            _ => match entry.actor {
                Some(actor) => self.awake(self.acted(id, &entry, actor), &entry, actor),
                None => Vec::new(),
            },
        };
        Reason::Conditions(conditions)
    }

    /// What had to come true, and for the parts concerned to wake.
    fn awake(
        &self,
        mut conditions: Vec<Condition>,
        entry: &Entry,
        actor: PartId,
    ) -> Vec<Condition> {
        let others = match entry.event {
            Event::ItemMoved { from, to, .. } => [Some(from), Some(to)],
            Event::Docked { place, .. } | Event::Departed { place, .. } => [Some(place), None],
            Event::BoxSet { bench, .. } => [Some(bench), None],
            _ => [None, None],
        };
        let parts = [Some(actor), others[0], others[1]];
        let Some((woke, part)) = self.history.spells.last_waking(&parts, entry.tick()) else {
            return conditions;
        };
        for condition in &mut conditions {
            if condition.true_from < woke {
                *condition = condition.then_until(woke, (Cause::Asleep, part));
            }
        }
        conditions
    }

    fn acted(&self, id: EntryId, entry: &Entry, actor: PartId) -> Vec<Condition> {
        match self.network.part(actor) {
            Part::Hopper(hopper) => self.hopper_acted(id, entry, actor, hopper),
            Part::Selector(selector) => self.selector_acted(id, entry, actor, selector),
            Part::Dropper(dropper) => self.dropper_fired(id, entry, actor, dropper.outlet),
            Part::Bench(bench) => self.box_lifted(id, entry, actor, bench),
            Part::Shuttle(shuttle) => self.shuttle_moved(id, entry, actor, shuttle),
            // What these do, something else makes them do.
            Part::Container(_) | Part::Mouth | Part::Stream(_) | Part::Dock | Part::Signal(_) => {
                vec![self.since(self.history.came_by(id), (Cause::Turn, actor))]
            }
        }
    }

    /// What an entry brought about was true at once; what came later is due to this.
    fn since(&self, by: Option<EntryId>, then: (Cause, PartId)) -> Condition {
        let at = by.map_or(Tick(0), |by| self.history.tick(by));
        Condition {
            by,
            at,
            since: at,
            true_from: at,
            first: then,
            then,
            blocked_since: None,
        }
    }

    fn lock_changed(&self, part: PartId, id: EntryId) -> Vec<Condition> {
        let lock = self.network.part(part).lock();
        let by = lock.and_then(|lock| self.signals.last_change(lock, id, self.tick(id)));
        vec![self.since(by, (Cause::Lock, part))]
    }

    fn tick(&self, id: EntryId) -> Tick {
        self.history.tick(id)
    }

    /// A stack came loose, and had to reach the mouth.
    fn at_rest(&self, stack: StackId, before: EntryId, taker: PartId) -> Condition {
        let list = self.history.of_stack(stack);
        // The last one that merged into it was the last to come.
        let newest = list.iter().rev().filter(|id| **id < before).find_map(|id| {
            match self.history.entry(*id).event {
                Event::Merged { stack, .. } => self.history.of_stack(stack).first().copied(),
                Event::CameLoose { .. } => Some(*id),
                _ => None,
            }
        });
        let mut condition = self.since(newest, (Cause::Collection, taker));
        if let Some(newest) = newest
            && let Event::CameLoose { place, .. } = self.history.entry(newest).event
        {
            let moment = self.history.entry(newest).moment;
            let own_ticks = u64::from(moment.phase >= Phase::Loose);
            let (way, ticks) = match self.network.part(place).stream() {
                Some(stream) => (Cause::Stream, u64::from(stream.transit_ticks)),
                None => (Cause::Collection, own_ticks),
            };
            condition = condition.up_to(moment.tick + ticks);
            condition.first = (way, place);
        }
        condition
    }

    fn hopper_acted(
        &self,
        id: EntryId,
        entry: &Entry,
        actor: PartId,
        hopper: &Hopper,
    ) -> Vec<Condition> {
        let now = entry.tick();
        let is_collection = matches!(entry.event, Event::Collected { .. });
        let item = match entry.event {
            Event::Collected { stack, .. } => self.at_rest(stack, id, actor),
            _ => self.since(self.history.came_by(id), (Cause::Turn, actor)),
        };
        let mut conditions = match self.history.set_by(id) {
            Some(set_by) => self.cooldown(item, set_by, actor, is_collection),
            None => vec![item],
        };
        conditions.extend(self.unlocked(hopper.lock, actor, id));
        sort(&mut conditions);
        let (source, target) = match entry.event {
            Event::ItemMoved { from, to, .. } if from == actor => (None, Some(to)),
            Event::ItemMoved { from, .. } => (Some(from), Some(actor)),
            _ => (None, Some(actor)),
        };
        self.blocked(conditions, id, now, source, target)
    }

    /// The item, or the cooldown if that is the later.
    fn cooldown(
        &self,
        item: Condition,
        set_by: EntryId,
        hopper: PartId,
        is_collection: bool,
    ) -> Vec<Condition> {
        let setter = self.history.entry(set_by);
        let ready = ready_after(&setter, hopper, self.network);
        let cause = if is_collection {
            Cause::Collection
        } else {
            Cause::Cooldown
        };
        if item.by == Some(set_by) {
            return vec![item.then_until(ready, (cause, hopper))];
        }
        // Who came while nothing waited waits for the rest of the cooldown; who came before that,
        // for those before it.
        if item.by.is_some() && item.since >= setter.tick() {
            return vec![if ready > item.since {
                item.then_until(ready, (cause, hopper))
            } else {
                item
            }];
        }
        let waits_for = if is_collection {
            Cause::Collection
        } else {
            Cause::Queue
        };
        let before = self.since(Some(set_by), (waits_for, hopper)).up_to(ready);
        vec![before, item]
    }

    fn unlocked(&self, lock: Option<PartId>, part: PartId, before: EntryId) -> Option<Condition> {
        lock?;
        let mut changes = self.history.back_from(part, before);
        let (id, _) = changes
            .find(|(_, entry)| matches!(entry.event, Event::Unlocked { part: of } if of == part))?;
        Some(self.since(Some(id), (Cause::Lock, part)))
    }

    /// A part acts as soon as it can. If all that is known was true before, the last that changed
    /// around it must have been in its way: a target without room, a place where nothing stood.
    fn blocked(
        &self,
        mut conditions: Vec<Condition>,
        id: EntryId,
        now: Tick,
        source: Option<PartId>,
        target: Option<PartId>,
    ) -> Vec<Condition> {
        let known = conditions
            .first()
            .map_or(Tick(0), |condition| condition.true_from);
        if known >= now {
            return conditions;
        }
        let made_room = target.and_then(|target| {
            let mut before = self.history.back_from(target, id);
            let found = before
                .find(|(_, entry)| leaves(&entry.event, target) || has_come(&entry.event, target));
            found.map(|(found, _)| (found, target))
        });
        let came = source.and_then(|source| {
            let mut before = self.history.back_from(source, id);
            let found = before.find(|(_, entry)| has_come(&entry.event, source));
            found.map(|(found, _)| (found, source))
        });
        let found = [made_room, came]
            .into_iter()
            .flatten()
            .max_by_key(|(found, _)| *found);
        if let Some((found, part)) = found
            && self.tick(found) > known
        {
            let condition = self.since(Some(found), (Cause::FullTarget, part));
            let blocked_since = Some(known);
            conditions.insert(
                0,
                Condition {
                    blocked_since,
                    ..condition
                },
            );
        }
        conditions
    }

    fn selector_acted(
        &self,
        id: EntryId,
        entry: &Entry,
        actor: PartId,
        selector: &Selector,
    ) -> Vec<Condition> {
        let own = (Cause::Selector, actor);
        let mut conditions = Vec::new();
        if let Some(came_by) = self.history.came_by(id) {
            let came = self.history.entry(came_by);
            let inside = self
                .since(Some(came_by), own)
                .up_to(self.history.ready_at(came_by));
            conditions.push(Condition {
                then: (Cause::Turn, actor),
                ..inside
            });
            // At most one item leaves in a tick.
            let gone = self.history.back_from(actor, id);
            let gone = gone.filter(|(_, entry)| leaves(&entry.event, actor));
            if let Some((before, gone)) = gone.take(1).next()
                && gone.tick() >= came.tick()
            {
                let queue = self.since(Some(before), (Cause::Queue, actor));
                conditions.push(queue.up_to(gone.tick() + 1));
            }
        } else {
            conditions.push(self.since(None, own));
        }
        conditions.extend(self.unlocked(selector.lock, actor, id));
        sort(&mut conditions);
        let target = match entry.event {
            Event::ItemMoved { to, .. } => Some(to),
            _ => None,
        };
        self.blocked(conditions, id, entry.tick(), None, target)
    }

    /// A dropper fires a while after its trigger rose; it, or what is inside, may have waited for
    /// that.
    pub(super) fn dropper_fired(
        &self,
        id: EntryId,
        entry: &Entry,
        actor: PartId,
        outlet: Outlet,
    ) -> Vec<Condition> {
        let now = entry.tick();
        let firing = (Cause::Firing, actor);
        let delay_ticks = u64::from(self.network.rules().dropper_delay_ticks);
        let edge = self.trigger_edge(actor, id, Tick(now.0.saturating_sub(delay_ticks)));
        let pulse = self.since(edge, firing).up_to(now);
        let item = self.since(self.history.came_by(id), firing);
        let mut rest = vec![item];
        let gone = self.history.back_from(actor, id);
        let mut gone = gone.filter(|(_, entry)| leaves(&entry.event, actor));
        if let Some((before, _)) = gone.next() {
            rest.push(self.since(Some(before), (Cause::Queue, actor)));
        }
        rest.extend(self.refused(actor, id, &rest, outlet));
        sort(&mut rest);
        let comes_last = rest[0].by.is_some() && rest[0].at > pulse.at;
        let mut conditions = if comes_last { Vec::new() } else { vec![pulse] };
        conditions.extend(rest);
        conditions
    }

    /// If the dropper fired in vain before, what made room since.
    fn refused(
        &self,
        actor: PartId,
        id: EntryId,
        waits: &[Condition],
        outlet: Outlet,
    ) -> Option<Condition> {
        let target = match outlet {
            Outlet::Into(target) | Outlet::Bench(target) => target,
            Outlet::Loose(_) => return None,
        };
        let could_since = waits.iter().map(|wait| wait.true_from).max()?;
        let mut changes = self.history.back_from(target, id);
        let (found, _) = changes
            .find(|(_, entry)| leaves(&entry.event, target) || has_come(&entry.event, target))?;
        // It fired in vain if a pulse came between the two.
        let delay_ticks = u64::from(self.network.rules().dropper_delay_ticks);
        let made_room = self.tick(found);
        let pulse =
            self.trigger_edge(actor, id, Tick(made_room.0.saturating_sub(delay_ticks + 1)))?;
        if self.tick(pulse) + delay_ticks < could_since || made_room <= could_since {
            return None;
        }
        Some(Condition {
            blocked_since: Some(could_since),
            ..self.since(Some(found), (Cause::FullTarget, target))
        })
    }

    /// The last rise of a dropper's trigger up to a tick.
    pub(super) fn trigger_edge(
        &self,
        dropper: PartId,
        before: EntryId,
        up_to: Tick,
    ) -> Option<EntryId> {
        let definition = self.network.part(dropper).dropper()?;
        self.signals.last_rise(definition.trigger?, before, up_to)
    }

    fn box_lifted(
        &self,
        id: EntryId,
        entry: &Entry,
        actor: PartId,
        bench: &Bench,
    ) -> Vec<Condition> {
        let own = (Cause::Bench, actor);
        let held_at = Tick(entry.tick().0.saturating_sub(u64::from(bench.after_ticks)));
        let mut conditions = vec![self.since(self.history.came_by(id), own)];
        let changes = self.history.back_from(actor, id);
        let mut changes = changes.filter(|(_, entry)| entry.tick() <= held_at);
        match bench.lift {
            Lift::Empty | Lift::Full => {
                conditions.extend(
                    changes
                        .next()
                        .map(|(found, _)| self.since(Some(found), own)),
                );
            }
            Lift::Signal(signal) => {
                let rise = self.signals.last_rise(signal, id, held_at);
                conditions.extend(rise.map(|rise| self.since(Some(rise), own)));
            }
        }
        sort(&mut conditions);
        conditions
    }

    fn shuttle_moved(
        &self,
        id: EntryId,
        entry: &Entry,
        actor: PartId,
        shuttle: &Shuttle,
    ) -> Vec<Condition> {
        let now = entry.tick();
        let before = self.history.back_from(actor, id).find(|(_, entry)| {
            matches!(entry.event, Event::Docked { .. } | Event::Departed { .. })
        });
        let before = before.map(|(before, _)| before);
        let own = |cause| (cause, actor);
        match entry.event {
            Event::Departed { place, .. } => {
                let stop = shuttle.stops.iter().find(|stop| stop.dock == place);
                let dwell_ticks = stop.map_or(0, |stop| u64::from(stop.dwell_ticks));
                let docked = self.since(before, own(Cause::Dwell));
                let mut conditions = vec![docked.up_to(docked.at + dwell_ticks)];
                if let Some(release) = stop.and_then(|stop| stop.release) {
                    let rise = self.signals.last_rise(release, id, now);
                    conditions.extend(rise.map(|rise| self.since(Some(rise), own(Cause::Lock))));
                }
                sort(&mut conditions);
                conditions
            }
            Event::Docked { place, .. } => {
                let travel = self.travel_ticks(shuttle, place, before);
                let departed = self.since(before, own(Cause::ShuttleWay));
                let conditions = vec![departed.up_to(departed.at + travel)];
                self.blocked(conditions, id, now, None, Some(place))
            }
            _ => Vec::new(),
        }
    }

    /// The travel time to a place, from the place that it departed from.
    fn travel_ticks(&self, shuttle: &Shuttle, place: PartId, departed: Option<EntryId>) -> u64 {
        let from = departed.and_then(|id| match self.history.entry(id).event {
            Event::Departed { place, .. } => Some(place),
            _ => None,
        });
        let count = shuttle.stops.len();
        let leg = (0..count).find(|index| {
            let before = &shuttle.stops[(index + count - 1) % count];
            shuttle.stops[*index].dock == place && Some(before.dock) == from
        });
        leg.map_or(0, |index| {
            u64::from(shuttle.stops[index].travel_ticks.max(1))
        })
    }

    /// For a hopper or selector that acted: the lock that went on soon after, if the part still had
    /// something to do. Until then things were let in.
    pub(super) fn lock_that_ended_it(&self, id: EntryId) -> Option<EntryId> {
        let actor = self.history.entry(id).actor?;
        let hopper = self.network.part(actor).hopper();
        let pushes =
            hopper.is_some_and(|hopper| hopper.lock.is_some() && hopper.intake != Intake::Cap);
        if !pushes {
            return None;
        }
        for (next, entry) in self.history.on_from(actor, id) {
            match entry.event {
                Event::Locked { part } if part == actor => return entry.had_work.then_some(next),
                _ if entry.actor == Some(actor) && entry.tick() > self.tick(id) => return None,
                _ => {}
            }
        }
        None
    }
}

/// Those that came true last first.
fn sort(conditions: &mut [Condition]) {
    conditions.sort_by_key(|condition| std::cmp::Reverse(condition.true_from));
}

/// Whether an event brings a box or shuttle to a place.
fn has_come(event: &Event, part: PartId) -> bool {
    match *event {
        Event::BoxSet { bench, .. } => bench == part,
        Event::Docked { place, .. } => place == part,
        _ => false,
    }
}

/// Whether what left with one entry came loose with the next.
fn leads_loose(before: &Entry, loose: &Entry, network: &Network) -> bool {
    if before.moment != loose.moment {
        return false;
    }
    match before.event {
        Event::Thrown { .. } | Event::BoxLifted { .. } => true,
        Event::ItemMoved { to, .. } => network.part(to).is_loose_place(),
        _ => false,
    }
}
