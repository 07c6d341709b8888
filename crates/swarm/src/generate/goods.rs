//! The goods of a network and what lies in its inventories at the start.

use hallwright_core::goods::{Kind, StackLimit};
use hallwright_core::id::{KindId, PartId};
use hallwright_core::part::{Outlet, Part};
use hallwright_core::slot::{BOX_SLOTS, DROPPER_SLOTS, Filling, HOPPER_SLOTS};

use super::{Sketch, Style};
use crate::draw::Draw;

/// Two to five plain kinds and up to two kinds of box, in any order.
pub(super) fn kinds(draw: &mut Draw, style: &Style) -> Vec<Kind> {
    let limits = [
        (50, StackLimit::SixtyFour),
        (25, StackLimit::Sixteen),
        (25, StackLimit::One),
    ];
    let mut kinds: Vec<Kind> = (0..draw.between(2, 5))
        .map(|number| Kind {
            name: format!("good{number}"),
            stack_limit: draw.weighted(&limits),
            is_box: false,
        })
        .collect();
    if style.boxes {
        kinds.extend((0..draw.between(1, 2)).map(|number| Kind {
            name: format!("box{number}"),
            stack_limit: StackLimit::One,
            is_box: true,
        }));
    }
    draw.shuffle(&mut kinds);
    kinds
}

/// How an inventory is filled.
#[derive(Clone, Copy)]
enum Fullness {
    Empty,
    /// One item in the first slot.
    Single,
    /// Some slots hold something.
    Sparse,
    /// Every slot is at its limit, all but one, which lacks an item or two.
    NearlyFull,
    Full,
    /// Every slot holds something, so that only more of the same gets in: an item filter.
    Sieve,
}

impl Sketch {
    /// What one part holds at the start.
    pub(super) fn fill_part(&mut self, id: PartId) -> Vec<Filling> {
        if matches!(&self.parts[id.index()], Some(Part::Hopper(_)))
            && self.draw.percent(self.style.sieves_percent)
        {
            return self.fill(HOPPER_SLOTS, Fullness::Sieve, 5);
        }
        let busy = if self.style.crowded { 40 } else { 10 };
        let (slots, weights, boxes_percent) = match &self.parts[id.index()] {
            Some(Part::Container(container)) => (container.slots, [20, 10, 45, busy, 10, 5], 20),
            Some(Part::Hopper(_)) => (HOPPER_SLOTS, [50, 15, 20, busy, 3, 0], 12),
            Some(Part::Dropper(dropper)) if matches!(dropper.outlet, Outlet::Bench(_)) => {
                (DROPPER_SLOTS, [4, 10, 70, 5, 11, 0], 85)
            }
            Some(Part::Dropper(_)) => (DROPPER_SLOTS, [25, 20, 45, busy, 5, 5], 20),
            Some(Part::Shuttle(shuttle)) => (shuttle.slots, [35, 15, 30, busy, 10, 5], 12),
            _ => return Vec::new(),
        };
        let [empty, single, sparse, nearly_full, full, sieve] = weights;
        let fullness = self.draw.weighted(&[
            (empty, Fullness::Empty),
            (single, Fullness::Single),
            (sparse, Fullness::Sparse),
            (nearly_full, Fullness::NearlyFull),
            (full, Fullness::Full),
            (sieve, Fullness::Sieve),
        ]);
        self.fill(slots, fullness, boxes_percent)
    }

    fn fill(&mut self, slots: u16, fullness: Fullness, boxes_percent: u32) -> Vec<Filling> {
        let mut palette = self.palette(boxes_percent);
        if matches!(fullness, Fullness::Sieve) {
            palette.extend(self.plain_kinds.clone());
        }
        let short_slot = self.draw.between(0, u32::from(slots) - 1);
        let mut fillings = Vec::new();
        for slot in 0..slots {
            let Some(kind) = self.draw.pick(&palette) else {
                return fillings;
            };
            let limit = u32::from(self.kinds[kind.index()].stack_limit.items());
            let is_short = u32::from(slot) == short_slot;
            let count = match fullness {
                Fullness::Empty => 0,
                Fullness::Single => u32::from(slot == 0),
                Fullness::Sparse => self.sparse_count(limit),
                Fullness::NearlyFull if is_short => limit.saturating_sub(self.draw.between(1, 2)),
                Fullness::NearlyFull | Fullness::Full => limit,
                Fullness::Sieve => self.sparse_count(limit).max(1),
            };
            if count > 0 {
                fillings.push(Filling {
                    slot,
                    kind,
                    count: u8::try_from(count).unwrap_or(u8::MAX),
                    contents: self.contents_of(kind),
                });
            }
        }
        fillings
    }

    fn sparse_count(&mut self, limit: u32) -> u32 {
        let any = self.draw.between(1, limit);
        let count = self.draw.weighted(&[
            (60, 0),
            (20, 1),
            (10, 2),
            (15, 5),
            (10, any),
            (5, limit.saturating_sub(1)),
            (5, limit),
        ]);
        count.min(limit)
    }

    /// The few kinds that one inventory holds.
    fn palette(&mut self, boxes_percent: u32) -> Vec<KindId> {
        let mut palette = Vec::new();
        for _ in 0..self.draw.between(1, 3) {
            palette.extend(self.some_kind(boxes_percent));
        }
        palette
    }

    /// The kind that this network sees most of, or any other.
    pub(super) fn frequent_kind(&mut self, boxes_percent: u32) -> Option<KindId> {
        if self.draw.percent(40) {
            Some(self.plain_kinds[0])
        } else {
            self.some_kind(boxes_percent)
        }
    }

    /// A kind; a box in so many of a hundred cases, if there are boxes.
    pub(super) fn some_kind(&mut self, boxes_percent: u32) -> Option<KindId> {
        let is_box = self.draw.percent(boxes_percent) && !self.box_kinds.is_empty();
        let kinds = if is_box {
            &self.box_kinds
        } else {
            &self.plain_kinds
        };
        self.draw.pick(kinds)
    }

    /// What an item of this kind holds: nothing unless it is a box.
    pub(super) fn contents_of(&mut self, kind: KindId) -> Vec<Filling> {
        if !self.kinds[kind.index()].is_box {
            return Vec::new();
        }
        let fullness = self.draw.weighted(&[
            (26, Fullness::Empty),
            (26, Fullness::Sparse),
            (24, Fullness::NearlyFull),
            (20, Fullness::Full),
            (4, Fullness::Sieve),
        ]);
        match fullness {
            // A handful of items, so that a box can be emptied within the run.
            Fullness::Sparse => {
                let fillings = self.fill(BOX_SLOTS, Fullness::Sparse, 0);
                let handful = self.draw.between(1, 3) as usize;
                let keep = fillings.len().min(handful);
                fillings
                    .into_iter()
                    .take(keep)
                    .map(|filling| Filling {
                        count: filling.count.min(2),
                        ..filling
                    })
                    .collect()
            }
            Fullness::Empty
            | Fullness::Single
            | Fullness::NearlyFull
            | Fullness::Full
            | Fullness::Sieve => self.fill(BOX_SLOTS, fullness, 0),
        }
    }
}
