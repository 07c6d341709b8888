//! How large a wing is, what has room in it, and how long it takes to stop.

use super::desks::BARGE_HOME_TICKS;
use super::rooms::{HATCH, QUAY, counter_name, half_name};
use super::{Stream, Wing, boxes_a_column};

/// How long a hatch runs out: a box that was taken empty drifts for 87 ticks, and is caught in 40. Before, the
/// displays' locks have tried to set down others.
const HATCH_TICKS: u64 = 87 + 40 + 20;

/// The numbers of a wing.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Measures {
    /// Columns in all.
    pub columns: usize,
    /// How many boxes have room in each.
    pub boxes_a_column: u64,
    /// The block with the smallest coordinates that it fills, in its own frame; relays on the way from a switch that is
    /// far from it stand outside.
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
        // Below the racks are the counters, and behind them the rooms of the desks.
        let has_desks = self
            .streams()
            .into_iter()
            .any(|stream| !self.desks(stream).is_empty());
        let (lowest, rearmost) = match (has_desks, self.wanted.has_hatch) {
            (true, _) => (-7, -12),
            (false, true) => (-7, -9),
            (false, false) => (0, -9),
        };
        // The room of the quay is the highest, and that of the last half ends last.
        let highest = self.quay_room();
        let last = self.half_room(self.halves().len() - 1);
        let from = [-5, lowest, rearmost];
        let to = [
            last.at[0] + last.size[0] - 1,
            highest.at[1] + highest.size[1] - 1,
            11,
        ];
        Measures {
            columns: self.columns.len(),
            boxes_a_column: boxes_a_column(self.wanted.levels),
            from,
            blocks: [0, 1, 2].map(|axis: usize| to[axis].abs_diff(from[axis]) + 1),
            stop_at_most_ticks: self.stop_ticks(),
        }
    }

    /// From the stop until nothing moves in the wing, at most. The switch comes through rooms, of 2 ticks each. The gate of a permit takes 2 ticks; the quay
    /// runs out in 40, a half in 15 a hopper of its columns and 95. What was on its way past the eyes in the 60
    /// ticks after the permit may be on a stream; the catch at its end has 60 more. A barge comes to the next dock, and
    /// what a loader has begun is over in 40. The last hold is 8 ticks long.
    fn stop_ticks(&self) -> u64 {
        let hearing = self.hearing();
        let quay = hearing.ticks_of(QUAY) + 40;
        let halves = 0..self.halves().len();
        let run_of_half = |half: usize| hearing.ticks_of(&half_name(half));
        let of_half = |half: usize| {
            let hoppers = u64::from(self.wanted.levels) + 1;
            run_of_half(half) + 15 * hoppers + 95
        };
        let hatch = self.hatch_room();
        let hatch = hatch.map(|_| hearing.ticks_of(HATCH) + HATCH_TICKS);
        let streams = self.streams().into_iter().enumerate();
        let desks = streams.filter(|(_, stream)| !self.desks(*stream).is_empty());
        let desks = desks.map(|(number, _)| {
            let run = hearing.ticks_of(&counter_name(number));
            run + BARGE_HOME_TICKS + 40
        });
        let of_stream = |stream: Stream| {
            let halves = stream.first_half..stream.first_half + stream.halves;
            let run = halves.map(run_of_half).max().unwrap_or(0);
            run + 60 + stream.transit_ticks() + 60
        };
        let streams = self.streams().into_iter().filter(|stream| stream.is_built);
        let streams = streams.map(of_stream);
        let slowest = halves.map(of_half).chain(streams).chain(desks).chain(hatch);
        let slowest = slowest.fold(quay, u64::max);
        2 + slowest + 8
    }
}
