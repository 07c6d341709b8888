//! What each tick leaves true: nothing appears or vanishes (tick rules, section 7).

use super::Engine;
use crate::id::KindId;
use crate::network::Network;
use crate::part::Part;

impl Engine<'_> {
    /// Counts all items anew and compares: there at the start + delivered = held + loose + aboard +
    /// lost + withdrawn, and sent = delivered + refused + waiting, for each kind.
    ///
    /// # Errors
    ///
    /// Names the kinds that do not add up, with both sums. That is a bug in this crate.
    pub fn check_conservation(&self) -> Result<(), String> {
        let counted = self.count_everything();
        let mut waiting = vec![0; counted.len()];
        for (_, delivery) in self.world.landings.iter() {
            delivery.for_each_inside(&mut |kind, count| waiting[kind.index()] += count);
        }
        let totals = &self.world.totals;
        let astray = kind_ids(self.network).find(|kind| {
            let kind = kind.index();
            totals.sent[kind] != totals.delivered[kind] + totals.refused[kind] + waiting[kind]
        });
        if let Some(kind) = astray {
            return Err(format!(
                "of `{}`, {} were sent, but {} delivered, {} refused, and {} wait",
                self.network.kind(kind).name,
                totals.sent[kind.index()],
                totals.delivered[kind.index()],
                totals.refused[kind.index()],
                waiting[kind.index()],
            ));
        }
        let differences: Vec<String> = kind_ids(self.network)
            .filter(|kind| counted[kind.index()] != self.world.totals.present(*kind))
            .map(|kind| {
                let name = &self.network.kind(kind).name;
                let expected = self.world.totals.present(kind);
                format!(
                    "{} of `{name}` found where {expected} should be",
                    counted[kind.index()]
                )
            })
            .collect();
        if differences.is_empty() {
            Ok(())
        } else {
            Err(differences.join("; "))
        }
    }

    /// How many of each kind are in the network now, those inside boxes included.
    fn count_everything(&self) -> Vec<u64> {
        let mut counted = vec![0; self.network.kinds().len()];
        let mut add = |kind: KindId, count: u64| counted[kind.index()] += count;
        let inventories = &self.world.inventories;
        for (part, definition) in self.network.parts() {
            // A bench's or place's slots are those of the box or shuttle, counted as such.
            if !matches!(definition, Part::Bench(_) | Part::Dock) {
                let slots = inventories.slots(inventories.of(part));
                for slot in slots.iter().filter(|slot| !slot.is_empty()) {
                    inventories.for_each_inside(inventories.item_in(*slot), slot.count(), &mut add);
                }
            }
        }
        let queued = self
            .world
            .selectors
            .iter()
            .flat_map(|selector| &selector.queue);
        let standing = self.world.benches.iter().filter_map(|bench| bench.standing);
        for item in queued.map(|queued| queued.item).chain(standing) {
            inventories.for_each_inside(item, 1, &mut add);
        }
        for loose in self.world.loose.iter() {
            inventories.for_each_inside(loose.stack.item, loose.stack.count, &mut add);
        }
        counted
    }
}

fn kind_ids(network: &Network) -> impl Iterator<Item = KindId> + use<> {
    (0..network.kinds().len()).map(KindId::from_index)
}
