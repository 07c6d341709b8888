//! Short ways to build parts and deliveries, for this area and for tests of what is written.

use hallwright_core::id::{KindId, PartId};
use hallwright_core::network::NetworkBuilder;
use hallwright_core::part::{Container, Hopper, Intake, Part, Signal};
use hallwright_core::timeline::{Action, Terms};

/// Adds a chest.
pub(crate) fn chest(builder: &mut NetworkBuilder, name: &str, slots: u16) -> PartId {
    builder.add(name, Part::Container(Container { slots }))
}

/// Adds a lever that is off at the start.
pub(crate) fn lever(builder: &mut NetworkBuilder, name: &str) -> PartId {
    builder.add(name, Part::Signal(Signal::Lever { starts_on: false }))
}

/// A capped hopper.
pub(crate) fn capped(target: Option<PartId>, lock: Option<PartId>) -> Part {
    Part::Hopper(Hopper {
        target,
        intake: Intake::Cap,
        lock,
    })
}

/// A delivery of plain goods.
pub(crate) fn deliver(place: PartId, kind: KindId, count: u32) -> Action {
    Action::Deliver {
        place,
        kind,
        count,
        contents: Vec::new(),
        terms: Terms::default(),
    }
}
