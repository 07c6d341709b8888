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

fn show_piles<'w>(inventory: &'w Inventory, show: &mut impl FnMut(&'w Article, u32)) {
    for pile in inventory.piles() {
        show(&pile.article, pile.count);
    }
}

impl World {
    /// How many items of each kind there are, wherever they are, those in boxes included.
    pub(crate) fn count_everything(&self) -> Vec<u64> {
        let mut counts = vec![0; self.lost.len()];
        self.for_everything(&mut |article, count| count_article(&mut counts, article, count));
        counts
    }

    /// Shows every item that is not inside a box, with how many there are of it.
    pub(crate) fn for_everything<'w>(&'w self, show: &mut impl FnMut(&'w Article, u32)) {
        for part in &self.parts {
            match part {
                PartState::Open | PartState::Dock | PartState::Signal(_) => {}
                PartState::Container(slots) => show_piles(slots, show),
                PartState::Hopper(hopper) => show_piles(&hopper.slots, show),
                PartState::Dropper(dropper) => show_piles(&dropper.slots, show),
                PartState::Shuttle(shuttle) => show_piles(&shuttle.slots, show),
                PartState::Bench(bench) => bench.standing.iter().for_each(|one| show(one, 1)),
                PartState::Selector(selector) => {
                    let queue = selector.queue.iter();
                    queue.for_each(|queued| show(&queued.article, 1));
                }
            }
        }
        for stack in &self.loose {
            show(&stack.article, stack.count);
        }
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
