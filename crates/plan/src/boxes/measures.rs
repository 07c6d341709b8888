//! How large a wing is, what has room in it, and how long it takes to stop.

use super::{Wing, boxes_a_column, x_of_half};

/// How far a signal comes without a repeater, in steps, and what each repeater takes.
const FREE_STEPS: u64 = 18;
const REPEATER_TICKS: u64 = 2;

/// The edge of a room for what decides and delays, in blocks.
pub(super) const ROOM_BLOCKS: i64 = 3;

/// The numbers of a wing.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Measures {
    /// Columns in all.
    pub columns: usize,
    /// How many boxes have room in each.
    pub boxes_a_column: u64,
    /// The block with the smallest coordinates that it fills, in its own frame.
    pub from: [i64; 3],
    /// How many blocks long (x), high (y) and deep (z) it is.
    pub blocks: [u64; 3],
    /// From the operator's stop until it is safe to close, at most, in ticks.
    pub stop_at_most_ticks: u64,
}

impl Wing {
    /// Its numbers.
    #[must_use]
    pub fn measures(&self) -> Measures {
        let halves = self.halves();
        let last_x = x_of_half(halves.len() - 1);
        // Three places in each half have the wire that locks; behind the last column is the chest for the unsorted.
        let to_x = last_x + 3;
        let from = [-5, 0, -9];
        let to = [to_x, self.quay_room()[1] + ROOM_BLOCKS - 1, 11];
        let blocks = [0, 1, 2].map(|axis: usize| to[axis].abs_diff(from[axis]) + 1);
        Measures {
            columns: self.columns.len(),
            boxes_a_column: boxes_a_column(self.wanted.levels),
            from,
            blocks,
            stop_at_most_ticks: self.stop_ticks(),
        }
    }

    /// Where the room of the quay begins, and that of a half, above its stream.
    pub(super) fn quay_room(&self) -> [i64; 3] {
        [-5, self.top() + 5, -1]
    }

    pub(super) fn room_of_half(&self, half: usize) -> [i64; 3] {
        [x_of_half(half), self.top() + 4, -1]
    }

    /// What the signal of the switch needs to a room, in ticks: a repeater for every 18 steps after the
    /// first 18.
    pub(super) fn run_ticks(&self, room: [i64; 3]) -> u64 {
        let from_switch = |axis: usize| {
            let (at, first) = (self.wanted.run_at[axis], room[axis]);
            let nearest = at.clamp(first, first + ROOM_BLOCKS - 1);
            at.abs_diff(nearest)
        };
        let steps = (from_switch(0) + from_switch(2)).max(from_switch(1));
        steps.saturating_sub(FREE_STEPS).div_ceil(FREE_STEPS) * REPEATER_TICKS
    }

    /// From the stop until nothing moves in the wing, at most. The gate of a permit takes 2 ticks; the quay
    /// runs out in 40, a half in 15 a hopper of its columns and 95. What was on its way past the eyes in the 60
    /// ticks after the permit may be on a stream; the catch at its end has 60 more. The last hold
    /// is 4 ticks long.
    fn stop_ticks(&self) -> u64 {
        let quay = self.run_ticks(self.quay_room()) + 40;
        let halves = 0..self.halves().len();
        let of_half = |half: usize| {
            let hoppers = u64::from(self.wanted.levels) + 1;
            self.run_ticks(self.room_of_half(half)) + 15 * hoppers + 95
        };
        let of_stream = |stream: super::Stream| {
            let halves = stream.first_half..stream.first_half + stream.halves;
            let run = halves.map(|half| self.run_ticks(self.room_of_half(half)));
            run.max().unwrap_or(0) + 60 + stream.transit_ticks() + 60
        };
        let streams = self.streams().into_iter().map(of_stream);
        let slowest = halves.map(of_half).chain(streams).fold(quay, u64::max);
        2 + slowest + 4
    }
}
