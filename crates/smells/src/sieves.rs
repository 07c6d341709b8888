//! Sieves that are filled wrongly, and two for one kind.

use std::collections::{BTreeMap, BTreeSet};

use hallwright_analysis::levels::Known;
use hallwright_analysis::sieves::{Opening, Sieve};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Intake;
use hallwright_core::timeline::Action;
use hallwright_declared::declarations::Goal;

use super::comes::Comes;
use super::possible::Possible;
use super::{Design, Finding, Rule};

/// So many times it is followed where goods can come to, to find sieves of one kind.
const MOST_FOLLOWED: usize = 256;

/// Finds sieves that can be blocked, leak, or do not open when they should.
pub(super) fn find_wrong(
    design: &Design<'_>,
    sieves: &[Sieve],
    possible: &Possible,
    found: &mut Vec<Finding>,
) {
    let network = design.network;
    let at_rest = sieves
        .iter()
        .map(|sieve| (sieve.hopper, sieve.rest_level()));
    let at_rest: BTreeMap<PartId, u8> = at_rest.collect();
    let moved = design.actions.iter().flat_map(|action| match action {
        Action::MoveLever { lever, .. } => std::slice::from_ref(lever),
        Action::Stick { signals, .. } => signals,
        Action::Deliver { .. } | Action::Withdraw { .. } | Action::Press { .. } => &[],
        Action::Fill { .. } | Action::TakeBox { .. } => &[],
        Action::Sleep { .. } | Action::Reopen { .. } => &[],
    });
    let moved: BTreeSet<PartId> = moved.copied().collect();
    let moves = |lever: PartId| moved.contains(&lever);
    let known = Known {
        readings: &at_rest,
        moves: &moves,
    };
    for sieve in sieves {
        let Some(outlet) = sieve.outlet(network) else {
            continue;
        };
        // How much its own hopper holds opens nothing then.
        if let Some(mixed_up) = mixed_up(network, sieve, outlet, &at_rest) {
            found.push(mixed_up);
            continue;
        }
        let lock = network.part(outlet).lock();
        // That a lock never goes off is said of the hopper that it locks.
        if lock.is_none_or(|lock| possible.off(lock)) {
            let opening = sieve.opening(network, lock, known);
            found.extend(wrong_opening(network, sieve, outlet, opening));
        }
    }
}

/// What there is to say of when a sieve opens.
fn wrong_opening(
    network: &Network,
    sieve: &Sieve,
    outlet: PartId,
    opening: Opening,
) -> Option<Finding> {
    let (name, outlet) = (network.name(sieve.hopper), network.name(outlet));
    let kind = &network.kind(sieve.own).name;
    let (level, next) = (sieve.rest_level(), sieve.level_with(1));
    let reads = match level == next {
        true => format!("it reads level {level}, with one more of `{kind}` too"),
        false => format!("it reads level {level}, with one more of `{kind}` {next}"),
    };
    let filler_first = || {
        format!(
            "{reads}: first put a filler into {}",
            free(sieve.free_slots)
        )
    };
    let (rule, words, help) = match opening {
        Opening::Right => return None,
        Opening::AtRest { too_many } => {
            let help = match too_many {
                Some(_) if sieve.free_slots > 0 => filler_first(),
                Some(items) => format!("{reads}: leave out {items} of `{kind}`"),
                None => format!(
                    "lock `{outlet}` by a signal that goes off at the level above that of the filling: {reads}"
                ),
            };
            let words = format!("`{name}` leaks from the start: `{outlet}` is not locked");
            (Rule::SieveLeaks, words, help)
        }
        Opening::Late { items } => {
            let words = format!(
                "`{name}` opens only with {items} more of `{kind}`: it keeps what comes until then"
            );
            // More of its own would leave the free slots to what comes, which opens the sieve too.
            let help = match sieve.free_slots {
                0 => format!("{reads}: fill in {} more of `{kind}`", items - 1),
                _ => filler_first(),
            };
            (Rule::SieveShort, words, help)
        }
        Opening::Never => {
            let full = sieve.level_with(sieve.room_items);
            let words = format!(
                "`{name}` never opens: `{outlet}` stays locked however much of `{kind}` is in it"
            );
            let help = format!(
                "{reads}, full of it {full}: let the lock go off at level {}",
                next.max(level + 1).min(full)
            );
            (Rule::SieveNeverOpens, words, help)
        }
    };
    Some(Finding::of(rule, sieve.hopper, words, help))
}

/// What there is to say of a sieve whose outlet another one locks, and it does not.
fn mixed_up(
    network: &Network,
    sieve: &Sieve,
    outlet: PartId,
    sieves: &BTreeMap<PartId, u8>,
) -> Option<Finding> {
    let guards = sieve.guards(network)?;
    if guards.contains_key(&sieve.hopper) {
        return None;
    }
    let other = guards.iter().find(|(read, _)| sieves.contains_key(read));
    let (other, reader) = other.map(|(other, reader)| (*other, *reader))?;
    let (name, other) = (network.name(sieve.hopper), network.name(other));
    let (outlet, comparator) = (network.name(outlet), network.name(reader));
    let words = format!("`{outlet}`, below the sieve `{name}`, is locked by what `{other}` holds");
    let help = format!("`{comparator}` reads `{other}`: lock `{outlet}` by what `{name}` holds");
    let mut finding = Finding::of(Rule::SieveMixedUp, sieve.hopper, words, help);
    finding.further = vec![(reader, "reads the other one")];
    Some(finding)
}

