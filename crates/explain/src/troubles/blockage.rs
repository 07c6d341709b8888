//! What keeps an item where it is, followed from part to part.

use std::collections::BTreeSet;

use hallwright_core::engine::{ShuttlePosition, View};
use hallwright_core::id::PartId;
use hallwright_core::part::{Lift, Outlet, Part};
use hallwright_core::slot::Item;
use hallwright_report::units::time;

use super::signals::{Signals, Want};
use super::{Scene, TroubleCause};
use crate::standing::{has_room, sorts_in};

/// How many parts are gone along at most.
const MOST_STEPS: usize = 8;

/// Follows what keeps items where they are at some tick.
pub(super) struct Blockage<'s, 'v> {
    pub(super) scene: &'s Scene<'s>,
    pub(super) view: &'s View<'v>,
}

/// What keeps an item from taking one hop.
enum Obstacle {
    /// Nothing.
    None,
    /// The part is locked.
    Locked(PartId),
    /// No room.
    Full(PartId),
    /// A dropper that nothing fires.
    Unfired(PartId),
    /// A bench whose box is not lifted.
    Unlifted(PartId),
    /// A shuttle that stays where it is.
    Docked(PartId),
}

impl Blockage<'_, '_> {
    /// Says why an item does not go on from a part, until nothing more is to be said.
    pub(super) fn follow(&self, part: PartId, item: Item, cause: &mut TroubleCause) {
        let mut seen = BTreeSet::new();
        let mut here = Some((part, item));
        while let Some((part, item)) = here {
            if seen.len() >= MOST_STEPS {
                return;
            }
            if !seen.insert(part) {
                let ring = self.scene.name(part);
                cause.say(format!(
                    "so it comes round to {ring} again: they wait for each other"
                ));
                cause.advise(format!(
                    "give one of them a way out, or let less into the ring of {ring}"
                ));
                return;
            }
            here = self.step(part, item, cause, seen.len() == 1);
        }
    }

    /// Where goods of this sort go on from a part: where it leads them home, if anything does.
    fn onward(&self, part: PartId, item: Item) -> Vec<(PartId, bool)> {
        let scene = self.scene;
        let mut hops = scene.hops(part, item.kind);
        let goals = scene.goals(item.kind).into_iter();
        let goals: Vec<PartId> = goals.flat_map(|store| &store.parts).copied().collect();
        let leads = |to: PartId| scene.lets_in(to, item.kind) && scene.leads(to, item.kind, &goals);
        // A store's own parts lead on within it.
        let in_store = scene
            .store_of(part)
            .filter(|store| store.accepts(item.kind));
        let is_onward = |(to, _): &(PartId, bool)| {
            in_store.is_some_and(|store| store.parts.contains(to)) || leads(*to)
        };
        if hops.iter().any(is_onward) {
            hops.retain(is_onward);
        }
        hops
    }

    fn step(
        &self,
        part: PartId,
        item: Item,
        cause: &mut TroubleCause,
        is_first: bool,
    ) -> Option<(PartId, Item)> {
        let hops = self.onward(part, item);
        if hops.is_empty() {
            self.dead_end(part, item, cause, is_first);
            return None;
        }
        let mut next = None;
        for (to, is_taken) in hops {
            match self.obstacle(part, to, is_taken, item) {
                Obstacle::None => {}
                Obstacle::Full(full) => {
                    let found = self.full(part, full, item, cause);
                    next = next.or(found);
                }
                obstacle => self.report(&obstacle, part, item, cause),
            }
        }
        next
    }

    /// Says what keeps an item from taking one hop.
    pub(super) fn of_hop(&self, from: PartId, to: PartId, item: Item, cause: &mut TroubleCause) {
        let hops = self.scene.hops(from, item.kind);
        let is_taken = hops.iter().any(|(end, is_taken)| *end == to && *is_taken);
        match self.obstacle(from, to, is_taken, item) {
            Obstacle::Full(full) => {
                if let Some((part, item)) = self.full(from, full, item, cause) {
                    self.follow(part, item, cause);
                }
            }
            obstacle => self.report(&obstacle, from, item, cause),
        }
    }

    fn dead_end(&self, part: PartId, item: Item, cause: &mut TroubleCause, is_first: bool) {
        let scene = self.scene;
        let (name, kind) = (scene.name(part), scene.kind(item.kind));
        let all = scene.ways.hops(part, petgraph::Direction::Outgoing);
        let is_bench = |part: &PartId| scene.network.part(*part).bench().is_some();
        let bench = all.iter().map(|(to, _)| *to).find(is_bench);
        if let Some(bench) = bench.filter(|_| scene.network.kind(item.kind).is_box) {
            let bench = scene.name(bench);
            cause.say(format!(
                "{name} leads to {bench}, which packs goods: a {kind} never goes in, and stands in the way of what comes behind it"
            ));
            cause.advise(format!("sort {kind} out before {name}"));
            return;
        }
        let any = !all.is_empty();
        let words = match scene.network.part(part) {
            Part::Mouth => format!("no hopper collects what lies at {name}"),
            Part::Hopper(hopper) if hopper.target.is_none() => {
                format!("{name} has no target, and no hopper draws from it")
            }
            _ if any => format!("no way for {kind} leads on from {name}"),
            _ => format!("no hopper draws from {name}"),
        };
        cause.say(words);
        if is_first || scene.store_of(part).is_none() {
            cause.advise(format!("put a hopper below {name} that leads {kind} on"));
        }
    }

