//! A set of blocks: what stands where, and how it is turned and set.

mod by_block;
mod piece;
mod settings;
mod world;

pub(crate) use by_block::ByBlock;
pub use piece::{Declared, Opening, Piece, Shape, Use};
pub use settings::{LiftedWhen, Settings};
pub use world::{Taken, World};
