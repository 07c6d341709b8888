//! Where misplaced items, and those that were passed by, left the way to their own store.

use std::collections::BTreeMap;

use hallwright_core::event::Event;
use hallwright_core::id::{KindId, PartId};
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::StorePurpose;
use hallwright_report::findings::OverflowReason;
use hallwright_report::units::{grouped, time};

use super::blockage::Blockage;
use super::by_hand::put_in;
use super::signals::{Signals, Want};
use super::{Scene, TroubleCause};
use crate::history::EntryId;
use crate::life::life;
use crate::standing::{has_room, state_words};

/// Where something left the way to its own store.
struct Turn {
    item: hallwright_core::slot::Item,
    /// The last part on the way.
    from: PartId,
    /// Where it went instead.
    to: PartId,
    at: Tick,
}

/// What is misplaced, by store and kind.
pub(super) fn misplaced(scene: &Scene<'_>) -> Vec<TroubleCause> {
    let mut causes = Vec::new();
    for found in &scene.findings.stores {
        let Some(store) = scene.store_named(&found.name) else {
            continue;
        };
        for row in &found.misplaced {
            let words = format!("{} {} in \"{}\"", grouped(row.items), row.kind, found.name);
            causes.push(explain(scene, &row.kind, &store.parts, words));
        }
    }
    causes
}

/// What reached overflow though its own store had room, by kind.
pub(super) fn passed_by(scene: &Scene<'_>) -> Vec<TroubleCause> {
    let overflow = scene.declared.stores.iter();
    let overflow = overflow.filter(|store| store.purpose == StorePurpose::Overflow);
    let parts: Vec<PartId> = overflow.flat_map(|store| &store.parts).copied().collect();
    let mut by_kind: BTreeMap<&str, u64> = BTreeMap::new();
    for row in &scene.findings.overflow.rows {
        if row.reason == OverflowReason::PassedBy {
            *by_kind.entry(&row.kind).or_insert(0) += row.items;
        }
    }
    let causes = by_kind.into_iter().map(|(kind, items)| {
        let words = format!("{} {kind} passed by", grouped(items));
        explain(scene, kind, &parts, words)
    });
    causes.collect()
}

/// Explains the first of a kind that came into some parts from outside of them.
fn explain(scene: &Scene<'_>, kind: &str, into: &[PartId], words: String) -> TroubleCause {
    let mut cause = TroubleCause::of(words);
    let Some(id) = scene.kind_named(kind) else {
        return cause;
    };
    let Some((entry, from)) = first_in(scene, id, into) else {
        match put_in(scene, id, into) {
            Some(words) => cause.say(words),
            None => cause.say("it was there from the start, or came in a box".to_owned()),
        }
        return cause;
    };
    let tps = scene.findings.ticks_per_second;
    let at = scene.history.tick(entry);
    let from_name = scene.name(from);
    cause.say(format!(
        "the first came from {from_name} at {}",
        time(at.0, tps)
    ));
    let stays = life(scene.history, scene.network, entry);
    if let Some(first) = stays.first()
        && let Some(words) = put_in(scene, id, &[first.part])
    {
        cause.say(words);
    }
    let homes = scene
        .declared
        .stores
        .iter()
        .filter(|store| store.is_home_of(id));
    let homes: Vec<PartId> = homes.flat_map(|store| &store.parts).copied().collect();
    if homes.is_empty() {
        cause.shows(from_name, Some(at));
        cause.say(format!("no store is a home of {kind}"));
        cause.advise(format!("give {kind} a store that takes it"));
        return cause;
    }
    match turn(scene, entry, &homes) {
        Some(turn) => {
            // A filter that lets in what it should not is where it went wrong.
            let at_fault = if scene.sieve(turn.to).is_some() {
                turn.to
            } else {
                turn.from
            };
            cause.shows(scene.name(at_fault), Some(turn.at));
            report(scene, &turn, &homes, &mut cause);
        }
        None => {
            cause.shows(from_name, Some(at));
            cause.say(format!("no way led {kind} from there to its own store"));
        }
    }
    cause
}

fn first_in(scene: &Scene<'_>, kind: KindId, into: &[PartId]) -> Option<(EntryId, PartId)> {
    let mut entries = scene.history.entries();
    entries.find_map(|(id, entry)| match entry.event {
        Event::ItemMoved { from, to, item } if item.kind == kind => {
            (into.contains(&to) && !into.contains(&from)).then_some((id, from))
        }
        _ => None,
    })
}

fn turn(scene: &Scene<'_>, entry: EntryId, homes: &[PartId]) -> Option<Turn> {
    let Event::ItemMoved { item, .. } = scene.history.entry(entry).event else {
        return None;
    };
    let stays = life(scene.history, scene.network, entry);
    let on_way = scene.ways.leading_to(homes);
    let last = stays
        .iter()
        .rposition(|stay| on_way.contains_key(&stay.part))?;
    let (stay, next) = (stays.get(last)?, stays.get(last + 1)?);
    Some(Turn {
        item,
        from: stay.part,
        to: next.part,
        at: next.since?,
    })
}