    fn obstacle(&self, part: PartId, to: PartId, is_taken: bool, item: Item) -> Obstacle {
        let view = self.view;
        let network = self.scene.network;
        if is_taken {
            return match () {
                () if view.is_locked(to) => Obstacle::Locked(to),
                () if !has_room(view, to, item) => Obstacle::Full(to),
                () => Obstacle::None,
            };
        }
        let refuses = !has_room(view, to, item) && !is_stop(network.part(to));
        match network.part(part) {
            Part::Hopper(_) | Part::Selector(_) if view.is_locked(part) => Obstacle::Locked(part),
            Part::Dropper(dropper) => match dropper.outlet {
                Outlet::Into(_) if refuses => Obstacle::Full(to),
                Outlet::Bench(bench) if view.box_on_bench(bench).is_some() => Obstacle::Full(bench),
                _ if view.is_pending(part) => Obstacle::None,
                _ => Obstacle::Unfired(part),
            },
            Part::Bench(_) => Obstacle::Unlifted(part),
            Part::Dock => match view.shuttle_at(part) {
                Some(shuttle) => Obstacle::Docked(shuttle),
                None => Obstacle::None,
            },
            Part::Shuttle(_) => Obstacle::Docked(part),
            _ if refuses => Obstacle::Full(to),
            _ => Obstacle::None,
        }
    }

    fn report(&self, obstacle: &Obstacle, from: PartId, item: Item, cause: &mut TroubleCause) {
        let scene = self.scene;
        let mut signals = Signals::new(scene, self.view, item.kind);
        match *obstacle {
            Obstacle::None | Obstacle::Full(_) => {}
            Obstacle::Locked(locked) => {
                let Some(lock) = scene.network.part(locked).lock() else {
                    return;
                };
                let name = scene.name(locked);
                let who = match locked == from {
                    true => name.to_owned(),
                    false => format!("{name}, which draws from {},", scene.name(from)),
                };
                cause.say(format!("{who} is locked by {}", scene.name(lock)));
                signals.of_lock(locked);
                signals.follow(lock, Want::AtMost(0), cause);
                self.kept_behind_filter(locked, lock, cause);
            }
            Obstacle::Unfired(dropper) => {
                let name = scene.name(dropper);
                let part = scene.network.part(dropper).dropper();
                match part.and_then(|dropper| dropper.trigger) {
                    None => {
                        cause.say(format!("nothing fires {name}: it has no trigger"));
                    }
                    Some(trigger) if self.view.level(trigger) > 0 => {
                        let trigger = scene.name(trigger);
                        cause.say(format!(
                            "{name} fires only when {trigger} goes on anew, and it stays on"
                        ));
                    }
                    Some(trigger) => {
                        cause.say(format!(
                            "{name} is fired by {}, which stays off",
                            scene.name(trigger)
                        ));
                        signals.follow(trigger, Want::AtLeast(1), cause);
                    }
                }
                cause.advise(format!(
                    "fire {name} by a clock as long as it holds something"
                ));
            }
            Obstacle::Unlifted(bench) => self.unlifted(bench, &mut signals, cause),
            Obstacle::Docked(shuttle) => self.docked(shuttle, &mut signals, cause),
        }
    }

    /// What a hopper below a filter holds is kept when the filter shuts behind it.
    fn kept_behind_filter(&self, locked: PartId, lock: PartId, cause: &mut TroubleCause) {
        let scene = self.scene;
        let above = scene.above(locked);
        let Some(sieve) = above.and_then(|above| scene.sieve(above)) else {
            return;
        };
        let held: u64 = scene
            .held(self.view, locked)
            .iter()
            .map(|(_, items)| items)
            .sum();
        // Its filter is no fuller than at rest: it locks as soon as it has handed on what came.
        if held > 0 && self.view.level(lock) > 0 && self.is_at_rest(sieve.hopper) {
            let (name, filter) = (scene.name(locked), scene.name(sieve.hopper));
            cause.say(format!(
                "{filter} locks {name} as soon as it is back at its filling: what {name} drew last stays in it until more comes"
            ));
            cause.advise(format!(
                "a filter of this sort always keeps one: allow it with `StuckAtMost`, for held open longer {filter} would lose its filling"
            ));
        }
    }

    fn is_at_rest(&self, sieve: PartId) -> bool {
        let scene = self.scene;
        let Some(own) = scene.sieve(sieve) else {
            return false;
        };
        let held = scene.held(self.view, sieve);
        let mut held = held.iter().filter(|(kind, _)| *kind == own.own);
        held.all(|(_, items)| *items <= u64::from(own.own_items))
    }

