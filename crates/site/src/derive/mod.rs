//! Which network a set of blocks is.

mod ears;
mod field;
mod goods;
mod looks;
mod order;
mod sources;
mod wires;

use std::collections::{BTreeMap, BTreeSet};

pub use ears::{Armed, ear_blocks};
pub use field::Field;
pub use looks::{Drowned, read_through};
pub use order::{Derived, Stood, derive};
pub use wires::Wires;

use crate::blocks::World;
use crate::network::{Ear, Hearing, Role};

/// What every piece of a world is linked to and hears, by the numbers of the pieces, and what no network
/// can say.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Made {
    /// Of each piece what it acts on or looks at.
    pub links: Vec<BTreeSet<(Role, usize)>>,
    /// Of each piece what it hears. An ear that hears nothing is left out.
    pub hears: Vec<BTreeMap<Ear, Hearing<usize>>>,
    /// Hoppers below an open block that is no mouth.
    pub open_tops: Vec<usize>,
    /// Droppers that wait for a change beside them.
    pub armed: Vec<Armed>,
    /// Readings that a signal would drown.
    pub drowned: Vec<Drowned>,
}

/// What the blocks of a world make, piece for piece. Single chests that join are two pieces even so.
#[must_use]
pub fn made(world: &World) -> Made {
    let field = Field::of(world);
    let mut made = Made::default();
    for number in 0..world.pieces().len() {
        let mut links = BTreeSet::new();
        goods::add(world, number, &mut links);
        looks::add(world, number, &mut links);
        if goods::has_open_top(world, number) {
            made.open_tops.push(number);
        }
        made.drowned.extend(looks::drowned(world, &field, number));
        let hears = ears::heard(world, &field, number, &links);
        made.armed
            .extend(ears::armed(world, &field, number, &hears));
        made.links.push(links);
        made.hears.push(hears);
    }
    add_declared(world, &mut made);
    made
}

/// Adds what is taken at its word.
fn add_declared(world: &World, made: &mut Made) {
    use crate::blocks::Declared;
    for (number, piece) in world.pieces().iter().enumerate() {
        for declared in &piece.declared {
            match declared {
                Declared::Link(role, name) => {
                    let to = world.named(name);
                    made.links[number].extend(to.map(|to| (*role, to)));
                }
                Declared::Signal(ear, name, loss) => {
                    if let Some(source) = world.named(name) {
                        let hearing = made.hears[number].entry(*ear).or_default();
                        hearing.add(source, *loss, *loss == 0);
                    }
                }
            }
        }
    }
}
