//! A set of blocks: what stands where, and how it is turned and set.

mod piece;
mod settings;
mod world;

pub use piece::{Opening, Piece, Shape, Told, Use};
pub use settings::{LiftedWhen, Settings};
pub use world::{Taken, World};
