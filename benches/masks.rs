//! The floor with masks: the same moves as those of `floor.rs`, but each place of the timing wheel is a mask
//! with a bit for each hopper, in place of a list. So the hoppers that act come sorted, and each once.

use crate::case::Case;

/// One slot: which kind and how many.
#[derive(Clone, Copy, Default)]
struct Slot {
    kind: u32,
    count: u32,
}

/// One line of hoppers with a feed above its head and a bottomless end.
#[derive(Clone)]
pub(crate) struct Masks {
    inventories: Vec<[Slot; 5]>,
    /// Ticks from which each hopper may act.
    free_at: Vec<u64>,
    /// Items left above the head.
    feed: u32,
    /// For each place of the wheel, 64 hoppers a word.
    wheel: [Vec<u64>; 16],
    /// How many moves were made.
    moves: u64,
}

const COOLDOWN: u64 = 8;
const ARRIVAL: u64 = 7;
const LIMIT: u32 = 64;

impl Masks {
    /// A line of `length` hoppers, fed with `items`.
    pub(crate) fn new(length: usize, items: u32) -> Self {
        let mut masks = Self {
            inventories: vec![[Slot::default(); 5]; length],
            free_at: vec![0; length],
            feed: items,
            wheel: std::array::from_fn(|_| vec![0; length.div_ceil(64)]),
            moves: 0,
        };
        masks.mark(0, 0);
        masks
    }

    fn mark(&mut self, tick: u64, hopper: usize) {
        self.wheel[(tick % 16) as usize][hopper / 64] |= 1 << (hopper % 64);
    }

    fn run(&mut self, ticks: u64) {
        for tick in 0..ticks {
            let place = (tick % 16) as usize;
            for word in 0..self.wheel[place].len() {
                let mut due = std::mem::take(&mut self.wheel[place][word]);
                while due != 0 {
                    self.visit(word * 64 + due.trailing_zeros() as usize, tick);
                    due &= due - 1;
                }
            }
        }
    }

    fn visit(&mut self, hopper: usize, tick: u64) {
        if self.free_at[hopper] > tick {
            return;
        }
        let filled = self.inventories[hopper].iter();
        let filled = filled.enumerate().find(|(_, slot)| slot.count > 0);
        let mut moved = false;
        if let Some((slot, &Slot { kind, .. })) = filled
            && self.insert(hopper + 1, kind, tick)
        {
            self.inventories[hopper][slot].count -= 1;
            moved = true;
        }
        if hopper == 0 && self.feed > 0 {
            let slots = &mut self.inventories[hopper];
            if let Some(slot) = slots.iter_mut().find(|slot| slot.count < LIMIT) {
                slot.count += 1;
                self.feed -= 1;
                self.moves += 1;
                moved = true;
            }
        }
        if moved {
            self.free_at[hopper] = tick + COOLDOWN;
            self.mark(tick + COOLDOWN, hopper);
        }
    }

    /// Behind the last hopper is the end, which takes everything.
    fn insert(&mut self, target: usize, kind: u32, tick: u64) -> bool {
        let Some(slots) = self.inventories.get_mut(target) else {
            self.moves += 1;
            return true;
        };
        let was_empty = slots.iter().all(|slot| slot.count == 0);
        let takes = |slot: &&mut Slot| slot.count == 0 || slot.kind == kind && slot.count < LIMIT;
        let Some(slot) = slots.iter_mut().find(takes) else {
            return false;
        };
        slot.kind = kind;
        slot.count += 1;
        self.moves += 1;
        if was_empty {
            self.free_at[target] = tick + ARRIVAL;
            self.mark(tick + ARRIVAL, target);
        }
        true
    }
}

/// The floor of a line with masks.
pub(crate) struct MasksCase {
    start: Masks,
    ticks: u64,
    moves: u64,
}

impl MasksCase {
    /// Counts the moves of a whole run.
    pub(crate) fn new(start: Masks, ticks: u64) -> Self {
        let mut whole = start.clone();
        whole.run(ticks);
        Self {
            moves: whole.moves,
            start,
            ticks,
        }
    }
}

impl Case for MasksCase {
    type Input = Masks;
    type Output = u64;

    fn prepare(&self) -> Masks {
        self.start.clone()
    }

    fn run(&self, masks: &mut Masks) -> u64 {
        masks.run(self.ticks);
        masks.moves
    }

    fn amount(&self) -> u64 {
        self.moves
    }
}
