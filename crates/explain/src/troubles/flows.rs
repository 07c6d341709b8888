//! Why so little came into a flow in its worst minute.

use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::tick::Tick;
use hallwright_report::units::{grouped, rate, time};
use petgraph::Direction;

use super::blockage::Blockage;
use super::{Scene, TroubleCause};
use crate::standing::sorts_in;

/// The worst window of a flow (or, if its goal asks for the best one, the whole of it): what came, and
/// what kept the rest from coming.
pub(super) fn explain(scene: &Scene<'_>, flow: usize, best: bool) -> Vec<TroubleCause> {
    let found = &scene.findings.flows[flow];
    let into = &scene.declared.flows[flow].into;
    let tps = scene.findings.ticks_per_second;
    let pace = |pace| rate(pace, found.unit(), tps);
    let Some(worst) = found.worst.filter(|_| !best) else {
        return Vec::new();
    };
    let until = worst.from + worst.rate.ticks;
    let mut cause = TroubleCause::of(format!(
        "\"{}\" from {} to {}: {}",
        found.name,
        time(worst.from.0, tps),
        time(until.0, tps),
        pace(worst.rate)
    ));
    if found.steadiest.exceeds(worst.rate) {
        cause.say(format!("at its best it was {}", pace(found.steadiest)));
    }
    if let Some(part) = into.first() {
        cause.shows(scene.name(*part), Some(worst.from));
    }
    // The middle of the window is looked at: at its end the next item may have come.
    let engine = scene.at(Tick(worst.from.0 + worst.rate.ticks / 2));
    let view = engine.view();
    let before = into
        .iter()
        .flat_map(|part| scene.ways.hops(*part, Direction::Incoming));
    let mut before: Vec<PartId> = before
        .map(|(part, _)| part)
        .filter(|part| !into.contains(part))
        .collect();
    before.sort_unstable();
    before.dedup();
    let blockage = Blockage { scene, view: &view };
    for part in before {
        let held: u64 = scene.held(&view, part).iter().map(|(_, items)| items).sum();
        if let Some(item) = sorts_in(&view, part).first() {
            if held > 0 {
                cause.say(format!(
                    "meanwhile {} waited in {}",
                    scene.held_words(&view, part),
                    scene.name(part)
                ));
            }
            blockage.follow(part, *item, &mut cause);
        }
    }
    if cause.could.is_empty() {
        busy(scene, into, (worst.from, until), &mut cause);
    }
    vec![cause]
}

/// Where nothing was in the way, it came as fast as the parts before the flow go.
fn busy(scene: &Scene<'_>, into: &[PartId], (from, until): (Tick, Tick), cause: &mut TroubleCause) {
    let tps = scene.findings.ticks_per_second;
    for part in into {
        let mut back = scene.history.back_from(*part, scene.history.end_of(until));
        let came = back
            .by_ref()
            .take_while(|(_, entry)| entry.tick() >= from)
            .filter(|(_, entry)| match entry.event {
                Event::ItemMoved { to, .. } => to == *part,
                Event::Collected { hopper, .. } => hopper == *part,
                _ => false,
            });
        let items = came.count() as u64;
        if items > 0 {
            let pace = hallwright_report::units::Rate {
                items,
                ticks: until - from,
            };
            cause.say(format!(
                "nothing was in the way of {}: it took {} in, {}",
                scene.name(*part),
                grouped(items),
                rate(pace, "items", tps)
            ));
        }
    }
    cause.advise("let more parts bring goods into it side by side".to_owned());
}
