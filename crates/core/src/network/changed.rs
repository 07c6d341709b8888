//! The same network with other parts, to try what would be if.

use super::{Network, NetworkBuilder, NetworkError};
use crate::id::PartId;
use crate::part::Part;

impl Network {
    /// The same network, its parts changed: names, goods, contents and chance stay as they are.
    ///
    /// # Errors
    ///
    /// If the changed parts make no network.
    pub fn changed(
        &self,
        change: impl Fn(PartId, &Part) -> Part,
    ) -> Result<Self, Vec<NetworkError>> {
        let mut builder = NetworkBuilder::new(*self.rules());
        for kind in self.kinds() {
            if kind.is_box {
                builder.box_kind(&kind.name);
            } else {
                builder.kind(&kind.name, kind.stack_limit);
            }
        }
        for part in self.part_ids() {
            builder.declare(self.name(part));
        }
        for (part, what) in self.parts() {
            builder.define(part, change(part, what));
            if self.stream_tag(part) != self.name(part) {
                builder.stream_tag(part, self.stream_tag(part));
            }
        }
        for (mouth, blocks) in &self.mouth_blocks {
            builder.mouth_blocks(*mouth, *blocks);
        }
        for (part, filling) in self.fillings() {
            builder.fill(*part, filling.clone());
        }
        builder.build()
    }
}
