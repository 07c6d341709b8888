//! What the operator put somewhere by hand.

use hallwright_core::id::{KindId, PartId};
use hallwright_core::slot::Filling;
use hallwright_core::timeline::Action;
use hallwright_report::units::time;

use super::Scene;

/// That goods of a kind were put into some parts by hand, and when first; `None` if no action of the
/// operator did. What an arrival brings is not put in by hand.
pub(super) fn put_in(scene: &Scene<'_>, kind: KindId, into: &[PartId]) -> Option<String> {
    let entries = scene.setup.timeline.entries().iter();
    let mut before_end = entries.take_while(|(at, _)| *at < scene.end);
    let (at, place) = before_end.find_map(|(at, action)| {
        let (place, put, contents) = match action {
            Action::Fill {
                place,
                kind,
                contents,
            } => (*place, *kind, contents),
            Action::Deliver {
                place,
                kind,
                contents,
                terms,
                ..
            } if terms.arrival.is_none() => (*place, *kind, contents),
            Action::Deliver { .. } | Action::Withdraw { .. } | Action::TakeBox { .. } => {
                return None;
            }
            Action::MoveLever { .. } | Action::Press { .. } | Action::Stick { .. } => return None,
            Action::Sleep { .. } | Action::Reopen { .. } => return None,
        };
        let is_it = into.contains(&place) && is_of(kind, put, contents);
        is_it.then_some((*at, place))
    })?;
    let at = time(at.0, scene.findings.ticks_per_second);
    let (kind, place) = (scene.kind(kind), scene.name(place));
    Some(format!("{kind} was put into {place} by hand, at {at}"))
}

/// Whether what is put in is of this kind, or a box that holds it.
fn is_of(kind: KindId, put: KindId, contents: &[Filling]) -> bool {
    put == kind || contents.iter().any(|filling| filling.kind == kind)
}
