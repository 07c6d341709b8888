//! Why a filter did not keep its filling.

use hallwright_analysis::sieves::Opening;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_report::findings::SieveFinding;
use hallwright_report::units::{grouped, time};
use hallwright_words::kinds;

use super::{Scene, TroubleCause};

/// Each sieve that is not intact: what it lacks, what lies in it, and how that came.
pub(super) fn explain(scene: &Scene<'_>) -> Vec<TroubleCause> {
    let broken = scene.findings.broken_sieves();
    broken.map(|sieve| of(scene, sieve)).collect()
}

fn of(scene: &Scene<'_>, found: &SieveFinding) -> TroubleCause {
    let tps = scene.findings.ticks_per_second;
    let mut words = Vec::new();
    if !found.missing.is_empty() {
        words.push(format!("lacks {}", kinds(&found.missing)));
    }
    if !found.foreign.is_empty() {
        words.push(format!(
            "holds {} that do not belong there",
            kinds(&found.foreign)
        ));
    }
    let since = found
        .broken_since
        .map_or_else(String::new, |at| format!(", since {}", time(at.0, tps)));
    let mut cause = TroubleCause::of(format!("{} {}{since}", found.part, words.join(" and ")));
    cause.shows(&found.part, found.broken_since);
    let Some(part) = scene.network.find(&found.part) else {
        return cause;
    };
    let is_open = scene.sieve(part).is_some_and(|sieve| sieve.free_slots > 0);
    // What comes into a free slot opens the filter, which hands on its own filling for it.
    if !found.missing.is_empty() && (found.foreign.is_empty() || !is_open) {
        leak(scene, part, &mut cause);
    }
    if let Some(foreign) = found.foreign.first() {
        intruder(scene, part, &foreign.kind, &mut cause);
    }
    cause
}

/// What the filter lost, by the hopper that drew it while it should have been locked.
fn leak(scene: &Scene<'_>, part: PartId, cause: &mut TroubleCause) {
    let tps = scene.findings.ticks_per_second;
    let name = scene.name(part);
    let mut forward = scene.history.on_from(part, 0);
    let first = forward.find_map(|(_, entry)| match entry.event {
        Event::ItemMoved { from, to, .. } if from == part => Some((entry.tick(), to)),
        _ => None,
    });
    if let Some((at, to)) = first {
        let to_name = scene.name(to);
        let lock = match scene.network.part(to).lock() {
            None => "which nothing locks".to_owned(),
            Some(lock) => format!("which {} should lock", scene.name(lock)),
        };
        cause.say(format!(
            "the first left it at {} for {to_name}, {lock}",
            time(at.0, tps)
        ));
    }
    let Some(sieve) = scene.sieve(part) else {
        return;
    };
    let own = scene.kind(sieve.own);
    let rest = sieve.rest_level();
    match scene.opening(sieve) {
        Some((outlet, Opening::AtRest { too_many })) => {
            let outlet = scene.name(outlet);
            cause.say(format!(
                "with its filling, {} {own}, it reads {rest}, and at that {outlet} is not locked",
                grouped(sieve.own_items.into())
            ));
            cause.advise(match too_many {
                Some(_) if sieve.free_slots > 0 => {
                    format!("first put a filler into every slot of {name} that {own} does not take")
                }
                Some(items) => format!("fill {items} {own} less into {name}"),
                None => format!("lock {outlet} by a signal that goes off only above level {rest}"),
            });
        }
        _ => {
            if let Some(outlet) = sieve.outlet(scene.network) {
                cause.advise(format!(
                    "lock {} sooner: no more than what came may leave {name}",
                    scene.name(outlet)
                ));
            }
        }
    }
}

/// How what does not belong there came in.
fn intruder(scene: &Scene<'_>, part: PartId, kind: &str, cause: &mut TroubleCause) {
    let tps = scene.findings.ticks_per_second;
    let mut forward = scene.history.on_from(part, 0);
    let came = forward.find_map(|(_, entry)| match entry.event {
        Event::ItemMoved { from, to, item } if to == part && scene.kind(item.kind) == kind => {
            Some((entry.tick(), from))
        }
        _ => None,
    });
    let name = scene.name(part);
    if let Some((at, from)) = came {
        cause.say(format!(
            "the first {kind} came from {} at {}",
            scene.name(from),
            time(at.0, tps)
        ));
    }
    let free = scene.sieve(part).map_or(0, |sieve| sieve.free_slots);
    if free > 0 {
        cause.say(format!(
            "{name} starts with {} free",
            match free {
                1 => "a slot".to_owned(),
                free => format!("{free} slots"),
            }
        ));
        let outlet = scene
            .sieve(part)
            .and_then(|sieve| sieve.outlet(scene.network));
        if let Some(outlet) = outlet {
            cause.say(format!(
                "{kind} in it counts like its own goods: {} opens for it, and takes of the filling",
                scene.name(outlet)
            ));
        }
        cause.advise(format!(
            "put a filler into every slot of {name} that its own kind does not take"
        ));
    } else {
        cause.say(format!("a slot of {name} had become free for it"));
    }
}