fn report(scene: &Scene<'_>, turn: &Turn, homes: &[PartId], cause: &mut TroubleCause) {
    let tps = scene.findings.ticks_per_second;
    let (from, to) = (scene.name(turn.from), scene.name(turn.to));
    let kind = scene.kind(turn.item.kind);
    let engine = scene.at(turn.at);
    let view = engine.view();
    cause.say(format!(
        "it left the way to its own store at {from}, at {}, for {to}",
        time(turn.at.0, tps)
    ));
    let leads = scene.ways.leading_to(homes);
    let hops = scene.ways.hops(turn.from, petgraph::Direction::Outgoing);
    let own: Vec<PartId> = hops
        .into_iter()
        .map(|(way, _)| way)
        .filter(|way| *way != turn.to && leads.contains_key(way))
        .collect();
    if let Some(selector) = scene.network.part(turn.from).selector() {
        let went = match (
            selector.match_target == turn.to,
            selector.rest_target == turn.to,
        ) {
            (true, _) => "as a match",
            (_, true) => "as no match",
            _ => "as what its target refused",
        };
        cause.say(format!("{from} sent {kind} there {went}"));
        cause.advise(format!(
            "look at what {from} takes: {kind} belongs the other way"
        ));
    }
    leaked(scene, turn, cause);
    for way in own {
        let way_name = scene.name(way);
        if let Some(sieve) = scene
            .sieve(way)
            .filter(|sieve| !sieve.lets_in(turn.item.kind))
        {
            let own = scene.kind(sieve.own);
            cause.say(format!(
                "{way_name}, its way on, is filled for {own} and lets no {kind} in"
            ));
            cause.advise(format!("fill {way_name} with {kind} instead of {own}"));
            continue;
        }
        cause.say(format!(
            "{way_name}, its way on, {}",
            state_words(&view, way, turn.item)
        ));
        why_not(scene, turn, (way, &view), cause);
    }
}

/// Why the way to its own store did not take it.
fn why_not(
    scene: &Scene<'_>,
    turn: &Turn,
    (way, view): (PartId, &hallwright_core::engine::View<'_>),
    cause: &mut TroubleCause,
) {
    let (from, name) = (scene.name(turn.from), scene.name(way));
    let lock = scene.network.part(way).lock();
    if let Some(lock) = lock.filter(|_| view.is_locked(way)) {
        let mut signals = Signals::new(scene, view, turn.item.kind);
        signals.of_lock(way);
        signals.follow(lock, Want::AtMost(0), cause);
        cause.advise(format!("lock {from} while {name} is locked"));
        return;
    }
    if !has_room(view, way, turn.item) {
        // What fills it is what keeps it full.
        if let Some(held) = scene.item_in(view, way, Some(turn.item.kind)) {
            Blockage { scene, view }.follow(way, held, cause);
        }
        cause.advise(format!(
            "let {name} hand on faster, or lock {from} while it is full"
        ));
        return;
    }
    if scene.network.part(turn.from).selector().is_some() {
        return;
    }
    let hops = scene.hops(turn.from, turn.item.kind);
    let is_taken = |part: PartId| hops.iter().any(|(to, is_taken)| *to == part && *is_taken);
    if is_taken(turn.to) {
        cause.say(format!(
            "{} drew the item before {from} handed it on",
            scene.name(turn.to)
        ));
    } else if is_taken(way) {
        cause.say(format!(
            "{from} was faster: it handed the item on before {name} drew it"
        ));
        cause.advise(format!(
            "let {from} bring goods no faster than one in 8 t, or put a second filter for it behind {name}"
        ));
    }
}

/// A filter that lets go of its filling sends it on as goods.
fn leaked(scene: &Scene<'_>, turn: &Turn, cause: &mut TroubleCause) {
    let Some(sieve) = scene.sieve(turn.to) else {
        return;
    };
    let (to, kind) = (scene.name(turn.to), scene.kind(turn.item.kind));
    let own = scene.kind(sieve.own);
    if sieve.own == turn.item.kind {
        cause.say(format!(
            "{to} is filled for {kind}, and leads to another store"
        ));
        cause.advise(format!(
            "fill {to} with what its store takes instead of {own}"
        ));
    } else if sieve.fillers.contains(&turn.item.kind) {
        cause.say(format!(
            "{kind} is a filler in {to}: it goes in, and opens it"
        ));
        cause.advise(format!(
            "fill {to} with goods that never come down its line"
        ));
    } else if sieve.free_slots > 0 {
        cause.say(format!(
            "{to} starts with a free slot, into which {kind} goes"
        ));
        cause.advise(format!(
            "put a filler into every slot of {to} that {own} does not take"
        ));
    } else {
        cause.say(format!(
            "{to} had lost some of its filling, and {kind} took the place"
        ));
        if let Some((outlet, hallwright_analysis::sieves::Opening::AtRest { .. })) =
            scene.opening(sieve)
        {
            cause.advise(format!(
                "lock {} at level {}, which {to} reads with its filling alone",
                scene.name(outlet),
                sieve.rest_level()
            ));
        }
    }
}
