//! Rooms for what decides and delays, and what the switch's signal needs to get there.

use super::{HALVES_A_STREAM, Wing, x_of_half};

/// How far a signal comes without a repeater, in steps, and what each repeater takes.
const FREE_STEPS: u64 = 18;
const REPEATER_TICKS: u64 = 2;

/// How large the rooms of the quay, of a half and of desks are, in blocks along x, y and z: two blocks or more for
/// each signal part in them.
const QUAY_BLOCKS: [i64; 3] = [3, 3, 3];
const HALF_BLOCKS: [i64; 3] = [4, 3, 3];
const DESK_BLOCKS: [i64; 3] = [4, 6, 6];
const HATCH_BLOCKS: [i64; 3] = [6, 4, 3];

/// A room: signal parts that stand somewhere in it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Room {
    /// Its name.
    pub(super) name: String,
    /// The block with its smallest coordinates.
    pub(super) at: [i64; 3],
    /// How many blocks it fills along x, y and z.
    pub(super) size: [i64; 3],
    /// The modules and signals in it.
    pub(super) parts: Vec<String>,
}

impl Wing {
    /// The room of the quay.
    pub(super) fn quay_room(&self) -> Room {
        Room {
            name: "quay room".into(),
            at: [-5, self.top() + 5, -1],
            size: QUAY_BLOCKS,
            parts: vec!["quay".into()],
        }
    }

    /// The room of a half, above its stream.
    pub(super) fn half_room(&self, half: usize) -> Room {
        let mut parts = vec![format!("half {half}")];
        let stream = half / HALVES_A_STREAM;
        if half.is_multiple_of(HALVES_A_STREAM) && self.streams()[stream].is_built {
            parts.extend([format!("overflow {stream}"), format!("coming {stream}")]);
        }
        Room {
            name: format!("room {half}"),
            at: [x_of_half(half), self.top() + 4, -1],
            size: HALF_BLOCKS,
            parts,
        }
    }

    /// The room of the desks of a half, behind them; that of a stream's first half has the counter too. Without
    /// either there is none.
    pub(super) fn desk_room(&self, half: usize) -> Option<Room> {
        let stream = self.streams()[half / HALVES_A_STREAM];
        let desks = self.desks(stream);
        let of_half = desks.iter().filter(|desk| desk.half() == half);
        let mut parts: Vec<String> = of_half.map(|desk| desk.name()).collect();
        if half == stream.first_half && !desks.is_empty() {
            parts.push(format!("counter {}", half / HALVES_A_STREAM));
        }
        let room = Room {
            name: format!("desk room {half}"),
            at: [x_of_half(half), -7, -12],
            size: DESK_BLOCKS,
            parts,
        };
        (!room.parts.is_empty()).then_some(room)
    }

    /// The room of the hatch, if there is one, behind whoever stands there.
    pub(super) fn hatch_room(&self) -> Option<Room> {
        self.wanted.has_hatch.then(|| Room {
            name: "hatch room".into(),
            at: [0, -5, 9],
            size: HATCH_BLOCKS,
            parts: vec!["hatch".into()],
        })
    }

    /// All rooms.
    pub(super) fn rooms(&self) -> Vec<Room> {
        let halves = 0..self.halves().len();
        let mut rooms = vec![self.quay_room()];
        rooms.extend(halves.clone().map(|half| self.half_room(half)));
        rooms.extend(halves.filter_map(|half| self.desk_room(half)));
        rooms.extend(self.hatch_room());
        rooms
    }

    /// The rooms in which something hears the switch: permits are there.
    pub(super) fn listening_rooms(&self) -> Vec<Room> {
        let halves = 0..self.halves().len();
        let streams = self.streams().into_iter();
        let mut rooms = vec![self.quay_room()];
        rooms.extend(halves.map(|half| self.half_room(half)));
        rooms.extend(streams.filter_map(|stream| self.desk_room(stream.first_half)));
        rooms.extend(self.hatch_room());
        rooms
    }

    /// What the signal of the switch needs to a room, in ticks: a repeater for every 18 steps after the
    /// first 18.
    pub(super) fn run_ticks(&self, room: &Room) -> u64 {
        let from_switch = |axis: usize| {
            let (at, first) = (self.wanted.run_at[axis], room.at[axis]);
            at.abs_diff(at.clamp(first, first + room.size[axis] - 1))
        };
        let steps = (from_switch(0) + from_switch(2)).max(from_switch(1));
        steps.saturating_sub(FREE_STEPS).div_ceil(FREE_STEPS) * REPEATER_TICKS
    }

    /// What the switch is called in a room: by another name if its signal needs time to get there.
    pub(super) fn run_in(&self, room: &Room) -> String {
        match self.run_ticks(room) {
            0 => "$run".to_owned(),
            _ => format!("run in {}", room.name),
        }
    }
}
