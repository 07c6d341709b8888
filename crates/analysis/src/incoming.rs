//! Everything that is there at the start or comes in.

use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::part::Part;
use hallwright_core::slot::{BOX_SLOTS, Filling};
use hallwright_core::timeline::Action;

/// Items that are there at the start, or that a delivery brings.
#[derive(Clone, Copy, Debug)]
pub struct Incoming<'a> {
    /// Where.
    pub part: PartId,
    /// What.
    pub kind: KindId,
    /// How many.
    pub count: u64,
    /// For boxes: what each of them holds.
    pub contents: &'a [Filling],
}

/// What is there at the start, but for what is in parts that keep it (sieves), then what the deliveries
/// among some actions bring.
pub fn incoming<'a>(
    network: &'a Network,
    keeps: impl Fn(PartId) -> bool + 'a,
    actions: impl Iterator<Item = &'a Action> + 'a,
) -> impl Iterator<Item = Incoming<'a>> + 'a {
    let fillings = network.fillings().iter();
    let fillings = fillings.filter(move |(part, _)| !keeps(*part));
    let at_start = fillings.map(|(part, filling)| Incoming {
        part: *part,
        kind: filling.kind,
        count: filling.count.into(),
        contents: &filling.contents,
    });
    at_start.chain(actions.filter_map(|action| match action {
        Action::Deliver {
            place,
            kind,
            count,
            contents,
            ..
        } => Some(Incoming {
            part: *place,
            kind: *kind,
            count: u64::from(*count),
            contents,
        }),
        Action::Fill {
            place,
            kind,
            contents,
        } => Some(Incoming {
            part: *place,
            kind: *kind,
            count: most_to_fill(network, *place, *kind),
            contents,
        }),
        Action::MoveLever { .. } | Action::Press { .. } | Action::Withdraw { .. } => None,
        Action::TakeBox { .. } | Action::Sleep { .. } | Action::Stick { .. } => None,
        Action::Reopen { .. } => None,
    }))
}

/// How many items of a kind go into an inventory at most when it is filled by hand: as many as its slots
/// hold, those of the largest that can stand there.
#[must_use]
pub fn most_to_fill(network: &Network, place: PartId, kind: KindId) -> u64 {
    let own = |part| network.own_slots(part).unwrap_or(0);
    let slots = match network.part(place) {
        Part::Bench(_) => BOX_SLOTS,
        Part::Dock => {
            let shuttles = network.parts();
            let shuttles = shuttles.filter(|(_, part)| part.shuttle().is_some());
            shuttles.map(|(id, _)| own(id)).max().unwrap_or(0)
        }
        Part::Container(_) | Part::Hopper(_) | Part::Dropper(_) => own(place),
        Part::Mouth | Part::Stream(_) | Part::Selector(_) => 0,
        Part::Shuttle(_) | Part::Signal(_) => 0,
    };
    u64::from(slots) * u64::from(network.kind(kind).stack_limit.items())
}
