//! Section 7: nothing comes from nowhere, and nothing goes there.

use hallwright_core::id::KindId;

use crate::engine::ReferenceEngine;
use crate::inventory::{Article, Inventory};
use crate::world::{PartState, World};

/// Adds `count` items of this article, and what it holds if it is a box.
pub(crate) fn count_article(counts: &mut [u64], article: &Article, count: u32) {
    counts[article.kind.index()] += u64::from(count);
    if let Some(contents) = article.contents() {
        count_inventory(counts, contents);
    }
}

fn count_inventory(counts: &mut [u64], inventory: &Inventory) {
    for pile in inventory.piles() {
        count_article(counts, &pile.article, pile.count);
    }
}

impl World {
    /// How many items of each kind there are, wherever they are, those in boxes included.
    pub(crate) fn count_everything(&self) -> Vec<u64> {
        let mut counts = vec![0; self.lost.len()];
        for part in &self.parts {
            match part {
                PartState::Open | PartState::Place | PartState::Signal(_) => {}
                PartState::Container(slots) => count_inventory(&mut counts, slots),
                PartState::Hopper(hopper) => count_inventory(&mut counts, &hopper.slots),
                PartState::Dropper(dropper) => count_inventory(&mut counts, &dropper.slots),
                PartState::Shuttle(shuttle) => count_inventory(&mut counts, &shuttle.slots),
                PartState::Bench(bench) => {
                    if let Some(standing) = &bench.standing {
                        count_article(&mut counts, standing, 1);
                    }
                }
                PartState::Selector(selector) => {
                    for queued in &selector.queue {
                        count_article(&mut counts, &queued.article, 1);
                    }
                }
            }
        }
        for stack in &self.loose {
            count_article(&mut counts, &stack.article, stack.count);
        }
        counts
    }
}

impl ReferenceEngine {
    /// Counts everything anew: there at the start + delivered = here + lost + withdrawn.
    ///
    /// # Errors
    ///
    /// Names every kind that does not add up, with both sums.
    pub fn check_conservation(&self) -> Result<(), String> {
        let world = &self.world;
        let here = world.count_everything();
        let mut wrong = Vec::new();
        for kind in 0..here.len() {
            let came = world.at_start[kind] + world.delivered[kind];
            let accounted = here[kind] + world.lost[kind] + world.withdrawn[kind];
            if came != accounted {
                let name = &self.network.kind(KindId::from_index(kind)).name;
                wrong.push(format!(
                    "`{name}`: {came} came, {accounted} are accounted for"
                ));
            }
        }
        if wrong.is_empty() {
            Ok(())
        } else {
            Err(wrong.join("; "))
        }
    }
}