/// `its free slot`, or several, which its own kind does not take.
fn free(slots: u16) -> String {
    match slots {
        1 => "its free slot".to_owned(),
        slots => format!("each of its {slots} free slots"),
    }
}

/// Finds sieves into which goods come that are not their own.
pub(super) fn find_blocked(
    design: &Design<'_>,
    sieves: &[Sieve],
    comes: &Comes,
    found: &mut Vec<Finding>,
) {
    let network = design.network;
    for sieve in sieves {
        let name = network.name(sieve.hopper);
        let own = &network.kind(sieve.own).name;
        let is_filler = |kind: &KindId| sieve.fillers.contains(kind);
        let here = comes.at(sieve.hopper);
        let strange = here
            .iter()
            .find(|kind| *kind != sieve.own && !is_filler(kind));
        if let Some(strange) = strange.filter(|_| sieve.free_slots > 0) {
            let strange = &network.kind(strange).name;
            let slots = match sieve.free_slots {
                1 => "a free slot".to_owned(),
                slots => format!("{slots} free slots"),
            };
            let words = format!(
                "the sieve `{name}` for `{own}` has {slots}: `{strange}` can come into it and block it"
            );
            let help = "put a filler into every slot that its own kind does not take";
            found.push(Finding::of(Rule::SieveFreeSlot, sieve.hopper, words, help));
        }
        if let Some(filler) = sieve.fillers.iter().find(|kind| here.contains(**kind)) {
            let filler = &network.kind(*filler).name;
            let words = format!(
                "`{filler}` comes to the sieve `{name}` and is a filler in it: it goes in, and the sieve opens for it"
            );
            let help = "fill it with goods that never come down its line";
            found.push(Finding::of(Rule::FillerArrives, sieve.hopper, words, help));
        }
    }
}

/// Finds hoppers that are filled like sieves, and are not declared as such: nothing judges them.
pub(super) fn find_not_named(design: &Design<'_>, found: &mut Vec<Finding>) {
    let network = design.network;
    for sieve in Sieve::not_named(network, &design.declarations.sieves) {
        let name = network.name(sieve.hopper);
        let words = format!("`{name}` is filled like a filter, but `sieves` does not name it");
        let help = format!(
            "name `{name}` in `sieves`: then its filling does not count as goods, and is judged"
        );
        found.push(Finding::of(Rule::SieveNotNamed, sieve.hopper, words, help));
    }
}

/// Finds sieves behind another of the same kind.
pub(super) fn find_two_of_a_kind(
    design: &Design<'_>,
    sieves: &[Sieve],
    comes: &Comes,
    found: &mut Vec<Finding>,
) {
    let network = design.network;
    let mut of_kind: BTreeMap<KindId, Vec<(PartId, PartId)>> = BTreeMap::new();
    for sieve in sieves {
        let hopper = network.part(sieve.hopper).hopper();
        if let Some(Intake::Above(above)) = hopper.map(|hopper| hopper.intake) {
            let group = of_kind.entry(sieve.own).or_default();
            group.push((sieve.hopper, above));
        }
    }
    // What lies in a store has arrived: the way ends there.
    let mut ends = vec![false; network.part_count() + 1];
    for part in design
        .declarations
        .stores
        .iter()
        .flat_map(|store| &store.parts)
    {
        ends[part.index()] = true;
    }
    let mut followed = 0;
    for (kind, mut group) in of_kind {
        while let [(sieve, above), _, ..] = group[..] {
            if followed == MOST_FOLLOWED {
                break;
            }
            followed += 1;
            let is_end = |node: usize| ends[node] || node == sieve.index();
            let reached = comes.ways.reached_by(kind, &[above], is_end);
            let mut behind = Vec::new();
            group.retain(|(other, from)| {
                let is_met = *other != sieve && reached[from.index()];
                if is_met {
                    behind.push((*other, *from));
                }
                !is_met && *other != sieve
            });
            for (other, from) in behind {
                // Two below one chest share what comes faster than one sieve draws.
                let is_pair = from == above && network.part(from).hopper().is_none();
                if !is_pair && !shares_homes(design, kind) {
                    found.push(second_sieve(network, kind, sieve, other));
                }
            }
        }
    }
}

/// Whether a goal says that a kind has several homes: what finds the first full goes on to the next.
fn shares_homes(design: &Design<'_>, kind: KindId) -> bool {
    let mut goals = design.declarations.goals.iter();
    goals.any(|goal| matches!(goal, Goal::SharedHome(kinds) if kinds.contains(&kind)))
}

/// What there is to say of two sieves for one kind.
fn second_sieve(network: &Network, kind: KindId, one: PartId, two: PartId) -> Finding {
    let (one, other, kind) = (
        network.name(one),
        network.name(two),
        &network.kind(kind).name,
    );
    let words = format!("`{one}` and `{other}` are both sieves for `{kind}`, and lie on one line");
    let help = format!("give `{other}` the kind that is meant, or leave it out");
    Finding::of(Rule::TwoFilters, two, words, help)
}
