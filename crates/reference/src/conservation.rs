//! Section 7: nothing comes from nowhere, and nothing goes there.

use hallwright_core::id::KindId;

use crate::engine::ReferenceEngine;
use crate::inventory::{Article, Inventory};
use crate::landings::count_article_times;
use crate::world::{PartState, World};

/// Adds `count` items of this article, and what it holds if it is a box.
pub(crate) fn count_article(counts: &mut [u64], article: &Article, count: u32) {
    counts[article.kind.index()] += u64::from(count);
    if let Some(contents) = article.contents() {
        for pile in contents.piles() {
            count_article(counts, &pile.article, pile.count);
        }
    }
}

fn piles_of(inventory: &Inventory) -> impl Iterator<Item = (&Article, u32)> {
    inventory.piles().map(|pile| (&pile.article, pile.count))
}

impl World {
    /// How many items of each kind there are, wherever they are, those in boxes included.
    pub(crate) fn count_everything(&self) -> Vec<u64> {
        let mut counts = vec![0; self.lost.len()];
        for (article, count) in self.everything() {
            count_article(&mut counts, article, count);
        }
        counts
    }

    /// Every item that is not inside a box, with how many there are of it.
    pub(crate) fn everything(&self) -> Vec<(&Article, u32)> {
        let mut all: Vec<(&Article, u32)> = Vec::new();
        for part in &self.parts {
            match part {
                PartState::Open | PartState::Dock | PartState::Signal(_) => {}
                PartState::Container(slots) => all.extend(piles_of(slots)),
                PartState::Hopper(hopper) => all.extend(piles_of(&hopper.slots)),
                PartState::Dropper(dropper) => all.extend(piles_of(&dropper.slots)),
                PartState::Shuttle(shuttle) => all.extend(piles_of(&shuttle.slots)),
                PartState::Bench(bench) => all.extend(bench.standing.iter().map(|one| (one, 1))),
                PartState::Selector(selector) => {
                    all.extend(selector.queue.iter().map(|queued| (&queued.article, 1)));
                }
            }
        }
        all.extend(self.loose.iter().map(|stack| (&stack.article, stack.count)));
        all
    }
}

impl ReferenceEngine {
    /// Counts everything anew: there at the start + delivered = here + lost + withdrawn, and sent =
    /// delivered + refused + in the lines.
    ///
    /// # Errors
    ///
    /// Names every kind that does not add up, with both sums.
    pub fn check_conservation(&self) -> Result<(), String> {
        let world = &self.world;
        let here = world.count_everything();
        let mut in_lines = vec![0; here.len()];
        for one in &world.waiting {
            let article = world.next_article(one.kind, &one.contents, &self.book);
            count_article_times(&mut in_lines, &article, one.count);
        }
        let mut wrong = Vec::new();
        for (kind, here) in here.iter().enumerate() {
            let came = world.at_start[kind] + world.delivered[kind];
            let sent = world.delivered[kind] + world.refused[kind] + in_lines[kind];
            if world.sent[kind] != sent {
                let name = &self.network.kind(KindId::from_index(kind)).name;
                let due = world.sent[kind];
                wrong.push(format!("`{name}`: {due} were due, {sent} are known of"));
            }
            let accounted = here + world.lost[kind] + world.withdrawn[kind];
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