    fn unlifted(&self, bench: PartId, signals: &mut Signals<'_, '_>, cause: &mut TroubleCause) {
        let scene = self.scene;
        let name = scene.name(bench);
        let Some(of) = scene.network.part(bench).bench() else {
            return;
        };
        let held = scene.held_words(self.view, bench);
        match of.lift {
            Lift::Full => {
                cause.say(format!(
                    "{name} lifts its box only when it is full: it holds {held}"
                ));
                cause.advise(format!(
                    "bring what is missing to fill the box on {name}, or lift it by a signal"
                ));
            }
            Lift::Empty if sorts_in(self.view, bench).is_empty() => {}
            Lift::Empty => {
                cause.say(format!(
                    "{name} lifts its box only when it is empty: it holds {held}"
                ));
                if let Some(item) = sorts_in(self.view, bench).first() {
                    for (to, is_taken) in scene.hops(bench, item.kind) {
                        if is_taken {
                            let obstacle = self.obstacle(bench, to, true, *item);
                            if let Obstacle::Full(full) = obstacle {
                                self.full(bench, full, *item, cause);
                            } else {
                                self.report(&obstacle, bench, *item, cause);
                            }
                        }
                    }
                }
            }
            Lift::Signal(signal) => {
                cause.say(format!(
                    "{name} lifts its box only while {} is on",
                    scene.name(signal)
                ));
                signals.follow(signal, Want::AtLeast(1), cause);
            }
        }
    }

    fn docked(&self, shuttle: PartId, signals: &mut Signals<'_, '_>, cause: &mut TroubleCause) {
        let scene = self.scene;
        let (Some(of), ShuttlePosition::Docked { stop, .. }) = (
            scene.network.part(shuttle).shuttle(),
            self.view.shuttle_position(shuttle),
        ) else {
            return;
        };
        let Some(stop) = of.stops.get(stop as usize) else {
            return;
        };
        if let Some(release) = stop
            .release
            .filter(|release| self.view.level(*release) == 0)
        {
            let (name, place) = (scene.name(shuttle), scene.name(stop.dock));
            let release_name = scene.name(release);
            cause.say(format!(
                "{name} stays at {place} until {release_name} releases it"
            ));
            signals.follow(release, Want::AtLeast(1), cause);
        }
    }

    /// Says that a part is full, and of what; what to follow next.
    fn full(
        &self,
        from: PartId,
        full: PartId,
        item: Item,
        cause: &mut TroubleCause,
    ) -> Option<(PartId, Item)> {
        let scene = self.scene;
        let (name, full_name) = (scene.name(from), scene.name(full));
        if let Some(awake_at) = self.view.awake_at(full) {
            let awake_at = time(awake_at.0, scene.findings.ticks_per_second);
            cause.say(format!(
                "{name} waits for {full_name}, which is asleep until {awake_at}"
            ));
            return None;
        }
        let kind = scene.kind(item.kind);
        let held = match scene.network.part(full) {
            Part::Bench(_) => "a box".to_owned(),
            _ => scene.held_words(self.view, full),
        };
        if let Some(sieve) = scene.sieve(full).filter(|sieve| !sieve.lets_in(item.kind)) {
            cause.say(format!(
                "{full_name} is a filter for {} and lets no {kind} in",
                scene.kind(sieve.own)
            ));
            return None;
        }
        let goes_on = self.blocker(full, item);
        let onward = goes_on.map_or_else(Vec::new, |item| scene.hops(full, item.kind));
        match scene.store_of(full) {
            Some(store) if onward.is_empty() => {
                let is_full = scene.since(self.view, &[full]).map_or_else(
                    || "is full".to_owned(),
                    |at| {
                        let at = time(at.0, scene.findings.ticks_per_second);
                        format!("has been full since {at}")
                    },
                );
                cause.say(format!(
                    "{name} waits for {full_name} of \"{}\", which {is_full}: it holds {held}",
                    store.name
                ));
                if cause.could.is_empty() {
                    cause.advise(format!(
                        "make \"{}\" larger, or give it an overflow",
                        store.name
                    ));
                }
                None
            }
            _ => {
                cause.say(format!(
                    "{name} waits for {full_name}, which has no room for {kind}: it holds {held}"
                ));
                goes_on.map(|item| (full, item))
            }
        }
    }

    /// What a full part would have to hand on first. What a filter is filled with stays there.
    fn blocker(&self, full: PartId, item: Item) -> Option<Item> {
        let items = sorts_in(self.view, full);
        let sieve = self.scene.sieve(full);
        let stays = |item: &Item| sieve.is_some_and(|sieve| sieve.fillers.contains(&item.kind));
        let others = items.iter().filter(|held| !stays(held));
        let strange = others.clone().find(|held| held.kind != item.kind);
        let own = others.clone().find(|held| held.kind == item.kind);
        own.or(strange).copied()
    }
}

/// Whether it takes what comes only while something stands there.
fn is_stop(part: &Part) -> bool {
    matches!(part, Part::Shuttle(_))
}
