//! A network and its setup as plain data that can be changed, printed and built again.

use hallwright_core::goods::Kind;
use hallwright_core::id::PartId;
use hallwright_core::network::{Network, NetworkBuilder, NetworkError};
use hallwright_core::order::Orders;
use hallwright_core::part::Part;
use hallwright_core::rules::Rules;
use hallwright_core::setup::Setup;
use hallwright_core::slot::Filling;
use hallwright_core::tick::Tick;
use hallwright_core::timeline::{Action, Timeline};

/// Everything that one run needs.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Blueprint {
    /// The rules of its world.
    pub rules: Rules,
    /// The goods, in the order of their ids.
    pub kinds: Vec<Kind>,
    /// The parts, in the order of declaration.
    pub parts: Vec<NamedPart>,
    /// What the parts hold at the start.
    pub fillings: Vec<(PartId, Filling)>,
    /// The seed of what the run leaves to chance.
    pub seed: u64,
    /// The update order and the signal order.
    pub orders: Orders,
    /// What comes from outside.
    pub timeline: Vec<(Tick, Action)>,
    /// How many ticks the run lasts.
    pub length_ticks: u64,
}

/// A part with its name.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct NamedPart {
    /// Its name, unique in the network.
    pub name: String,
    /// The tag of its random stream, where that is not its name.
    pub stream_tag: Option<String>,
    /// What it is.
    pub part: Part,
}

impl Blueprint {
    /// Builds the network and the setup.
    ///
    /// # Errors
    ///
    /// What the network's own checks find.
    pub fn build(&self) -> Result<(Network, Setup), Vec<NetworkError>> {
        let mut builder = NetworkBuilder::new(self.rules);
        for kind in &self.kinds {
            if kind.is_box {
                builder.box_kind(&kind.name);
            } else {
                builder.kind(&kind.name, kind.stack_limit);
            }
        }
        for named in &self.parts {
            let id = builder.add(&named.name, named.part.clone());
            if let Some(tag) = &named.stream_tag {
                builder.stream_tag(id, tag);
            }
        }
        for (part, filling) in &self.fillings {
            builder.fill(*part, filling.clone());
        }
        let setup = Setup {
            seed: self.seed,
            orders: self.orders.clone(),
            timeline: Timeline::new(self.timeline.clone()),
        };
        Ok((builder.build()?, setup))
    }

    /// A copy of the network with every part called something else. Random streams keep their tags, so
    /// that nothing but names may differ in a run.
    #[must_use]
    pub fn renamed(&self) -> Self {
        let mut renamed = self.clone();
        let count = renamed.parts.len();
        for (index, named) in renamed.parts.iter_mut().enumerate() {
            // Counted backwards, so that the names sort the other way round as well.
            let other_name = format!("thing {:04}", count - index);
            let old_name = std::mem::replace(&mut named.name, other_name);
            named.stream_tag.get_or_insert(old_name);
        }
        renamed
    }

    /// A copy in which nothing falls asleep and the world is not opened again.
    #[must_use]
    pub fn awake(&self) -> Self {
        let mut awake = self.clone();
        awake.timeline.retain(|(_, action)| match action {
            Action::Sleep { .. } | Action::Reopen { .. } | Action::Stick { .. } => false,
            Action::MoveLever { .. } | Action::Press { .. } => true,
            Action::Deliver { .. } | Action::Withdraw { .. } => true,
            Action::Fill { .. } | Action::TakeBox { .. } => true,
        });
        awake
    }

    /// The ids of all parts, in the order of declaration.
    pub fn part_ids(&self) -> impl DoubleEndedIterator<Item = PartId> + use<> {
        (0..self.parts.len()).map(PartId::from_index)
    }
}
