//! Makes a network on which two runs differ as small as it can, and prints it.

use hallwright_core::id::PartId;
use hallwright_core::order::{Order, Orders};
use hallwright_core::part::Part;
use hallwright_core::rules::Rules;
use hallwright_core::timeline::{Action, Terms};

use crate::blueprint::Blueprint;
use crate::lockstep::Divergence;
use crate::rewire::{loosened, rewired};

/// How many smaller networks are tried at most.
const TRIES: u32 = 20_000;

/// The smallest network found that still diverges, with its divergence. `diverges` runs a network
/// and says how it diverges, if it does.
pub fn reduce(
    blueprint: &Blueprint,
    divergence: Divergence,
    diverges: impl Fn(&Blueprint) -> Option<Divergence>,
) -> (Blueprint, Divergence) {
    let mut reduction = Reduction {
        best: blueprint.clone(),
        divergence,
        diverges,
        tries_left: TRIES,
    };
    loop {
        let tries_before = reduction.tries_left;
        let mut smaller = reduction.shorten();
        smaller |= reduction.fewer(|blueprint| blueprint.timeline.len(), without_entry);
        smaller |= reduction.fewer(|blueprint| blueprint.parts.len(), without_part);
        smaller |= reduction.fewer(|blueprint| blueprint.fillings.len(), without_filling);
        smaller |= reduction.try_each(simpler_parts);
        smaller |= reduction.try_each(simpler_settings);
        smaller |= reduction.try_each(simpler_fillings);
        smaller |= reduction.try_each(simpler_spells);
        let exhausted = reduction.tries_left == 0 || reduction.tries_left == tries_before;
        if !smaller || exhausted {
            return (reduction.best, reduction.divergence);
        }
    }
}

struct Reduction<F> {
    best: Blueprint,
    divergence: Divergence,
    diverges: F,
    tries_left: u32,
}

impl<F: Fn(&Blueprint) -> Option<Divergence>> Reduction<F> {
    /// Takes a candidate over if it still diverges.
    fn accept(&mut self, candidate: Blueprint) -> bool {
        if self.tries_left == 0 || candidate == self.best || candidate.build().is_err() {
            return false;
        }
        self.tries_left -= 1;
        match (self.diverges)(&candidate) {
            Some(divergence) => {
                self.best = candidate;
                self.divergence = divergence;
                true
            }
            None => false,
        }
    }

    /// Ends the run with the tick in which it diverges.
    fn shorten(&mut self) -> bool {
        let mut candidate = self.best.clone();
        candidate.length_ticks = candidate.length_ticks.min(self.divergence.tick.0 + 1);
        self.accept(candidate)
    }

    /// Leaves out things of one sort, many at once at first, then one at a time.
    fn fewer(
        &mut self,
        count: fn(&Blueprint) -> usize,
        without: fn(&Blueprint, &[usize]) -> Vec<Blueprint>,
    ) -> bool {
        let mut smaller = false;
        let mut width = count(&self.best).div_ceil(2);
        while width > 0 {
            let mut end = count(&self.best);
            while end > 0 {
                let start = end.saturating_sub(width);
                let gone: Vec<usize> = (start..end).collect();
                for candidate in without(&self.best, &gone) {
                    if self.accept(candidate) {
                        smaller = true;
                        break;
                    }
                }
                end = start.min(count(&self.best));
            }
            width /= 2;
        }
        smaller
    }

    /// Tries every simplification there is, one after the other.
    fn try_each(&mut self, simpler: fn(&Blueprint) -> Vec<Blueprint>) -> bool {
        let mut smaller = false;
        // Each success changes what is left to simplify, so the list is drawn up anew.
        while let Some(better) = simpler(&self.best)
            .into_iter()
            .find(|candidate| self.accept(candidate.clone()))
        {
            self.best = better;
            smaller = true;
        }
        smaller
    }
}

fn without_entry(blueprint: &Blueprint, gone: &[usize]) -> Vec<Blueprint> {
    let mut fewer = blueprint.clone();
    let mut index = 0..;
    fewer
        .timeline
        .retain(|_| index.next().is_some_and(|index| !gone.contains(&index)));
    vec![fewer]
}

fn without_filling(blueprint: &Blueprint, gone: &[usize]) -> Vec<Blueprint> {
    let mut fewer = blueprint.clone();
    let mut index = 0..;
    fewer
        .fillings
        .retain(|_| index.next().is_some_and(|index| !gone.contains(&index)));
    vec![fewer]
}

/// Two ways to be without some parts: what cannot be without them goes too, or is connected to
/// another part of the same sort.
fn without_part(blueprint: &Blueprint, gone: &[usize]) -> Vec<Blueprint> {
    let kept: Vec<bool> = (0..blueprint.parts.len())
        .map(|index| !gone.contains(&index))
        .collect();
    let sort = |id: PartId| std::mem::discriminant(&blueprint.parts[id.index()].part);
    let no_stand_in = |_: PartId, _: &[bool]| None;
    let any_stand_in = |id: PartId, kept: &[bool]| {
        let mut others = blueprint.part_ids();
        others.find(|other| kept[other.index()] && sort(*other) == sort(id))
    };
    vec![
        only_kept(blueprint, kept.clone(), &no_stand_in),
        only_kept(blueprint, kept, &any_stand_in),
    ]
}

