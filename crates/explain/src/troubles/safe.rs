//! What went on moving after a stop.

use std::collections::BTreeMap;

use hallwright_analysis::certainty::longest_beat_ticks;
use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::tick::Tick;
use hallwright_declared::declarations::{Goal, Mark};
use hallwright_report::findings::StopFinding;
use hallwright_report::goals::Verdict;
use hallwright_report::units::{count, time};
use hallwright_words::why_never;

use super::blockage::Blockage;
use super::{Scene, TroubleCause};

/// How many parts that go on moving are reported of each stop.
const MOVERS: usize = 4;

/// For each stop of which the verdict is that it took too long: what moved last, and why.
pub(super) fn explain(scene: &Scene<'_>, verdict: &Verdict) -> Vec<TroubleCause> {
    let goal = verdict
        .goal
        .and_then(|place| scene.declared.goals.get(place));
    let most_ticks = match goal {
        Some(Goal::MarkWithin {
            mark: Mark::SafeToClose,
            ticks,
            ..
        }) => Some(*ticks),
        _ => None,
    };
    let stops = scene.findings.stops.iter();
    let late = stops.filter(|stop| match (stop.all.safe_to_close_ticks, most_ticks) {
        (None, _) => true,
        (Some(ticks), Some(most)) => ticks > most,
        (Some(_), None) => false,
    });
    late.map(|stop| of_stop(scene, stop, most_ticks.unwrap_or(0)))
        .collect()
}

/// A part that went on moving.
struct Mover {
    moves: u64,
    last: Tick,
    /// Where the last item went.
    to: PartId,
}

fn of_stop(scene: &Scene<'_>, stop: &StopFinding, most_ticks: u64) -> TroubleCause {
    let tps = scene.findings.ticks_per_second;
    let at = time(stop.at.0, tps);
    let mut cause = TroubleCause::of(match stop.all.safe_to_close_ticks {
        Some(ticks) => format!(
            "stopped at {at}: safe to close only {} later",
            time(ticks, tps)
        ),
        None => format!("stopped at {at}: never safe to close"),
    });
    if stop.all.safe_to_close_ticks.is_none()
        && let Some(why) = why_never(stop, tps)
    {
        cause.say(why);
    }
    if stop.all.safe_to_close_ticks.is_none() {
        standing(scene, stop, &mut cause);
    }
    // Of a stop that never came to rest, what moved to the end of its watch.
    let round_ticks = 2 * longest_beat_ticks(scene.network).max(100);
    let is_late = |mover: &Mover| match stop.all.safe_to_close_ticks {
        Some(_) => mover.last - stop.at > most_ticks,
        None => mover.last + round_ticks >= stop.watched_until,
    };
    let mut movers: Vec<(PartId, Mover)> = movers(scene, stop)
        .into_iter()
        .filter(|(_, mover)| is_late(mover))
        .collect();
    movers.sort_by_key(|(_, mover)| std::cmp::Reverse(mover.last));
    for (part, mover) in movers.into_iter().take(MOVERS) {
        cause.shows(scene.name(part), Some(mover.last));
        mover_words(scene, stop, (part, &mover), &mut cause);
    }
    cause
}

/// What still stood somewhere when the watch of the stop ended, and what kept it there.
fn standing(scene: &Scene<'_>, stop: &StopFinding, cause: &mut TroubleCause) {
    let engine = scene.at(stop.watched_until);
    let view = engine.view();
    let left = &stop.left;
    let counted = left
        .holding
        .iter()
        .chain(&left.in_selectors)
        .chain(&left.to_be_lifted);
    let places = counted.map(|row| row.part.as_str());
    let places = places.chain(left.loose.iter().map(|row| row.mouth.as_str()));
    for place in places.take(MOVERS) {
        let part = scene.network.find(place);
        let item = part.and_then(|part| scene.item_in(&view, part, None));
        if let (Some(part), Some(item)) = (part, item) {
            cause.shows(place, Some(stop.watched_until));
            Blockage { scene, view: &view }.follow(part, item, cause);
        }
    }
}

/// What moved items after a stop, until its watch ended.
fn movers(scene: &Scene<'_>, stop: &StopFinding) -> BTreeMap<PartId, Mover> {
    let mut movers: BTreeMap<PartId, Mover> = BTreeMap::new();
    let entries = scene.history.entries();
    let after = entries.skip_while(|(_, entry)| entry.tick() <= stop.at);
    let watched = after.take_while(|(_, entry)| entry.tick() < stop.watched_until);
    for (_, entry) in watched {
        let to = match entry.event {
            Event::ItemMoved { to, .. } => to,
            Event::Collected { hopper, .. } => hopper,
            Event::Thrown { dropper, .. } => dropper,
            _ => continue,
        };
        let Some(actor) = entry.actor else {
            continue;
        };
        // What a hopper draws it hands on later, and counts then.
        let hopper = scene.network.part(actor).hopper();
        if to == actor && hopper.is_some_and(|hopper| hopper.target.is_some()) {
            continue;
        }
        let mover = movers.entry(actor).or_insert(Mover {
            moves: 0,
            last: entry.tick(),
            to,
        });
        mover.moves += 1;
        mover.last = entry.tick();
        mover.to = to;
    }
    movers
}

fn mover_words(
    scene: &Scene<'_>,
    stop: &StopFinding,
    (part, mover): (PartId, &Mover),
    cause: &mut TroubleCause,
) {
    let tps = scene.findings.ticks_per_second;
    let name = scene.name(part);
    let is_named = |parts: &[PartId]| parts.contains(&part);
    let mut sections = scene.declared.sections.iter();
    let section = sections.find(|section| {
        is_named(&section.line) || is_named(&section.queue) || is_named(&section.locked)
    });
    let whose = match section {
        Some(section) => format!("of section \"{}\"", section.name),
        None if scene
            .findings
            .in_no_section
            .iter()
            .any(|other| other == name) =>
        {
            "which is in no section".to_owned()
        }
        None => "which no section names".to_owned(),
    };
    cause.say(format!(
        "{name}, {whose}, goes on moving until {} after the stop: {}, the last into {}",
        time(mover.last - stop.at, tps),
        count(mover.moves, "item", "items"),
        scene.name(mover.to)
    ));
    let engine = scene.at(stop.at);
    let view = engine.view();
    if let Some(above) = scene.above(part) {
        let held = scene.held_words(&view, above);
        cause.say(format!(
            "it draws from {}, which held {held} at the stop",
            scene.name(above)
        ));
    }
    match scene.network.part(part).lock() {
        Some(lock) => {
            let lock_name = scene.name(lock);
            let engine = scene.at(mover.last);
            if engine.view().level(lock) == 0 {
                cause.say(format!("its lock {lock_name} is off"));
                cause.advise(format!("let {lock_name} go on sooner after the stop"));
            }
        }
        None if section.is_none() && scene.network.part(part).hopper().is_some() => {
            cause.say(format!("nothing locks {name}"));
            let mut locks = scene
                .declared
                .sections
                .iter()
                .flat_map(|section| &section.locked);
            let other = locks.find_map(|other| Some((*other, scene.network.part(*other).lock()?)));
            cause.advise(match other {
                Some((other, lock)) => format!(
                    "lock {name} with {} as {} is, and name it in a section",
                    scene.name(lock),
                    scene.name(other)
                ),
                None => format!(
                    "lock {name} by a signal that the stop turns on, and name it in a section"
                ),
            });
        }
        None => {}
    }
}
