//! A set of blocks: what stands where, and how it is turned and set.

mod piece;
mod settings;
mod world;

pub use piece::{Declared, Opening, Piece, Shape, Use};
pub use settings::{LiftedWhen, Settings};
pub use world::{Taken, World};