/// The network of the parts that are kept, fewer if some of them cannot be without the others.
/// `stand_in` names a part to be connected to instead of one that is gone.
fn only_kept(
    blueprint: &Blueprint,
    mut kept: Vec<bool>,
    stand_in: &dyn Fn(PartId, &[bool]) -> Option<PartId>,
) -> Blueprint {
    // No part is connected to itself that was not so before.
    let rewired_part =
        |itself: PartId, kept: &[bool], new_id: &dyn Fn(PartId) -> Option<PartId>| {
            rewired(&blueprint.parts[itself.index()].part, &|id| {
                let connected = if kept[id.index()] {
                    Some(id)
                } else {
                    stand_in(id, kept).filter(|other| *other != itself)
                };
                connected.and_then(new_id)
            })
        };
    while let Some(lost) = blueprint
        .part_ids()
        .find(|id| kept[id.index()] && rewired_part(*id, &kept, &Some).is_none())
    {
        kept[lost.index()] = false;
    }
    let mut next_index = 0..;
    let new_ids: Vec<Option<PartId>> = kept
        .iter()
        .map(|kept| kept.then(|| PartId::from_index(next_index.next().unwrap_or(0))))
        .collect();
    let new_id = |id: PartId| new_ids[id.index()];
    let mut fewer = blueprint.clone();
    fewer.parts = blueprint
        .part_ids()
        .filter(|id| kept[id.index()])
        .filter_map(|id| {
            let mut named = blueprint.parts[id.index()].clone();
            named.part = rewired_part(id, &kept, &new_id)?;
            Some(named)
        })
        .collect();
    fewer.fillings = blueprint
        .fillings
        .iter()
        .filter_map(|(part, filling)| Some((new_id(*part)?, filling.clone())))
        .collect();
    fewer.timeline = blueprint
        .timeline
        .iter()
        .filter_map(|(tick, action)| Some((*tick, moved_action(action, &new_id)?)))
        .collect();
    fewer.orders = fewer_listed(&blueprint.orders, &new_id);
    fewer
}

fn moved_action(action: &Action, new_id: &impl Fn(PartId) -> Option<PartId>) -> Option<Action> {
    let mut action = action.clone();
    match &mut action {
        Action::MoveLever { lever: part, .. }
        | Action::Press { button: part }
        | Action::Withdraw { place: part, .. }
        | Action::Fill { place: part, .. }
        | Action::TakeBox { place: part } => *part = new_id(*part)?,
        Action::Deliver { place, terms, .. } => {
            *place = new_id(*place)?;
            terms.while_on = terms.while_on.and_then(new_id);
        }
        Action::Sleep { parts, .. } | Action::Stick { signals: parts, .. } => {
            *parts = parts.iter().filter_map(|part| new_id(*part)).collect();
            if parts.is_empty() {
                return None;
            }
        }
        Action::Reopen { orders } => *orders = fewer_listed(orders, new_id),
    }
    Some(action)
}

/// The orders without the parts that are gone.
fn fewer_listed(orders: &Orders, new_id: &impl Fn(PartId) -> Option<PartId>) -> Orders {
    let fewer = |order: &Order| match order {
        Order::Listed(listed) => {
            Order::Listed(listed.iter().filter_map(|id| new_id(*id)).collect())
        }
        Order::Declared | Order::Reversed | Order::Shuffled(_) => order.clone(),
    };
    Orders {
        update: fewer(&orders.update),
        signal: fewer(&orders.signal),
    }
}

fn simpler_parts(blueprint: &Blueprint) -> Vec<Blueprint> {
    let mut simpler = Vec::new();
    for (index, named) in blueprint.parts.iter().enumerate() {
        let mut parts = loosened(&named.part);
        if let Part::Container(container) = &named.part {
            let mut smaller = container.clone();
            smaller.slots = (smaller.slots / 2).max(1);
            parts.push(Part::Container(smaller));
        }
        for part in parts {
            let mut other = blueprint.clone();
            other.parts[index].part = part;
            simpler.push(other);
        }
    }
    simpler
}

fn simpler_settings(blueprint: &Blueprint) -> Vec<Blueprint> {
    let defaults = Rules::default();
    let mut simpler = Vec::new();
    let mut with_rules = |change: &dyn Fn(&mut Rules)| {
        let mut other = blueprint.clone();
        change(&mut other.rules);
        simpler.push(other);
    };
    with_rules(&|rules| *rules = defaults);
    with_rules(&|rules| rules.cooldown_ticks = defaults.cooldown_ticks);
    with_rules(&|rules| rules.arrival_ticks = defaults.arrival_ticks);
    with_rules(&|rules| rules.dropper_delay_ticks = defaults.dropper_delay_ticks);
    with_rules(&|rules| rules.signal_delay_ticks = defaults.signal_delay_ticks);
    with_rules(&|rules| rules.observer_pulse_ticks = defaults.observer_pulse_ticks);
    with_rules(&|rules| rules.despawn_ticks = defaults.despawn_ticks);
    with_rules(&|rules| rules.work_idle = defaults.work_idle);
    with_rules(&|rules| rules.work_try = defaults.work_try);
    with_rules(&|rules| rules.work_mouth = defaults.work_mouth);
    with_rules(&|rules| rules.work_cap = defaults.work_cap);
    simpler.extend(simpler_orders(blueprint));
    simpler.retain(|other| other != blueprint);
    simpler
}

