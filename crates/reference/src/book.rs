//! What stays the same all through a run: goods, numbers and the fault, if any.

use hallwright_core::goods::Kind;
use hallwright_core::id::KindId;
use hallwright_core::network::Network;
use hallwright_core::rules::Rules;

use crate::fault::Fault;

/// The goods and rules that every phase looks up.
#[derive(Clone, Debug)]
pub(crate) struct RuleBook {
    pub(crate) rules: Rules,
    kinds: Vec<Kind>,
    fault: Option<Fault>,
}

impl RuleBook {
    pub(crate) fn new(network: &Network, fault: Option<Fault>) -> Self {
        Self {
            rules: *network.rules(),
            kinds: network.kinds().to_vec(),
            fault,
        }
    }

    /// How many items of a kind share a slot.
    pub(crate) fn limit(&self, kind: KindId) -> u32 {
        u32::from(self.kinds[kind.index()].stack_limit.items())
    }

    pub(crate) fn is_box(&self, kind: KindId) -> bool {
        self.kinds[kind.index()].is_box
    }

    /// Whether the engine has been notified to break its rules at all.
    pub(crate) fn is_faulty(&self) -> bool {
        self.fault.is_some()
    }

    /// Whether a rule is to be broken in this way.
    pub(crate) fn breaks(&self, fault: Fault) -> bool {
        self.fault == Some(fault)
    }
}
