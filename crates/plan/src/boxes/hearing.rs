//! How the switch comes to each room of a wing: from room to room, with a repeater in each.

use std::collections::{BTreeMap, VecDeque};

use super::Wing;
use super::rooms::Room;

/// So far two rooms may be apart between which there is no repeater, in steps (site rules, section 3).
const MOST_STEPS: i64 = 18;

/// What the repeater in each room takes.
const TICKS_A_ROOM: u64 = 2;

/// How large a room is that a repeater has for itself, on the way from the switch to a wing that is far from it.
const RELAY_BLOCKS: [i64; 3] = [1, 2, 1];

/// A module in whose room there is a repeater of the switch.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Listener {
    /// What the module is called in the wing.
    pub(super) module: String,
    /// Its room.
    pub(super) room: Room,
}

/// How one room hears the switch.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Heard {
    /// The signal that its repeater repeats, as the wing calls it.
    pub(super) from: String,
    /// How many rooms the switch comes through, this one counted.
    rooms: u64,
}

/// How the switch comes to each room.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(super) struct Hearing {
    /// The repeaters between the switch and the first room, each with its room and what it repeats.
    pub(super) relays: Vec<(Room, String)>,
    /// How each room that has a repeater hears it, by its module.
    rooms: BTreeMap<String, Heard>,
}

impl Hearing {
    /// What the module's repeater repeats.
    pub(super) fn run_of(&self, module: &str) -> &str {
        self.rooms.get(module).map_or("$run", |heard| &heard.from)
    }

    /// How long after the switch the module hears it, in ticks.
    pub(super) fn ticks_of(&self, module: &str) -> u64 {
        let heard = self.rooms.get(module);
        heard.map_or(0, |heard| heard.rooms * TICKS_A_ROOM)
    }
}

impl Wing {
    /// How the switch comes to each room: through as few others as can be.
    pub(super) fn hearing(&self) -> Hearing {
        let mut left = self.listeners();
        let switch = Span {
            first: self.wanted.run_at,
            last: self.wanted.run_at,
        };
        let mut relays = Vec::new();
        let mut found = VecDeque::from([relayed(switch, &left, &mut relays)]);
        let mut rooms = BTreeMap::new();
        // Any room of a wing is in reach of another one: see `rooms.rs` for where they stand.
        while let Some((span, signal, through)) = found.pop_front() {
            let own = |listener: &Listener| span.steps(Span::of(&listener.room)) <= MOST_STEPS;
            let (near, far): (Vec<_>, Vec<_>) = left.into_iter().partition(own);
            left = far;
            for Listener { module, room } in near {
                let heard = Heard {
                    from: signal.clone(),
                    rooms: through + 1,
                };
                found.push_back((Span::of(&room), format!("{module}.heard"), heard.rooms));
                rooms.insert(module, heard);
            }
        }
        Hearing { relays, rooms }
    }
}

/// Where the switch is heard once it has come near to the wing: at what blocks, under what name, and through how many
/// rooms. Relays are added until a room is in reach.
fn relayed(
    switch: Span,
    listeners: &[Listener],
    relays: &mut Vec<(Room, String)>,
) -> (Span, String, u64) {
    let rooms = listeners.iter().map(|listener| Span::of(&listener.room));
    let nearest = rooms.min_by_key(|room| room.steps(switch));
    let (mut at, mut signal) = (switch, "$run".to_owned());
    while let Some(room) = nearest.filter(|room| room.steps(at) > MOST_STEPS) {
        let number = relays.len();
        let name = format!("run on way {number}");
        let relay = Room {
            name: format!("way room {number}"),
            at: at.towards(room),
            size: RELAY_BLOCKS,
            parts: vec![name.clone()],
        };
        at = Span::of(&relay);
        relays.push((relay, signal));
        signal = name;
    }
    (at, signal, relays.len() as u64)
}

/// A box of blocks.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
struct Span {
    first: [i64; 3],
    last: [i64; 3],
}

impl Span {
    fn of(room: &Room) -> Self {
        Self {
            first: room.at,
            last: [0, 1, 2].map(|axis: usize| room.at[axis] + room.size[axis] - 1),
        }
    }

    /// From here to another one along an axis, in blocks; less than 0 towards smaller coordinates.
    fn apart(self, other: Self, axis: usize) -> i64 {
        let further = other.first[axis] - self.last[axis];
        let back = self.first[axis] - other.last[axis];
        further.max(0) - back.max(0)
    }

    /// The steps to another one, from its nearest block.
    fn steps(self, other: Self) -> i64 {
        let [x, y, z] = [0, 1, 2].map(|axis| self.apart(other, axis).abs());
        (x + z).max(y)
    }

    /// The block in reach that is furthest towards another one, across before along: what stands beside a wing is
    /// long along x.
    fn towards(self, other: Self) -> [i64; 3] {
        let within = |blocks: i64, most: i64| blocks.clamp(-most, most);
        let z = within(self.apart(other, 2), MOST_STEPS);
        let x = within(self.apart(other, 0), MOST_STEPS - z.abs());
        let y = within(self.apart(other, 1), MOST_STEPS);
        let from = |axis: usize, blocks: i64| match blocks {
            1.. => self.last[axis] + blocks,
            _ => self.first[axis] + blocks,
        };
        [from(0, x), from(1, y), from(2, z)]
    }
}
