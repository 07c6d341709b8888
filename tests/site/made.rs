//! Networks put together part by part, each where it is said to stand.

use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder};
use hallwright_core::part::{Container, Hopper, Intake, Part, Signal};
use hallwright_core::rules::Rules;
use hallwright_declared::placement::{Built, Placed, Placement, Supports};
use hallwright_declared::space::{Axes, Block};
use hallwright_site::place::{Site, place};

use crate::standing::line;

/// A network in the making, and where it stands.
pub(crate) struct Made {
    pub(crate) builder: NetworkBuilder,
    pub(crate) placement: Placement,
}

impl Made {
    /// One without parts, in which supports are added.
    pub(crate) fn new() -> Self {
        let placement = Placement {
            supports: Supports::Added,
            ..Placement::default()
        };
        Self {
            builder: NetworkBuilder::new(Rules::default()),
            placement,
        }
    }

    /// Adds a part that stands there, or nowhere.
    pub(crate) fn add(&mut self, name: &str, part: Part, placed: Option<Placed>) -> PartId {
        self.placement.parts.push(placed.map(Box::new));
        self.builder.add(name, part)
    }

    /// Adds a single chest that joins no other.
    pub(crate) fn store(&mut self, name: &str, block: Block) -> PartId {
        let placed = Placed::at(block).built(Built::ChestApart);
        self.add(name, Part::Container(Container { slots: 27 }), Some(placed))
    }

    /// Adds a lever that is off, there or nowhere.
    pub(crate) fn lever(&mut self, name: &str, at: Option<Block>) -> PartId {
        let lever = Signal::Lever { starts_on: false };
        self.add(name, Part::Signal(lever), at.map(Placed::at))
    }

    /// What was made.
    pub(crate) fn build(self) -> (Network, Placement) {
        let network = self.builder.build().expect("the network is sound");
        (network, self.placement)
    }
}

/// A hopper that nothing locks.
pub(crate) fn hopper(target: Option<PartId>, intake: Intake) -> Part {
    Part::Hopper(Hopper {
        target,
        intake,
        lock: None,
    })
}

/// The findings, a line for each.
pub(crate) fn found(network: &Network, site: &Site) -> Vec<String> {
    let findings = site.findings.iter();
    findings.map(|finding| line(network, finding)).collect()
}

/// Places it and finds these lines, and finds the same however it is turned; then each is looked at. Gives the
/// site as it was before any turn.
pub(crate) fn judge_turned(
    network: &Network,
    placement: &Placement,
    expected: &[&str],
    look: impl Fn(&Site, Axes),
) -> Site {
    let site = place(network, placement);
    assert_eq!(found(network, &site), expected);
    for axes in Axes::all() {
        let turned = place(network, &placement.set_down(axes, Block::new(5, -6, 7)));
        assert_eq!(found(network, &turned), expected, "{axes:?}");
        look(&turned, axes);
    }
    site
}
