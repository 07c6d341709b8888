//! How large a wing is, what has room in it, and how long it takes to stop.

use super::desks::BARGE_HOME_TICKS;
use super::rooms::ROOM_BLOCKS;
use super::{Stream, Wing, boxes_a_column, x_of_half};

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
        let last_half = halves.len() - 1;
        let last_columns = halves[last_half].len() as i64;
        let lowest = if self.wanted.tally_name.is_some() {
            -7
        } else {
            0
        };
        // The lamps of the overflows and the rooms of the desks end at z -9, the lamps of the columns at z 11. Each
        // half has three places with the wire that locks; behind the last column comes the chest for the unsorted.
        let from = [-5, lowest, -9];
        let to_x = x_of_half(last_half) + last_columns.max(2);
        let to = [to_x, self.quay_room().at[1] + ROOM_BLOCKS - 1, 11];
        Measures {
            columns: self.columns.len(),
            boxes_a_column: boxes_a_column(self.wanted.levels),
            from,
            blocks: [0, 1, 2].map(|axis: usize| to[axis].abs_diff(from[axis]) + 1),
            stop_at_most_ticks: self.stop_ticks(),
        }
    }

    /// From the stop until nothing moves in the wing, at most. The gate of a permit takes 2 ticks; the quay
    /// runs out in 40, a half in 15 a hopper of its columns and 95. What was on its way past the eyes in the 60
    /// ticks after the permit may be on a stream; the catch at its end has 60 more. A barge comes to the next dock, and
    /// what a loader has begun is over in 40. The last hold is 8 ticks long.
    fn stop_ticks(&self) -> u64 {
        let quay = self.run_ticks(&self.quay_room()) + 40;
        let halves = 0..self.halves().len();
        let run_of_half = |half: usize| {
            let desks = self.desk_room(half);
            let desks = desks.map_or(0, |room| self.run_ticks(&room));
            self.run_ticks(&self.half_room(half)).max(desks)
        };
        let of_half = |half: usize| {
            let hoppers = u64::from(self.wanted.levels) + 1;
            run_of_half(half) + (15 * hoppers + 95).max(BARGE_HOME_TICKS + 40)
        };
        let of_stream = |stream: Stream| {
            let halves = stream.first_half..stream.first_half + stream.halves;
            let run = halves.map(run_of_half).max().unwrap_or(0);
            run + 60 + stream.transit_ticks() + 60
        };
        let streams = self.streams().into_iter().filter(|stream| stream.is_built);
        let streams = streams.map(of_stream);
        let slowest = halves.map(of_half).chain(streams).fold(quay, u64::max);
        2 + slowest + 8
    }
}
