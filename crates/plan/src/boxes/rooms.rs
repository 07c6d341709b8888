//! Rooms for what decides and delays, and who hears the switch there.

use super::hearing::Listener;
use super::{HALVES_A_STREAM, Wing, x_of_half};

/// What quay and hatch are called in the wing.
pub(super) const QUAY: &str = "quay";
pub(super) const HATCH: &str = "hatch";

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
            parts: vec![QUAY.into()],
        }
    }

    /// The room of a half, above its stream.
    pub(super) fn half_room(&self, half: usize) -> Room {
        let mut parts = vec![half_name(half)];
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
            parts.push(counter_name(half / HALVES_A_STREAM));
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
            parts: vec![HATCH.into()],
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

    /// What hears the switch, each with its room: permits are there.
    pub(super) fn listeners(&self) -> Vec<Listener> {
        let listener = |module: String, room| Listener { module, room };
        let mut listeners = vec![listener(QUAY.to_owned(), self.quay_room())];
        let halves = 0..self.halves().len();
        listeners.extend(halves.map(|half| listener(half_name(half), self.half_room(half))));
        let streams = self.streams().into_iter().enumerate();
        listeners.extend(streams.filter_map(|(number, stream)| {
            let room = self.desk_room(stream.first_half)?;
            Some(listener(counter_name(number), room))
        }));
        let hatch = self.hatch_room();
        listeners.extend(hatch.map(|room| listener(HATCH.to_owned(), room)));
        listeners
    }
}

/// What the module of a half is called in the wing.
pub(super) fn half_name(half: usize) -> String {
    format!("half {half}")
}

/// What the counter of a stream's halves is called in the wing.
pub(super) fn counter_name(stream: usize) -> String {
    format!("counter {stream}")
}
