//! The floor: a bare loop that makes the same moves over lines of hoppers with a timing wheel and
//! five-slot inventories, and knows no rules at all: no locks, no signals, no costs, no order.

use crate::case::Case;

/// One slot: which kind and how many.
#[derive(Clone, Copy, Default)]
struct Slot {
    kind: u32,
    count: u32,
}

/// Lines of hoppers, each with a feed above its head and a bottomless end.
#[derive(Clone)]
pub(crate) struct Floor {
    inventories: Vec<[Slot; 5]>,
    /// Ticks from which each hopper may act.
    free_at: Vec<u64>,
    /// The hopper behind each one; the last of a line pushes into the end.
    target: Vec<u32>,
    /// Items left above each hopper that is a head.
    feed: Vec<u32>,
    wheel: Vec<Vec<u32>>,
    /// The next tick to be run.
    tick: u64,
    /// How many moves were made.
    pub(crate) moves: u64,
}

const END: u32 = u32::MAX;
const COOLDOWN: u64 = 8;
const ARRIVAL: u64 = 7;
const LIMIT: u32 = 64;

impl Floor {
    /// `lines` lines of `length` hoppers, each fed with `items`. They start in 8 phases.
    pub(crate) fn new(lines: usize, length: usize, items: u32) -> Self {
        let hoppers = lines * length;
        let mut floor = Self {
            inventories: vec![[Slot::default(); 5]; hoppers],
            free_at: vec![0; hoppers],
            target: (0..hoppers as u32).map(|hopper| hopper + 1).collect(),
            feed: vec![0; hoppers],
            wheel: vec![Vec::new(); 16],
            tick: 0,
            moves: 0,
        };
        for line in 0..lines {
            floor.target[line * length + length - 1] = END;
            floor.feed[line * length] = items;
            floor.wheel[line % 8].push((line * length) as u32);
        }
        floor
    }

    /// Runs so many ticks.
    pub(crate) fn run(&mut self, ticks: u64) {
        let end = self.tick + ticks;
        for tick in self.tick..end {
            let place = (tick % 16) as usize;
            let mut due = std::mem::take(&mut self.wheel[place]);
            for hopper in due.drain(..) {
                self.visit(hopper as usize, tick);
            }
            self.wheel[place] = due;
        }
        self.tick = end;
    }

    fn visit(&mut self, hopper: usize, tick: u64) {
        if self.free_at[hopper] > tick {
            return;
        }
        let mut moved = false;
        if let Some(slot) = self.inventories[hopper]
            .iter()
            .position(|slot| slot.count > 0)
        {
            let kind = self.inventories[hopper][slot].kind;
            if self.insert(self.target[hopper], kind, tick) {
                self.inventories[hopper][slot].count -= 1;
                moved = true;
            }
        }
        if self.feed[hopper] > 0 {
            self.feed[hopper] -= 1;
            let slots = &mut self.inventories[hopper];
            if let Some(slot) = slots.iter_mut().find(|slot| slot.count < LIMIT) {
                slot.count += 1;
                self.moves += 1;
                moved = true;
            }
        }
        if moved {
            self.free_at[hopper] = tick + COOLDOWN;
            self.wheel[((tick + COOLDOWN) % 16) as usize].push(hopper as u32);
        }
    }

    fn insert(&mut self, target: u32, kind: u32, tick: u64) -> bool {
        if target == END {
            self.moves += 1;
            return true;
        }
        let target = target as usize;
        let slots = &mut self.inventories[target];
        let was_empty = slots.iter().all(|slot| slot.count == 0);
        let found = slots
            .iter_mut()
            .find(|slot| slot.count == 0 || (slot.kind == kind && slot.count < LIMIT));
        let Some(slot) = found else { return false };
        slot.kind = kind;
        slot.count += 1;
        self.moves += 1;
        if was_empty {
            self.free_at[target] = tick + ARRIVAL;
            self.wheel[((tick + ARRIVAL) % 16) as usize].push(target as u32);
        }
        true
    }
}

/// The floor of a workload.
pub(crate) struct FloorCase {
    start: Floor,
    ticks: u64,
    moves: u64,
}

impl FloorCase {
    /// Runs the ticks before the measured ones, and counts the moves of these.
    pub(crate) fn new(mut floor: Floor, warm_ticks: u64, ticks: u64) -> Self {
        floor.run(warm_ticks);
        let start = floor.clone();
        floor.run(ticks);
        Self {
            moves: floor.moves - start.moves,
            start,
            ticks,
        }
    }
}

impl Case for FloorCase {
    type Input = Floor;
    type Output = u64;

    fn prepare(&self) -> Floor {
        self.start.clone()
    }

    fn run(&self, floor: &mut Floor) -> u64 {
        floor.run(self.ticks);
        floor.moves
    }

    fn amount(&self) -> u64 {
        self.moves
    }
}