/// With one order the default, or listed, so that it keeps its sequence when parts go.
fn simpler_orders(blueprint: &Blueprint) -> Vec<Blueprint> {
    let mut simpler = Vec::new();
    let mut with_orders = |change: &dyn Fn(&mut Orders)| {
        let mut other = blueprint.clone();
        change(&mut other.orders);
        simpler.push(other);
    };
    let Orders { update, signal } = &blueprint.orders;
    if *update != Order::Declared {
        with_orders(&|orders| orders.update = Order::Declared);
    }
    if *signal != Order::Declared {
        with_orders(&|orders| orders.signal = Order::Declared);
    }
    if let Ok((network, setup)) = blueprint.build() {
        let resolved = &setup.orders;
        if *update != Order::Declared {
            let listed = resolved.update_order(&network);
            with_orders(&|orders| orders.update = Order::Listed(listed.clone()));
        }
        if *signal != Order::Declared {
            let listed = resolved.signal_order(&network);
            with_orders(&|orders| orders.signal = Order::Listed(listed.clone()));
        }
    }
    simpler
}

/// With sleeps of fewer ticks or parts, likewise signals that are stuck, and reopenings in the orders that
/// hold already.
fn simpler_spells(blueprint: &Blueprint) -> Vec<Blueprint> {
    let mut simpler = Vec::new();
    for (index, (_, action)) in blueprint.timeline.iter().enumerate() {
        let mut actions = Vec::new();
        match action {
            Action::Sleep { parts, sleep_ticks } => {
                let with = |parts: &[PartId], sleep_ticks: u32| Action::Sleep {
                    parts: parts.to_vec(),
                    sleep_ticks,
                };
                actions = simpler_spell(parts, *sleep_ticks, with);
            }
            Action::Stick {
                signals,
                on,
                stuck_ticks,
            } => {
                let with = |signals: &[PartId], stuck_ticks: u32| Action::Stick {
                    signals: signals.to_vec(),
                    on: *on,
                    stuck_ticks,
                };
                actions = simpler_spell(signals, *stuck_ticks, with);
            }
            Action::Reopen { orders } if *orders != blueprint.orders => {
                let orders = blueprint.orders.clone();
                actions.push(Action::Reopen { orders });
            }
            Action::Reopen { .. } | Action::MoveLever { .. } | Action::Press { .. } => {}
            Action::Deliver { .. } | Action::Withdraw { .. } => {}
            Action::Fill { .. } | Action::TakeBox { .. } => {}
        }
        simpler.extend(actions.into_iter().map(|action| {
            let mut other = blueprint.clone();
            other.timeline[index].1 = action;
            other
        }));
    }
    simpler
}

/// A spell of fewer ticks, or of half of its parts.
fn simpler_spell(
    parts: &[PartId],
    ticks: u32,
    with: impl Fn(&[PartId], u32) -> Action,
) -> Vec<Action> {
    let mut simpler = Vec::new();
    if ticks > 1 {
        simpler.push(with(parts, 1));
        simpler.push(with(parts, ticks / 2));
        simpler.push(with(parts, ticks - 1));
    }
    let (first, second) = parts.split_at(parts.len() / 2);
    let halves = [first, second].into_iter().filter(|_| parts.len() > 1);
    simpler.extend(halves.map(|half| with(half, ticks)));
    simpler
}

fn simpler_fillings(blueprint: &Blueprint) -> Vec<Blueprint> {
    let mut simpler = Vec::new();
    for (index, (_, filling)) in blueprint.fillings.iter().enumerate() {
        if filling.count > 1 {
            let mut other = blueprint.clone();
            other.fillings[index].1.count = 1;
            simpler.push(other);
        }
        if !filling.contents.is_empty() {
            let mut other = blueprint.clone();
            other.fillings[index].1.contents.clear();
            simpler.push(other);
        }
    }
    for (index, (_, action)) in blueprint.timeline.iter().enumerate() {
        if let Action::Deliver { .. } = action {
            let mut with = |change: &dyn Fn(&mut u32, &mut Vec<_>, &mut Terms)| {
                let mut other = blueprint.clone();
                if let Action::Deliver {
                    count,
                    contents,
                    terms,
                    ..
                } = &mut other.timeline[index].1
                {
                    change(count, contents, terms);
                    simpler.push(other);
                }
            };
            with(&|count, _, _| *count = 1);
            with(&|_, contents, _| contents.clear());
            with(&|_, _, terms| terms.waits = false);
            with(&|_, _, terms| terms.while_on = None);
        }
    }
    simpler.retain(|other| other != blueprint);
    simpler
}
