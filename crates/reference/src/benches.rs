//! Section 6: benches, where a box stands to be filled or emptied.

use hallwright_core::event::Event;
use hallwright_core::id::PartId;
use hallwright_core::part::{Bench, Lift, Part};

use crate::book::RuleBook;
use crate::engine::ReferenceEngine;
use crate::fault::Fault;
use crate::inventory::{Article, Inventory};

/// Whether the inside of a box is full: every slot at its limit.
pub(crate) fn box_is_full(contents: &Inventory, book: &RuleBook) -> bool {
    if book.breaks(Fault::FullBoxWithoutEmptySlot) {
        return contents.slots.iter().all(Option::is_some);
    }
    contents.is_full(book)
}

impl ReferenceEngine {
    /// The end of phase 4: every bench looks whether its box is to be lifted.
    pub(crate) fn look_at_benches(&mut self) {
        for bench in self.parts_where(|part| matches!(part, Part::Bench(_))) {
            if self.is_asleep(bench) {
                self.sleep_through_look(bench);
            } else {
                self.look_at_bench(bench);
            }
        }
    }

    pub(crate) fn bench_part(&self, bench: PartId) -> Bench {
        let Part::Bench(part) = self.network.part(bench) else {
            panic!("{bench} is no bench");
        };
        part.clone()
    }

    pub(crate) fn look_at_bench(&mut self, bench: PartId) {
        let part = self.bench_part(bench);
        let Some(standing) = &self.world.bench(bench).standing else {
            return;
        };
        let holds = self.lift_condition_holds(part.lift, standing);
        let counts_all = self.breaks(Fault::LiftCountsAllTicks);
        let state = self.world.bench_mut(bench);
        if holds {
            state.held_ticks += 1;
        } else if !counts_all {
            state.held_ticks = 0;
        }
        let held_ticks = state.held_ticks;
        let late = u64::from(self.breaks(Fault::LiftOneTickLate));
        if holds && held_ticks > u64::from(part.after_ticks) + late {
            self.lift(bench);
        }
    }

    pub(crate) fn lift_condition_holds(&self, lift: Lift, standing: &Article) -> bool {
        match lift {
            Lift::Empty => standing.contents().is_some_and(Inventory::is_empty),
            Lift::Full => standing
                .contents()
                .is_some_and(|contents| box_is_full(contents, &self.book)),
            Lift::Signal(signal) => self.is_on(signal),
        }
    }

    /// A box is set down on an unoccupied bench; the count starts anew.
    pub(crate) fn set_down(&mut self, bench: PartId, article: Article) {
        let goes_on = self.breaks(Fault::LiftCountGoesOn);
        let state = self.world.bench_mut(bench);
        state.standing = Some(article);
        if !goes_on {
            state.held_ticks = 0;
        }
    }

    /// The box comes loose at the bench's output, with what it still holds.
    pub(crate) fn lift(&mut self, bench: PartId) {
        if let Some(article) = self.world.bench_mut(bench).standing.take() {
            self.emit(Event::BoxLifted {
                bench,
                item: article.item(),
            });
            self.occupation_changed(bench);
            let output = self.bench_part(bench).output;
            self.come_loose(article, 1, output);
        }
    }
}
