//! Everything that is there at the start or comes in.

use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::Network;
use hallwright_core::slot::Filling;
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
        Action::MoveLever { .. } | Action::Press { .. } | Action::Withdraw { .. } => None,
        Action::Sleep { .. } | Action::Reopen { .. } => None,
    }))
}
